import earcut from "earcut";
import { fail } from "@peltry/issues";
import type { GrowingInts } from "./growing-array";
import { MESH_LIMITS } from "./raw-mesh";
import { triangulateOutline } from "./triangulate-outline";

/** Faces with more corners than this are cut by a sweep: the ear cutter's time can grow with the square and worse. */
const MOST_EARS = 1000;

/**
 * Turns one face of three or more corners into triangles of the same sense. Quads are cut along the diagonal that
 * keeps both halves facing the same way, the shorter one when both do; larger faces are cut in their own plane, so
 * that hollow (concave) outlines come out right.
 *
 * @param corners - vertex indices; corners that repeat their neighbour are left out
 * @returns number of triangles pushed
 * @throws `forms/mesh-too-large` for a face of more than 100,000 corners
 * @source plane of a face: Newell's method (Sutherland, Sproull and Schumacker 1974, from memory)
 */
export function triangulateFace(corners: number[], positions: Float64Array, out: GrowingInts): number {
  const face = corners.filter((v, i) => v !== corners[(i + 1) % corners.length]);
  if (face.length < 3) return 0;
  if (face.length > MESH_LIMITS.corners) tooManyCorners(face.length);
  if (face.length === 3) return pushTriangle(out, face[0], face[1], face[2]);
  if (face.length === 4) return quad(face, positions, out);
  const normal = newell(face, positions);
  const flat = flatten(face, positions, normal);
  const cut = flat && (face.length > MOST_EARS ? triangulateOutline(flat) : byEars(flat));
  if (cut) {
    for (let i = 0; i < cut.length; i += 3) pushOriented(face, flat!, cut[i], cut[i + 1], cut[i + 2], out);
    return face.length - 2;
  }
  // Self-crossing or flat as a line: the outline has no inside to cut, a fan keeps at least its edges.
  for (let i = 1; i + 1 < face.length; i++) pushTriangle(out, face[0], face[i], face[i + 1]);
  return face.length - 2;
}

function tooManyCorners(found: number): never {
  fail(
    "forms/mesh-too-large",
    `A face has ${found} corners.`,
    {},
    { found, limit: MESH_LIMITS.corners, fix: "Export the mesh again, cut into triangles." },
  );
}

function byEars(flat: number[]): number[] | undefined {
  return withLeftOut(earcut(flat), flat.length / 2);
}

/**
 * The ear cutter leaves out corners that lie on a straight side; a neighbouring face still uses them, so a crack would
 * open. Each run of them goes back into the triangle on that side. Undefined when the cut does not cover the outline.
 */
function withLeftOut(cut: number[], count: number): number[] | undefined {
  const used = new Uint8Array(count);
  for (const i of cut) used[i] = 1;
  const first = used.indexOf(1);
  if (first < 0) return undefined;
  const out = cut.slice();
  const triangleOn = new Map<number, number>();
  const enter = (base: number): void => {
    for (let k = 0; k < 3; k++) {
      const a = out[base + k];
      const b = out[base + ((k + 1) % 3)];
      triangleOn.set(Math.min(a, b) * count + Math.max(a, b), base);
    }
  };
  // Runs lie along the outline, so each of these sides belongs to one triangle only.
  for (let base = 0; base < cut.length; base += 3) enter(base);
  for (let step = 0, i = first; step < count;) {
    let j = (i + 1) % count;
    let run = 1;
    for (; !used[j]; j = (j + 1) % count) run++;
    if (run > 1) {
      const base = triangleOn.get(Math.min(i, j) * count + Math.max(i, j));
      if (base === undefined) return undefined;
      const apex = out[base] + out[base + 1] + out[base + 2] - i - j;
      for (let k = 0; k < run; k++) {
        const at = k === 0 ? base : out.length;
        out[at] = (i + k) % count;
        out[at + 1] = (i + k + 1) % count;
        out[at + 2] = apex;
        enter(at);
      }
    }
    step += run;
    i = j;
  }
  return out.length === 3 * (count - 2) ? out : undefined;
}

function pushTriangle(out: GrowingInts, a: number, b: number, c: number): number {
  out.push(a);
  out.push(b);
  out.push(c);
  return 1;
}

function quad(face: number[], p: Float64Array, out: GrowingInts): number {
  const [a, b, c, d] = face;
  const alongAC = facing(p, a, b, c, a, c, d);
  const alongBD = facing(p, a, b, d, b, c, d);
  const ac = squared(p, a, c);
  const bd = squared(p, b, d);
  const useAC = alongAC > 0 === alongBD > 0 ? ac <= bd : alongAC > 0;
  if (useAC) {
    pushTriangle(out, a, b, c);
    pushTriangle(out, a, c, d);
  } else {
    pushTriangle(out, a, b, d);
    pushTriangle(out, b, c, d);
  }
  return 2;
}

/** Positive when the two triangles face the same way. */
function facing(p: Float64Array, a: number, b: number, c: number, d: number, e: number, f: number): number {
  const [ux, uy, uz] = cross(p, a, b, c);
  const [vx, vy, vz] = cross(p, d, e, f);
  return ux * vx + uy * vy + uz * vz;
}

function cross(p: Float64Array, a: number, b: number, c: number): [number, number, number] {
  const ux = p[3 * b] - p[3 * a];
  const uy = p[3 * b + 1] - p[3 * a + 1];
  const uz = p[3 * b + 2] - p[3 * a + 2];
  const vx = p[3 * c] - p[3 * a];
  const vy = p[3 * c + 1] - p[3 * a + 1];
  const vz = p[3 * c + 2] - p[3 * a + 2];
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

function squared(p: Float64Array, a: number, b: number): number {
  const x = p[3 * a] - p[3 * b];
  const y = p[3 * a + 1] - p[3 * b + 1];
  const z = p[3 * a + 2] - p[3 * b + 2];
  return x * x + y * y + z * z;
}

function newell(face: number[], p: Float64Array): [number, number, number] {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < face.length; i++) {
    const a = 3 * face[i];
    const b = 3 * face[(i + 1) % face.length];
    x += (p[a + 1] - p[b + 1]) * (p[a + 2] + p[b + 2]);
    y += (p[a + 2] - p[b + 2]) * (p[a] + p[b]);
    z += (p[a] - p[b]) * (p[a + 1] + p[b + 1]);
  }
  return [x, y, z];
}

/** The face in its own plane, counter-clockwise; undefined when it spans none. */
function flatten(face: number[], p: Float64Array, normal: [number, number, number]): number[] | undefined {
  const length = Math.hypot(...normal);
  if (!(length > 0) || !Number.isFinite(length)) return undefined;
  const [nx, ny, nz] = normal.map((x) => x / length);
  // Any direction well off the normal spans the plane with it.
  const [ax, ay, az] = Math.abs(nx) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  let ux = ay * nz - az * ny;
  let uy = az * nx - ax * nz;
  let uz = ax * ny - ay * nx;
  const size = Math.hypot(ux, uy, uz);
  ux /= size;
  uy /= size;
  uz /= size;
  const vx = ny * uz - nz * uy;
  const vy = nz * ux - nx * uz;
  const vz = nx * uy - ny * ux;
  const flat: number[] = [];
  for (const i of face) {
    const x = p[3 * i] - p[3 * face[0]];
    const y = p[3 * i + 1] - p[3 * face[0] + 1];
    const z = p[3 * i + 2] - p[3 * face[0] + 2];
    flat.push(ux * x + uy * y + uz * z, vx * x + vy * y + vz * z);
  }
  return flat;
}

function pushOriented(
  face: number[],
  flat: number[],
  i: number,
  j: number,
  k: number,
  out: GrowingInts,
): number {
  const turn =
    (flat[2 * j] - flat[2 * i]) * (flat[2 * k + 1] - flat[2 * i + 1]) -
    (flat[2 * j + 1] - flat[2 * i + 1]) * (flat[2 * k] - flat[2 * i]);
  return turn >= 0
    ? pushTriangle(out, face[i], face[j], face[k])
    : pushTriangle(out, face[i], face[k], face[j]);
}

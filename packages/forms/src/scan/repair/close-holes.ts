import { nextHalfEdge as next } from "@peltry/geometry";
import type { RepairOptions } from "../repair-mesh";
import { borderLoops, type BorderLoop } from "./border-loops";
import { fillHole, type HolePatch } from "./fill-hole";
import { findPieces } from "./orient";
import type { WorkingMesh } from "./working-mesh";

/** Rim up to which a hole is filled without being asked to, mm: a hand's breadth of missing scan. */
const DEFAULT_RIM = 150;
/** Share of its piece's area that a hole filled without being asked to may hold. */
const DEFAULT_SHARE = 0.01;

/**
 * How far the surface's normals at a rim have to agree (length of their mean, 0..1) for a hole in its side. Round the open
 * end of a limb they point all ways and cancel.
 */
const SHADOW = 0.45;

/** Fills the holes that the options name; returns how many, and with how many triangles. */
export function closeHoles(
  mesh: WorkingMesh,
  options: Pick<RepairOptions, "fillHolesUpTo" | "fillShadowsUpTo" | "keepOpen">,
): { holes: number; triangles: number } {
  const loops = borderLoops(mesh);
  const limit = options.fillHolesUpTo ?? DEFAULT_RIM;
  const shadows = options.fillShadowsUpTo ?? 0;
  if (loops.length === 0 || !(limit > 0 || shadows > 0)) return { holes: 0, triangles: 0 };
  const pieces = findPieces(mesh);
  const chosen = loops.filter((loop) => {
    if (keptOpen(mesh, loop, options.keepOpen)) return false;
    if (loop.length <= shadows && rimAgreement(mesh, loop) >= SHADOW && !isAtEnd(mesh, loop)) return true;
    if (loop.length > limit) return false;
    // The area of a circle with this rim: what the hole could hold at most if flat.
    const area = (loop.length * loop.length) / (4 * Math.PI);
    return (
      options.fillHolesUpTo !== undefined || area <= DEFAULT_SHARE * pieces.area[pieces.of[loop.triangle]]
    );
  });
  if (chosen.length === 0) return { holes: 0, triangles: 0 };
  const around = innerPoints(mesh, chosen);
  const patches = chosen.map((loop, i) => ({
    loop,
    patch: fillHole(mesh.positions, loop.vertices, around[i]),
  }));
  return { holes: chosen.length, triangles: addPatches(mesh, patches) };
}

/** Length of the mean normal of the triangles at a rim. */
export function rimAgreement(mesh: Pick<WorkingMesh, "positions" | "triangles">, loop: BorderLoop): number {
  const on = new Set(loop.vertices);
  const { triangles, positions: p } = mesh;
  const sum = [0, 0, 0];
  let total = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    if (!on.has(triangles[t]) && !on.has(triangles[t + 1]) && !on.has(triangles[t + 2])) continue;
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const u = [0, 1, 2].map((k) => p[b + k] - p[a + k]);
    const v = [0, 1, 2].map((k) => p[c + k] - p[a + k]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    for (let k = 0; k < 3; k++) sum[k] += n[k];
    total += Math.hypot(n[0], n[1], n[2]);
  }
  return total > 0 ? Math.hypot(sum[0], sum[1], sum[2]) / total : 0;
}

/** Whether a rim lies in the last twentieth of the mesh along its longest side: the open end of a limb, however it is cut. */
function isAtEnd(mesh: WorkingMesh, loop: BorderLoop): boolean {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  mesh.positions.forEach((x, i) => {
    low[i % 3] = Math.min(low[i % 3], x);
    high[i % 3] = Math.max(high[i % 3], x);
  });
  const sides = high.map((x, k) => x - low[k]);
  const k = sides.indexOf(Math.max(...sides));
  const along = loop.vertices.map((v) => (mesh.positions[3 * v + k] - low[k]) / sides[k]);
  const most = Math.max(...along);
  const least = Math.min(...along);
  return most < 0.05 || least > 0.95;
}

function keptOpen(mesh: WorkingMesh, loop: BorderLoop, points: RepairOptions["keepOpen"]): boolean {
  if (!points) return false;
  const middle = [0, 1, 2].map(
    (k) => loop.vertices.reduce((sum, v) => sum + mesh.positions[3 * v + k], 0) / loop.vertices.length,
  );
  return points.some((q) => Math.hypot(q[0] - middle[0], q[1] - middle[1], q[2] - middle[2]) <= 1);
}

/** For each rim vertex the mean of its neighbours off the rim (of all its neighbours when there are none). */
function innerPoints(mesh: WorkingMesh, loops: readonly BorderLoop[]): Float64Array[] {
  const place = new Map<number, [number, number]>();
  loops.forEach((loop, i) => loop.vertices.forEach((v, j) => place.set(v, [i, j])));
  const sums = loops.map((loop) => new Float64Array(4 * loop.vertices.length));
  const { triangles, positions: p } = mesh;
  for (let h = 0; h < triangles.length; h++) {
    for (const [v, w] of [
      [triangles[h], triangles[next(h)]],
      [triangles[next(h)], triangles[h]],
    ]) {
      const at = place.get(v);
      if (!at || place.has(w)) continue;
      const sum = sums[at[0]];
      for (let k = 0; k < 3; k++) sum[4 * at[1] + k] += p[3 * w + k];
      sum[4 * at[1] + 3]++;
    }
  }
  return loops.map((loop, i) => {
    const out = new Float64Array(3 * loop.vertices.length);
    loop.vertices.forEach((v, j) => {
      const n = sums[i][4 * j + 3];
      for (let k = 0; k < 3; k++) out[3 * j + k] = n > 0 ? sums[i][4 * j + k] / n : p[3 * v + k];
    });
    return out;
  });
}

function addPatches(mesh: WorkingMesh, patches: readonly { loop: BorderLoop; patch: HolePatch }[]): number {
  const oldVertices = mesh.positions.length / 3;
  const vertices = patches.reduce((sum, { patch }) => sum + patch.positions.length / 3, 0);
  const corners = patches.reduce((sum, { patch }) => sum + patch.triangles.length, 0);
  const positions = new Float64Array(mesh.positions.length + 3 * vertices);
  positions.set(mesh.positions);
  const triangles = new Uint32Array(mesh.triangles.length + corners);
  triangles.set(mesh.triangles);
  let v = oldVertices;
  let at = mesh.triangles.length;
  for (const { loop, patch } of patches) {
    positions.set(patch.positions, 3 * v);
    for (const c of patch.triangles)
      triangles[at++] = c < loop.vertices.length ? loop.vertices[c] : v + c - loop.vertices.length;
    v += patch.positions.length / 3;
  }
  const grow = (source: Int32Array, length: number): Int32Array => {
    const out = new Int32Array(length).fill(-1);
    out.set(source);
    return out;
  };
  mesh.vertexSource = grow(mesh.vertexSource, positions.length / 3);
  mesh.triangleSource = grow(mesh.triangleSource, triangles.length / 3);
  mesh.positions = positions;
  mesh.triangles = triangles;
  return corners / 3;
}

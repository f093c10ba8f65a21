import { shown } from "../parts/number";
import { fail } from "@peltry/issues";
import { meshTopology } from "@peltry/geometry";
import type { Form } from "../types";
import { bump } from "./bump";

/** A lump put on any form, a scanned one too. */
export interface FormPad {
  readonly name: string;
  /** Its middle: id of a landmark, or a point in space, mm; the nearest vertex counts. */
  readonly at: string | readonly [number, number, number];
  /** Thickness in the middle, mm. */
  readonly height: number;
  /** How far it runs out, mm, as the crow flies. */
  readonly reach: number;
}

/**
 * The form with pads on it: each vertex carried out along the surface's normal, smoothly to nothing at the reach. The
 * old surface becomes the body inside, unless there is one already.
 *
 * @throws forms/bad-pad, forms/unknown-landmark
 * @remarks Vertex normals are area-weighted. The thickness in the middle of a lone pad is exact.
 */
export function padForm<T extends Form>(form: T, pads: readonly FormPad[]): T {
  const { positions, triangles } = form.mesh;
  const normals = vertexNormals(positions, triangles);
  const count = positions.length / 3;
  const thickness = new Float64Array(count);
  if (!Array.isArray(pads) || pads.some((pad) => typeof pad !== "object" || pad === null))
    fail(
      "forms/bad-pad",
      "The pads are no list of pads.",
      {},
      { fix: "Pass { name, at, height, reach } for each." },
    );
  pads.forEach((pad: FormPad, i) => {
    for (const [what, value, low, high] of [
      ["height", pad.height, 0, 400],
      ["reach", pad.reach, 5, 2000],
    ] as const) {
      if (typeof value === "number" && value >= low && value <= high) continue;
      fail(
        "forms/bad-pad",
        `Pad “${shown(pad.name)}” has ${what} ${shown(value)}.`,
        { path: ["pads", i, what] },
        {
          found: shown(value),
          limit: `${low} to ${high}`,
          fix: "Choose a value in that range.",
        },
      );
    }
    const middle = 3 * centreOf(form, pad, i);
    for (let v = 0; v < count; v++) {
      const d = Math.hypot(
        positions[3 * v] - positions[middle],
        positions[3 * v + 1] - positions[middle + 1],
        positions[3 * v + 2] - positions[middle + 2],
      );
      thickness[v] += pad.height * bump(d / pad.reach);
    }
  });
  const onPlane = symmetryVertices(form);
  const out = new Float64Array(positions.length);
  for (let k = 0; k < out.length; k++) out[k] = positions[k] + thickness[Math.floor(k / 3)] * normals[k];
  for (const v of onPlane) out[3 * v] = positions[3 * v];
  return { ...form, mesh: { positions: out, triangles }, inner: form.inner ?? Float64Array.from(positions) };
}

function centreOf(form: Form, pad: FormPad, i: number): number {
  if (typeof pad.at === "string") {
    const landmark = form.landmarks.find((each) => each.id === pad.at);
    if (landmark) return landmark.vertex;
    fail(
      "forms/unknown-landmark",
      `The form has no landmark “${pad.at.slice(0, 40)}”.`,
      { path: ["pads", i, "at"] },
      {
        found: pad.at.slice(0, 40),
        limit: form.landmarks.map((each) => each.id).join(", "),
        fix: "Use a landmark listed, or a point.",
      },
    );
  }
  const p = form.mesh.positions;
  const place = Array.isArray(pad.at) && pad.at.length === 3 && pad.at.every(Number.isFinite) ? pad.at : [];
  let best = 0;
  let least = Infinity;
  for (let v = 0; v < p.length / 3; v++) {
    const d = Math.hypot(p[3 * v] - place[0], p[3 * v + 1] - place[1], p[3 * v + 2] - place[2]);
    if (d < least) [least, best] = [d, v];
  }
  if (Number.isFinite(least)) return best;
  fail(
    "forms/bad-pad",
    `Pad “${shown(pad.name)}” has no place.`,
    { path: ["pads", i, "at"] },
    { fix: "Give three finite coordinates." },
  );
}

/** Rim vertices in a plane of symmetry x = const stay in it. */
function symmetryVertices(form: Form): number[] {
  const { symmetry } = form;
  if (!symmetry || Math.abs(symmetry.normal[0]) < 0.999) return [];
  const { loops } = meshTopology(form.mesh);
  return loops.flat().filter((v) => Math.abs(form.mesh.positions[3 * v] - symmetry.point[0]) < 1e-6);
}

function vertexNormals(p: Float64Array, triangles: Uint32Array): Float64Array {
  const out = new Float64Array(p.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    for (const k of [a, b, c]) for (let d = 0; d < 3; d++) out[k + d] += n[d];
  }
  for (let k = 0; k < out.length; k += 3) {
    const length = Math.hypot(out[k], out[k + 1], out[k + 2]) || 1;
    for (let d = 0; d < 3; d++) out[k + d] /= length;
  }
  return out;
}

import { fail } from "@peltry/issues";
import type { TriangleMesh } from "@peltry/geometry";
import type { Form } from "../types";
import { tapeLength } from "./section";

/** What a level cut through a form shows. */
export interface Girth {
  /** Length of a tape pulled round, mm: it bridges hollows. Round both halves where the form is half of a symmetric one. */
  readonly tape: number;
  /** Length of the surface itself along the cut, mm, of what is there. */
  readonly along: number;
  /** Cut points x, z in turn, unordered pairs of segment ends. */
  readonly segments: Float64Array;
}

/**
 * Girth of a form at a height above the floor, by slicing its triangles.
 *
 * @param form its outer surface, or with `side: "inner"` the body
 * @param height mm above the floor
 * @throws forms/no-section where the level misses the form, forms/no-inner where it has no body surface
 */
export function girthAt(form: Form, height: number, side: "outer" | "inner" = "outer"): Girth {
  if (side === "inner" && !form.inner) {
    fail(
      "forms/no-inner",
      "The form has no body surface inside.",
      {},
      { fix: "Measure the outer surface, or pad a form." },
    );
  }
  const mesh = side === "inner" ? { positions: form.inner!, triangles: form.mesh.triangles } : form.mesh;
  const segments = sliceLevel(mesh, height);
  if (segments.length === 0) {
    fail(
      "forms/no-section",
      `The level ${height} mm misses the form.`,
      {},
      { found: height, fix: "Choose a height between its rims." },
    );
  }
  let along = 0;
  for (let k = 0; k < segments.length; k += 4) {
    along += Math.hypot(segments[k] - segments[k + 2], segments[k + 1] - segments[k + 3]);
  }
  const points = [...segments];
  if (form.symmetry && isOpen(segments)) {
    const [nx, , nz] = form.symmetry.normal;
    const [px, , pz] = form.symmetry.point;
    for (let k = 0; k < segments.length; k += 2) {
      const away = 2 * ((segments[k] - px) * nx + (segments[k + 1] - pz) * nz);
      points.push(segments[k] - away * nx, segments[k + 1] - away * nz);
    }
  }
  return { tape: tapeLength(points), along, segments };
}

/** Segments where the plane y = height cuts the triangles: x, z of both ends in turn. */
export function sliceLevel(mesh: TriangleMesh, height: number): Float64Array {
  const { positions: p, triangles } = mesh;
  const out: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const ends: number[] = [];
    for (let k = 0; k < 3; k++) {
      const a = 3 * triangles[t + k];
      const b = 3 * triangles[t + ((k + 1) % 3)];
      const [ya, yb] = [p[a + 1] - height, p[b + 1] - height];
      // A vertex on the level counts as above it, so that each crossing is seen once.
      if (ya < 0 === yb < 0) continue;
      const u = ya / (ya - yb);
      ends.push(p[a] + u * (p[b] - p[a]), p[a + 2] + u * (p[b + 2] - p[a + 2]));
    }
    if (ends.length === 4) out.push(...ends);
  }
  return Float64Array.from(out);
}

/** An open cut has ends that only one segment touches. */
function isOpen(segments: Float64Array): boolean {
  const seen = new Map<string, number>();
  for (let k = 0; k < segments.length; k += 2) {
    const key = `${Math.round(segments[k] * 1e4)} ${Math.round(segments[k + 1] * 1e4)}`;
    seen.set(key, (seen.get(key) ?? 0) + 1);
  }
  return [...seen.values()].some((count) => count % 2 === 1);
}

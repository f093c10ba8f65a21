import type { SparseSymmetric } from "@peltry/geometry";
import { throwIfCancelled, type WorkOptions } from "@peltry/issues";
import { convexOutlineStart } from "./start-flat";
import { runSystem, type Part } from "./system";
import type { Sheet } from "./sheet";

/** Smallest det J over all triangles. */
export function smallestDeterminant(sheet: Sheet, x: Float64Array): number {
  const { triangles } = sheet;
  const { frames } = sheet.rest;
  let least = Infinity;
  for (let f = 0, i = 0; i < triangles.length; f += 4, i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const cross = (x[v1] - x[v0]) * (x[v2 + 1] - x[v0 + 1]) - (x[v1 + 1] - x[v0 + 1]) * (x[v2] - x[v0]);
    const det = cross * frames[f] * frames[f + 2];
    if (!(det >= least)) least = det;
  }
  return least;
}

/**
 * Turns back triangles that an unguarded start left turned over, by lowering the regularised symmetric Dirichlet
 * energy with shrinking ε.
 *
 * @returns true when none is left
 */
export function untangle(x: Float64Array, part: Part, options: WorkOptions): boolean {
  for (let round = 0; round < 24; round++) {
    throwIfCancelled(options.signal);
    const least = smallestDeterminant(part.sheet, x);
    if (least > 0) return true;
    const epsilon = Math.sqrt(1e-6 + 0.04 * least * least);
    runSystem(x, {
      parts: [{ ...part, first: 0, energy: { kind: "untangle", epsilon } }],
      tolerance: 1e-4,
      maxIterations: 30,
      stop: (at) => smallestDeterminant(part.sheet, at) > 0,
      signal: options.signal,
    });
  }
  return smallestDeterminant(part.sheet, x) > 0;
}

/** A start without flips for shapes that nothing else can open: convex outline, then symmetric Dirichlet energy. */
export function flipFreeStart(
  sheet: Sheet,
  laplacian: SparseSymmetric,
  part: Part,
  options: WorkOptions,
): Float64Array {
  let x = convexOutlineStart(sheet, laplacian, "cotangent");
  if (!(smallestDeterminant(sheet, x) > 0)) x = convexOutlineStart(sheet, laplacian, "equal");
  if (smallestDeterminant(sheet, x) > 0) {
    runSystem(x, {
      parts: [{ ...part, first: 0, energy: { kind: "dirichlet" } }],
      tolerance: 1e-3,
      maxIterations: 300,
      signal: options.signal,
    });
  }
  return x;
}

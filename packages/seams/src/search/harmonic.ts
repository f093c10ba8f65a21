import {
  cotangentLaplacian,
  factorCholesky,
  meshPattern,
  orderByDissection,
  planCholesky,
  solveCholesky,
} from "@peltry/geometry";
import type { SearchPatch } from "./search-patches";

/** What ties a vertex to its value, against the stiffness of a triangle. */
const HELD = 1e7;

/** The harmonic function on a patch with given values at some of its vertices. */
export function harmonic(
  patch: SearchPatch,
  held: Iterable<readonly [vertex: number, value: number]>,
): Float64Array {
  const links = meshPattern(patch.triangles, patch.sourceVertex.length);
  const matrix = cotangentLaplacian(patch, links);
  const right = new Float64Array(patch.sourceVertex.length);
  for (const [v, value] of held) {
    matrix.diagonal[v] += HELD;
    right[v] = HELD * value;
  }
  const order = orderByDissection(links.pattern, patch.positions, 3);
  const factor = factorCholesky(planCholesky(links.pattern, order), matrix);
  const out = new Float64Array(right.length);
  solveCholesky(factor, right, 1, out);
  return out;
}

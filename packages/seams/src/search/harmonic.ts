import {
  cotangentLaplacian,
  factorCholesky,
  meshPattern,
  orderByDissection,
  planCholesky,
  solveCholesky,
  type TriangleMesh,
} from "@peltry/geometry";

/** What ties a vertex to its value, against the stiffness of a triangle. */
const HELD = 1e7;

/**
 * The function on a mesh with given values at some of its vertices and L u = `source` at the others: harmonic where no source is
 * given.
 */
export function harmonic(
  mesh: TriangleMesh,
  held: Iterable<readonly [vertex: number, value: number]>,
  source?: Float64Array,
): Float64Array {
  const n = mesh.positions.length / 3;
  const links = meshPattern(mesh.triangles, n);
  const matrix = cotangentLaplacian(mesh, links);
  const right = source?.slice() ?? new Float64Array(n);
  for (const [v, value] of held) {
    matrix.diagonal[v] += HELD;
    right[v] = HELD * value;
  }
  const order = orderByDissection(links.pattern, mesh.positions, 3);
  const factor = factorCholesky(planCholesky(links.pattern, order), matrix);
  const out = new Float64Array(n);
  solveCholesky(factor, right, 1, out);
  return out;
}

import { meshPattern, type SparsePattern, type SparseSymmetric } from "./sparse-pattern";
import type { TriangleMesh } from "./types";

/**
 * Cotangent Laplacian of a triangle mesh: L u at a vertex is ½ Σ (cot α + cot β)(u_i − u_j). Positive semidefinite;
 * constants are its null space.
 *
 * @param mesh - angles come from its edge lengths, so that the result does not depend on the embedding
 * @param links - pattern and slots from {@link meshPattern}, when already at hand
 * @source Pinkall and Polthier, Computing Discrete Minimal Surfaces and Their Conjugates, 1993
 * @remarks linear. Triangles of zero area are given the smallest height that keeps their cotangents finite.
 */
export function cotangentLaplacian(
  mesh: TriangleMesh,
  links: { pattern: SparsePattern; slots: Int32Array } = meshPattern(
    mesh.triangles,
    mesh.positions.length / 3,
  ),
): SparseSymmetric {
  const { pattern, slots } = links;
  const diagonal = new Float64Array(pattern.size);
  const values = new Float64Array(pattern.columns.length);
  const { positions: p, triangles } = mesh;
  for (let t = 0; t < triangles.length; t += 3) {
    for (let corner = 0; corner < 3; corner++) {
      const o = 3 * triangles[t + ((corner + 2) % 3)];
      const a = triangles[t + corner];
      const b = triangles[t + ((corner + 1) % 3)];
      const ux = p[3 * a] - p[o];
      const uy = p[3 * a + 1] - p[o + 1];
      const uz = p[3 * a + 2] - p[o + 2];
      const vx = p[3 * b] - p[o];
      const vy = p[3 * b + 1] - p[o + 1];
      const vz = p[3 * b + 2] - p[o + 2];
      const twice = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
      const longest = Math.max(ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz);
      const half = (0.5 * (ux * vx + uy * vy + uz * vz)) / Math.max(twice, 1e-8 * longest, 1e-300);
      values[slots[2 * (t + corner)]] -= half;
      values[slots[2 * (t + corner) + 1]] -= half;
      diagonal[a] += half;
      diagonal[b] += half;
    }
  }
  return { pattern, diagonal, values };
}

import { nextHalfEdge as next } from "@peltry/geometry";
import type { WorkingMesh } from "./working-mesh";

/**
 * Takes the scanner's noise out of a surface and leaves its shape: rounds of moving every vertex towards the mean of its
 * neighbours and back a little more than as far. Rims stay where they are.
 *
 * @param rounds - each takes waves shorter than about five edges down by a quarter
 * @source Taubin, A Signal Processing Approach to Fair Surface Design, 1995 (λ 0.5, μ −0.53)
 */
export function evenSurface(mesh: WorkingMesh, rounds: number): void {
  const { positions: p, triangles } = mesh;
  const count = p.length / 3;
  const start = new Int32Array(count + 1);
  // Inside a surface each neighbour of a vertex is met once as the head of a half-edge; sums over heads minus sums over
  // tails are zero there and only there.
  const odd = new Float64Array(count);
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h], triangles[next(h)]];
    start[a + 1]++;
    odd[a] += b;
    odd[b] -= a;
  }
  for (let v = 0; v < count; v++) start[v + 1] += start[v];
  const fill = start.slice(0, count);
  const heads = new Int32Array(triangles.length);
  for (let h = 0; h < triangles.length; h++) heads[fill[triangles[h]]++] = 3 * triangles[next(h)];
  let from = p.slice();
  let to = p.slice();
  for (let pass = 0; pass < 2 * rounds; pass++) {
    const factor = pass % 2 === 0 ? 0.5 : -0.53;
    for (let v = 0; v < count; v++) {
      const degree = start[v + 1] - start[v];
      if (odd[v] !== 0 || degree === 0) continue;
      let x = 0;
      let y = 0;
      let z = 0;
      for (let i = start[v]; i < start[v + 1]; i++) {
        const w = heads[i];
        x += from[w];
        y += from[w + 1];
        z += from[w + 2];
      }
      const share = factor / degree;
      to[3 * v] = (1 - factor) * from[3 * v] + share * x;
      to[3 * v + 1] = (1 - factor) * from[3 * v + 1] + share * y;
      to[3 * v + 2] = (1 - factor) * from[3 * v + 2] + share * z;
    }
    [from, to] = [to, from];
  }
  mesh.positions = from;
}

import { next } from "./edge-table";
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
  const balance = new Int32Array(count);
  const rim = new Uint8Array(count);
  // Inside, as many half-edges arrive from each neighbour as leave to it; at a rim vertex the sets differ.
  const codes = new Float64Array(count);
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h], triangles[next(h)]];
    balance[a]++;
    codes[a] += b;
    codes[b] -= a;
  }
  for (let v = 0; v < count; v++) if (codes[v] !== 0) rim[v] = 1;
  const sum = new Float64Array(p.length);
  for (let round = 0; round < 2 * rounds; round++) {
    const factor = round % 2 === 0 ? 0.5 : -0.53;
    sum.fill(0);
    // Inside, each neighbour is met once as the head of a half-edge.
    for (let h = 0; h < triangles.length; h++) {
      const a = 3 * triangles[h];
      const b = 3 * triangles[next(h)];
      sum[a] += p[b];
      sum[a + 1] += p[b + 1];
      sum[a + 2] += p[b + 2];
    }
    for (let v = 0; v < count; v++) {
      if (rim[v] || balance[v] === 0) continue;
      for (let k = 0; k < 3; k++) p[3 * v + k] += factor * (sum[3 * v + k] / balance[v] - p[3 * v + k]);
    }
  }
}

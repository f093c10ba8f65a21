import { next } from "./edge-table";
import type { WorkingMesh } from "./working-mesh";

/** How many times the usual roughness a vertex has to stick out, and how many times what any neighbour does. */
const SPIKE = { roughness: 7, neighbour: 2.2 };

/**
 * Puts single vertices that stick out of the surface back to the mean of their neighbours. What counts is how far a vertex
 * lies from that mean, against the middle of that over the whole mesh and against its neighbours: a real edge or tip has
 * neighbours that stand out too.
 *
 * @returns how many
 * @source median absolute deviation as a robust scale: Hampel, The influence curve and its role in robust estimation, 1974
 */
export function flattenSpikes(mesh: WorkingMesh): number {
  const { positions: p, triangles } = mesh;
  const count = p.length / 3;
  const mean = new Float64Array(p.length);
  const degree = new Int32Array(count);
  const most = new Float64Array(count);
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h], triangles[next(h)]];
    for (const [v, w] of [
      [a, b],
      [b, a],
    ]) {
      degree[v]++;
      for (let k = 0; k < 3; k++) mean[3 * v + k] += p[3 * w + k];
    }
  }
  const off = new Float64Array(count);
  for (let v = 0; v < count; v++) {
    if (degree[v] === 0) continue;
    for (let k = 0; k < 3; k++) mean[3 * v + k] /= degree[v];
    off[v] = Math.hypot(
      p[3 * v] - mean[3 * v],
      p[3 * v + 1] - mean[3 * v + 1],
      p[3 * v + 2] - mean[3 * v + 2],
    );
  }
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h], triangles[next(h)]];
    most[a] = Math.max(most[a], off[b]);
    most[b] = Math.max(most[b], off[a]);
  }
  const sorted = off.slice().sort();
  const usual = sorted[count >> 1];
  let moved = 0;
  for (let v = 0; v < count; v++) {
    if (degree[v] === 0 || off[v] <= SPIKE.roughness * usual || off[v] <= SPIKE.neighbour * most[v]) continue;
    for (let k = 0; k < 3; k++) p[3 * v + k] = mean[3 * v + k];
    moved++;
  }
  return moved;
}

import { nextHalfEdge as next } from "@peltry/geometry";
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
    const a = triangles[h];
    const b = triangles[next(h)];
    degree[a]++;
    degree[b]++;
    for (let k = 0; k < 3; k++) {
      mean[3 * a + k] += p[3 * b + k];
      mean[3 * b + k] += p[3 * a + k];
    }
  }
  const off = new Float64Array(count);
  const normals = ringNormals(mesh);
  for (let v = 0; v < count; v++) {
    if (degree[v] === 0) continue;
    let out = 0;
    for (let k = 0; k < 3; k++) {
      mean[3 * v + k] /= degree[v];
      out += (p[3 * v + k] - mean[3 * v + k]) * normals[3 * v + k];
    }
    off[v] = Math.abs(out);
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

/** Unit normals, each the sum of its neighbours' own: that of a spike's tip says nothing. */
function ringNormals(mesh: WorkingMesh): Float64Array {
  const { positions: p, triangles } = mesh;
  const own = new Float64Array(p.length);
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [3 * triangles[i], 3 * triangles[i + 1], 3 * triangles[i + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    for (const v of [a, b, c]) {
      own[v] += uy * vz - uz * vy;
      own[v + 1] += uz * vx - ux * vz;
      own[v + 2] += ux * vy - uy * vx;
    }
  }
  const ring = new Float64Array(p.length);
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [3 * triangles[h], 3 * triangles[next(h)]];
    for (let k = 0; k < 3; k++) {
      ring[a + k] += own[b + k];
      ring[b + k] += own[a + k];
    }
  }
  for (let v = 0; v < ring.length; v += 3) {
    const size = Math.hypot(ring[v], ring[v + 1], ring[v + 2]) || 1;
    for (let k = 0; k < 3; k++) ring[v + k] /= size;
  }
  return ring;
}

import type { Point3, TriangleMesh } from "./types";

/** A point on a triangle mesh: barycentric weights of the three corners of a triangle, summing to 1. */
export interface SurfacePoint {
  readonly triangle: number;
  /** Weights of the first, second and third corner; exact zeros on edges and at vertices. */
  readonly weights: readonly [number, number, number];
}

/** The place in space of a surface point, mm. */
export function surfacePosition(mesh: TriangleMesh, point: SurfacePoint): Point3 {
  const { positions: p, triangles } = mesh;
  const out: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    const v = 3 * triangles[3 * point.triangle + k];
    for (let i = 0; i < 3; i++) out[i] += point.weights[k] * p[v + i];
  }
  return out;
}

/** Length of a run of surface points, each in one triangle with the next, mm. */
export function surfacePathLength(mesh: TriangleMesh, path: readonly SurfacePoint[]): number {
  let sum = 0;
  for (let i = 1; i < path.length; i++) {
    const a = surfacePosition(mesh, path[i - 1]);
    const b = surfacePosition(mesh, path[i]);
    sum += Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
  }
  return sum;
}

/** The vertices that carry a surface point: one at a vertex, two on an edge, three inside a triangle. */
export function supportVertices(mesh: Pick<TriangleMesh, "triangles">, point: SurfacePoint): number[] {
  const out: number[] = [];
  for (let k = 0; k < 3; k++) if (point.weights[k] > 0) out.push(mesh.triangles[3 * point.triangle + k]);
  return out;
}

/** The same point written in another triangle that holds all its support; undefined when that one does not. */
export function inTriangle(
  mesh: Pick<TriangleMesh, "triangles">,
  point: SurfacePoint,
  triangle: number,
): SurfacePoint | undefined {
  if (triangle === point.triangle) return point;
  const weights: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    if (point.weights[k] <= 0) continue;
    const v = mesh.triangles[3 * point.triangle + k];
    let found = -1;
    for (let j = 0; j < 3; j++) if (mesh.triangles[3 * triangle + j] === v) found = j;
    if (found < 0) return undefined;
    weights[found] = point.weights[k];
  }
  return { triangle, weights };
}

/** Weights with those under `tolerance` set to exactly 0 and the rest scaled to sum 1. */
export function cleanWeights(a: number, b: number, c: number, tolerance = 1e-9): [number, number, number] {
  const x = a > tolerance ? a : 0;
  const y = b > tolerance ? b : 0;
  const z = c > tolerance ? c : 0;
  const sum = x + y + z;
  return [x / sum, y / sum, z / sum];
}

import type { Point3, TriangleMesh } from "./types";

/** The vertex as a point. */
export function vertexPoint(mesh: TriangleMesh, v: number): Point3 {
  const p = mesh.positions;
  return [p[3 * v], p[3 * v + 1], p[3 * v + 2]];
}

/** Distance between two vertices, mm. */
export function vertexDistance(positions: Float64Array, a: number, b: number): number {
  return Math.hypot(
    positions[3 * a] - positions[3 * b],
    positions[3 * a + 1] - positions[3 * b + 1],
    positions[3 * a + 2] - positions[3 * b + 2],
  );
}

/** Area of one triangle, mm². */
export function triangleArea(mesh: TriangleMesh, t: number): number {
  const { positions: p, triangles } = mesh;
  const a = 3 * triangles[3 * t];
  const b = 3 * triangles[3 * t + 1];
  const c = 3 * triangles[3 * t + 2];
  const ux = p[b] - p[a];
  const uy = p[b + 1] - p[a + 1];
  const uz = p[b + 2] - p[a + 2];
  const vx = p[c] - p[a];
  const vy = p[c + 1] - p[a + 1];
  const vz = p[c + 2] - p[a + 2];
  return 0.5 * Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
}

/** Area of the whole mesh, mm². */
export function meshArea(mesh: TriangleMesh): number {
  let sum = 0;
  for (let t = 0; t < mesh.triangles.length / 3; t++) sum += triangleArea(mesh, t);
  return sum;
}

/** Volume enclosed by a closed, outward-wound mesh, mm³ (divergence theorem). Meaningless for an open one. */
export function meshVolume(mesh: TriangleMesh): number {
  const { positions: p, triangles } = mesh;
  let six = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const a = 3 * triangles[i];
    const b = 3 * triangles[i + 1];
    const c = 3 * triangles[i + 2];
    six +=
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c]);
  }
  return six / 6;
}

/** Length of a path of vertices, mm. */
export function pathLength(positions: Float64Array, path: readonly number[]): number {
  let sum = 0;
  for (let i = 1; i < path.length; i++) sum += vertexDistance(positions, path[i - 1], path[i]);
  return sum;
}

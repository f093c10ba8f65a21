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

/**
 * Area of the triangle over three vertices, mm²; 0 just when they lie on one line to working accuracy.
 *
 * @param positions - x, y, z in turn
 * @param normal - receives the unit normal, counter-clockwise; zero for a triangle without area
 */
export function vertexArea(
  positions: ArrayLike<number>,
  a: number,
  b: number,
  c: number,
  normal?: Float64Array,
): number {
  const ux = positions[3 * b] - positions[3 * a];
  const uy = positions[3 * b + 1] - positions[3 * a + 1];
  const uz = positions[3 * b + 2] - positions[3 * a + 2];
  const vx = positions[3 * c] - positions[3 * a];
  const vy = positions[3 * c + 1] - positions[3 * a + 1];
  const vz = positions[3 * c + 2] - positions[3 * a + 2];
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  const twice = Math.sqrt(x * x + y * y + z * z);
  if (normal !== undefined) {
    const inverse = twice > 0 ? 1 / twice : 0;
    normal[0] = x * inverse;
    normal[1] = y * inverse;
    normal[2] = z * inverse;
  }
  return 0.5 * twice;
}

/** Area of one triangle, mm². */
export function triangleArea({ positions, triangles }: TriangleMesh, t: number): number {
  return vertexArea(positions, triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]);
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

import type { TriangleMesh } from "@peltry/geometry";

/** Length of a vertex path in the flat. */
export function flatLength(x: Float64Array, path: readonly number[]): number {
  let sum = 0;
  for (let i = 1; i < path.length; i++) {
    sum += Math.hypot(x[2 * path[i]] - x[2 * path[i - 1]], x[2 * path[i] + 1] - x[2 * path[i - 1] + 1]);
  }
  return sum;
}

/** Left and right sides of a grid mesh of the shapes fixture: columns are found from the first row of equal length. */
export function gridSides(mesh: TriangleMesh): {
  left: number[];
  right: number[];
  columns: number;
  rows: number;
} {
  // The first triangle pair is (0, 1, columns + 2 …): its largest index tells the row length.
  const last = Math.max(...mesh.triangles.subarray(0, 6));
  const row = last - 1;
  const count = mesh.positions.length / 3;
  const rows = count / row;
  const left = Array.from({ length: rows }, (_, j) => j * row);
  return { left, right: left.map((v) => v + row - 1), columns: row, rows };
}

/** Largest distance between two flat shapes after the best turn and shift (no mirroring). */
export function rigidDistance(x: Float64Array, y: Float64Array): number {
  const n = x.length / 2;
  let [ax, ay, bx, by] = [0, 0, 0, 0];
  for (let v = 0; v < n; v++) {
    ax += x[2 * v] / n;
    ay += x[2 * v + 1] / n;
    bx += y[2 * v] / n;
    by += y[2 * v + 1] / n;
  }
  let c = 0;
  let s = 0;
  for (let v = 0; v < n; v++) {
    const [px, py, qx, qy] = [x[2 * v] - ax, x[2 * v + 1] - ay, y[2 * v] - bx, y[2 * v + 1] - by];
    c += px * qx + py * qy;
    s += px * qy - py * qx;
  }
  const size = Math.hypot(c, s);
  [c, s] = [c / size, s / size];
  let worst = 0;
  for (let v = 0; v < n; v++) {
    const [px, py] = [x[2 * v] - ax, x[2 * v + 1] - ay];
    worst = Math.max(worst, Math.hypot(c * px - s * py + bx - y[2 * v], s * px + c * py + by - y[2 * v + 1]));
  }
  return worst;
}

/** Singular values of the map from rest to flat of one triangle, by the cosine law and an eigenvalue formula. */
export function singularValues(mesh: TriangleMesh, x: Float64Array, t: number): [number, number] {
  const [i, j, k] = mesh.triangles.subarray(3 * t, 3 * t + 3);
  const p = mesh.positions;
  const square3 = (a: number, b: number) =>
    (p[3 * a] - p[3 * b]) ** 2 + (p[3 * a + 1] - p[3 * b + 1]) ** 2 + (p[3 * a + 2] - p[3 * b + 2]) ** 2;
  const square2 = (a: number, b: number) => (x[2 * a] - x[2 * b]) ** 2 + (x[2 * a + 1] - x[2 * b + 1]) ** 2;
  const [A, B, C] = [square3(i, j), square3(i, k), square3(j, k)];
  const [a, b, c] = [square2(i, j), square2(i, k), square2(j, k)];
  // First fundamental forms in the basis of the two edges at corner i.
  const M = [A, (A + B - C) / 2, B];
  const N = [a, (a + b - c) / 2, b];
  const det = M[0] * M[2] - M[1] * M[1];
  const trace = (M[2] * N[0] - 2 * M[1] * N[1] + M[0] * N[2]) / det;
  const product = (N[0] * N[2] - N[1] * N[1]) / det;
  const root = Math.sqrt(Math.max(0, (trace * trace) / 4 - product));
  return [Math.sqrt(trace / 2 + root), Math.sqrt(Math.max(0, trace / 2 - root))];
}

/** Area of a triangle in space by Heron's formula, kept stable. */
export function heron(mesh: TriangleMesh, t: number): number {
  const v = mesh.triangles.subarray(3 * t, 3 * t + 3);
  const p = mesh.positions;
  const side = (a: number, b: number) =>
    Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]);
  const [a, b, c] = [side(v[0], v[1]), side(v[1], v[2]), side(v[2], v[0])].sort((x, y) => y - x);
  return 0.25 * Math.sqrt(Math.max(0, (a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c))));
}

import type { PatchMesh } from "./patch-mesh";

/**
 * Bends the inside of a patch so that it carries on smoothly from the surface around it: the umbrella vectors of all
 * vertices, rim included, become as small as they can (a thin plate). The rim does not move.
 *
 * @param support - for each rim vertex a point one step into the surface
 * @source Kobbelt, Campagna, Vorsatz and Seidel, Interactive Multi-Resolution Modeling on Arbitrary Meshes, 1998 (umbrella operator, thin plate)
 * @remarks conjugate gradients on the normal equations, at most 400 rounds
 */
export function fairPatch(patch: PatchMesh, support: readonly number[]): void {
  const { rim, points } = patch;
  const count = points.length / 3;
  const free = count - rim;
  if (free <= 0) return;
  const around = patch.neighbours();
  for (let k = 0; k < 3; k++) {
    const x = Float64Array.from({ length: count }, (_, v) => points[3 * v + k]);
    const solved = solve(x, around, rim, (v) => support[3 * v + k]);
    for (let v = rim; v < count; v++) points[3 * v + k] = solved[v];
  }
}

/** Umbrella vector of each vertex; a rim vertex also looks at its support point, weighted as the outside half of its ring. */
function umbrella(
  x: Float64Array,
  around: readonly number[][],
  rim: number,
  outside: ((v: number) => number) | undefined,
  out: Float64Array,
): void {
  for (let v = 0; v < x.length; v++) {
    let sum = 0;
    for (const w of around[v]) sum += x[w];
    const degree = around[v].length;
    out[v] = v < rim ? 0.5 * (sum / degree + (outside ? outside(v) : 0)) - x[v] : sum / degree - x[v];
  }
}

function transposed(y: Float64Array, around: readonly number[][], rim: number, out: Float64Array): void {
  out.fill(0);
  for (let v = 0; v < y.length; v++) {
    const share = (y[v] * (v < rim ? 0.5 : 1)) / around[v].length;
    for (const w of around[v]) out[w] += share;
    out[v] -= y[v];
  }
  out.fill(0, 0, rim);
}

function solve(
  x: Float64Array,
  around: readonly number[][],
  rim: number,
  outside: (v: number) => number,
): Float64Array {
  const n = x.length;
  const residual = new Float64Array(n);
  const held = new Float64Array(n);
  umbrella(x, around, rim, outside, held);
  transposed(held, around, rim, residual);
  for (let v = 0; v < n; v++) residual[v] = -residual[v];
  const step = residual.slice();
  const image = new Float64Array(n);
  let square = dot(residual, residual);
  const stop = square * 1e-12;
  for (let round = 0; round < 400 && square > stop && square > 0; round++) {
    umbrella(step, around, rim, undefined, held);
    transposed(held, around, rim, image);
    const alpha = square / (dot(step, image) || 1);
    for (let v = rim; v < n; v++) {
      x[v] += alpha * step[v];
      residual[v] -= alpha * image[v];
    }
    const before = square;
    square = dot(residual, residual);
    for (let v = rim; v < n; v++) step[v] = residual[v] + (square / before) * step[v];
  }
  return x;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

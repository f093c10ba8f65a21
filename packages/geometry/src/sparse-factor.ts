import { fail } from "@peltry/issues";
import type { CholeskyPlan } from "./sparse-plan";
import type { SparseSymmetric } from "./sparse-pattern";

/** A factored matrix A = L Lᵀ, ready to solve. */
export interface CholeskyFactor {
  readonly plan: CholeskyPlan;
  /** Dense blocks of L, one a supernode, column-major. */
  readonly blocks: Float64Array;
  /** How many pivots had to be raised because the matrix was not positive definite to working accuracy. */
  readonly raisedPivots: number;
}

/**
 * Factors a symmetric positive definite matrix, multifrontal, on typed arrays.
 *
 * @param plan - from {@link planCholesky} of the same pattern
 * @param matrix - values; entry (i, j) and (j, i) must agree
 * @param into - a factor of the same plan whose memory is used again
 * @returns the factor. A pivot that is not positive is raised to a small positive number and counted.
 * @throws `geometry/not-finite` when a value is NaN or infinite
 * @source Duff and Reid, The Multifrontal Solution of Indefinite Sparse Symmetric Linear Equations, 1983
 */
export function factorCholesky(
  plan: CholeskyPlan,
  matrix: SparseSymmetric,
  into?: CholeskyFactor,
): CholeskyFactor {
  const blocks = into?.plan === plan ? into.blocks : new Float64Array(plan.entryCount);
  const { first, rowStart, rows, blockStart, parent, order } = plan;
  const count = first.length - 1;
  const local = new Int32Array(plan.size);
  const updates: (Float64Array | null)[] = new Array<Float64Array | null>(count).fill(null);
  const childHead = new Int32Array(count).fill(-1);
  const childNext = new Int32Array(count).fill(-1);
  for (let s = count - 1; s >= 0; s--) {
    if (parent[s] >= 0) {
      childNext[s] = childHead[parent[s]];
      childHead[parent[s]] = s;
    }
  }
  const floor = 1e-14 * largest(matrix.diagonal);
  let raised = 0;
  for (let s = 0; s < count; s++) {
    const begin = first[s];
    const width = first[s + 1] - begin;
    const top = rowStart[s];
    const height = rowStart[s + 1] - top;
    const rest = height - width;
    const block = blocks.subarray(blockStart[s], blockStart[s + 1]).fill(0);
    const update = rest > 0 ? new Float64Array(rest * rest) : null;
    for (let i = 0; i < height; i++) local[rows[top + i]] = i;
    for (let j = 0; j < width; j++) {
      block[j * height + j] = matrix.diagonal[order[begin + j]];
      for (let k = plan.lowerStart[begin + j]; k < plan.lowerStart[begin + j + 1]; k++) {
        block[j * height + local[plan.lowerRow[k]]] = matrix.values[plan.lowerEntry[k]];
      }
    }
    for (let c = childHead[s]; c >= 0; c = childNext[c]) {
      addUpdate(plan, c, updates[c]!, local, block, width, height, update);
      updates[c] = null;
    }
    raised += eliminate(block, width, height, floor);
    if (update !== null) {
      subtractProduct(block, width, height, update);
      updates[s] = update;
    }
  }
  return { plan, blocks, raisedPivots: raised };
}

function largest(diagonal: Float64Array): number {
  let top = 0;
  for (let i = 0; i < diagonal.length; i++) {
    const d = diagonal[i];
    if (!Number.isFinite(d))
      fail("geometry/not-finite", `Diagonal entry ${i} of the matrix is ${d}.`, { index: i });
    if (d > top) top = d;
  }
  return top;
}

/** Adds the update of child c into the block and the update matrix of its parent. */
function addUpdate(
  plan: CholeskyPlan,
  c: number,
  from: Float64Array,
  local: Int32Array,
  block: Float64Array,
  width: number,
  height: number,
  update: Float64Array | null,
): void {
  const begin = plan.rowStart[c] + plan.first[c + 1] - plan.first[c];
  const size = plan.rowStart[c + 1] - begin;
  const rest = height - width;
  const { rows } = plan;
  for (let j = 0; j < size; j++) {
    const column = local[rows[begin + j]];
    if (column < width) {
      const base = column * height;
      for (let i = j; i < size; i++) block[base + local[rows[begin + i]]] += from[j * size + i];
    } else {
      const base = (column - width) * rest - width;
      for (let i = j; i < size; i++) update![base + local[rows[begin + i]]] += from[j * size + i];
    }
  }
}

/** Dense Cholesky of the first `width` columns, in place. */
function eliminate(block: Float64Array, width: number, height: number, floor: number): number {
  let raised = 0;
  for (let j = 0; j < width; j++) {
    const base = j * height;
    let p = 0;
    for (; p + 3 < j; p += 4) {
      const b0 = p * height;
      const b1 = b0 + height;
      const b2 = b1 + height;
      const b3 = b2 + height;
      const c0 = block[b0 + j];
      const c1 = block[b1 + j];
      const c2 = block[b2 + j];
      const c3 = block[b3 + j];
      for (let i = j; i < height; i++) {
        block[base + i] -= c0 * block[b0 + i] + c1 * block[b1 + i] + c2 * block[b2 + i] + c3 * block[b3 + i];
      }
    }
    for (; p < j; p++) {
      const b0 = p * height;
      const c0 = block[b0 + j];
      for (let i = j; i < height; i++) block[base + i] -= c0 * block[b0 + i];
    }
    let pivot = block[base + j];
    if (!(pivot > floor)) {
      pivot = floor > 0 ? floor : 1;
      raised++;
    }
    const root = Math.sqrt(pivot);
    const inverse = 1 / root;
    block[base + j] = root;
    for (let i = j + 1; i < height; i++) block[base + i] *= inverse;
  }
  return raised;
}

/** update −= (rows below) (rows below)ᵀ, lower triangle. */
function subtractProduct(block: Float64Array, width: number, height: number, update: Float64Array): void {
  const rest = height - width;
  for (let j = 0; j < rest; j++) {
    const base = j * rest;
    const row = width + j;
    let p = 0;
    for (; p + 3 < width; p += 4) {
      const b0 = p * height + width;
      const b1 = b0 + height;
      const b2 = b1 + height;
      const b3 = b2 + height;
      const c0 = block[p * height + row];
      const c1 = block[p * height + height + row];
      const c2 = block[p * height + 2 * height + row];
      const c3 = block[p * height + 3 * height + row];
      for (let i = j; i < rest; i++) {
        update[base + i] -= c0 * block[b0 + i] + c1 * block[b1 + i] + c2 * block[b2 + i] + c3 * block[b3 + i];
      }
    }
    for (; p < width; p++) {
      const b0 = p * height + width;
      const c0 = block[p * height + row];
      for (let i = j; i < rest; i++) update[base + i] -= c0 * block[b0 + i];
    }
  }
}

/**
 * Solves A x = b for `width` right-hand sides kept side by side (x₀ y₀ x₁ y₁ … for width 2).
 *
 * @param b - right-hand sides, `width` numbers an unknown; not changed unless it is also `out`
 * @param out - receives the solution
 */
export function solveCholesky(
  factor: CholeskyFactor,
  b: Float64Array,
  width: 1 | 2,
  out: Float64Array,
): void {
  const { plan } = factor;
  const n = plan.size;
  const x = new Float64Array(n * width);
  if (width === 2) {
    for (let i = 0; i < n; i++) {
      const v = 2 * plan.order[i];
      x[2 * i] = b[v];
      x[2 * i + 1] = b[v + 1];
    }
    solvePairs(factor, x);
    for (let i = 0; i < n; i++) {
      const v = 2 * plan.order[i];
      out[v] = x[2 * i];
      out[v + 1] = x[2 * i + 1];
    }
  } else {
    for (let i = 0; i < n; i++) x[i] = b[plan.order[i]];
    solveSingles(factor, x);
    for (let i = 0; i < n; i++) out[plan.order[i]] = x[i];
  }
}

function solvePairs(factor: CholeskyFactor, x: Float64Array): void {
  const count = factor.plan.first.length - 1;
  const temp = new Float64Array(2 * tallest(factor.plan));
  for (let s = 0; s < count; s++) forwardPairs(factor, s, x, temp);
  for (let s = count - 1; s >= 0; s--) backwardPairs(factor, s, x, temp);
}

/** Forward substitution through one block: its own unknowns, then, four columns at a time, what they take from the rows below. */
function forwardPairs(
  { plan, blocks }: CholeskyFactor,
  s: number,
  x: Float64Array,
  temp: Float64Array,
): void {
  const { rows } = plan;
  const begin = plan.first[s];
  const width = plan.first[s + 1] - begin;
  const top = plan.rowStart[s] + width;
  const rest = plan.rowStart[s + 1] - top;
  const height = width + rest;
  const start = plan.blockStart[s];
  for (let j = 0; j < width; j++) {
    const base = start + j * height;
    const inverse = 1 / blocks[base + j];
    const at = 2 * (begin + j);
    const u = (x[at] *= inverse);
    const v = (x[at + 1] *= inverse);
    for (let i = j + 1; i < width; i++) {
      const l = blocks[base + i];
      x[2 * (begin + i)] -= l * u;
      x[2 * (begin + i) + 1] -= l * v;
    }
  }
  if (rest === 0) return;
  for (let i = 0; i < 2 * rest; i++) temp[i] = 0;
  let j = 0;
  for (; j + 3 < width; j += 4) {
    const at = 2 * (begin + j);
    const u0 = x[at];
    const v0 = x[at + 1];
    const u1 = x[at + 2];
    const v1 = x[at + 3];
    const u2 = x[at + 4];
    const v2 = x[at + 5];
    const u3 = x[at + 6];
    const v3 = x[at + 7];
    let b0 = start + j * height + width;
    let b1 = b0 + height;
    let b2 = b1 + height;
    let b3 = b2 + height;
    for (let i = 0; i < 2 * rest; i += 2) {
      const l0 = blocks[b0++];
      const l1 = blocks[b1++];
      const l2 = blocks[b2++];
      const l3 = blocks[b3++];
      temp[i] += l0 * u0 + l1 * u1 + l2 * u2 + l3 * u3;
      temp[i + 1] += l0 * v0 + l1 * v1 + l2 * v2 + l3 * v3;
    }
  }
  for (; j < width; j++) {
    const u = x[2 * (begin + j)];
    const v = x[2 * (begin + j) + 1];
    const b0 = start + j * height + width;
    for (let i = 0; i < rest; i++) {
      const l = blocks[b0 + i];
      temp[2 * i] += l * u;
      temp[2 * i + 1] += l * v;
    }
  }
  for (let i = 0; i < rest; i++) {
    const r = 2 * rows[top + i];
    x[r] -= temp[2 * i];
    x[r + 1] -= temp[2 * i + 1];
  }
}

function backwardPairs(
  { plan, blocks }: CholeskyFactor,
  s: number,
  x: Float64Array,
  temp: Float64Array,
): void {
  const { rows } = plan;
  const begin = plan.first[s];
  const width = plan.first[s + 1] - begin;
  const top = plan.rowStart[s] + width;
  const rest = plan.rowStart[s + 1] - top;
  const height = width + rest;
  const start = plan.blockStart[s];
  for (let i = 0; i < rest; i++) {
    const r = 2 * rows[top + i];
    temp[2 * i] = x[r];
    temp[2 * i + 1] = x[r + 1];
  }
  let j = 0;
  for (; j + 3 < width && rest > 0; j += 4) {
    let b0 = start + j * height + width;
    let b1 = b0 + height;
    let b2 = b1 + height;
    let b3 = b2 + height;
    let u0 = 0;
    let v0 = 0;
    let u1 = 0;
    let v1 = 0;
    let u2 = 0;
    let v2 = 0;
    let u3 = 0;
    let v3 = 0;
    for (let i = 0; i < 2 * rest; i += 2) {
      const tu = temp[i];
      const tv = temp[i + 1];
      const l0 = blocks[b0++];
      const l1 = blocks[b1++];
      const l2 = blocks[b2++];
      const l3 = blocks[b3++];
      u0 += l0 * tu;
      v0 += l0 * tv;
      u1 += l1 * tu;
      v1 += l1 * tv;
      u2 += l2 * tu;
      v2 += l2 * tv;
      u3 += l3 * tu;
      v3 += l3 * tv;
    }
    const at = 2 * (begin + j);
    x[at] -= u0;
    x[at + 1] -= v0;
    x[at + 2] -= u1;
    x[at + 3] -= v1;
    x[at + 4] -= u2;
    x[at + 5] -= v2;
    x[at + 6] -= u3;
    x[at + 7] -= v3;
  }
  for (; j < width && rest > 0; j++) {
    const b0 = start + j * height + width;
    let u = 0;
    let v = 0;
    for (let i = 0; i < rest; i++) {
      const l = blocks[b0 + i];
      u += l * temp[2 * i];
      v += l * temp[2 * i + 1];
    }
    x[2 * (begin + j)] -= u;
    x[2 * (begin + j) + 1] -= v;
  }
  for (j = width - 1; j >= 0; j--) {
    const base = start + j * height;
    let u = x[2 * (begin + j)];
    let v = x[2 * (begin + j) + 1];
    for (let i = j + 1; i < width; i++) {
      const l = blocks[base + i];
      u -= l * x[2 * (begin + i)];
      v -= l * x[2 * (begin + i) + 1];
    }
    const inverse = 1 / blocks[base + j];
    x[2 * (begin + j)] = u * inverse;
    x[2 * (begin + j) + 1] = v * inverse;
  }
}

function solveSingles(factor: CholeskyFactor, x: Float64Array): void {
  const { plan, blocks } = factor;
  const { first, rowStart, rows, blockStart } = plan;
  const count = first.length - 1;
  for (let s = 0; s < count; s++) {
    const begin = first[s];
    const width = first[s + 1] - begin;
    const top = rowStart[s];
    const height = rowStart[s + 1] - top;
    for (let j = 0; j < width; j++) {
      const base = blockStart[s] + j * height;
      const u = x[begin + j] / blocks[base + j];
      x[begin + j] = u;
      for (let i = j + 1; i < height; i++) x[rows[top + i]] -= blocks[base + i] * u;
    }
  }
  for (let s = count - 1; s >= 0; s--) {
    const begin = first[s];
    const width = first[s + 1] - begin;
    const top = rowStart[s];
    const height = rowStart[s + 1] - top;
    for (let j = width - 1; j >= 0; j--) {
      const base = blockStart[s] + j * height;
      let u = x[begin + j];
      for (let i = j + 1; i < height; i++) u -= blocks[base + i] * x[rows[top + i]];
      x[begin + j] = u / blocks[base + j];
    }
  }
}

function tallest(plan: CholeskyPlan): number {
  let top = 0;
  for (let s = 0; s + 1 < plan.rowStart.length; s++)
    top = Math.max(top, plan.rowStart[s + 1] - plan.rowStart[s]);
  return top;
}

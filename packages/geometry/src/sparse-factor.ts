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
  // Update matrices wait on a stack: in postorder those of a node's children lie on top.
  let stack = new Float64Array(1024);
  let used = 0;
  const packed = new Float64Array(largestBlock(plan));
  const childHead = new Int32Array(count).fill(-1);
  const childNext = new Int32Array(count).fill(-1);
  for (let s = 0; s < count; s++) {
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
    // The update is put together above those of the children, then moved down onto their place.
    const size = rest * rest;
    if (used + size > stack.length) {
      const larger = new Float64Array(Math.max(2 * stack.length, used + size));
      larger.set(stack.subarray(0, used));
      stack = larger;
    }
    stack.fill(0, used, used + size);
    for (let i = 0; i < height; i++) local[rows[top + i]] = i;
    for (let j = 0; j < width; j++) {
      block[j * height + j] = matrix.diagonal[order[begin + j]];
      for (let k = plan.lowerStart[begin + j]; k < plan.lowerStart[begin + j + 1]; k++) {
        block[j * height + local[plan.lowerRow[k]]] = matrix.values[plan.lowerEntry[k]];
      }
    }
    // Children from the last to the first: the order in which they lie on the stack, from the top.
    let below = used;
    for (let c = childHead[s]; c >= 0; c = childNext[c]) {
      const own = rowStart[c + 1] - rowStart[c] - (first[c + 1] - first[c]);
      below -= own * own;
      addUpdate(plan, c, stack, below, local, block, width, height, used);
    }
    raised += eliminate(block, width, height, floor, packed);
    if (rest > 0)
      subtractRows(
        packed,
        width,
        width,
        width,
        height,
        width,
        height,
        stack,
        used - width * rest - width,
        rest,
      );
    stack.copyWithin(below, used, used + size);
    used = below + size;
  }
  return { plan, blocks, raisedPivots: raised };
}

/** Numbers in the largest block. */
function largestBlock(plan: CholeskyPlan): number {
  let most = 0;
  for (let s = 0; s + 1 < plan.blockStart.length; s++) {
    most = Math.max(most, plan.blockStart[s + 1] - plan.blockStart[s]);
  }
  return most;
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

/** Adds the update of child c, at `from` of the stack, into the block and the update matrix (at `to`) of its parent. */
function addUpdate(
  plan: CholeskyPlan,
  c: number,
  stack: Float64Array,
  from: number,
  local: Int32Array,
  block: Float64Array,
  width: number,
  height: number,
  to: number,
): void {
  const begin = plan.rowStart[c] + plan.first[c + 1] - plan.first[c];
  const size = plan.rowStart[c + 1] - begin;
  const rest = height - width;
  const { rows } = plan;
  for (let j = 0; j < size; j++) {
    const column = local[rows[begin + j]];
    const source = from + j * size;
    if (column < width) {
      const base = column * height;
      for (let i = j; i < size; i++) block[base + local[rows[begin + i]]] += stack[source + i];
    } else {
      const base = to + (column - width) * rest - width;
      for (let i = j; i < size; i++) stack[base + local[rows[begin + i]]] += stack[source + i];
    }
  }
}

/** Columns eliminated together before what they take from the rest is subtracted. */
const PANEL = 16;

/** Dense Cholesky of the first `width` columns, in place; leaves the result row by row in `packed`. */
function eliminate(
  block: Float64Array,
  width: number,
  height: number,
  floor: number,
  packed: Float64Array,
): number {
  let raised = 0;
  for (let from = 0; from < width; from += PANEL) {
    const to = Math.min(width, from + PANEL);
    if (from > 0) subtractRows(packed, width, from, from, height, from, to, block, 0, height);
    for (let j = from; j < to; j++) {
      const base = j * height;
      for (let p = from; p < j; p++) {
        const column = p * height;
        const share = block[column + j];
        for (let i = j; i < height; i++) block[base + i] -= share * block[column + i];
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
      for (let i = j; i < height; i++) packed[i * width + j] = block[base + i];
    }
  }
  return raised;
}

/**
 * out(i, j) −= Σ rows(i, p) rows(j, p), p below `length`, for columns j from `left` to `right` and rows i from j (or
 * `top`) to `bottom`. Two columns by four rows at a time, so that what is loaded is used again; above the diagonal
 * a pair of columns may write one number that nobody reads.
 *
 * @param out - column j begins at `base + j * step`
 */
function subtractRows(
  rows: Float64Array,
  stride: number,
  length: number,
  top: number,
  bottom: number,
  left: number,
  right: number,
  out: Float64Array,
  base: number,
  step: number,
): void {
  let j = left;
  for (; j + 1 < right; j += 2) {
    const b0 = j * stride;
    const b1 = b0 + stride;
    const o0 = base + j * step;
    const o1 = o0 + step;
    let i = Math.max(top, j);
    for (; i + 3 < bottom; i += 4) {
      const a0 = i * stride;
      const a1 = a0 + stride;
      const a2 = a1 + stride;
      const a3 = a2 + stride;
      let s00 = 0;
      let s10 = 0;
      let s20 = 0;
      let s30 = 0;
      let s01 = 0;
      let s11 = 0;
      let s21 = 0;
      let s31 = 0;
      for (let p = 0; p < length; p++) {
        const u = rows[b0 + p];
        const v = rows[b1 + p];
        const r0 = rows[a0 + p];
        const r1 = rows[a1 + p];
        const r2 = rows[a2 + p];
        const r3 = rows[a3 + p];
        s00 += r0 * u;
        s10 += r1 * u;
        s20 += r2 * u;
        s30 += r3 * u;
        s01 += r0 * v;
        s11 += r1 * v;
        s21 += r2 * v;
        s31 += r3 * v;
      }
      out[o0 + i] -= s00;
      out[o0 + i + 1] -= s10;
      out[o0 + i + 2] -= s20;
      out[o0 + i + 3] -= s30;
      out[o1 + i] -= s01;
      out[o1 + i + 1] -= s11;
      out[o1 + i + 2] -= s21;
      out[o1 + i + 3] -= s31;
    }
    for (; i < bottom; i++) {
      const a = i * stride;
      let s0 = 0;
      let s1 = 0;
      for (let p = 0; p < length; p++) {
        const r = rows[a + p];
        s0 += r * rows[b0 + p];
        s1 += r * rows[b1 + p];
      }
      out[o0 + i] -= s0;
      out[o1 + i] -= s1;
    }
  }
  for (; j < right; j++) {
    for (let i = Math.max(top, j); i < bottom; i++) {
      let sum = 0;
      for (let p = 0; p < length; p++) sum += rows[i * stride + p] * rows[j * stride + p];
      out[base + j * step + i] -= sum;
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
  const { x, temp } = workOf(plan);
  // A single side is solved as a pair with nothing beside it: what takes time is reading the factor.
  for (let i = 0; i < plan.size; i++) {
    const v = width * plan.order[i];
    x[2 * i] = b[v];
    x[2 * i + 1] = width === 2 ? b[v + 1] : 0;
  }
  const count = plan.first.length - 1;
  for (let s = 0; s < count; s++) forwardPairs(factor, s, x, temp);
  for (let s = count - 1; s >= 0; s--) backwardPairs(factor, s, x, temp);
  for (let i = 0; i < plan.size; i++) {
    const v = width * plan.order[i];
    out[v] = x[2 * i];
    if (width === 2) out[v + 1] = x[2 * i + 1];
  }
}

/** Room to solve in, for each plan: a solve is called often, and memory that is asked for each time is dear. */
const works = new WeakMap<CholeskyPlan, { x: Float64Array; temp: Float64Array }>();

function workOf(plan: CholeskyPlan): { x: Float64Array; temp: Float64Array } {
  let work = works.get(plan);
  if (work === undefined) {
    work = { x: new Float64Array(2 * plan.size), temp: new Float64Array(2 * tallest(plan)) };
    works.set(plan, work);
  }
  return work;
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

function tallest(plan: CholeskyPlan): number {
  let top = 0;
  for (let s = 0; s + 1 < plan.rowStart.length; s++)
    top = Math.max(top, plan.rowStart[s + 1] - plan.rowStart[s]);
  return top;
}

// For outlines of thousands of corners: the ear cutter that serves small faces takes minutes over some of them.
import { orientationXY } from "@peltry/geometry";

/**
 * Cuts a simple outline into triangles, in n log n: first into pieces that a sweep from left to right meets at most twice,
 * then each piece by itself. Corners on straight sides are used like all others.
 *
 * @param flat - x, y of each corner in turn, counter-clockwise
 * @returns corner numbers, three a triangle, counter-clockwise; undefined when the outline crosses itself
 * @source de Berg, Cheong, van Kreveld and Overmars, Computational Geometry, third edition 2008, chapter 3
 */
export function triangulateOutline(flat: ArrayLike<number>): Uint32Array | undefined {
  const shape = new Outline(Float64Array.from(flat));
  const n = shape.count;
  const pieces = cutPieces(shape, findDiagonals(shape));
  if (!pieces) return undefined;
  const cutter = new PieceCutter(shape);
  for (let k = 0; k + 1 < pieces.starts.length; k++)
    if (!cutter.cut(pieces.corners.subarray(pieces.starts[k], pieces.starts[k + 1]))) return undefined;
  const { out, size } = cutter;
  return size === 3 * (n - 2) && covers(shape.flat, out) ? out : undefined;
}

/** Corners of an outline, compared by x and then by y. */
class Outline {
  readonly count: number;

  constructor(readonly flat: Float64Array) {
    this.count = flat.length / 2;
  }

  before(a: number, b: number): boolean {
    const { flat } = this;
    const dx = flat[2 * a] - flat[2 * b];
    if (dx !== 0) return dx < 0;
    const dy = flat[2 * a + 1] - flat[2 * b + 1];
    return dy !== 0 ? dy < 0 : a < b;
  }

  /** Positive when c lies left of the way from a to b. */
  turn(a: number, b: number, c: number): number {
    const f = this.flat;
    return orientationXY(f[2 * a], f[2 * a + 1], f[2 * b], f[2 * b + 1], f[2 * c], f[2 * c + 1]);
  }

  after(v: number): number {
    return v + 1 === this.count ? 0 : v + 1;
  }
}

/** Sides that run rightwards, with the inside above them, from low to high where the sweep stands. */
class Sweep {
  private readonly sides: number[] = [];
  /** Corner that waits to be joined above each side, by the side's first corner. */
  readonly helper: Int32Array;

  constructor(private readonly shape: Outline) {
    this.helper = new Int32Array(shape.count).fill(-1);
  }

  /** How many sides lie below a corner; of those through it, the ones below the way on to `towards`. */
  private rank(v: number, towards: number): number {
    const { sides, shape } = this;
    let [low, high] = [0, sides.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      const a = sides[middle];
      const b = shape.after(a);
      let turn = v === a || v === b ? 0 : shape.turn(a, b, v);
      if (turn === 0 && towards >= 0) turn = shape.turn(a, b, towards);
      if (turn > 0) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  insert(side: number): void {
    this.sides.splice(this.rank(side, this.shape.after(side)), 0, side);
    this.helper[side] = side;
  }

  remove(side: number): void {
    const guess = this.rank(this.shape.after(side), -1);
    const at = this.sides[guess] === side ? guess : this.sides.indexOf(side);
    if (at >= 0) this.sides.splice(at, 1);
  }

  /** The side right below a corner, −1 for none. */
  below(v: number): number {
    const rank = this.rank(v, -1);
    return rank > 0 ? this.sides[rank - 1] : -1;
  }
}

/** Corners from left to right, by merging runs of twice the length: half the time of a sort that calls back. */
function sweepOrder(shape: Outline): Uint32Array {
  const n = shape.count;
  let from = Uint32Array.from({ length: n }, (_, i) => i);
  let to = new Uint32Array(n);
  for (let run = 1; run < n; run *= 2) {
    for (let low = 0; low < n; low += 2 * run) {
      const middle = Math.min(low + run, n);
      const high = Math.min(low + 2 * run, n);
      let [i, j] = [low, middle];
      for (let k = low; k < high; k++)
        to[k] = i < middle && (j >= high || shape.before(from[i], from[j])) ? from[i++] : from[j++];
    }
    [from, to] = [to, from];
  }
  return from;
}

/** Diagonals as pairs of corners, one pair after the other. */
function findDiagonals(shape: Outline): number[] {
  const n = shape.count;
  const order = sweepOrder(shape);
  const sweep = new Sweep(shape);
  const merges = new Uint8Array(n);
  const out: number[] = [];
  const join = (v: number, side: number, always = false): void => {
    const other = side < 0 ? -1 : sweep.helper[side];
    if (other >= 0 && (always || merges[other])) out.push(v, other);
  };
  for (const v of order) {
    const p = v === 0 ? n - 1 : v - 1;
    const q = shape.after(v);
    const fromLeft = shape.before(p, v);
    const toRight = shape.before(v, q);
    const hollow = shape.turn(p, v, q) <= 0;
    if (fromLeft) {
      join(v, p);
      sweep.remove(p);
    }
    if (fromLeft !== toRight && hollow) {
      // Splits or merges: two ways that part or meet with the inside between them.
      const side = sweep.below(v);
      join(v, side, toRight);
      if (side >= 0) sweep.helper[side] = v;
      if (!toRight) merges[v] = 1;
    } else if (!fromLeft && !toRight) {
      const side = sweep.below(v);
      join(v, side);
      if (side >= 0) sweep.helper[side] = v;
    }
    if (toRight) sweep.insert(v);
  }
  return out;
}

/** Corners of one piece after the other, each counter-clockwise, and where each begins. */
interface Pieces {
  readonly corners: Uint32Array;
  readonly starts: readonly number[];
}

/**
 * The pieces between the diagonals; undefined when the diagonals cross. Ways along the outline go by the number of their
 * first corner; diagonal k is way n + 2k in one direction and n + 2k + 1 in the other.
 */
function cutPieces(shape: Outline, diagonals: readonly number[]): Pieces | undefined {
  const n = shape.count;
  const ways = diagonals.length;
  const first = new Uint32Array(n + 1);
  for (const v of diagonals) first[v + 1]++;
  for (let v = 0; v < n; v++) first[v + 1] += first[v];
  /** Ways that leave each corner, from the side before it to the side after it, clockwise through the inside. */
  const leaving = new Uint32Array(ways);
  const filled = first.slice(0, n);
  for (let k = 0; k < ways; k++) leaving[filled[diagonals[k]]++] = n + k;
  const head = (way: number): number => (way < n ? shape.after(way) : diagonals[(way - n) ^ 1]);
  const angles = new Float64Array(ways);
  for (let v = 0; v < n; v++) {
    if (first[v + 1] - first[v] < 2) continue;
    const back = direction(shape, v, v === 0 ? n - 1 : v - 1);
    const list = leaving.subarray(first[v], first[v + 1]);
    for (const way of list) {
      const turned = back - direction(shape, v, head(way));
      angles[way - n] = turned < 0 ? turned + 2 * Math.PI : turned;
    }
    list.sort((p, q) => angles[p - n] - angles[q - n] || p - q);
  }
  const place = new Uint32Array(ways);
  leaving.forEach((way, at) => (place[way - n] = at));
  /** Where a piece goes on from the end of a way: the next way clockwise. */
  const onward = (way: number): number => {
    const v = head(way);
    const at = way < n ? first[v] : place[(way - n) ^ 1] + 1;
    return at < first[v + 1] ? leaving[at] : v;
  };
  const used = new Uint8Array(n + ways);
  const corners = new Uint32Array(n + ways);
  const starts = [0];
  let size = 0;
  for (let begin = 0; begin < n + ways; begin++) {
    if (used[begin]) continue;
    let way = begin;
    do {
      if (used[way]) return undefined;
      used[way] = 1;
      corners[size++] = way < n ? way : diagonals[way - n];
      way = onward(way);
    } while (way !== begin);
    starts.push(size);
  }
  return { corners, starts };
}

function direction({ flat }: Outline, from: number, to: number): number {
  return Math.atan2(flat[2 * to + 1] - flat[2 * from + 1], flat[2 * to] - flat[2 * from]);
}

/** Cuts pieces that every upright line meets at most twice; its working space serves all of them. */
class PieceCutter {
  /** Corners of the triangles so far, three each, counter-clockwise. */
  readonly out: Uint32Array;
  size = 0;
  private readonly order: Uint32Array;
  /** 1 for corners on the lower way from left to right. */
  private readonly lower: Uint8Array;
  private readonly stack: Uint32Array;

  constructor(private readonly shape: Outline) {
    this.out = new Uint32Array(3 * Math.max(0, shape.count - 2));
    this.order = new Uint32Array(shape.count);
    this.lower = new Uint8Array(shape.count);
    this.stack = new Uint32Array(shape.count);
  }

  /** False when there are more triangles than the outline can have. */
  cut(piece: Uint32Array): boolean {
    const { shape, order, lower, stack } = this;
    const m = piece.length;
    if (m < 3 || this.size + 3 * (m - 2) > this.out.length) return false;
    this.sort(piece);
    let height = 2;
    stack[0] = 0;
    stack[1] = 1;
    for (let k = 2; k < m; k++) {
      const top = stack[height - 1];
      if (k === m - 1 || lower[k] !== lower[top]) {
        for (let s = 0; s + 1 < height; s++) this.emit(stack[s], stack[s + 1], k, lower[top]);
        stack[0] = top;
        stack[1] = k;
        height = 2;
        continue;
      }
      let popped = top;
      height--;
      while (height > 0) {
        const below = stack[height - 1];
        const turn = shape.turn(order[below], order[popped], order[k]);
        if (lower[k] ? turn <= 0 : turn >= 0) break;
        this.emit(below, popped, k, lower[k]);
        popped = below;
        height--;
      }
      stack[height++] = popped;
      stack[height++] = k;
    }
    return true;
  }

  /** Corners from left to right: the two ways from the leftmost to the rightmost, merged. */
  private sort(piece: Uint32Array): void {
    const { shape, order, lower } = this;
    const m = piece.length;
    let [first, last] = [0, 0];
    for (let i = 1; i < m; i++) {
      if (shape.before(piece[i], piece[first])) first = i;
      if (shape.before(piece[last], piece[i])) last = i;
    }
    order[0] = piece[first];
    lower[0] = 1;
    // Counter-clockwise, the way from the leftmost corner to the rightmost is the lower one.
    let i = first + 1 === m ? 0 : first + 1;
    let j = first === 0 ? m - 1 : first - 1;
    for (let k = 1; k < m; k++) {
      const isLower = j === last || (i !== last && shape.before(piece[i], piece[j]));
      order[k] = piece[isLower ? i : j];
      lower[k] = isLower ? 1 : 0;
      if (isLower) i = i + 1 === m ? 0 : i + 1;
      else j = j === 0 ? m - 1 : j - 1;
    }
    lower[m - 1] = 1;
  }

  private emit(a: number, b: number, c: number, isLower: number): void {
    const { out, order } = this;
    out[this.size++] = order[isLower ? a : b];
    out[this.size++] = order[isLower ? b : a];
    out[this.size++] = order[c];
  }
}

/** Whether triangles that all turn one way fill just the outline's area. */
function covers(flat: Float64Array, triangles: Uint32Array): boolean {
  const n = flat.length / 2;
  let [whole, sum, size] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    whole += flat[2 * i] * flat[2 * j + 1] - flat[2 * j] * flat[2 * i + 1];
    size = Math.max(size, Math.abs(flat[2 * i]), Math.abs(flat[2 * i + 1]));
  }
  const slack = 1e-12 * size * size;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [2 * triangles[t], 2 * triangles[t + 1], 2 * triangles[t + 2]];
    const area =
      (flat[b] - flat[a]) * (flat[c + 1] - flat[a + 1]) - (flat[b + 1] - flat[a + 1]) * (flat[c] - flat[a]);
    if (area < -slack) return false;
    sum += area;
  }
  return Math.abs(sum - whole) <= slack * n;
}

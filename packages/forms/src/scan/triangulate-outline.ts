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
export function triangulateOutline(flat: ArrayLike<number>): number[] | undefined {
  const n = flat.length / 2;
  const shape = new Outline(flat);
  const pieces = cutPieces(shape, findDiagonals(shape));
  const out: number[] = [];
  for (const piece of pieces ?? []) cutMonotone(shape, piece, out);
  return out.length === 3 * (n - 2) && covers(flat, out) ? out : undefined;
}

/** Corners of an outline, compared by x and then by y. */
class Outline {
  readonly count: number;

  constructor(readonly flat: ArrayLike<number>) {
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

function findDiagonals(shape: Outline): [number, number][] {
  const n = shape.count;
  const order = sweepOrder(shape);
  const sweep = new Sweep(shape);
  const merges = new Uint8Array(n);
  const out: [number, number][] = [];
  const join = (v: number, side: number, always = false): void => {
    const other = side < 0 ? -1 : sweep.helper[side];
    if (other >= 0 && (always || merges[other])) out.push([v, other]);
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

/** The pieces between the diagonals, each counter-clockwise; undefined when the diagonals cross. */
function cutPieces(shape: Outline, diagonals: readonly [number, number][]): number[][] | undefined {
  const n = shape.count;
  if (diagonals.length === 0) return [Array.from({ length: n }, (_, i) => i)];
  const ends = new Map<number, number[]>();
  const lead = (a: number, b: number): void => {
    const list = ends.get(a);
    if (list) list.push(b);
    else ends.set(a, [b]);
  };
  for (const [a, b] of diagonals) {
    lead(a, b);
    lead(b, a);
  }
  // Inside the corner at v, from the side before it to the side after it, clockwise.
  for (const [v, list] of ends) {
    if (list.length < 2) continue;
    const back = v === 0 ? n - 1 : v - 1;
    const angle = (w: number): number => {
      const at = (u: number): number =>
        Math.atan2(shape.flat[2 * u + 1] - shape.flat[2 * v + 1], shape.flat[2 * u] - shape.flat[2 * v]);
      const turned = at(back) - at(w);
      return turned < 0 ? turned + 2 * Math.PI : turned;
    };
    const angles = new Map(list.map((w) => [w, angle(w)]));
    list.sort((a, b) => angles.get(a)! - angles.get(b)!);
  }
  /** Where a piece that came to v from u goes on: the next way clockwise. */
  const onward = (u: number, v: number): number => {
    const list = ends.get(v);
    if (!list) return shape.after(v);
    if (shape.after(u) === v && !list.includes(u)) return list[0];
    return list[list.indexOf(u) + 1] ?? shape.after(v);
  };
  const used = new Set<number>();
  const out: number[][] = [];
  const walk = (from: number, to: number): boolean => {
    const piece: number[] = [];
    let [u, v] = [from, to];
    do {
      if (used.has(u * n + v) || piece.length > n) return false;
      used.add(u * n + v);
      piece.push(u);
      [u, v] = [v, onward(u, v)];
    } while (u !== from || v !== to);
    out.push(piece);
    return true;
  };
  for (const [a, b] of diagonals) {
    if (!used.has(a * n + b) && !walk(a, b)) return undefined;
    if (!used.has(b * n + a) && !walk(b, a)) return undefined;
  }
  return out;
}

/** Triangles of a piece that every upright line meets at most twice. */
function cutMonotone(shape: Outline, piece: readonly number[], out: number[]): void {
  const m = piece.length;
  let first = 0;
  let last = 0;
  for (let i = 1; i < m; i++) {
    if (shape.before(piece[i], piece[first])) first = i;
    if (shape.before(piece[last], piece[i])) last = i;
  }
  // Counter-clockwise, the way from the leftmost corner to the rightmost is the lower one.
  const order: { v: number; lower: boolean }[] = [{ v: piece[first], lower: true }];
  let [i, j] = [(first + 1) % m, (first + m - 1) % m];
  while (order.length < m) {
    const lower = j === last || (i !== last && shape.before(piece[i], piece[j]));
    if (i === last && j === last) {
      order.push({ v: piece[last], lower: true });
      break;
    }
    order.push({ v: piece[lower ? i : j], lower });
    if (lower) i = (i + 1) % m;
    else j = (j + m - 1) % m;
  }
  const emit = (a: number, b: number, c: number, lower: boolean): void => {
    if (lower) out.push(a, b, c);
    else out.push(b, a, c);
  };
  const stack = [order[0], order[1]];
  for (let k = 2; k < m; k++) {
    const now = order[k];
    const top = stack[stack.length - 1];
    if (k === m - 1 || now.lower !== top.lower) {
      for (let s = 0; s + 1 < stack.length; s++) emit(stack[s].v, stack[s + 1].v, now.v, top.lower);
      stack.length = 0;
      stack.push(top, now);
      continue;
    }
    let popped = stack.pop()!;
    while (stack.length > 0) {
      const below = stack[stack.length - 1];
      const turn = shape.turn(below.v, popped.v, now.v);
      if (now.lower ? turn <= 0 : turn >= 0) break;
      emit(below.v, popped.v, now.v, now.lower);
      popped = stack.pop()!;
    }
    stack.push(popped, now);
  }
}

/** Whether triangles that all turn one way fill just the outline's area. */
function covers(flat: ArrayLike<number>, triangles: readonly number[]): boolean {
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

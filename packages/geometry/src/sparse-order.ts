import type { SparsePattern } from "./sparse-pattern";

/** Pieces of at most this many unknowns are not cut further; found by counting fill. */
const LEAF = 4;
/** A cut of more than this many times the root of its piece is worth a second try. */
const WIDE = 1.1;

/**
 * An elimination order with little fill, by nested dissection: the points are halved across their longest direction,
 * the unknowns on the cut go last, and both halves are treated alike.
 *
 * @param pattern - who neighbours whom
 * @param points - coordinates, `dimension` numbers an unknown
 * @returns the unknown that comes at each place of the order
 * @remarks n log n. For surfaces the cut has about √n unknowns, so that the factor has about n log n entries.
 * @source George, Nested Dissection of a Regular Finite Element Mesh, 1973; the geometric halving after
 * Heath and Raghavan, A Cartesian Parallel Nested Dissection Algorithm, 1995
 */
export function orderByDissection(
  pattern: SparsePattern,
  points: Float64Array,
  dimension: 2 | 3,
): Int32Array {
  const n = pattern.size;
  const order = new Int32Array(n);
  const items = new Int32Array(n);
  for (let i = 0; i < n; i++) items[i] = i;
  const side = new Uint8Array(n);
  const keys = new Float64Array(n);
  const copy = new Float64Array(n);
  const spare = new Int32Array(n);
  // Each task: items[from … to) take the places [from … to) of the order.
  const tasks: number[] = [0, n];
  while (tasks.length > 0) {
    const to = tasks.pop()!;
    const from = tasks.pop()!;
    if (to - from <= LEAF) {
      for (let i = from; i < to; i++) order[i] = items[i];
      continue;
    }
    projectKeys(items, from, to, points, dimension, keys);
    const middle = halve(items, from, to, keys, copy, spare);
    // Where points lie closer round than along (the rings of a horn), the links know a shorter cut than the place does.
    const cut = cutSizes(pattern, items, from, middle, to, side).least;
    if (to - from > 64 && cut > WIDE * Math.sqrt(to - from)) {
      const kept = items.slice(from, to);
      distanceKeys(pattern, items, from, to, side, keys, spare);
      halve(items, from, to, keys, copy, spare);
      if (cutSizes(pattern, items, from, middle, to, side).least >= cut) items.set(kept, from);
    }
    const cutFrom = separate(pattern, items, from, middle, to, side, spare);
    for (let i = cutFrom.end; i < to; i++) order[i] = items[i];
    tasks.push(cutFrom.first, cutFrom.end, from, cutFrom.first);
  }
  return order;
}

/** Keys along the main direction of the points. */
function projectKeys(
  items: Int32Array,
  from: number,
  to: number,
  points: Float64Array,
  dimension: number,
  keys: Float64Array,
): void {
  const [dx, dy, dz] = mainDirection(items, from, to, points, dimension);
  for (let i = from; i < to; i++) {
    const p = items[i] * dimension;
    keys[i] = dx * points[p] + dy * points[p + 1] + (dimension === 3 ? dz * points[p + 2] : 0);
  }
}

/** Keys by the place in a walk outwards from an item at the rim of the piece, neighbour by neighbour. */
function distanceKeys(
  pattern: SparsePattern,
  items: Int32Array,
  from: number,
  to: number,
  side: Uint8Array,
  keys: Float64Array,
  queue: Int32Array,
): void {
  const { starts, columns } = pattern;
  let start = items[from];
  for (let walk = 0; walk < 3; walk++) {
    for (let i = from; i < to; i++) side[items[i]] = 1;
    let end = 0;
    // Pieces of more than one part are walked one after another.
    for (let next = from - 1; end < to - from; next++) {
      const seed = next < from ? start : items[next];
      if (side[seed] !== 1) continue;
      queue[end++] = seed;
      side[seed] = 0;
      for (let head = end - 1; head < end; head++) {
        const v = queue[head];
        for (let k = starts[v]; k < starts[v + 1]; k++) {
          if (side[columns[k]] !== 1) continue;
          side[columns[k]] = 0;
          queue[end++] = columns[k];
        }
      }
    }
    start = queue[end - 1];
  }
  for (let i = from; i < to; i++) {
    items[i] = queue[i - from];
    keys[i] = i;
  }
}

/** Moves the half with the lower keys to the front; returns where the upper half starts. */
function halve(
  items: Int32Array,
  from: number,
  to: number,
  keys: Float64Array,
  copy: Float64Array,
  spare: Int32Array,
): number {
  copy.set(keys.subarray(from, to), from);
  const middle = (from + to) >> 1;
  const pivot = selectKth(copy, from, to - 1, middle);
  let low = from;
  for (let i = from; i < to; i++) if (keys[i] < pivot) spare[low++] = items[i];
  let same = middle - low;
  let high = middle;
  for (let i = from; i < to; i++) {
    if (keys[i] < pivot) continue;
    if (keys[i] === pivot && same > 0) {
      same--;
      spare[low++] = items[i];
    } else spare[high++] = items[i];
  }
  for (let i = from; i < to; i++) items[i] = spare[i];
  return middle;
}

/** Largest principal direction of the points, by a few power steps on their covariance. */
function mainDirection(
  items: Int32Array,
  from: number,
  to: number,
  points: Float64Array,
  dimension: number,
): [number, number, number] {
  let mx = 0;
  let my = 0;
  let mz = 0;
  const z = dimension === 3 ? 2 : 0;
  for (let i = from; i < to; i++) {
    const p = items[i] * dimension;
    mx += points[p];
    my += points[p + 1];
    mz += points[p + z];
  }
  const count = to - from;
  mx /= count;
  my /= count;
  mz /= count;
  let xx = 0;
  let xy = 0;
  let xz = 0;
  let yy = 0;
  let yz = 0;
  let zz = 0;
  for (let i = from; i < to; i++) {
    const p = items[i] * dimension;
    const x = points[p] - mx;
    const y = points[p + 1] - my;
    const w = dimension === 3 ? points[p + 2] - mz : 0;
    xx += x * x;
    xy += x * y;
    xz += x * w;
    yy += y * y;
    yz += y * w;
    zz += w * w;
  }
  // Start from the longest column, which cannot be at right angles to the main direction.
  let v: [number, number, number] =
    xx >= yy && xx >= zz ? [xx, xy, xz] : yy >= zz ? [xy, yy, yz] : [xz, yz, zz];
  for (let step = 0; step < 8; step++) {
    const length = Math.hypot(v[0], v[1], v[2]);
    if (!(length > 0)) return [1, 0, 0];
    const [a, b, c] = [v[0] / length, v[1] / length, v[2] / length];
    v = [xx * a + xy * b + xz * c, xy * a + yy * b + yz * c, xz * a + yz * b + zz * c];
  }
  const length = Math.hypot(v[0], v[1], v[2]);
  return length > 0 ? [v[0] / length, v[1] / length, v[2] / length] : [1, 0, 0];
}

/** The value that would stand at place k if keys[low … high] were sorted (Hoare's FIND, 1961). */
function selectKth(keys: Float64Array, low: number, high: number, k: number): number {
  while (low < high) {
    const a = keys[low];
    const b = keys[(low + high) >> 1];
    const c = keys[high];
    const pivot = a < b ? (b < c ? b : Math.max(a, c)) : a < c ? a : Math.max(b, c);
    let i = low;
    let j = high;
    while (i <= j) {
      while (keys[i] < pivot) i++;
      while (keys[j] > pivot) j--;
      if (i <= j) {
        const swap = keys[i];
        keys[i++] = keys[j];
        keys[j--] = swap;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return keys[k];
}

/** How many of each half touch the other. */
function cutSizes(
  pattern: SparsePattern,
  items: Int32Array,
  from: number,
  middle: number,
  to: number,
  side: Uint8Array,
): { lowCut: number; highCut: number; least: number } {
  const { starts, columns } = pattern;
  for (let i = from; i < to; i++) side[items[i]] = i < middle ? 1 : 2;
  let lowCut = 0;
  let highCut = 0;
  for (let i = from; i < to; i++) {
    const v = items[i];
    const other = i < middle ? 2 : 1;
    for (let k = starts[v]; k < starts[v + 1]; k++) {
      if (side[columns[k]] === other) {
        if (other === 2) lowCut++;
        else highCut++;
        break;
      }
    }
  }
  for (let i = from; i < to; i++) side[items[i]] = 0;
  return { lowCut, highCut, least: Math.min(lowCut, highCut) };
}

/** Rearranges items into lower | upper | cut, where no lower item touches an upper one. */
function separate(
  pattern: SparsePattern,
  items: Int32Array,
  from: number,
  middle: number,
  to: number,
  side: Uint8Array,
  spare: Int32Array,
): { first: number; end: number } {
  const { starts, columns } = pattern;
  const { lowCut, highCut } = cutSizes(pattern, items, from, middle, to, side);
  for (let i = from; i < to; i++) side[items[i]] = i < middle ? 1 : 2;
  const cutSide = lowCut < highCut ? 1 : 2;
  const cutCount = Math.min(lowCut, highCut);
  let at = from;
  let cut = to - cutCount;
  for (let half = 1; half <= 2; half++) {
    const [begin, end] = half === 1 ? [from, middle] : [middle, to];
    for (let i = begin; i < end; i++) {
      const v = items[i];
      let touches = false;
      if (half === cutSide) {
        for (let k = starts[v]; k < starts[v + 1] && !touches; k++) touches = side[columns[k]] === 3 - half;
      }
      if (touches) spare[cut++] = v;
      else spare[at++] = v;
    }
  }
  for (let i = from; i < to; i++) {
    items[i] = spare[i];
  }
  for (let i = from; i < to; i++) side[items[i]] = 0;
  return { first: middle - (cutSide === 1 ? cutCount : 0), end: to - cutCount };
}

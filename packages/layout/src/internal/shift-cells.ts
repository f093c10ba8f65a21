import type { ShiftPolygon } from "./minkowski";

/** Cell codes of {@link ShiftCells}; codes from 0 up are offsets into `refs`. */
export const CLEAR = -1;
export const HIT = -2;

/**
 * A grid over relative positions. Each cell is clear, hit, or lists the half-planes that decide inside it:
 * `refs` holds, from the cell's offset, the number of polygons and for each the number of half-planes and their indices.
 */
export interface ShiftCells {
  readonly x0: number;
  readonly y0: number;
  readonly perX: number;
  readonly perY: number;
  readonly nx: number;
  readonly ny: number;
  readonly cells: Int32Array;
  readonly refs: Int32Array;
  /** a, b, c of each half-plane in turn: inside when a·x + b·y < c. */
  readonly planes: Float64Array;
}

/** Box of positions that a table covers. */
export interface ShiftBox {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/**
 * Sorts every cell of a box of positions into clear, hit or undecided against a union of convex polygons.
 *
 * @param touchCounts - whether a position on a polygon's border is a hit
 */
export function shiftCells(
  polygons: readonly ShiftPolygon[],
  box: ShiftBox,
  [nx, ny]: readonly [number, number],
  touchCounts: boolean,
): ShiftCells {
  const w = Math.max(1, box.maxX - box.minX) / nx;
  const h = Math.max(1, box.maxY - box.minY) / ny;
  const cells = new Int32Array(nx * ny).fill(CLEAR);
  const lists = new Map<number, number[]>();
  const planes: number[] = [];
  for (const polygon of polygons) {
    const first = planes.length / 3;
    const { a, b, c } = polygon;
    // Grid positions and integer sides make the left side whole: half a step decides between < and ≤.
    for (let e = 0; e < a.length; e++) planes.push(a[e], b[e], c[e] + (touchCounts ? 0.5 : -0.5));
    markCells(polygon, first, { box, nx, ny, w, h, cells, lists });
  }
  const refs: number[] = [];
  for (const [cell, list] of lists) {
    if (cells[cell] === HIT) continue;
    cells[cell] = refs.length;
    refs.push(...list);
  }
  return {
    x0: box.minX,
    y0: box.minY,
    perX: 1 / w,
    perY: 1 / h,
    nx,
    ny,
    cells,
    refs: Int32Array.from(refs),
    planes: Float64Array.from(planes),
  };
}

interface Marking {
  readonly box: ShiftBox;
  readonly nx: number;
  readonly ny: number;
  readonly w: number;
  readonly h: number;
  readonly cells: Int32Array;
  readonly lists: Map<number, number[]>;
}

function markCells(polygon: ShiftPolygon, first: number, m: Marking): void {
  const { xs, ys } = polygon.vertices;
  let lowY = Infinity;
  let highY = -Infinity;
  for (let i = 0; i < ys.length; i++) {
    if (ys[i] < lowY) lowY = ys[i];
    if (ys[i] > highY) highY = ys[i];
  }
  const j0 = Math.max(0, Math.floor((lowY - 1 - m.box.minY) / m.h));
  const j1 = Math.min(m.ny - 1, Math.floor((highY + 1 - m.box.minY) / m.h));
  const open: number[] = [];
  const span = { low: 0, high: 0, innerLow: 0, innerHigh: 0 };
  for (let j = j0; j <= j1; j++) {
    // One step wider than the cell, so that rounding in the look-up cannot reach a cell that was judged without it.
    const yLow = m.box.minY + j * m.h - 1;
    const yHigh = yLow + m.h + 2;
    rowSpan(xs, ys, yLow, yHigh, span);
    const i0 = Math.max(0, Math.floor((span.low - 1 - m.box.minX) / m.w));
    const i1 = Math.min(m.nx - 1, Math.floor((span.high + 1 - m.box.minX) / m.w));
    const inner0 = Math.ceil((span.innerLow + 2 - m.box.minX) / m.w);
    const inner1 = Math.floor((span.innerHigh - 2 - m.box.minX) / m.w) - 1;
    for (let i = i0; i <= i1; i++) {
      const cell = j * m.nx + i;
      if (m.cells[cell] === HIT) continue;
      if (i >= inner0 && i <= inner1) {
        m.cells[cell] = HIT;
        continue;
      }
      const xLow = m.box.minX + i * m.w - 1;
      if (!openPlanes(polygon, first, [xLow, xLow + m.w + 2, yLow, yHigh], open)) continue;
      if (open.length === 0) {
        m.cells[cell] = HIT;
        continue;
      }
      const list = m.lists.get(cell);
      if (list === undefined) m.lists.set(cell, [1, open.length, ...open]);
      else {
        list[0]++;
        list.push(open.length, ...open);
      }
    }
  }
}

/**
 * x range of a convex polygon within a band of y, and the range that lies inside it over the whole band
 * (empty: innerLow above innerHigh).
 */
function rowSpan(
  xs: Float64Array,
  ys: Float64Array,
  yLow: number,
  yHigh: number,
  span: { low: number; high: number; innerLow: number; innerHigh: number },
): void {
  let low = Infinity;
  let high = -Infinity;
  const cut = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0, k = xs.length - 1; i < xs.length; k = i++) {
    if (ys[i] >= yLow && ys[i] <= yHigh) {
      if (xs[i] < low) low = xs[i];
      if (xs[i] > high) high = xs[i];
    }
    for (let side = 0; side < 2; side++) {
      const y = side === 0 ? yLow : yHigh;
      if (ys[k] > y === ys[i] > y) continue;
      const x = xs[k] + ((xs[i] - xs[k]) * (y - ys[k])) / (ys[i] - ys[k]);
      if (x < cut[2 * side]) cut[2 * side] = x;
      if (x > cut[2 * side + 1]) cut[2 * side + 1] = x;
      if (x < low) low = x;
      if (x > high) high = x;
    }
  }
  span.low = low;
  span.high = high;
  span.innerLow = Math.max(cut[0], cut[2]);
  span.innerHigh = Math.min(cut[1], cut[3]);
}

/** Collects the half-planes that a cell is not wholly inside of; false when it lies wholly outside of one. */
function openPlanes(
  { a, b, c }: ShiftPolygon,
  first: number,
  [xLow, xHigh, yLow, yHigh]: readonly [number, number, number, number],
  open: number[],
): boolean {
  open.length = 0;
  for (let e = 0; e < a.length; e++) {
    const ae = a[e];
    const be = b[e];
    const least = ae * (ae > 0 ? xLow : xHigh) + be * (be > 0 ? yLow : yHigh);
    if (least > c[e] + 1) return false;
    const most = ae * (ae > 0 ? xHigh : xLow) + be * (be > 0 ? yHigh : yLow);
    if (most >= c[e] - 1) open.push(first + e);
  }
  return true;
}

/** True when a position in an undecided cell lies inside one of the polygons. */
export function hitsInside(
  refs: Int32Array,
  planes: Float64Array,
  at: number,
  x: number,
  y: number,
): boolean {
  let k = at + 1;
  for (let polygon = refs[at]; polygon > 0; polygon--) {
    let left = refs[k++];
    const next = k + left;
    while (left > 0) {
      const p = 3 * refs[k];
      if (planes[p] * x + planes[p + 1] * y >= planes[p + 2]) break;
      k++;
      left--;
    }
    if (left === 0) return true;
    k = next;
  }
  return false;
}

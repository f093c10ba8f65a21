import { gridBox } from "./grid";
import { createOverlapMeasure, decayFor, pairPolygons, polygonBox, type Decay } from "./pair-overlap";
import { PER_LINE, type Probe } from "./probe";
import { turnGrid, type OrientedShape, type Shape } from "./shape";
import { hitsInside } from "./shift-cells";

/** Cells along each side of a table, when there are few and when there are thousands of tables. */
const FINE_CELLS = 64;
const COARSE_CELLS = 32;
const MANY_ORIENTED = 120;
/** Cells along each side of a cell of the measure, which is smooth. */
const LOSS_CELL = 2;

const CLEAR = 0;
const HIT = 1;
const OPEN = 2;
const UNKNOWN = 3;

/**
 * Tables over the shifts of two oriented shapes, in a few flat arrays. A pair's half-planes are made when it is first
 * asked for; each cell, and the measure at its corners, when a look-up first falls there: a search visits a small part
 * of most tables. Two bits a cell keep what most look-ups touch in the cache.
 *
 * Tried before: whole tables built at once (2 to 10 ms a pair: seconds before the first answer with forty different
 * panels); one object a table with a number a cell (half the speed).
 */
export class PairStore {
  readonly cells: number;
  private readonly perCode: number;
  private readonly perTable: number;
  private readonly lossRow: number;
  private readonly perLoss: number;
  /** Two bits a cell: clear, hit, open (half-planes decide), not known yet; tables one after the other. */
  private codes: Uint8Array;
  /** Where the half-planes of the open cells of a table are listed; made with its first open cell. */
  private readonly offsets: (Int32Array | undefined)[] = [];
  /** x0, y0, cells per step in x and y of each table. */
  private head = new Float64Array(16 * 4);
  private loss: Float32Array;
  private refs = new Int32Array(4096);
  private planes = new Float64Array(4096);
  /** First half-plane of each polygon and, last, one past the end. */
  private firstPlane = new Int32Array(1024);
  /** Lowest and highest x, lowest and highest y of each polygon. */
  private polygonBoxes = new Float64Array(4096);
  /** First polygon of each table, one past its last; −1 until a look-up asks. */
  private polygonSpans = new Int32Array(32);
  private refCount = 0;
  private polygonCount = 0;
  private count = 0;
  private readonly overlaps: (((dx: number, dy: number) => number) | undefined)[] = [];
  private readonly pairs: (readonly [Shape, Shape, number])[] = [];
  private readonly found: number[] = [];
  private readonly boxes = new Map<number, ReturnType<typeof gridBox>>();
  /** For each ordered pair of oriented shapes: twice its table, plus 1 when the second is the frame; −1 unknown. */
  private readonly entries: Int32Array;
  private readonly known = new Map<number, number>();
  private readonly decay: Decay;
  private readonly cos: Float64Array;
  private readonly sin: Float64Array;

  constructor(
    private readonly shapes: readonly Shape[],
    private readonly oriented: readonly OrientedShape[],
    private readonly gap: number,
  ) {
    this.entries = new Int32Array(oriented.length ** 2).fill(-1);
    this.decay = decayFor(oriented.map(({ shape }) => shapes[shape]));
    this.cos = Float64Array.from(oriented, (o) => o.cos);
    this.sin = Float64Array.from(oriented, (o) => o.sin);
    this.cells = oriented.length > MANY_ORIENTED ? COARSE_CELLS : FINE_CELLS;
    this.perTable = this.cells ** 2;
    this.perCode = this.perTable / 4;
    this.lossRow = this.cells / LOSS_CELL + 1;
    this.perLoss = this.lossRow ** 2;
    this.codes = new Uint8Array(16 * this.perCode);
    this.loss = new Float32Array(16 * this.perLoss);
  }

  /** Overlap measure of two oriented shapes at their reference points: 0 when they keep the gap. */
  measure(p: number, px: number, py: number, q: number, qx: number, qy: number): number {
    let entry = this.entries[p * this.cos.length + q];
    if (entry < 0) entry = this.open(p, q);
    const swap = entry & 1;
    const frame = swap === 1 ? q : p;
    const dx = swap === 1 ? px - qx : qx - px;
    const dy = swap === 1 ? py - qy : qy - py;
    const c = this.cos[frame];
    const s = this.sin[frame];
    const x = c * dx + s * dy;
    const y = c * dy - s * dx;
    const t = entry >> 1;
    const u = (x - this.head[4 * t]) * this.head[4 * t + 2];
    const v = (y - this.head[4 * t + 1]) * this.head[4 * t + 3];
    const { cells } = this;
    if (!(u >= 0 && v >= 0 && u < cells && v < cells)) return 0;
    const own = (v | 0) * cells + (u | 0);
    const cell = t * this.perTable + own;
    let code = (this.codes[cell >> 2] >> ((cell & 3) << 1)) & 3;
    if (code === UNKNOWN) code = this.decide(t, u | 0, v | 0);
    if (code === CLEAR) return 0;
    if (code === OPEN && !hitsInside(this.refs, this.planes, this.offsets[t]![own], x, y)) return 0;
    return this.lossAt(t, u, v);
  }

  /** Sum of the weighted overlap measures of a probe at a position, left unfinished beyond `bound`. */
  weigh({ count, lines, tables, weights }: Probe, atX: number, atY: number, bound: number): number {
    const { cells, perTable, codes, offsets, head, loss, perLoss, lossRow } = this;
    let sum = 0;
    for (let k = 0, o = 0; k < count; k++, o += PER_LINE) {
      const u = lines[o] + lines[o + 1] * atX + lines[o + 2] * atY;
      if (!(u >= 0 && u < cells)) continue;
      const v = lines[o + 3] + lines[o + 4] * atX + lines[o + 5] * atY;
      if (!(v >= 0 && v < cells)) continue;
      const t = tables[k];
      const own = (v | 0) * cells + (u | 0);
      const cell = t * perTable + own;
      let code = (codes[cell >> 2] >> ((cell & 3) << 1)) & 3;
      if (code === CLEAR) continue;
      if (code === UNKNOWN) code = this.decide(t, u | 0, v | 0);
      if (code === CLEAR) continue;
      if (code === OPEN) {
        // Back from cells to steps: off by far less than the half step that the half-planes have to spare.
        const x = head[4 * t] + u / head[4 * t + 2];
        const y = head[4 * t + 1] + v / head[4 * t + 3];
        if (!hitsInside(this.refs, this.planes, offsets[t]![own], x, y)) continue;
      }
      // As lossAt, in place: this is where the search spends its time.
      const lu = u / LOSS_CELL;
      const lv = v / LOSS_CELL;
      const fu = lu - (lu | 0);
      const low = t * perLoss + (lv | 0) * lossRow + (lu | 0);
      const high = low + lossRow;
      const under = loss[low] + fu * (loss[low + 1] - loss[low]);
      const over = loss[high] + fu * (loss[high + 1] - loss[high]);
      const value = under + (lv - (lv | 0)) * (over - under);
      sum += (value === value ? value : this.lossAt(t, u, v)) * weights[k];
      if (sum > bound) return sum;
    }
    return sum;
  }

  /** Adds another item to a probe. */
  link(probe: Probe, k: number, q: number, qx: number, qy: number): void {
    const p = probe.room.oriented;
    let entry = this.entries[p * this.cos.length + q];
    if (entry < 0) entry = this.open(p, q);
    const frame = (entry & 1) === 1 ? q : p;
    const sign = (entry & 1) === 1 ? 1 : -1;
    const c = this.cos[frame];
    const s = this.sin[frame];
    const h = 4 * (entry >> 1);
    const [perX, perY] = [this.head[h + 2], this.head[h + 3]];
    const o = PER_LINE * k;
    const { lines } = probe;
    lines[o] = (-sign * (c * qx + s * qy) - this.head[h]) * perX;
    lines[o + 1] = sign * c * perX;
    lines[o + 2] = sign * s * perX;
    lines[o + 3] = (-sign * (c * qy - s * qx) - this.head[h + 1]) * perY;
    lines[o + 4] = -sign * s * perY;
    lines[o + 5] = sign * c * perY;
    probe.tables[k] = entry >> 1;
  }

  /** The measure of a table at a place in cells, between the corners of its cell. */
  private lossAt(t: number, u: number, v: number): number {
    const lu = u / LOSS_CELL;
    const lv = v / LOSS_CELL;
    const i = lu | 0;
    const j = lv | 0;
    const { loss } = this;
    const k = t * this.perLoss + j * this.lossRow + i;
    const up = k + this.lossRow;
    const fu = lu - i;
    const low = loss[k] + fu * (loss[k + 1] - loss[k]);
    const high = loss[up] + fu * (loss[up + 1] - loss[up]);
    const value = low + (lv - j) * (high - low);
    if (value === value) return value;
    this.fillCorners(t, i, j);
    return this.lossAt(t, u, v);
  }

  /** Works out the measure at the four corners of a cell. */
  private fillCorners(t: number, i: number, j: number): void {
    for (let corner = 0; corner < 4; corner++) {
      const ci = i + (corner & 1);
      const cj = j + (corner >> 1);
      const k = t * this.perLoss + cj * this.lossRow + ci;
      if (this.loss[k] === this.loss[k]) continue;
      const x = this.head[4 * t] + (ci * LOSS_CELL) / this.head[4 * t + 2];
      const y = this.head[4 * t + 1] + (cj * LOSS_CELL) / this.head[4 * t + 3];
      const overlap = (this.overlaps[t] ??= createOverlapMeasure(...this.pairs[t], this.decay));
      this.loss[k] = overlap(x, y);
    }
  }

  /** Sorts one cell of a table into clear, hit or open against the pair's polygons, and keeps the answer. */
  private decide(t: number, i: number, j: number): number {
    const w = 1 / this.head[4 * t + 2];
    const h = 1 / this.head[4 * t + 3];
    // A step wider than the cell, so that rounding in the look-up cannot reach a cell that was judged without it.
    const xLow = this.head[4 * t] + i * w - 1;
    const yLow = this.head[4 * t + 1] + j * h - 1;
    const xHigh = xLow + w + 2;
    const yHigh = yLow + h + 2;
    const { found } = this;
    found.length = 0;
    let code = CLEAR;
    let polygons = 0;
    if (this.polygonSpans[2 * t] < 0) this.addPolygons(t);
    const { polygonBoxes } = this;
    const end = this.polygonSpans[2 * t + 1];
    for (let g = this.polygonSpans[2 * t]; g < end; g++) {
      if (polygonBoxes[4 * g] > xHigh || polygonBoxes[4 * g + 1] < xLow) continue;
      if (polygonBoxes[4 * g + 2] > yHigh || polygonBoxes[4 * g + 3] < yLow) continue;
      const before = found.length;
      if (!this.openPlanes(g, xLow, xHigh, yLow, yHigh)) {
        found.length = before;
        continue;
      }
      if (found.length === before + 1) {
        code = HIT;
        break;
      }
      code = OPEN;
      polygons++;
      found[before] = found.length - before - 1;
    }
    const own = j * this.cells + i;
    const cell = t * this.perTable + own;
    const bits = (cell & 3) << 1;
    this.codes[cell >> 2] = (this.codes[cell >> 2] & ~(3 << bits)) | (code << bits);
    if (code === OPEN) this.list(t, own, polygons);
    return code;
  }

  /** Appends a place for their number and the half-planes that a cell is not wholly inside of; false: wholly outside. */
  private openPlanes(g: number, xLow: number, xHigh: number, yLow: number, yHigh: number): boolean {
    const { planes, found } = this;
    found.push(0);
    for (let e = this.firstPlane[g]; e < this.firstPlane[g + 1]; e++) {
      const a = planes[3 * e];
      const b = planes[3 * e + 1];
      const c = planes[3 * e + 2];
      if (a * (a > 0 ? xLow : xHigh) + b * (b > 0 ? yLow : yHigh) > c + 1) return false;
      if (a * (a > 0 ? xHigh : xLow) + b * (b > 0 ? yHigh : yLow) >= c - 2) found.push(e);
    }
    return true;
  }

  private list(t: number, own: number, polygons: number): void {
    const { found } = this;
    this.refs = grown(this.refs, this.refCount + found.length + 1);
    (this.offsets[t] ??= new Int32Array(this.perTable))[own] = this.refCount;
    this.refs[this.refCount++] = polygons;
    for (const ref of found) this.refs[this.refCount++] = ref;
  }

  private open(p: number, q: number): number {
    // The table is that of the lower shape index as drawn; the other is seen from it.
    const swap = this.oriented[p].shape > this.oriented[q].shape;
    const A = this.oriented[swap ? q : p];
    const B = this.oriented[swap ? p : q];
    const turn = (((B.turn - A.turn) % 360) + 360) % 360;
    const key = (A.shape * this.shapes.length + B.shape) * 360_000 + Math.round(turn * 1000);
    let table = this.known.get(key);
    if (table === undefined) {
      table = this.append(A, B, turn);
      this.known.set(key, table);
    }
    return (this.entries[p * this.cos.length + q] = 2 * table + (swap ? 1 : 0));
  }

  private append(A: OrientedShape, B: OrientedShape, turn: number): number {
    const t = this.count++;
    this.codes = grown(this.codes, (t + 1) * this.perCode);
    this.codes.fill(255, t * this.perCode, (t + 1) * this.perCode);
    this.offsets.push(undefined);
    this.head = grown(this.head, 4 * (t + 1));
    this.loss = grown(this.loss, (t + 1) * this.perLoss);
    this.loss.fill(NaN, t * this.perLoss, (t + 1) * this.perLoss);
    this.polygonSpans = grown(this.polygonSpans, 2 * t + 2);
    this.polygonSpans[2 * t] = -1;
    this.pairs.push([this.shapes[A.shape], this.shapes[B.shape], turn]);
    const a = this.boxOf(A.shape, 0);
    const b = this.boxOf(B.shape, turn);
    // The sums of convex parts reach no further than the boxes, the gap's polygon and rounding let them.
    const reach = 1.03 * this.gap + 4;
    const minX = a.minX - b.maxX - reach;
    const minY = a.minY - b.maxY - reach;
    const perX = this.cells / (a.maxX - b.minX + reach - minX);
    const perY = this.cells / (a.maxY - b.minY + reach - minY);
    this.head.set([minX, minY, perX, perY], 4 * t);
    return t;
  }

  private boxOf(shape: number, turn: number): ReturnType<typeof gridBox> {
    const key = shape * 360_000 + Math.round(turn * 1000);
    let box = this.boxes.get(key);
    if (box === undefined) {
      box = gridBox(turnGrid(this.shapes[shape].outer, turn));
      this.boxes.set(key, box);
    }
    return box;
  }

  private addPolygons(t: number): void {
    const [A, B, turn] = this.pairs[t];
    const polygons = pairPolygons(A, B, turn, this.gap);
    const total = this.polygonCount + polygons.length;
    this.firstPlane = grown(this.firstPlane, total + 1);
    this.polygonBoxes = grown(this.polygonBoxes, 4 * total);
    this.polygonSpans[2 * t] = this.polygonCount;
    this.polygonSpans[2 * t + 1] = total;
    for (const polygon of polygons) {
      const g = this.polygonCount++;
      const { minX, maxX, minY, maxY } = polygonBox(polygon);
      this.polygonBoxes.set([minX, maxX, minY, maxY], 4 * g);
      const { a, b, c } = polygon;
      const from = this.firstPlane[g];
      this.planes = grown(this.planes, 3 * (from + a.length));
      // Grid positions and whole sides make the left side whole: half a step decides between < and ≤. Without a gap
      // touching is a hit; with one, keeping exactly the gap is none (the hundredth takes up rounding).
      const slack = this.gap === 0 ? 0.5 : -0.01;
      for (let e = 0; e < a.length; e++) {
        this.planes[3 * (from + e)] = a[e];
        this.planes[3 * (from + e) + 1] = b[e];
        this.planes[3 * (from + e) + 2] = c[e] + slack;
      }
      this.firstPlane[g + 1] = from + a.length;
    }
  }
}

/** The array itself when long enough, else a copy of at least twice the length. */
function grown<T extends Uint8Array | Int32Array | Float32Array | Float64Array>(array: T, length: number): T {
  if (array.length >= length) return array;
  const next = new (array.constructor as new (n: number) => T)(Math.max(length, 2 * array.length));
  next.set(array);
  return next;
}

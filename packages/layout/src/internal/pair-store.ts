import { createPairTable, CELLS, LOSS_CELL } from "./pair-table";
import type { OrientedShape, Shape } from "./shape";
import { CLEAR, HIT, hitsInside } from "./shift-cells";

const PER_TABLE = CELLS * CELLS;
const PER_CODE = PER_TABLE / 4;
const LOSS_ROW = CELLS / LOSS_CELL + 1;
const PER_LOSS = LOSS_ROW * LOSS_ROW;
const LOSS_SCALE = 1 / LOSS_CELL;

/**
 * All pair tables of a world in a few flat arrays, built when first asked for. Two bits a cell (1 kB a table) keep
 * what most look-ups touch in the cache: twice the speed of one object a table with a number a cell.
 */
export class PairStore {
  /** Two bits a cell: 0 clear, 1 hit, 2 to be decided by half-planes; four cells a byte, tables one after the other. */
  private codes = new Uint8Array(16 * PER_CODE);
  /** Where the half-planes of an undecided cell are listed. */
  private offsets = new Int32Array(16 * PER_TABLE);
  /** x0, y0, cells per step in x and y of each table. */
  private head = new Float64Array(16 * 4);
  private loss = new Float32Array(16 * PER_LOSS);
  private refs = new Int32Array(4096);
  private planes = new Float64Array(4096);
  private refCount = 0;
  private planeCount = 0;
  private count = 0;
  /** For each ordered pair of oriented shapes: twice its table, plus 1 when the second is the frame; −1 unknown. */
  private readonly entries: Int32Array;
  private readonly known = new Map<number, number>();
  private readonly cos: Float64Array;
  private readonly sin: Float64Array;

  constructor(
    private readonly shapes: readonly Shape[],
    private readonly oriented: readonly OrientedShape[],
    private readonly gap: number,
  ) {
    this.entries = new Int32Array(oriented.length ** 2).fill(-1);
    this.cos = Float64Array.from(oriented, (o) => o.cos);
    this.sin = Float64Array.from(oriented, (o) => o.sin);
  }

  /** Overlap measure of two oriented shapes at their reference points: 0 when they keep the gap. */
  measure(p: number, px: number, py: number, q: number, qx: number, qy: number): number {
    let entry = this.entries[p * this.cos.length + q];
    if (entry < 0) entry = this.build(p, q);
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
    if (!(u >= 0 && v >= 0 && u < CELLS && v < CELLS)) return 0;
    const cell = t * PER_TABLE + (v | 0) * CELLS + (u | 0);
    const code = (this.codes[cell >> 2] >> ((cell & 3) << 1)) & 3;
    if (code === 0) return 0;
    if (code === 2 && !hitsInside(this.refs, this.planes, this.offsets[cell], x, y)) return 0;
    const lu = u * LOSS_SCALE;
    const lv = v * LOSS_SCALE;
    const k = t * PER_LOSS + (lv | 0) * LOSS_ROW + (lu | 0);
    const fu = lu - (lu | 0);
    const { loss } = this;
    const low = loss[k] + fu * (loss[k + 1] - loss[k]);
    const high = loss[k + LOSS_ROW] + fu * (loss[k + LOSS_ROW + 1] - loss[k + LOSS_ROW]);
    return low + (lv - (lv | 0)) * (high - low);
  }

  private build(p: number, q: number): number {
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
    const table = createPairTable(this.shapes[A.shape], this.shapes[B.shape], turn, this.gap);
    const t = this.count++;
    this.codes = grown(this.codes, (t + 1) * PER_CODE);
    this.offsets = grown(this.offsets, (t + 1) * PER_TABLE);
    this.head = grown(this.head, 4 * (t + 1));
    this.loss = grown(this.loss, (t + 1) * PER_LOSS);
    this.refs = grown(this.refs, this.refCount + table.refs.length);
    this.planes = grown(this.planes, this.planeCount + table.planes.length);
    this.head.set([table.x0, table.y0, table.perX, table.perY], 4 * t);
    this.loss.set(table.loss, t * PER_LOSS);
    this.planes.set(table.planes, this.planeCount);
    table.cells.forEach((code, cell) => {
      const at = t * PER_TABLE + cell;
      this.codes[at >> 2] |= (code === CLEAR ? 0 : code === HIT ? 1 : 2) << ((at & 3) << 1);
      if (code >= 0) this.offsets[at] = this.refCount + code;
    });
    this.copyRefs(table.refs, this.planeCount / 3);
    this.planeCount += table.planes.length;
    return t;
  }

  /** Copies half-plane lists, their indices moved to where the planes now stand. */
  private copyRefs(refs: Int32Array, shift: number): void {
    let k = 0;
    const out = this.refs;
    const base = this.refCount;
    while (k < refs.length) {
      let polygons = (out[base + k] = refs[k]);
      k++;
      for (; polygons > 0; polygons--) {
        const sides = (out[base + k] = refs[k]);
        k++;
        for (let e = 0; e < sides; e++, k++) out[base + k] = refs[k] + shift;
      }
    }
    this.refCount += refs.length;
  }
}

/** The array itself when long enough, else a copy of at least twice the length. */
function grown<T extends Uint8Array | Int32Array | Float32Array | Float64Array>(array: T, length: number): T {
  if (array.length >= length) return array;
  const next = new (array.constructor as new (n: number) => T)(Math.max(length, 2 * array.length));
  next.set(array);
  return next;
}

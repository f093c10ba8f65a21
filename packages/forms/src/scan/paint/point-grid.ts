import type { Vec } from "./vector";

/** Points in cells, for finding those near a place. */
export class PointGrid {
  private readonly flat: ArrayLike<number>;
  /** Points of slot s: `list[start[s]] … list[start[s + 1] − 1]`, in rising order. Cells that share a slot only cost time. */
  private readonly start: Int32Array;
  private readonly list: Int32Array;
  private readonly mask: number;
  private readonly slots = new Int32Array(27);

  /**
   * @param points - places, or x, y, z of each in turn
   * @param cell - how far {@link near} looks
   */
  constructor(
    points: readonly Vec[] | Float64Array,
    private readonly cell: number,
  ) {
    const flat = points instanceof Float64Array ? points : Float64Array.from(points.flat());
    const count = flat.length / 3;
    let size = 16;
    while (size < 2 * count) size *= 2;
    this.flat = flat;
    this.mask = size - 1;
    this.start = new Int32Array(size + 1);
    this.list = new Int32Array(count);
    const slotOf = new Int32Array(count);
    for (let i = 0; i < count; i++) {
      slotOf[i] = this.slot(
        Math.floor(flat[3 * i] / cell),
        Math.floor(flat[3 * i + 1] / cell),
        Math.floor(flat[3 * i + 2] / cell),
      );
      this.start[slotOf[i] + 1]++;
    }
    for (let s = 0; s < size; s++) this.start[s + 1] += this.start[s];
    const fill = this.start.slice(0, size);
    for (let i = 0; i < count; i++) this.list[fill[slotOf[i]]++] = i;
  }

  private slot(x: number, y: number, z: number): number {
    const key = Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791);
    return (key ^ (key >>> 15)) & this.mask;
  }

  /** The nearest point within one cell's width that `allow` accepts; −1 for none. */
  nearest(p: Vec, allow?: (index: number) => boolean): number {
    let best = -1;
    let least = this.cell * this.cell;
    this.near(p, (i, square) => {
      if (square < least && (!allow || allow(i))) {
        least = square;
        best = i;
      }
    });
    return best;
  }

  /** Whether any point lies within one cell's width. */
  anyNear(p: Vec): boolean {
    let found = false;
    this.near(p, () => (found = true));
    return found;
  }

  /** Calls back with every point within one cell's width and its squared distance. */
  near(p: Vec, take: (index: number, square: number) => void): void {
    const { flat, start, list, slots, cell } = this;
    const x = Math.floor(p[0] / cell);
    const y = Math.floor(p[1] / cell);
    const z = Math.floor(p[2] / cell);
    const most = cell * cell;
    let used = 0;
    for (let i = -1; i <= 1; i++) {
      for (let j = -1; j <= 1; j++) {
        for (let k = -1; k <= 1; k++) {
          const slot = this.slot(x + i, y + j, z + k);
          if (start[slot] === start[slot + 1]) continue;
          let s = 0;
          while (s < used && slots[s] !== slot) s++;
          if (s < used) continue;
          slots[used++] = slot;
          for (let at = start[slot]; at < start[slot + 1]; at++) {
            const index = list[at];
            const dx = flat[3 * index] - p[0];
            const dy = flat[3 * index + 1] - p[1];
            const dz = flat[3 * index + 2] - p[2];
            const square = dx * dx + dy * dy + dz * dz;
            if (square <= most) take(index, square);
          }
        }
      }
    }
  }
}

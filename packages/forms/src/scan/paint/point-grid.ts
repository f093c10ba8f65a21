import type { Vec } from "./vector";

/** Points in cells, for finding those near a place. */
export class PointGrid {
  private readonly cells = new Map<number, number[]>();

  constructor(
    private readonly points: readonly Vec[],
    private readonly cell: number,
  ) {
    points.forEach((p, i) => {
      const key = this.key(...this.cellOf(p));
      const list = this.cells.get(key);
      if (list) list.push(i);
      else this.cells.set(key, [i]);
    });
  }

  private cellOf(p: Vec): Vec {
    return [Math.floor(p[0] / this.cell), Math.floor(p[1] / this.cell), Math.floor(p[2] / this.cell)];
  }

  /** Cells that share a key only cost time. */
  private key(x: number, y: number, z: number): number {
    return (Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791)) | 0;
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

  /** Calls back with every point within one cell's width and its squared distance. */
  near(p: Vec, take: (index: number, square: number) => void): void {
    const [x, y, z] = this.cellOf(p);
    const most = this.cell * this.cell;
    const seen = new Set<number>();
    for (let i = -1; i <= 1; i++) {
      for (let j = -1; j <= 1; j++) {
        for (let k = -1; k <= 1; k++) {
          const key = this.key(x + i, y + j, z + k);
          if (seen.has(key)) continue;
          seen.add(key);
          for (const index of this.cells.get(key) ?? []) {
            const q = this.points[index];
            const square = (q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2 + (q[2] - p[2]) ** 2;
            if (square <= most) take(index, square);
          }
        }
      }
    }
  }
}

import { pointInGrid, type GridOutline } from "./grid";
import type { Border } from "./room-table";

/**
 * True when an outline moved to (x, y) keeps clear of borders, asked directly: for a first filling, that tries few
 * positions, tables would cost more than they save. Asks a little more than a table, so that its yes holds there too.
 */
export function keepsClear(borders: readonly Border[], ring: GridOutline, x: number, y: number): boolean {
  const { xs, ys } = ring;
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < xs.length; i++) {
    minX = Math.min(minX, xs[i] + x);
    maxX = Math.max(maxX, xs[i] + x);
    minY = Math.min(minY, ys[i] + y);
    maxY = Math.max(maxY, ys[i] + y);
  }
  for (const { outline, keep, gap } of borders) {
    if (pointInGrid(xs[0] + x, ys[0] + y, outline) !== (keep === "inside")) return false;
    // A table's disc has 16 sides and reaches 2 % further than the gap; two steps take up rounding.
    const reach = 1.03 * gap + 2;
    const { xs: bx, ys: by } = outline;
    for (let k = 0, l = bx.length - 1; k < bx.length; l = k++) {
      if (Math.max(bx[k], bx[l]) < minX - reach || Math.min(bx[k], bx[l]) > maxX + reach) continue;
      if (Math.max(by[k], by[l]) < minY - reach || Math.min(by[k], by[l]) > maxY + reach) continue;
      const side = [bx[l] - x, by[l] - y, bx[k] - x, by[k] - y] as const;
      if (sideComesNear(ring, side, reach)) return false;
    }
    // A border wholly inside the outline crosses no side of it.
    if (keep === "outside" && pointInGrid(bx[0] - x, by[0] - y, ring)) return false;
  }
  return true;
}

type Side = readonly [number, number, number, number];

function sideComesNear({ xs, ys }: GridOutline, side: Side, reach: number): boolean {
  const [ax, ay, bx, by] = side;
  const minX = Math.min(ax, bx) - reach;
  const maxX = Math.max(ax, bx) + reach;
  const minY = Math.min(ay, by) - reach;
  const maxY = Math.max(ay, by) + reach;
  for (let i = 0, j = xs.length - 1; i < xs.length; j = i++) {
    if ((xs[i] < minX && xs[j] < minX) || (xs[i] > maxX && xs[j] > maxX)) continue;
    if ((ys[i] < minY && ys[j] < minY) || (ys[i] > maxY && ys[j] > maxY)) continue;
    const [cx, cy, dx, dy] = [xs[j], ys[j], xs[i], ys[i]];
    const c = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    const d = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax);
    const a = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx);
    const b = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx);
    if (c >= 0 !== d >= 0 && a >= 0 !== b >= 0) return true;
    const near = reach * reach;
    if (squareToSide(cx, cy, ax, ay, bx, by) <= near || squareToSide(dx, dy, ax, ay, bx, by) <= near)
      return true;
    if (squareToSide(ax, ay, cx, cy, dx, dy) <= near || squareToSide(bx, by, cx, cy, dx, dy) <= near)
      return true;
  }
  return false;
}

function squareToSide(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax;
  const uy = by - ay;
  const length = ux * ux + uy * uy;
  const t = length === 0 ? 0 : Math.min(1, Math.max(0, ((px - ax) * ux + (py - ay) * uy) / length));
  return (px - ax - t * ux) ** 2 + (py - ay - t * uy) ** 2;
}

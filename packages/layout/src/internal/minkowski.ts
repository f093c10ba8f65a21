import type { GridOutline } from "./grid";

/**
 * Half-planes a·x + b·y ≤ c of convex A ⊕ (−B) ⊕ (regular polygon round a disc of radius `gap`): the shifts of B
 * against A at which they lie closer than the gap. `vertices` is its outline.
 */
export interface ShiftPolygon {
  readonly a: Float64Array;
  readonly b: Float64Array;
  readonly c: Float64Array;
  readonly vertices: GridOutline;
}

/** Sides of the polygon drawn round the gap's disc. It reaches beyond the disc by 1/cos(π/16) − 1 = 2 %. */
const DISC_SIDES = 16;
/** A gap that only takes up rounding is drawn round with a square. */
const ROUNDING_STEPS = 8;

/** Sum of convex A and −B, grown by `gap` (grid steps). A two-point "polygon" (a segment) is allowed. */
export function shiftPolygon(A: GridOutline, B: GridOutline, gap: number): ShiftPolygon {
  const sides: { dx: number; dy: number; angle: number }[] = [];
  let startX = 0;
  let startY = 0;
  const add = (xs: ArrayLike<number>, ys: ArrayLike<number>, sign: number): void => {
    const n = xs.length;
    let low = 0;
    for (let i = 0; i < n; i++) {
      const dx = sign * (xs[(i + 1) % n] - xs[i]);
      const dy = sign * (ys[(i + 1) % n] - ys[i]);
      if (dx !== 0 || dy !== 0) sides.push({ dx, dy, angle: turnFromEast(dx, dy) });
      const better = sign * (ys[i] - ys[low]);
      if (better < 0 || (better === 0 && sign * (xs[i] - xs[low]) < 0)) low = i;
    }
    startX += sign * xs[low];
    startY += sign * ys[low];
  };
  add(A.xs, A.ys, 1);
  add(B.xs, B.ys, -1);
  if (gap > 0) {
    const disc = discPolygon(gap);
    add(disc.xs, disc.ys, 1);
  }
  sides.sort((p, q) => p.angle - q.angle);
  return fromSides(sides, startX, startY);
}

/** Grows with the angle of a direction from +x in [0, 4); cheaper than atan2 and exact at the quarter turns. */
function turnFromEast(dx: number, dy: number): number {
  const size = Math.abs(dx) + Math.abs(dy);
  const t = dy / size;
  return dx >= 0 ? (dy >= 0 ? t : 4 + t) : 2 - t;
}

const UNIT_ANGLES = Array.from({ length: DISC_SIDES }, (_, k) => ((2 * k + 1) * Math.PI) / DISC_SIDES);
const UNIT_X = UNIT_ANGLES.map(Math.cos);
const UNIT_Y = UNIT_ANGLES.map(Math.sin);

function discPolygon(radius: number): GridOutline {
  if (radius <= ROUNDING_STEPS) {
    const r = Math.ceil(radius);
    return { xs: Float64Array.of(-r, r, r, -r), ys: Float64Array.of(-r, -r, r, r) };
  }
  const outer = radius / Math.cos(Math.PI / DISC_SIDES);
  return { xs: Float64Array.from(UNIT_X, (c) => outer * c), ys: Float64Array.from(UNIT_Y, (c) => outer * c) };
}

function fromSides(sides: { dx: number; dy: number }[], x: number, y: number): ShiftPolygon {
  const kept: { dx: number; dy: number }[] = [];
  for (const { dx, dy } of sides) {
    const last = kept[kept.length - 1];
    if (last !== undefined && last.dx * dy - last.dy * dx === 0 && last.dx * dx + last.dy * dy > 0) {
      last.dx += dx;
      last.dy += dy;
    } else kept.push({ dx, dy });
  }
  const n = kept.length;
  const a = new Float64Array(n);
  const b = new Float64Array(n);
  const c = new Float64Array(n);
  const xs = new Float64Array(n);
  const ys = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    xs[i] = x;
    ys[i] = y;
    a[i] = kept[i].dy;
    b[i] = -kept[i].dx;
    c[i] = a[i] * x + b[i] * y;
    x += kept[i].dx;
    y += kept[i].dy;
  }
  return { a, b, c, vertices: { xs, ys } };
}

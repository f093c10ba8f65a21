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
  const most = A.xs.length + B.xs.length + DISC_SIDES;
  const sides: Sides = {
    dx: new Float64Array(most),
    dy: new Float64Array(most),
    angle: new Float64Array(most),
    count: 0,
    x: 0,
    y: 0,
  };
  addSides(sides, A, 1);
  addSides(sides, B, -1);
  if (gap > 0) addSides(sides, gap <= ROUNDING_STEPS ? UNIT_SQUARE : UNIT_DISC, gap);
  return fromSides(sides);
}

/** Sides in order of their angle, and the corner where they start. */
interface Sides {
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly angle: Float64Array;
  count: number;
  x: number;
  y: number;
}

/** Puts the sides of a convex outline (times `scale`) where their angles belong; they come nearly in order. */
function addSides(sides: Sides, { xs, ys }: GridOutline, scale: number): void {
  const { dx, dy, angle } = sides;
  const n = xs.length;
  let low = 0;
  for (let i = 1; i < n; i++) {
    const better = scale * (ys[i] - ys[low]);
    if (better < 0 || (better === 0 && scale * (xs[i] - xs[low]) < 0)) low = i;
  }
  sides.x += scale * xs[low];
  sides.y += scale * ys[low];
  // From the steepest down, so that each side meets few that must make way.
  for (let m = n - 1, room = sides.count; m >= 0; m--) {
    const i = (low + m) % n;
    const j = i + 1 === n ? 0 : i + 1;
    const x = scale * (xs[j] - xs[i]);
    const y = scale * (ys[j] - ys[i]);
    if (x === 0 && y === 0) continue;
    const turn = turnFromEast(x, y);
    while (room > 0 && angle[room - 1] > turn) room--;
    while (room < sides.count && angle[room] <= turn) room++;
    for (let k = sides.count; k > room; k--) {
      dx[k] = dx[k - 1];
      dy[k] = dy[k - 1];
      angle[k] = angle[k - 1];
    }
    dx[room] = x;
    dy[room] = y;
    angle[room] = turn;
    sides.count++;
  }
}

/** Grows with the angle of a direction from +x in [0, 4); cheaper than atan2 and exact at the quarter turns. */
function turnFromEast(dx: number, dy: number): number {
  const size = Math.abs(dx) + Math.abs(dy);
  const t = dy / size;
  return dx >= 0 ? (dy >= 0 ? t : 4 + t) : 2 - t;
}

const UNIT_ANGLES = Array.from({ length: DISC_SIDES }, (_, k) => ((2 * k + 1) * Math.PI) / DISC_SIDES);
const UNIT_DISC: GridOutline = {
  xs: Float64Array.from(UNIT_ANGLES, (t) => Math.cos(t) / Math.cos(Math.PI / DISC_SIDES)),
  ys: Float64Array.from(UNIT_ANGLES, (t) => Math.sin(t) / Math.cos(Math.PI / DISC_SIDES)),
};
const UNIT_SQUARE: GridOutline = { xs: Float64Array.of(-1, 1, 1, -1), ys: Float64Array.of(-1, -1, 1, 1) };

function fromSides({ dx, dy, count, x, y }: Sides): ShiftPolygon {
  let n = 0;
  for (let i = 0; i < count; i++) {
    const last = n - 1;
    if (last >= 0 && dx[last] * dy[i] === dy[last] * dx[i] && dx[last] * dx[i] + dy[last] * dy[i] > 0) {
      dx[last] += dx[i];
      dy[last] += dy[i];
    } else {
      dx[n] = dx[i];
      dy[n++] = dy[i];
    }
  }
  const a = new Float64Array(n);
  const b = new Float64Array(n);
  const c = new Float64Array(n);
  const xs = new Float64Array(n);
  const ys = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    xs[i] = x;
    ys[i] = y;
    a[i] = dy[i];
    b[i] = -dx[i];
    c[i] = a[i] * x + b[i] * y;
    x += dx[i];
    y += dy[i];
  }
  return { a, b, c, vertices: { xs, ys } };
}

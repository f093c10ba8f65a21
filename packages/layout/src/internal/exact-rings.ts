// Exact tests for the layout check alone. The engine must not import this file, nor this file the engine.
import type { Outline } from "@peltry/geometry";

/** A closed outline in whole thousandths of a millimetre. */
export interface Ring {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
}

/** An outline (mm) rounded to 0.001 mm. */
export function ring(outline: Outline): Ring {
  const x = outline.map((p) => Math.round(p[0] * 1000));
  const y = outline.map((p) => Math.round(p[1] * 1000));
  const least = (list: readonly number[]): number => list.reduce((a, b) => Math.min(a, b), Infinity);
  const most = (list: readonly number[]): number => list.reduce((a, b) => Math.max(a, b), -Infinity);
  return { x, y, minX: least(x), maxX: most(x), minY: least(y), maxY: most(y) };
}

/** Sign of the turn a → b → c, exact. */
function turn(ax: number, ay: number, bx: number, by: number, cx: number, cy: number): number {
  const p = (BigInt(bx) - BigInt(ax)) * (BigInt(cy) - BigInt(ay));
  const q = (BigInt(by) - BigInt(ay)) * (BigInt(cx) - BigInt(ax));
  return p > q ? 1 : p < q ? -1 : 0;
}

function between(a: number, b: number, p: number): boolean {
  return Math.min(a, b) <= p && p <= Math.max(a, b);
}

/** −1 outside, 0 on the border, 1 inside. */
function side(px: number, py: number, r: Ring): number {
  let inside = false;
  for (let i = 0, j = r.x.length - 1; i < r.x.length; j = i++) {
    if (!between(r.y[j], r.y[i], py)) continue;
    const t = turn(r.x[j], r.y[j], r.x[i], r.y[i], px, py);
    if (t === 0 && between(r.x[j], r.x[i], px)) return 0;
    if (r.y[j] > py !== r.y[i] > py && t > 0 === r.y[i] > r.y[j]) inside = !inside;
  }
  return inside ? 1 : -1;
}

/** Calls for every pair of sides whose boxes come within `reach`; stops when the call says true. */
function somePair(
  a: Ring,
  b: Ring,
  reach: number,
  test: (i: number, in_: number, j: number, jn: number) => boolean,
): boolean {
  const m = a.x.length;
  const n = b.x.length;
  for (let i = 0; i < m; i++) {
    const k = (i + 1) % m;
    const lowX = Math.min(a.x[i], a.x[k]) - reach;
    const highX = Math.max(a.x[i], a.x[k]) + reach;
    const lowY = Math.min(a.y[i], a.y[k]) - reach;
    const highY = Math.max(a.y[i], a.y[k]) + reach;
    if (lowX > b.maxX || highX < b.minX || lowY > b.maxY || highY < b.minY) continue;
    for (let j = 0; j < n; j++) {
      const l = (j + 1) % n;
      if (Math.max(b.x[j], b.x[l]) < lowX || Math.min(b.x[j], b.x[l]) > highX) continue;
      if (Math.max(b.y[j], b.y[l]) < lowY || Math.min(b.y[j], b.y[l]) > highY) continue;
      if (test(i, k, j, l)) return true;
    }
  }
  return false;
}

function sidesTouch(a: Ring, i: number, k: number, b: Ring, j: number, l: number): boolean {
  const p = turn(a.x[i], a.y[i], a.x[k], a.y[k], b.x[j], b.y[j]);
  const q = turn(a.x[i], a.y[i], a.x[k], a.y[k], b.x[l], b.y[l]);
  const r = turn(b.x[j], b.y[j], b.x[l], b.y[l], a.x[i], a.y[i]);
  const s = turn(b.x[j], b.y[j], b.x[l], b.y[l], a.x[k], a.y[k]);
  if (p * q < 0 && r * s < 0) return true;
  const on = (c: Ring, u: number, v: number, d: Ring, w: number): boolean =>
    between(c.x[u], c.x[v], d.x[w]) && between(c.y[u], c.y[v], d.y[w]);
  return (
    (p === 0 && on(a, i, k, b, j)) ||
    (q === 0 && on(a, i, k, b, l)) ||
    (r === 0 && on(b, j, l, a, i)) ||
    (s === 0 && on(b, j, l, a, k))
  );
}

/** True when corner `w` of `d` lies closer than the gap to side u–v of `c`. */
function nearer(c: Ring, u: number, v: number, d: Ring, w: number, gapSquare: bigint): boolean {
  const sx = BigInt(c.x[v]) - BigInt(c.x[u]);
  const sy = BigInt(c.y[v]) - BigInt(c.y[u]);
  const px = BigInt(d.x[w]) - BigInt(c.x[u]);
  const py = BigInt(d.y[w]) - BigInt(c.y[u]);
  const along = px * sx + py * sy;
  const length = sx * sx + sy * sy;
  if (along <= 0n) return px * px + py * py < gapSquare;
  if (along >= length) {
    const qx = px - sx;
    const qy = py - sy;
    return qx * qx + qy * qy < gapSquare;
  }
  const cross = px * sy - py * sx;
  return cross * cross < gapSquare * length;
}

/**
 * True when the rings keep at least `gap` apart and neither lies in the other (or, with `within`, `a` lies inside
 * `b`). At gap 0 they must not touch.
 */
export function clear(a: Ring, b: Ring, gap: bigint, within = false): boolean {
  const reach = Number(gap);
  const apart =
    a.maxX + reach < b.minX || b.maxX + reach < a.minX || a.maxY + reach < b.minY || b.maxY + reach < a.minY;
  if (apart) return !within;
  const square = gap * gap;
  const bad = somePair(
    a,
    b,
    reach,
    (i, k, j, l) =>
      sidesTouch(a, i, k, b, j, l) ||
      (gap > 0n &&
        (nearer(a, i, k, b, j, square) ||
          nearer(a, i, k, b, l, square) ||
          nearer(b, j, l, a, i, square) ||
          nearer(b, j, l, a, k, square))),
  );
  if (bad) return false;
  const aInB = side(a.x[0], a.y[0], b) > 0;
  return within ? aInB : !aInB && side(b.x[0], b.y[0], a) < 0;
}

/** True when the rings have any point in common. */
export function meets(a: Ring, b: Ring): boolean {
  return !clear(a, b, 0n);
}

function crosses(a: Ring, b: Ring): boolean {
  return somePair(a, b, 0, (i, k, j, l) => {
    const p = turn(a.x[i], a.y[i], a.x[k], a.y[k], b.x[j], b.y[j]);
    const q = turn(a.x[i], a.y[i], a.x[k], a.y[k], b.x[l], b.y[l]);
    if (p * q >= 0) return false;
    const r = turn(b.x[j], b.y[j], b.x[l], b.y[l], a.x[i], a.y[i]);
    const s = turn(b.x[j], b.y[j], b.x[l], b.y[l], a.x[k], a.y[k]);
    return r * s < 0;
  });
}

/** The ring with doubled coordinates and the midpoint of every stretch between touching points. */
function stretchMiddles(a: Ring, b: Ring): { doubled: Ring; points: [number, number][] } {
  const points: [number, number][] = [];
  for (let i = 0; i < a.x.length; i++) {
    const k = (i + 1) % a.x.length;
    const stops: [number, number][] = [
      [a.x[i], a.y[i]],
      [a.x[k], a.y[k]],
    ];
    for (let j = 0; j < b.x.length; j++) {
      const on =
        between(a.x[i], a.x[k], b.x[j]) &&
        between(a.y[i], a.y[k], b.y[j]) &&
        turn(a.x[i], a.y[i], a.x[k], a.y[k], b.x[j], b.y[j]) === 0;
      if (on) stops.push([b.x[j], b.y[j]]);
    }
    const sx = Math.sign(a.x[k] - a.x[i]);
    const sy = Math.sign(a.y[k] - a.y[i]);
    stops.sort((p, q) => sx * (p[0] - q[0]) || sy * (p[1] - q[1]));
    for (let t = 1; t < stops.length; t++)
      points.push([stops[t - 1][0] + stops[t][0], stops[t - 1][1] + stops[t][1]]);
  }
  const twice = (list: readonly number[]): number[] => list.map((value) => 2 * value);
  const doubled = { ...b, x: twice(b.x), y: twice(b.y) };
  return { doubled, points };
}

/** True when `a` lies inside `b`, borders touching or not. */
export function insideClosed(a: Ring, b: Ring): boolean {
  if (a.minX < b.minX || a.maxX > b.maxX || a.minY < b.minY || a.maxY > b.maxY) return false;
  if (crosses(a, b)) return false;
  if (a.x.some((x, i) => side(x, a.y[i], b) < 0)) return false;
  if (b.x.some((x, i) => side(x, b.y[i], a) > 0)) return false;
  const { doubled, points } = stretchMiddles(a, b);
  return points.every(([x, y]) => side(x, y, doubled) >= 0);
}

/** True when `a` and `b` share no inner point, borders touching or not. */
export function outsideClosed(a: Ring, b: Ring): boolean {
  if (a.maxX <= b.minX || b.maxX <= a.minX || a.maxY <= b.minY || b.maxY <= a.minY) return true;
  if (crosses(a, b)) return false;
  if (a.x.some((x, i) => side(x, a.y[i], b) > 0)) return false;
  if (b.x.some((x, i) => side(x, b.y[i], a) > 0)) return false;
  const there = stretchMiddles(a, b);
  if (there.points.some(([x, y]) => side(x, y, there.doubled) > 0)) return false;
  const back = stretchMiddles(b, a);
  if (back.points.some(([x, y]) => side(x, y, back.doubled) > 0)) return false;
  // What is left: the borders run together all round. Same region when an inner point of one is in the other.
  return a.x.some((x, i) => side(x, a.y[i], b) < 0) || b.x.some((x, i) => side(x, b.y[i], a) < 0);
}

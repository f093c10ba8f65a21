import type { WorkOptions } from "@peltry/issues";
import { isValid } from "./make-valid";
import type { Sheet } from "./sheet";
import { runSystem, type Part } from "./system";

/** An outline vertex that lies inside the panel, and the outline side by which it should leave. */
interface Intruder {
  readonly vertex: number;
  readonly a: number;
  readonly b: number;
  readonly gap: number;
}

/** Rounds of looking for intruders and pushing them out. */
const ROUNDS = 40;
/** How far past the side they are pushed, against the side length. */
const GAP = 0.08;
/** Strength of the push, against about 7 for a vertex of the cloth. */
const PUSH = 6;

/**
 * Pushes shallow overlaps of an outline apart, in place, while the inside stays free of flips: outline vertices that
 * lie inside the panel are drawn out over the nearest outline side that faces them.
 *
 * @returns true when the panel is valid. Deep overlaps (spirals) are left to the convex start.
 * @source derived here; penalties on penetrating border vertices are common practice in contact
 */
export function separateOutlines(x: Float64Array, part: Part, options: WorkOptions): boolean {
  const { loops } = part.sheet;
  let fewest = Infinity;
  let stale = 0;
  let atFirst = 0;
  let push = PUSH;
  // A vertex that is out would spring back among the others: it stays held while it is near its side.
  const held = new Map<number, Intruder>();
  for (let round = 0; round < ROUNDS; round++) {
    if (drawIn(part.sheet, x)) return true;
    const intruders = findIntruders(x, loops);
    if (intruders.length === 0) return false;
    if (round === 0) atFirst = intruders.length;
    // An overlap that does not halve soon is deep.
    if ((round === 2 && fewest > 0.85 * atFirst) || (round === 5 && fewest > 0.6 * atFirst)) return false;
    if (intruders.length < fewest) {
      fewest = intruders.length;
      stale = 0;
    } else if (++stale > 8) return false;
    else push = Math.min(200, 1.5 * push);
    for (const [vertex, intruder] of held) if (!isNear(intruder, x)) held.delete(vertex);
    for (const intruder of intruders) held.set(intruder.vertex, intruder);
    const pushed = [...held.values()];
    runSystem(x, {
      parts: [{ ...part, first: 0 }],
      tolerance: 1e-4,
      maxIterations: 12,
      extras: [{ energy: (at, gradient) => pushOut(pushed, at, gradient, push) }],
      signal: options.signal,
    });
  }
  return false;
}

/** Whether a vertex still lies beside its side, no farther than a few gaps. */
function isNear({ vertex, a, b, gap }: Intruder, x: Float64Array): boolean {
  const ux = x[2 * b] - x[2 * a];
  const uy = x[2 * b + 1] - x[2 * a + 1];
  const px = x[2 * vertex] - x[2 * a];
  const py = x[2 * vertex + 1] - x[2 * a + 1];
  const square = ux * ux + uy * uy;
  const along = (px * ux + py * uy) / square;
  const off = (px * uy - py * ux) / Math.sqrt(square);
  return along > -0.5 && along < 1.5 && off < 4 * gap;
}

/** Shares of their sides by which border vertices are drawn in, the first that frees the outline. */
const DRAWN_IN = [0, 1e-3, 1e-2, 0.04];

/**
 * Frees an outline that only touches itself, as along a slit in cloth that lies flat: every border vertex goes a little way
 * into the panel.
 *
 * @returns true when x is valid
 */
function drawIn(sheet: Sheet, x: Float64Array): boolean {
  for (const share of DRAWN_IN) {
    const y = x.slice();
    for (const loop of sheet.loops) {
      loop.forEach((v, i) => {
        const before = loop[(i + loop.length - 1) % loop.length];
        const next = loop[(i + 1) % loop.length];
        const [ox, oy] = outwards(x, before, v, next);
        const step = share * Math.min(flatDistance(x, v, next), flatDistance(x, v, before));
        y[2 * v] -= step * ox;
        y[2 * v + 1] -= step * oy;
      });
    }
    if (!isValid(sheet, y)) continue;
    x.set(y);
    return true;
  }
  return false;
}

function flatDistance(x: Float64Array, a: number, b: number): number {
  return Math.hypot(x[2 * a] - x[2 * b], x[2 * a + 1] - x[2 * b + 1]);
}

function pushOut(
  intruders: readonly Intruder[],
  x: Float64Array,
  gradient: Float64Array | null,
  push: number,
): number {
  let sum = 0;
  for (const { vertex, a, b, gap } of intruders) {
    const ux = x[2 * b] - x[2 * a];
    const uy = x[2 * b + 1] - x[2 * a + 1];
    const px = x[2 * vertex] - x[2 * a];
    const py = x[2 * vertex + 1] - x[2 * a + 1];
    const length = Math.sqrt(ux * ux + uy * uy);
    if (!(length > 0)) continue;
    // Distance inside the side's line; the side runs with the panel on its left.
    const nx = -uy / length;
    const ny = ux / length;
    const depth = nx * px + ny * py + gap;
    if (depth <= 0) continue;
    sum += 0.5 * push * depth * depth;
    if (gradient === null) continue;
    const t = Math.max(0, Math.min(1, (px * ux + py * uy) / (length * length)));
    const gx = push * depth * nx;
    const gy = push * depth * ny;
    // The turn of the side itself is left out: a push along the normal, shared by the side's ends.
    gradient[2 * vertex] += gx;
    gradient[2 * vertex + 1] += gy;
    gradient[2 * a] -= (1 - t) * gx;
    gradient[2 * a + 1] -= (1 - t) * gy;
    gradient[2 * b] -= t * gx;
    gradient[2 * b + 1] -= t * gy;
  }
  return sum;
}

function findIntruders(x: Float64Array, loops: readonly (readonly number[])[]): Intruder[] {
  const from: number[] = [];
  const to: number[] = [];
  const before: number[] = [];
  for (const loop of loops) {
    loop.forEach((v, i) => {
      from.push(v);
      to.push(loop[(i + 1) % loop.length]);
      before.push(loop[(i + loop.length - 1) % loop.length]);
    });
  }
  const found: Intruder[] = [];
  for (let s = 0; s < from.length; s++) {
    const v = from[s];
    const [ox, oy] = outwards(x, before[s], v, to[s]);
    const ahead = flatDistance(x, to[s], v);
    const back = flatDistance(x, before[s], v);
    const step = 1e-4 * Math.min(ahead, back);
    if (windings(x, from, to, x[2 * v] + step * ox, x[2 * v + 1] + step * oy) <= 0) continue;
    const side = exitSide(x, from, to, v, ox, oy);
    if (side < 0) continue;
    const length = flatDistance(x, from[side], to[side]);
    found.push({ vertex: v, a: from[side], b: to[side], gap: GAP * Math.min(length, ahead, back) });
  }
  return found;
}

/** Unit direction out of the panel at a border vertex: right of the way along the border. */
function outwards(x: Float64Array, p: number, v: number, n: number): [number, number] {
  const ax = x[2 * v] - x[2 * p];
  const ay = x[2 * v + 1] - x[2 * p + 1];
  const bx = x[2 * n] - x[2 * v];
  const by = x[2 * n + 1] - x[2 * v + 1];
  const la = Math.hypot(ax, ay) || 1;
  const lb = Math.hypot(bx, by) || 1;
  let dx = ay / la + by / lb;
  let dy = -ax / la - bx / lb;
  const size = Math.hypot(dx, dy);
  if (size < 1e-6) {
    // A spike: straight out of its tip, or, at a slit's end, further into it.
    dx = ax / la;
    dy = ay / la;
    return [dx, dy];
  }
  return [dx / size, dy / size];
}

/** How often the border winds round a point. */
function windings(
  x: Float64Array,
  from: readonly number[],
  to: readonly number[],
  px: number,
  py: number,
): number {
  let count = 0;
  for (let s = 0; s < from.length; s++) {
    const ay = x[2 * from[s] + 1];
    const by = x[2 * to[s] + 1];
    if (ay > py === by > py) continue;
    const ax = x[2 * from[s]];
    const bx = x[2 * to[s]];
    const left = (bx - ax) * (py - ay) - (px - ax) * (by - ay);
    if (by > ay && left > 0) count++;
    else if (by <= ay && left < 0) count--;
  }
  return count;
}

/** The nearest side that has the vertex on its inside and looks the other way, or -1. */
function exitSide(
  x: Float64Array,
  from: readonly number[],
  to: readonly number[],
  v: number,
  ox: number,
  oy: number,
): number {
  const px = x[2 * v];
  const py = x[2 * v + 1];
  let best = -1;
  let nearest = Infinity;
  for (let s = 0; s < from.length; s++) {
    if (from[s] === v || to[s] === v) continue;
    const ax = x[2 * from[s]];
    const ay = x[2 * from[s] + 1];
    const ux = x[2 * to[s]] - ax;
    const uy = x[2 * to[s] + 1] - ay;
    const square = ux * ux + uy * uy;
    if (!(square > 0)) continue;
    if (ux * (py - ay) - uy * (px - ax) < 0) continue;
    if (uy * ox - ux * oy > 0.2 * Math.sqrt(square)) continue;
    const t = Math.max(0, Math.min(1, ((px - ax) * ux + (py - ay) * uy) / square));
    const d = (px - ax - t * ux) ** 2 + (py - ay - t * uy) ** 2;
    if (d < nearest) {
      nearest = d;
      best = s;
    }
  }
  return best;
}

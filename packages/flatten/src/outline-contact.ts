import type { BlockSystem } from "./block-system";
import type { Extra } from "./energy";

/** Border of one part, in the stacked numbering. */
export interface ContactBorder {
  /** Loops of vertex indices. */
  readonly loops: readonly (readonly number[])[];
  /** Length in space of the side that begins at each place of each loop. */
  readonly lengths: readonly Float64Array[];
}

/** Keeps the outlines of parts from meeting themselves: an energy that is infinite at contact, and a bound on steps. */
export type OutlineContact = Required<Omit<Extra, "signed">>;

/** Distance, against the shorter side, below which outline points begin to push each other away. */
const NEAR = 0.05;
/** Pairs are looked up within a reach that follows the last moves: at most this share of the part's size. */
const REACH = 0.05;
/** Strength of the push against the square of the side length. */
const PUSH = 0.02;

/**
 * Contact of every outline with itself.
 *
 * @source barrier (ε/d − 1)² on border vertices against border sides: Smith and Schaefer, Bijective Parameterization
 * with Free Boundaries, 2015, section 4
 */
export function outlineContact(borders: readonly ContactBorder[]): OutlineContact {
  const parts = borders.map(createBorderPairs);
  return {
    energy(x, gradient) {
      let sum = 0;
      for (const part of parts) sum += part.energy(x, gradient);
      return sum;
    },
    limitStep(x, direction) {
      let reach = Infinity;
      for (const part of parts) reach = Math.min(reach, part.limitStep(x, direction));
      return reach;
    },
    // Couplings are levelled onto the vertices' own blocks.
    addCurvature(x, own, system) {
      for (const part of parts) part.addCurvature(x, own, system);
    },
  };
}

function createBorderPairs(border: ContactBorder): OutlineContact {
  const from: number[] = [];
  const to: number[] = [];
  const length: number[] = [];
  const room = new Map<number, number>();
  border.loops.forEach((loop, l) =>
    loop.forEach((v, i) => {
      from.push(v);
      to.push(loop[(i + 1) % loop.length]);
      const own = border.lengths[l][i];
      const before = border.lengths[l][(i + loop.length - 1) % loop.length];
      length.push(own);
      room.set(v, Math.min(own, before));
    }),
  );
  const mean = length.reduce((a, b) => a + b, 0) / length.length;
  // Sides of nearly no length must not make the push vanish.
  const near = from.map((v, s) => NEAR * Math.max(0.05 * mean, Math.min(length[s], room.get(v)!)));
  const vertexNear = from.map((v) => NEAR * Math.max(0.05 * mean, room.get(v)!));
  let pairs: Int32Array = new Int32Array(0);
  let builtAt: Float64Array | null = null;
  let margin = 0;
  let lastMove = 0;

  function refresh(x: Float64Array): void {
    if (builtAt !== null) {
      let moved = 0;
      for (let s = 0; s < from.length; s++) {
        const v = 2 * from[s];
        const d = (x[v] - builtAt[2 * s]) ** 2 + (x[v + 1] - builtAt[2 * s + 1]) ** 2;
        if (d > moved) moved = d;
      }
      if (moved <= (0.25 * margin) ** 2) return;
    }
    builtAt = new Float64Array(2 * from.length);
    let lowX = Infinity;
    let highX = -Infinity;
    let lowY = Infinity;
    let highY = -Infinity;
    for (let s = 0; s < from.length; s++) {
      const px = (builtAt[2 * s] = x[2 * from[s]]);
      const py = (builtAt[2 * s + 1] = x[2 * from[s] + 1]);
      lowX = Math.min(lowX, px);
      highX = Math.max(highX, px);
      lowY = Math.min(lowY, py);
      highY = Math.max(highY, py);
    }
    margin = Math.min(REACH * Math.max(highX - lowX, highY - lowY), Math.max(2 * mean, 4 * lastMove));
    pairs = findPairs(x, from, to, 2 * margin + NEAR * mean);
  }

  return {
    energy(x, gradient) {
      refresh(x);
      let sum = 0;
      for (let k = 0; k < pairs.length; k += 2) {
        const v = from[pairs[k]];
        const s = pairs[k + 1];
        const begin = Math.min(near[s], vertexNear[pairs[k]]);
        sum += pushApart(x, v, from[s], to[s], begin, gradient);
      }
      return sum;
    },
    addCurvature(x, { first, sheet }, system) {
      if (from[0] < first || from[0] >= first + sheet.vertexCount) return;
      refresh(x);
      for (let k = 0; k < pairs.length; k += 2) {
        const v = from[pairs[k]];
        const s = pairs[k + 1];
        const begin = Math.min(near[s], vertexNear[pairs[k]]);
        addPushCurvature(x, v, from[s], to[s], begin, first, system);
      }
    },
    limitStep(x, direction) {
      refresh(x);
      let fastest = 0;
      for (const v of from) {
        const d = direction[2 * v] ** 2 + direction[2 * v + 1] ** 2;
        if (d > fastest) fastest = d;
      }
      fastest = Math.sqrt(fastest);
      let reach = fastest > 0 ? (0.5 * margin) / fastest : Infinity;
      // When the reach is what bounds the step, look farther next time.
      lastMove = Math.min(1, reach) * fastest;
      for (let k = 0; k < pairs.length; k += 2) {
        const s = pairs[k + 1];
        reach = timeOfContact(x, direction, from[pairs[k]], from[s], to[s], Math.min(reach, 2));
      }
      return reach;
    },
  };
}

/** Pairs (border place, side) whose boxes come within the distance; neighbours left out. */
function findPairs(
  x: Float64Array,
  from: readonly number[],
  to: readonly number[],
  distance: number,
): Int32Array {
  const order = Uint32Array.from(from, (_, i) => i).sort((a, b) => x[2 * from[a]] - x[2 * from[b]] || a - b);
  const sorted = Float64Array.from(order, (i) => x[2 * from[i]]);
  const found: number[] = [];
  for (let s = 0; s < from.length; s++) {
    const a = 2 * from[s];
    const b = 2 * to[s];
    const lowX = Math.min(x[a], x[b]) - distance;
    const highX = Math.max(x[a], x[b]) + distance;
    const lowY = Math.min(x[a + 1], x[b + 1]) - distance;
    const highY = Math.max(x[a + 1], x[b + 1]) + distance;
    let low = 0;
    let high = sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sorted[middle] < lowX) low = middle + 1;
      else high = middle;
    }
    for (; low < sorted.length && sorted[low] <= highX; low++) {
      const place = order[low];
      const v = from[place];
      if (v === from[s] || v === to[s]) continue;
      const y = x[2 * v + 1];
      if (y >= lowY && y <= highY) found.push(place, s);
    }
  }
  return Int32Array.from(found);
}

function pushApart(
  x: Float64Array,
  v: number,
  a: number,
  b: number,
  near: number,
  gradient: Float64Array | null,
): number {
  const ax = x[2 * a];
  const ay = x[2 * a + 1];
  const ux = x[2 * b] - ax;
  const uy = x[2 * b + 1] - ay;
  const px = x[2 * v] - ax;
  const py = x[2 * v + 1] - ay;
  if (px > Math.max(0, ux) + near || px < Math.min(0, ux) - near) return 0;
  if (py > Math.max(0, uy) + near || py < Math.min(0, uy) - near) return 0;
  const square = ux * ux + uy * uy;
  const t = square > 0 ? Math.max(0, Math.min(1, (px * ux + py * uy) / square)) : 0;
  const dx = px - t * ux;
  const dy = py - t * uy;
  if (dx > near || dx < -near || dy > near || dy < -near) return 0;
  const d = Math.sqrt(dx * dx + dy * dy);
  if (d >= near) return 0;
  if (!(d > 0)) return Infinity;
  const weight = (PUSH * near * near) / (NEAR * NEAR);
  const over = near / d - 1;
  if (gradient !== null) {
    const k = (-2 * weight * over * near) / (d * d * d);
    const gx = k * dx;
    const gy = k * dy;
    gradient[2 * v] += gx;
    gradient[2 * v + 1] += gy;
    gradient[2 * a] -= (1 - t) * gx;
    gradient[2 * a + 1] -= (1 - t) * gy;
    gradient[2 * b] -= t * gx;
    gradient[2 * b + 1] -= t * gy;
  }
  return weight * over * over;
}

/** Second derivative of {@link pushApart} along the way that v is pushed. */
function addPushCurvature(
  x: Float64Array,
  v: number,
  a: number,
  b: number,
  near: number,
  first: number,
  system: BlockSystem,
): void {
  const ux = x[2 * b] - x[2 * a];
  const uy = x[2 * b + 1] - x[2 * a + 1];
  const px = x[2 * v] - x[2 * a];
  const py = x[2 * v + 1] - x[2 * a + 1];
  const square = ux * ux + uy * uy;
  const t = square > 0 ? Math.max(0, Math.min(1, (px * ux + py * uy) / square)) : 0;
  const dx = px - t * ux;
  const dy = py - t * uy;
  const d = Math.sqrt(dx * dx + dy * dy);
  if (!(d < near && d > 0)) return;
  const weight = (PUSH * near * near) / (NEAR * NEAR);
  const over = near / d - 1;
  const k = (2 * weight * near * (near / d + 2 * over)) / (d * d * d);
  const [nx, ny] = [dx / d, dy / d];
  system.addVertex(v - first, 2 * k, nx, ny);
  system.addVertex(a - first, 2 * (1 - t) * k, nx, ny);
  system.addVertex(b - first, 2 * t * k, nx, ny);
}

/** First multiple of the direction, below `limit`, at which vertex v lies on side a–b. */
function timeOfContact(
  x: Float64Array,
  direction: Float64Array,
  v: number,
  a: number,
  b: number,
  limit: number,
): number {
  const px = x[2 * v] - x[2 * a];
  const py = x[2 * v + 1] - x[2 * a + 1];
  const ux = x[2 * b] - x[2 * a];
  const uy = x[2 * b + 1] - x[2 * a + 1];
  const dpx = direction[2 * v] - direction[2 * a];
  const dpy = direction[2 * v + 1] - direction[2 * a + 1];
  const dux = direction[2 * b] - direction[2 * a];
  const duy = direction[2 * b + 1] - direction[2 * a + 1];
  // Apart by more than both can move: the common case.
  const moveX = limit * (Math.abs(dpx) + Math.abs(dux));
  const moveY = limit * (Math.abs(dpy) + Math.abs(duy));
  if (px > Math.max(0, ux) + moveX || px < Math.min(0, ux) - moveX) return limit;
  if (py > Math.max(0, uy) + moveY || py < Math.min(0, uy) - moveY) return limit;
  const c = px * uy - py * ux;
  const q = px * duy - py * dux + dpx * uy - dpy * ux;
  const p = dpx * duy - dpy * dux;
  const disc = q * q - 4 * p * c;
  if (disc < 0) return limit;
  const w = -0.5 * (q + (q >= 0 ? Math.sqrt(disc) : -Math.sqrt(disc)));
  let first = limit;
  for (const t of [p !== 0 ? w / p : Infinity, w !== 0 ? c / w : Infinity]) {
    if (!(t > 0 && t < first)) continue;
    const ex = ux + t * dux;
    const ey = uy + t * duy;
    const along = (px + t * dpx) * ex + (py + t * dpy) * ey;
    const square = ex * ex + ey * ey;
    if (along >= -1e-6 * square && along <= (1 + 1e-6) * square) first = t;
  }
  return first;
}

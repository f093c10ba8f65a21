import { gridBox, type GridOutline } from "./grid";

/** Outlines with up to this many corners are left alone. */
const ENOUGH_CORNERS = 40;
/** Beyond this many, a rougher outline is worth its cloth. */
const MANY_CORNERS = 70;
/** Largest distance between old and new outline, as a share of the diagonal: 0.7 mm on a 700 mm panel. */
const SHARE = 0.001;
const ROUGH_SHARE = 0.0025;

/**
 * Fewer corners, nowhere inside the given counter-clockwise outline: reflex corners are dropped, and convex runs are
 * replaced by the meeting point of their neighbours' sides, while the border moves less than a tolerance.
 * Gives the outline itself when it has few corners.
 */
export function simplifyOutward(outline: GridOutline): GridOutline {
  if (outline.xs.length <= ENOUGH_CORNERS) return outline;
  const box = gridBox(outline);
  const diagonal = Math.hypot(box.maxX - box.minX, box.maxY - box.minY);
  let ring = Array.from(outline.xs, (x, i): Corner => ({ x, y: outline.ys[i], moved: 0 }));
  for (const share of [SHARE, ROUGH_SHARE]) {
    for (let before = Infinity; ring.length < before && ring.length > ENOUGH_CORNERS;) {
      before = ring.length;
      ring = simplerRing(ring, share * diagonal);
    }
    if (ring.length <= MANY_CORNERS) break;
  }
  return ring.length === outline.xs.length
    ? outline
    : { xs: Float64Array.from(ring, (p) => p.x), ys: Float64Array.from(ring, (p) => p.y) };
}

interface Corner {
  readonly x: number;
  readonly y: number;
  /** How far the border has moved here already. */
  readonly moved: number;
}

interface Step {
  readonly at: number;
  readonly x?: number;
  readonly y?: number;
  readonly moved: number;
}

function cross(o: Corner, a: Corner, b: Corner): number {
  return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/** One round: the cheapest steps that do not touch each other's corners. */
function simplerRing(ring: readonly Corner[], tolerance: number): Corner[] {
  const n = ring.length;
  const next: (Corner | undefined)[] = [...ring];
  const touched = new Uint8Array(n);
  let left = n;
  for (const step of possibleSteps(ring, tolerance)) {
    if (left <= ENOUGH_CORNERS) break;
    const around = [-1, 0, 1, 2].map((k) => (step.at + k + n) % n);
    if (around.some((k) => touched[k] === 1) || !staysSimple(ring, step)) continue;
    for (const k of around) touched[k] = 1;
    if (step.x === undefined) next[step.at] = undefined;
    else {
      next[step.at] = { x: step.x, y: step.y!, moved: step.moved };
      next[(step.at + 1) % n] = undefined;
    }
    left--;
  }
  return next.filter((corner): corner is Corner => corner !== undefined);
}

function possibleSteps(ring: readonly Corner[], tolerance: number): Step[] {
  const n = ring.length;
  const steps: Step[] = [];
  for (let k = 0; k < n; k++) {
    const before = ring[(k + n - 1) % n];
    const here = ring[k];
    const next = ring[(k + 1) % n];
    const turn = cross(before, here, next);
    if (turn <= 0) {
      const moved = -turn / Math.max(1, Math.hypot(next.x - before.x, next.y - before.y)) + here.moved;
      if (moved <= tolerance) steps.push({ at: k, moved });
      continue;
    }
    const after = ring[(k + 2) % n];
    if (cross(here, next, after) <= 0) continue;
    const meet = meeting(before, here, next, after);
    if (meet === undefined) continue;
    const reach = cross(here, meet, next) / Math.max(1, Math.hypot(next.x - here.x, next.y - here.y));
    const moved = reach + Math.max(here.moved, next.moved);
    if (moved <= tolerance) steps.push({ at: k, x: meet.x, y: meet.y, moved });
  }
  steps.sort((p, q) => p.moved - q.moved || p.at - q.at);
  return steps;
}

/** Where side before → here, prolonged, meets side after → next, prolonged. */
function meeting(before: Corner, here: Corner, next: Corner, after: Corner): Corner | undefined {
  const ux = here.x - before.x;
  const uy = here.y - before.y;
  const vx = next.x - after.x;
  const vy = next.y - after.y;
  const det = ux * vy - uy * vx;
  if (det >= 0) return undefined;
  const t = ((next.x - here.x) * vy - (next.y - here.y) * vx) / det;
  if (!(t > 0)) return undefined;
  return { x: Math.round(here.x + t * ux), y: Math.round(here.y + t * uy), moved: 0 };
}

/** No corner or side of the rest may come into the triangle that the step adds. */
function staysSimple(ring: readonly Corner[], step: Step): boolean {
  const n = ring.length;
  const a = step.x === undefined ? ring[(step.at + n - 1) % n] : ring[step.at];
  const b = step.x === undefined ? ring[(step.at + 1) % n] : { x: step.x, y: step.y!, moved: 0 };
  const c = step.x === undefined ? ring[step.at] : ring[(step.at + 1) % n];
  const lowX = Math.min(a.x, b.x, c.x);
  const highX = Math.max(a.x, b.x, c.x);
  const lowY = Math.min(a.y, b.y, c.y);
  const highY = Math.max(a.y, b.y, c.y);
  for (let k = 0; k < n; k++) {
    const p = ring[k];
    const q = ring[k + 1 === n ? 0 : k + 1];
    if ((p.x < lowX && q.x < lowX) || (p.x > highX && q.x > highX)) continue;
    if ((p.y < lowY && q.y < lowY) || (p.y > highY && q.y > highY)) continue;
    if (p === a || p === b || p === c || q === a || q === b || q === c) continue;
    return false;
  }
  return true;
}

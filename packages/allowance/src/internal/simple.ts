import { EndType, inflatePaths, JoinType } from "clipper2-ts";
import { distanceToSegment, outlineCrossings, signedArea, type Point } from "@peltry/geometry";

const GRID = 1e4;
/** Two steps of the grid, mm. */
const IDLE = 2 / GRID;
const LONGEST_IDLE = 32;
/** Growth in steps of the grid, tried in turn: 0.001 to 0.05 mm. */
const GROWTH = [10, 50, 200, 500];

/** True when a closed outline neither crosses nor touches itself and doubles no point. */
export function isSimple(outline: readonly Point[]): boolean {
  return outline.length > 2 && outlineCrossings(outline).length === 0 && !doublesBack(outline);
}

/**
 * A closed outline that neither crosses nor touches itself: as given where it already does not, else grown outwards
 * by the least that parts it.
 */
export function parted(outline: Point[], hole: boolean): { outline: Point[]; grown: number } {
  if (isSimple(outline)) return { outline, grown: 0 };
  for (const growth of GROWTH) {
    const moved = movedOut(outline, hole, growth);
    if (moved && isSimple(moved)) return { outline: moved, grown: growth / GRID };
  }
  return { outline, grown: 0 };
}

/** The outline with the cloth grown over it by so many steps: the largest of what is left of it. */
function movedOut(outline: readonly Point[], hole: boolean, growth: number): Point[] | undefined {
  const path = outline.map(([x, y]) => ({ x: Math.round(x * GRID), y: Math.round(y * GRID) }));
  const [largest] = inflatePaths(
    [hole ? path.reverse() : path],
    hole ? -growth : growth,
    JoinType.Miter,
    EndType.Polygon,
    2,
  )
    .map((one) => one.map((p): Point => [p.x / GRID, p.y / GRID]))
    .filter((one) => one.length > 2 && signedArea(one) > 0)
    .sort((a, b) => signedArea(b) - signedArea(a));
  return largest && hole ? largest.reverse() : largest;
}

/**
 * Inner cut lines that neither cross nor touch the outer one or each other: those that do are made smaller by the least
 * that parts them, and left out where nothing remains.
 */
export function holesApart(cutLine: readonly Point[], holes: readonly Point[][]): Point[][] {
  let kept = [...holes];
  for (const growth of GROWTH) {
    const meeting = meetingHoles([cutLine, ...kept]);
    if (meeting.size === 0) return kept;
    kept = kept.flatMap((hole, i) => {
      const moved = meeting.has(i + 1) ? movedOut(hole, true, growth) : hole;
      return moved && isSimple(moved) ? [moved] : [];
    });
  }
  const meeting = meetingHoles([cutLine, ...kept]);
  return kept.filter((_, i) => !meeting.has(i + 1));
}

/** Of closed outlines that are simple each: those, by index, that meet an earlier one. */
function meetingHoles(rings: readonly (readonly Point[])[]): Set<number> {
  if (rings.length < 2) return new Set();
  // All as one round, joined by lines that count for nothing.
  const joined = rings.flatMap((ring) => [...ring, ring[0]]);
  const owner = rings.flatMap((ring, i) => [...ring.map(() => i), -1]);
  const meeting = new Set<number>();
  for (const { first, second } of outlineCrossings(joined)) {
    const [one, two] = [owner[first], owner[second]];
    if (one >= 0 && two >= 0 && one !== two) meeting.add(Math.max(one, two));
  }
  return meeting;
}

/** Out and back within so much is no cloth but a hair of rounding, mm: readers with a coarser grid see it as a crossing. */
const HAIR = 0.002;

/** A closed outline without hairs: the few points between two that all but lie on each other. */
export function withoutHairs(outline: readonly Point[]): Point[] {
  let kept = [...outline];
  for (let i = 0; i < kept.length;) {
    const n = kept.length;
    const at = (k: number): Point => kept[(i + k) % n];
    const back = [3, 2].find(
      (k) => n - k > 2 && Math.hypot(at(0)[0] - at(k)[0], at(0)[1] - at(k)[1]) <= HAIR,
    );
    if (back === undefined) {
      i++;
      continue;
    }
    const gone = new Set(Array.from({ length: back }, (_, k) => (i + 1 + k) % n));
    kept = kept.filter((_, k) => !gone.has(k));
    // What is left at its foot may be a hair as well.
    i = Math.max(0, i - 3);
  }
  return kept;
}

/**
 * A closed outline without the points that lie on the line between their neighbours, to two steps of the grid. No
 * dropped point ends farther than that from the new line, however many there are.
 */
export function withoutIdlePoints(outline: readonly Point[]): Point[] {
  const n = outline.length;
  if (n < 5) return [...outline];
  // Begin at a corner that cannot be idle: the lowest point, rightmost of those.
  let first = 0;
  outline.forEach((p, i) => {
    const best = outline[first];
    if (p[1] < best[1] || (p[1] === best[1] && p[0] > best[0])) first = i;
  });
  const at = (i: number): Point => outline[(first + i) % n];
  const kept: Point[] = [at(0)];
  let anchor = 0;
  while (anchor < n) {
    let next = anchor + 1;
    while (next < n && next - anchor < LONGEST_IDLE && idleBetween(at, anchor, next + 1)) next++;
    if (next < n) kept.push(at(next));
    anchor = next;
  }
  return kept.length > 2 ? kept : [...outline];
}

function idleBetween(at: (i: number) => Point, from: number, to: number): boolean {
  const [a, b] = [at(from), at(to)];
  for (let i = from + 1; i < to; i++) {
    if (distanceToSegment(at(i), a, b) > IDLE) return false;
  }
  return true;
}

/** A side that runs straight back over the one before it. */
function doublesBack(outline: readonly Point[]): boolean {
  const n = outline.length;
  for (let i = 0; i < n; i++) {
    const [a, b, c] = [outline[i], outline[(i + 1) % n], outline[(i + 2) % n]];
    const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]];
    if ((ux === 0 && uy === 0) || (ux * vy - uy * vx === 0 && ux * vx + uy * vy < 0)) return true;
  }
  return false;
}

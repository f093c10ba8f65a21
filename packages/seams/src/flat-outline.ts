import { distance, type Point } from "@peltry/geometry";

/** The outline of a flat panel with what lies on each of its edges. */
export interface FlatOutline {
  /** Counter-clockwise, not closed by repetition, mm. */
  readonly points: readonly Point[];
  /** On the edge from each point to the next: number of a suggested cut, {@link GIVEN} or {@link RIM}. */
  readonly cut: Int32Array;
}

/** Edge of a given seam or a border. */
export const GIVEN = -1;
/** Edge where the form ends. */
export const RIM = -2;

/** A place of an outline and the suggested cut that it is due to. */
export interface OutlineFault {
  readonly cut: number;
  /** The other edge that it is due to: a cut too, {@link GIVEN} or {@link RIM}. */
  readonly other: number;
  /** Degrees or mm. */
  readonly found: number;
  readonly at: Point;
}

/** Over this length the direction of a seam is taken, mm: about what a presser foot covers. */
const REACH = 10;

/** Corners between a suggested cut and another edge where the panel has less than `least` degrees. */
export function sharpCorners({ points, cut }: FlatOutline, least: number): OutlineFault[] {
  const n = points.length;
  const out: OutlineFault[] = [];
  for (let i = 0; i < n; i++) {
    const before = cut[(i + n - 1) % n];
    if (before === cut[i] || (before < 0 && cut[i] < 0)) continue;
    const forward = alongRun(points, cut, i, 1);
    const back = alongRun(points, cut, i, -1);
    const angle = turn(points[i], forward, back);
    if (angle < least)
      out.push({
        cut: Math.max(before, cut[i]),
        other: Math.min(before, cut[i]),
        found: angle,
        at: points[i],
      });
  }
  return out;
}

/** The place REACH along the outline from a corner, no further than its own edge goes. */
function alongRun(points: readonly Point[], cut: Int32Array, from: number, step: 1 | -1): Point {
  const n = points.length;
  const own = cut[step === 1 ? from : (from + n - 1) % n];
  let at = from;
  let rest = REACH;
  for (let k = 0; k < n; k++) {
    const next = (at + step + n) % n;
    if (k > 0 && cut[step === 1 ? at : next] !== own) return points[at];
    const d = distance(points[at], points[next]);
    if (d >= rest) {
      const t = d > 0 ? rest / d : 0;
      return [
        points[at][0] + t * (points[next][0] - points[at][0]),
        points[at][1] + t * (points[next][1] - points[at][1]),
      ];
    }
    rest -= d;
    at = next;
  }
  return points[at];
}

/** Degrees counter-clockwise from one direction to another, as seen from a corner: the panel's own angle there. */
function turn(corner: Point, forward: Point, back: Point): number {
  const a = Math.atan2(forward[1] - corner[1], forward[0] - corner[0]);
  const b = Math.atan2(back[1] - corner[1], back[0] - corner[0]);
  const degrees = ((b - a) * 180) / Math.PI;
  return degrees < 0 ? degrees + 360 : degrees;
}

/**
 * The narrowest neck that a suggested cut makes: two places of the outline nearer than `least` across the panel, though
 * the way round is more than three times as long either way (a corner of 40° has less). One fault a cut.
 */
export function necks(outline: FlatOutline, least: number): OutlineFault[] {
  const { points, cut, along, total } = resampled(outline, Math.max(3, least / 5));
  const n = points.length;
  const x = Float64Array.from(points, (p) => p[0]);
  const y = Float64Array.from(points, (p) => p[1]);
  const worst = new Map<number, OutlineFault>();
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      if (cut[i] < 0 && cut[j] < 0) continue;
      // Most pairs are far apart: the cheap question first.
      if (Math.abs(x[j] - x[i]) >= least || Math.abs(y[j] - y[i]) >= least) continue;
      const d = distance(points[i], points[j]);
      if (d >= least) continue;
      const way = Math.min(along[j] - along[i], total - along[j] + along[i]);
      if (way <= 3 * d + 2) continue;
      const own = Math.max(cut[i], cut[j]);
      const known = worst.get(own);
      if (known && known.found <= d) continue;
      if (!across(points[i], points[j], outline.points)) continue;
      worst.set(own, { cut: own, other: Math.min(cut[i], cut[j]), found: d, at: points[i] });
    }
  }
  return [...worst.values()];
}

function resampled(
  { points, cut }: FlatOutline,
  step: number,
): FlatOutline & { along: number[]; total: number } {
  const out: Point[] = [];
  const edges: number[] = [];
  const along: number[] = [];
  let total = 0;
  let next = 0;
  points.forEach((a, i) => {
    const b = points[(i + 1) % points.length];
    const d = distance(a, b);
    for (; next < total + d; next += step) {
      const t = d > 0 ? (next - total) / d : 0;
      out.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
      edges.push(cut[i]);
      along.push(next);
    }
    total += d;
  });
  return { points: out, cut: Int32Array.from(edges), along, total };
}

/** Places of suggested cuts that bend more sharply than a circle of `radius`, by the turn between chords that long. */
export function tightBends({ points, cut }: FlatOutline, radius: number): OutlineFault[] {
  const n = points.length;
  const out: OutlineFault[] = [];
  for (let i = 0; i < n; i++) {
    const own = cut[i];
    if (own < 0 || cut[(i + n - 1) % n] !== own || isTip(points, i)) continue;
    const back = chordEnd(points, cut, i, -1, radius);
    const forward = chordEnd(points, cut, i, 1, radius);
    if (!back || !forward) continue;
    // Chords of length s on a circle of radius ρ turn by s / ρ.
    const bend = (Math.abs(180 - turn(points[i], forward, back)) * Math.PI) / 180;
    if (bend > 1) out.push({ cut: own, other: own, found: radius / bend, at: points[i] });
  }
  return out;
}

/** The place of the same run of a cut at a distance along the outline; undefined where the run or a dart ends before. */
function chordEnd(
  points: readonly Point[],
  cut: Int32Array,
  from: number,
  step: 1 | -1,
  reach: number,
): Point | undefined {
  const n = points.length;
  let at = from;
  let gone = 0;
  for (let k = 0; k < n; k++) {
    const next = (at + step + n) % n;
    if (cut[step === 1 ? at : next] !== cut[from] || (k > 0 && isTip(points, at))) return undefined;
    gone += distance(points[at], points[next]);
    at = next;
    if (gone >= reach) return points[at];
  }
  return undefined;
}

/** Where an outline turns back on itself, as it does at the tip of a dart. */
function isTip(points: readonly Point[], i: number): boolean {
  const n = points.length;
  return Math.abs(180 - turn(points[i], points[(i + 1) % n], points[(i + n - 1) % n])) > 100;
}

/** Whether the way from one place of the outline to another lies on the panel, not over an open dart or outside. */
function across(a: Point, b: Point, outline: readonly Point[]): boolean {
  return [0.1, 0.3, 0.5, 0.7, 0.9].every((t) =>
    inside([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])], outline),
  );
}

function inside([x, y]: Point, outline: readonly Point[]): boolean {
  let odd = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const ay = outline[i][1];
    const by = outline[j][1];
    if (ay > y === by > y) continue;
    const ax = outline[i][0];
    const bx = outline[j][0];
    if (x < ((bx - ax) * (y - ay)) / (by - ay) + ax) odd = !odd;
  }
  return odd;
}

import { TOLERANCE, type Point } from "@peltry/geometry";

/** a, b, c, d, e, f: x' = a x + c y + e, y' = b x + d y + f. */
export type Affine = readonly [number, number, number, number, number, number];

export const IDENTITY: Affine = [1, 0, 0, 1, 0, 0];

/** First `inner`, then `outer`. */
export function compose(outer: Affine, inner: Affine): Affine {
  const [a, b, c, d, e, f] = outer;
  const [p, q, r, s, t, u] = inner;
  return [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f];
}

export function apply(m: Affine, x: number, y: number): Point {
  return [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]];
}

/** Most points that one curve is divided into. */
const MOST_STEPS = 2000;

/**
 * Points along a cubic, without its start, so that chords stay within tolerance.
 *
 * @source Wang, 1984: a cubic divided into n equal steps of its parameter lies within (√3/18 … bounded here by) L n⁻² / 8 of
 * its chords, L the greatest second derivative
 */
export function cubicPoints(
  p0: Point,
  p1: Point,
  p2: Point,
  p3: Point,
  tolerance: number = TOLERANCE.flattenCurve,
): Point[] {
  const bend = Math.max(
    Math.hypot(p0[0] - 2 * p1[0] + p2[0], p0[1] - 2 * p1[1] + p2[1]),
    Math.hypot(p1[0] - 2 * p2[0] + p3[0], p1[1] - 2 * p2[1] + p3[1]),
  );
  const steps = Math.max(1, Math.min(MOST_STEPS, Math.ceil(Math.sqrt((6 * bend) / (8 * tolerance)))));
  return Array.from({ length: steps }, (_, i): Point => {
    if (i === steps - 1) return p3;
    const t = (i + 1) / steps;
    const s = 1 - t;
    const [a, b, c, d] = [s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t];
    return [a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0], a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1]];
  });
}

/**
 * Points along an elliptical arc given by its middle, half axes and angles, without its start.
 *
 * @param sweep - signed angle, radians
 * @param place - puts a point of the unit circle where it belongs
 * @param radius - greatest half axis in mm, which sets the step: sagitta r (1 − cos(step/2))
 */
export function arcPoints(
  from: number,
  sweep: number,
  place: (cos: number, sin: number) => Point,
  radius: number,
  tolerance: number = TOLERANCE.flattenCurve,
): Point[] {
  const step = radius > tolerance ? 2 * Math.acos(1 - tolerance / radius) : Math.PI / 2;
  const steps = Math.max(2, Math.min(MOST_STEPS, Math.ceil(Math.abs(sweep) / step)));
  return Array.from({ length: steps }, (_, i) => {
    const angle = from + (sweep * (i + 1)) / steps;
    return place(Math.cos(angle), Math.sin(angle));
  });
}

/** A run of points out of a drawing. */
export interface Run {
  points: Point[];
  closed: boolean;
  /** Id, label or layer that it came with. */
  name: string;
}

/**
 * Joins runs that end in one place into longer ones and closes those that come back to their start.
 *
 * @param tolerance - ends closer than this are one place, mm
 */
export function joinRuns(runs: readonly Run[], tolerance: number): Run[] {
  const done: Run[] = runs.filter((run) => run.closed);
  const open = runs
    .filter((run) => !run.closed && run.points.length > 1)
    .map((run) => ({ ...run, points: run.points.slice() }));
  const cell = (p: Point): string =>
    `${Math.round(p[0] / (4 * tolerance))},${Math.round(p[1] / (4 * tolerance))}`;
  const ends = new Map<string, Set<number>>();
  const enter = (i: number): void => {
    for (const p of [open[i].points[0], open[i].points[open[i].points.length - 1]]) {
      const key = cell(p);
      const set = ends.get(key);
      if (set) set.add(i);
      else ends.set(key, new Set([i]));
    }
  };
  const near = (p: Point): number[] => {
    const out = new Set<number>();
    const [x, y] = cell(p).split(",").map(Number);
    for (let dx = -1; dx <= 1; dx++)
      for (let dy = -1; dy <= 1; dy++) for (const i of ends.get(`${x + dx},${y + dy}`) ?? []) out.add(i);
    return [...out].sort((a, b) => a - b);
  };
  const gone = new Uint8Array(open.length);
  open.forEach((_, i) => enter(i));
  const meets = (p: Point, q: Point): boolean => Math.hypot(p[0] - q[0], p[1] - q[1]) <= tolerance;
  for (let i = 0; i < open.length; i++) {
    if (gone[i]) continue;
    gone[i] = 1;
    const run = open[i];
    for (let side = 0; side < 2; side++) {
      for (;;) {
        const tip = run.points[run.points.length - 1];
        if (run.points.length > 2 && meets(tip, run.points[0])) break;
        const j = near(tip).find(
          (k) =>
            !gone[k] &&
            (meets(open[k].points[0], tip) || meets(open[k].points[open[k].points.length - 1], tip)),
        );
        if (j === undefined) break;
        gone[j] = 1;
        const next = open[j].points;
        run.points.push(...(meets(next[0], tip) ? next : next.slice().reverse()).slice(1));
      }
      run.points.reverse();
    }
    const closed = run.points.length > 3 && meets(run.points[0], run.points[run.points.length - 1]);
    if (closed) run.points.pop();
    done.push({ ...run, closed });
  }
  return done;
}

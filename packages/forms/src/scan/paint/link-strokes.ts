import type { FittedStroke } from "./fit-strokes";
import { dot, runLength, size, sub, unit, type Vec } from "./vector";

/** How {@link linkStrokes} looks for ends that belong together. */
export interface LinkRules {
  /** Widest gap, mm. */
  readonly bridge: number;
  /** How much of the straight way between two places lies over parts where the scan saw nothing, mm. Default none. */
  readonly unseen?: ((from: Vec, to: Vec) => number) | undefined;
  /** Length over which an end's direction is taken, mm. */
  readonly look: number;
  /** Two strands closer than this are one line of ink, mm. */
  readonly near: number;
}

/** Widest gap over unseen parts, in bridges. */
const WIDEST = 5;

/**
 * Links fitted strokes whose free ends point at each other across missing ink, or have run past each other in the same
 * ink, best pairs first; a stroke whose own ends do becomes a ring.
 */
export function linkStrokes(strokes: readonly FittedStroke[], rules: LinkRules): FittedStroke[] {
  let now = strokes.map((s) => ({ ...s, points: s.points.slice() }));
  for (let guard = 0; guard < 1000; guard++) {
    const pair = bestPair(now, rules);
    if (!pair) return now;
    const { a, b, sideA, sideB } = pair;
    if (a === b) {
      now[a] = { points: withoutOverlap(now[a].points, pair.past), closed: true, joined: [false, false] };
      continue;
    }
    const first = sideA === 1 ? now[a] : turned(now[a]);
    const second = sideB === 0 ? now[b] : turned(now[b]);
    const linked: FittedStroke = {
      points: [
        ...shortened(first.points, pair.past / 2),
        ...shortened(second.points.slice().reverse(), pair.past / 2).reverse(),
      ],
      closed: false,
      joined: [first.joined[0], second.joined[1]],
    };
    now = now.filter((_, i) => i !== b).map((s, i) => (i === (a > b ? a - 1 : a) ? linked : s));
  }
  return now;
}

function turned(s: FittedStroke): FittedStroke {
  return { points: s.points.slice().reverse(), closed: s.closed, joined: [s.joined[1], s.joined[0]] };
}

interface Pair {
  readonly a: number;
  readonly b: number;
  readonly sideA: 0 | 1;
  readonly sideB: 0 | 1;
  /** How far the ends have run past each other, mm; 0 for a gap. */
  readonly past: number;
}

/** A run without a length at its end; at least two points stay. */
function shortened(points: readonly Vec[], length: number): Vec[] {
  let left = length;
  let last = points.length - 1;
  while (left > 0 && last > 1) left -= size(sub(points[last], points[--last]));
  return points.slice(0, last + 1);
}

/** A run whose ends overlap, cut back at both so that it closes without a double stretch. */
function withoutOverlap(points: readonly Vec[], past: number): Vec[] {
  if (past <= 0) return points.slice();
  return shortened(shortened(points, past / 2).reverse(), past / 2).reverse();
}

/** How far a tip has run back along another stroke's end stretch that lies in the same ink, mm; 0 when it has not. */
function runPast(tip: Vec, points: readonly Vec[], side: 0 | 1, rules: LinkRules): number {
  const run = side === 1 ? points.slice().reverse() : points;
  let gone = 0;
  let least = Infinity;
  let past = 0;
  for (let i = 0; i < run.length && gone < 2 * rules.bridge; i++) {
    if (i > 0) gone += size(sub(run[i], run[i - 1]));
    const d = size(sub(run[i], tip));
    if (d < least) [least, past] = [d, gone];
  }
  return least < rules.near && past > 0 ? past : 0;
}

function bestPair(strokes: readonly FittedStroke[], rules: LinkRules): Pair | undefined {
  const { bridge, look } = rules;
  const ends = strokes.flatMap((s, i) =>
    s.closed
      ? []
      : ([0, 1] as const)
          .filter((side) => !s.joined[side])
          .map((side) => ({ i, side, ...endOf(s.points, side, look) })),
  );
  let best: Pair | undefined;
  let least = Infinity;
  for (let m = 0; m < ends.length; m++) {
    for (let n = m + 1; n < ends.length; n++) {
      const [p, q] = [ends[m], ends[n]];
      if (p.i === q.i && runLength(strokes[p.i].points) < 4 * bridge) continue;
      const step = sub(q.place, p.place);
      const gap = size(step);
      if (gap > WIDEST * bridge || dot(p.way, q.way) > -0.5) continue;
      const way = unit(step);
      const past =
        dot(p.way, way) < 0 && gap <= 2 * bridge
          ? Math.min(
              runPast(p.place, strokes[q.i].points, q.side, rules),
              runPast(q.place, strokes[p.i].points, p.side, rules),
            )
          : 0;
      // Ends side by side or past each other count as touching.
      const bend = past > 0 || gap < 0.3 * bridge ? 0 : Math.max(1 - dot(p.way, way), 1 + dot(q.way, way));
      if (bend > 0.5) continue;
      if (past === 0 && gap > bridge && gap - (rules.unseen?.(p.place, q.place) ?? 0) > bridge) continue;
      const cost = past > 0 ? 0.5 * past : gap * (1 + 2 * bend);
      if (cost < least) {
        least = cost;
        best = { a: p.i, b: q.i, sideA: p.side, sideB: q.side, past };
      }
    }
  }
  return best;
}

function endOf(points: readonly Vec[], side: 0 | 1, look: number): { place: Vec; way: Vec } {
  const run = side === 1 ? points : points.slice().reverse();
  const place = run[run.length - 1];
  let i = run.length - 1;
  while (i > 0 && size(sub(place, run[i])) < look) i--;
  return { place, way: unit(sub(place, run[i])) };
}

/**
 * Takes off the end stretches of strokes that only run beside another stroke: thinning now and then leaves two strands in
 * one line of ink, and fitting brings them together. Shorter strokes give way to longer ones.
 *
 * @param near - distance within which two strokes are one line, mm
 */
export function trimOverlaps(strokes: readonly FittedStroke[], near: number): FittedStroke[] {
  const order = strokes
    .map((_, i) => i)
    .sort((a, b) => runLength(strokes[a].points) - runLength(strokes[b].points) || a - b);
  const out: (FittedStroke | undefined)[] = strokes.map((s) => ({ ...s, points: s.points.slice() }));
  for (const i of order) {
    const stroke = out[i]!;
    if (stroke.closed) continue;
    const others = out.flatMap((s, j) => (s && j !== i ? s.points : []));
    const beside = stroke.points.map((q) =>
      others.some((r) => (q[0] - r[0]) ** 2 + (q[1] - r[1]) ** 2 + (q[2] - r[2]) ** 2 < near * near),
    );
    let first = 0;
    let last = beside.length;
    while (first < last && beside[first]) first++;
    while (last > first && beside[last - 1]) last--;
    const points = stroke.points;
    if (first === last) {
      out[i] = undefined;
      continue;
    }
    // What only touches another line at its end is a junction, not an overlap.
    const long = (run: readonly Vec[]): boolean => runLength(run) > 2.5 * near;
    const from = long(points.slice(0, first)) ? first : 0;
    const to = long(points.slice(last)) ? last : points.length;
    out[i] = {
      points: points.slice(from, to),
      closed: false,
      joined: [from > 0 ? false : stroke.joined[0], to < points.length ? false : stroke.joined[1]],
    };
  }
  return out.filter((s): s is FittedStroke => s !== undefined && s.points.length > 2);
}

import type { FittedStroke } from "./fit-strokes";
import { dot, size, sub, unit, type Vec } from "./vector";

/** What a stroke's end runs into. */
export type EndJoin =
  { readonly to: "stroke"; readonly stroke: number } | { readonly to: "border" } | { readonly to: "rim" };

/** A stroke with what each end meets; undefined for a free end. */
export interface JoinedStroke {
  points: Vec[];
  closed: boolean;
  joins: [EndJoin | undefined, EndJoin | undefined];
  /** How far the ends were carried on past their ink, mm in all; less than nothing where the ink runs on past the join. */
  carried: number;
  /** The same for each end, by the gap that was closed. */
  carriedEnds: [number, number];
}

/** What {@link joinEnds} may join to. */
export interface JoinRules {
  readonly border: readonly Vec[];
  readonly rim: readonly Vec[];
  /** A free end carries on at most this far, mm. */
  readonly reach: number;
  /** An end that met another line before it was fitted finds it within this, mm. */
  readonly near: number;
}

/**
 * Carries the ends of strokes on to what they were meant to meet: another stroke, a border of paints, the form's rim. An
 * end reaches straight ahead, a little to either side.
 */
export function joinEnds(strokes: readonly FittedStroke[], rules: JoinRules): JoinedStroke[] {
  const out: JoinedStroke[] = strokes.map((s) => ({
    points: s.points.slice(),
    closed: s.closed,
    joins: [undefined, undefined],
    carried: 0,
    carriedEnds: [0, 0],
  }));
  strokes.forEach((stroke, i) => {
    if (stroke.closed) return;
    for (const side of [0, 1] as const) {
      const run = side === 0 ? stroke.points.slice().reverse() : stroke.points;
      const found = target(run, i, strokes, rules, stroke.joined[side]);
      if (!found) continue;
      out[i].joins[side] = found.join;
      // A line that runs off the scan was drawn on past its rim.
      if (found.join.to !== "rim") {
        const gap = size(sub(found.place, run[run.length - 1]));
        // Where two inks have run together the end cannot be seen: half the way halves the greatest error.
        out[i].carriedEnds[side] = stroke.joined[side] ? gap / 2 : gap;
        out[i].carried += out[i].carriedEnds[side];
      }
      const points = out[i].points;
      // Points that have gone past the target would make the line turn back.
      const drop =
        points.length > 4 ? overshoot(side === 0 ? points.slice().reverse() : points, found.place) : 0;
      if (side === 0) points.splice(0, drop, found.place);
      else points.splice(points.length - drop, drop, found.place);
    }
  });
  for (const stroke of out) closeRing(stroke, Math.max(rules.near, rules.reach));
  return out;
}

/**
 * A stroke that leaves another line and comes back to it at the same place is a ring that crosses it, also where the ink
 * just before the crossing is missing.
 */
function closeRing(stroke: JoinedStroke, near: number): void {
  const [a, b] = stroke.joins;
  const same = a?.to === "stroke" && b?.to === "stroke" && a.stroke === b.stroke;
  if (!same && !(a?.to === "stroke" && !b) && !(b?.to === "stroke" && !a)) return;
  const { points } = stroke;
  const gap = size(sub(points[0], points[points.length - 1]));
  const leave = unit(sub(points[Math.min(6, points.length - 1)], points[0]));
  const arrive = unit(sub(points[points.length - 1], points[Math.max(0, points.length - 7)]));
  if (gap > near || points.length < 12 || dot(leave, arrive) < 0.3) return;
  const across = unit(sub(points[0], points[points.length - 1]));
  // The free end may hang askew where its ink ran out; the start is sure.
  if (!same && (dot(across, a ? leave : arrive) < 0.5 || dot(across, a ? arrive : leave) < 0)) return;
  stroke.closed = true;
  stroke.joins = [undefined, undefined];
  stroke.carried = 0;
  stroke.points = points.slice(1);
}

function target(
  run: readonly Vec[],
  own: number,
  strokes: readonly FittedStroke[],
  rules: JoinRules,
  met: boolean,
): { join: EndJoin; place: Vec } | undefined {
  const tip = run[run.length - 1];
  const way = unit(sub(tip, run[Math.max(0, run.length - 6)]));
  let best: { join: EndJoin; place: Vec } | undefined;
  let least = Infinity;
  const offer = (place: Vec, join: EndJoin, reach: number): void => {
    const step = sub(place, tip);
    const d = size(step);
    if (d > reach) return;
    const bend = d > 0 ? 1 - dot(step, way) / d : 0;
    // Right beside the tip any direction will do; further off it has to lie ahead.
    if (d > 0.4 * rules.near && bend > 0.36) return;
    const cost = d * (1 + 2 * bend);
    if (cost < least) {
      least = cost;
      best = { join, place };
    }
  };
  const reach = met ? Math.max(rules.near, rules.reach) : rules.reach;
  strokes.forEach((other, j) => {
    if (j !== own) for (const q of other.points) offer(q, { to: "stroke", stroke: j }, reach);
  });
  for (const q of rules.border) offer(q, { to: "border" }, reach);
  for (const q of rules.rim) offer(q, { to: "rim" }, rules.reach);
  return best;
}

/** How many points at the end of a run lie past the place, seen along the run. */
function overshoot(run: readonly Vec[], place: Vec): number {
  let drop = 0;
  while (drop < run.length - 3) {
    const tip = run[run.length - 1 - drop];
    const way = sub(tip, run[run.length - 2 - drop]);
    if (dot(sub(place, tip), way) >= 0) break;
    drop++;
  }
  return drop;
}

import type { Point } from "@peltry/geometry";
import type { CornerTreatment } from "../types";

/** Chord error of rounded corners, mm: half a printer dot at 600 dpi. */
const ARC_ERROR = 0.02;
/** Squared and turned-back ends make no sense where the outline runs nearly straight on, degrees of turn. */
export const LEAST_TURN = 30;
const STRAIGHT = 1e-9;

/** The corner, seen from the sew line: unit directions in and out, widths before and after. */
export interface CornerShape {
  readonly at: Point;
  readonly into: Point;
  readonly out: Point;
  readonly before: number;
  readonly after: number;
  /** Lengths of the two edges, mm: room for a slope between widths. */
  readonly room?: readonly [number, number];
  /** Room along the straight stretches beside the corner for two strips to meet in a bay, mm. */
  readonly bay?: readonly [number, number];
}

/** What a treatment gives: points of the raw cut line between the two strips, and pieces to add. */
export interface CornerJoin {
  readonly points: Point[];
  readonly pieces: Point[][];
  readonly used: CornerTreatment | "inner" | "none";
  readonly why?: string;
}

/** A bay that turns by less is straight on, radians: its strips would overlap by less than the grid of the union. */
const LEAST_BAY = 1e-5;

const add = (p: Point, v: Point, t: number): Point => [p[0] + v[0] * t, p[1] + v[1] * t];
const dot = (a: Point, b: Point): number => a[0] * b[0] + a[1] * b[1];
/** Outward: to the right of the way. */
export const outward = (d: Point): Point => [d[1], -d[0]];

/** Turn at the corner in radians, positive where the corner sticks out. */
export function turnAt(into: Point, out: Point): number {
  return Math.atan2(into[0] * out[1] - into[1] * out[0], dot(into, out));
}

/**
 * The run of points that joins the two strips of a corner. Every join is a chain of pieces that go round
 * counter-clockwise, so that the union of all strips and joins is exactly where the raw cut line winds positively.
 */
export function joinCorner(
  corner: CornerShape,
  treatment: CornerTreatment,
  limit: number,
  length = 0,
): CornerJoin {
  const { at, into, out, before, after } = corner;
  const capBefore = add(at, outward(into), before);
  const capAfter = add(at, outward(out), after);
  if (before === 0 && after === 0) return { points: [at], pieces: [], used: "none" };
  const turn = turnAt(into, out);
  if (turn < -LEAST_BAY && turn > -Math.PI + STRAIGHT) {
    return { points: innerMeeting(corner) ?? [capBefore, at, capAfter], pieces: [], used: "inner" };
  }
  const sharp = Math.abs(turn) * (180 / Math.PI);
  switch (treatment) {
    case "butt":
      return { points: [capBefore, at, capAfter], pieces: [], used: "butt" };
    case "rounded":
      return { points: arc(corner, Math.abs(turn)), pieces: [], used: "rounded" };
    case "blended":
      return blended(corner, limit);
    case "squared-to-before":
    case "squared-to-after": {
      if (sharp >= LEAST_TURN) return squared(corner, treatment, limit, length);
      const join = mitre(corner, limit);
      return { ...join, why: `the outline turns by less than ${LEAST_TURN} degrees` };
    }
    case "stepped": {
      const join = mitre(corner, limit);
      return join.used === "stepped"
        ? join
        : { ...join, why: join.why ?? "the two cut lines meet without a step" };
    }
    default:
      return mitre(corner, limit);
  }
}

function mitre({ at, into, out, before, after }: CornerShape, limit: number): CornerJoin {
  const [n1, n2] = [outward(into), outward(out)];
  const c = dot(n1, n2);
  const capBefore = add(at, n1, before);
  const capAfter = add(at, n2, after);
  // The narrower line meets the square end of the wider strip before it can meet its long side.
  if (after < before * c) return { points: [capBefore, add(at, n1, after / c)], pieces: [], used: "stepped" };
  if (before < after * c) return { points: [add(at, n2, before / c), capAfter], pieces: [], used: "stepped" };
  const square = 1 - c * c;
  if (square < STRAIGHT && c > 0) return { points: [capBefore], pieces: [], used: "mitred" };
  if (square >= STRAIGHT) {
    const u = add([0, 0], n1, (before - after * c) / square);
    const tip = add(u, n2, (after - before * c) / square);
    const reach = Math.hypot(tip[0], tip[1]);
    if (reach <= limit * Math.max(before, after) * (1 + 1e-9)) {
      return { points: [[at[0] + tip[0], at[1] + tip[1]]], pieces: [], used: "mitred" };
    }
    return cutOff({ at, into, out, before, after }, limit, [tip[0] / reach, tip[1] / reach]);
  }
  return cutOff({ at, into, out, before, after }, limit, into);
}

/**
 * Where the outer lines of two strips meet in a bay, when both lie along the strips there. Square ends would reach over
 * the other edge, and over a narrow part of the panel behind it, and add cloth to the far side.
 */
function innerMeeting({ at, into, out, before, after, bay }: CornerShape): Point[] | undefined {
  const [n1, n2] = [outward(into), outward(out)];
  const c = dot(n1, n2);
  const square = 1 - c * c;
  if (!bay || square < STRAIGHT) return undefined;
  const meeting = add(add([0, 0], n1, (before - after * c) / square), n2, (after - before * c) / square);
  const [back, on] = [-dot(meeting, into), dot(meeting, out)];
  if (back < 0 || on < 0) return undefined;
  // What is cut off each strip lies in the other only as far as the other goes.
  const sine = Math.sqrt(square);
  const fits = Math.max(back, after * sine) <= bay[0] && Math.max(on, before * sine) <= bay[1];
  return fits ? [add(at, meeting, 1)] : undefined;
}

/** A step made into a slope over twice its height, laid on the narrower strip so that nothing is lost. */
function blended(corner: CornerShape, limit: number): CornerJoin {
  const join = mitre(corner, limit);
  if (join.used !== "stepped") return { ...join, why: "the two cut lines meet without a step" };
  const { at, into, out, before, after, room } = corner;
  const rise = Math.abs(before - after);
  const wideFirst = before > after;
  const run = Math.min(2 * rise, (wideFirst ? room?.[1] : room?.[0]) ?? Infinity);
  const way: Point = wideFirst ? out : [-into[0], -into[1]];
  const cap = wideFirst ? add(at, outward(into), before) : add(at, outward(out), after);
  const foot = add(at, way, run);
  const end = wideFirst ? add(foot, outward(out), after) : add(foot, outward(into), before);
  const piece = wideFirst ? [at, cap, end, foot] : [at, foot, end, cap];
  return { points: join.points, pieces: [piece], used: "blended" };
}

/** A mitre cut off square to the line from the corner to its tip. At a fold the cut is square to the fold. */
function cutOff({ at, into, out, before, after }: CornerShape, limit: number, toTip: Point): CornerJoin {
  const [n1, n2] = [outward(into), outward(out)];
  const way: Point = before === 0 ? into : after === 0 ? [-out[0], -out[1]] : toTip;
  const reach = limit * Math.max(before, after);
  const one = add(add(at, n1, before), into, (reach - before * dot(n1, way)) / dot(into, way));
  const two = add(add(at, n2, after), out, (reach - after * dot(n2, way)) / dot(out, way));
  return {
    points: [one, two],
    pieces: [],
    used: "mitred",
    why: `the mitre is cut off at ${limit} × the width`,
  };
}

function arc({ at, into, before, after }: CornerShape, turn: number): Point[] {
  const radius = Math.max(before, after);
  const step = 2 * Math.acos(Math.max(0.5, 1 - ARC_ERROR / radius));
  const count = Math.max(1, Math.ceil(turn / step));
  const grow = 1 / Math.cos(turn / count / 2);
  const start = outward(into);
  const points: Point[] = [add(at, start, before)];
  for (let i = 0; i < count; i++) {
    const t = (i + 0.5) / count;
    const [cos, sin] = [Math.cos(turn * t), Math.sin(turn * t)];
    const way: Point = [start[0] * cos - start[1] * sin, start[0] * sin + start[1] * cos];
    points.push(add(at, way, (before + (after - before) * t) * grow));
  }
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  points.push(add(at, [start[0] * cos - start[1] * sin, start[0] * sin + start[1] * cos], after));
  return points;
}

/** Square end of the strip before the corner, or (seen in a mirror) of the strip after it. */
function squared(corner: CornerShape, treatment: CornerTreatment, limit: number, length: number): CornerJoin {
  const forward = treatment === "squared-to-before";
  const c = dot(corner.into, corner.out);
  const { at } = corner;
  const way: Point = forward ? corner.into : [-corner.out[0], -corner.out[1]];
  const [n, other] = forward
    ? [outward(corner.into), outward(corner.out)]
    : [outward(corner.out), outward(corner.into)];
  const [own, neighbour] = forward ? [corner.before, corner.after] : [corner.after, corner.before];
  const natural = neighbour / dot(way, other);
  const reach = Math.min(natural, limit * Math.max(own, neighbour));
  const wanted = Math.max(reach, length);
  const foot = add(at, way, reach);
  const ear: Point[] = [at, add(at, n, own), add(add(at, n, own), way, wanted), add(at, way, wanted)];
  const piece = forward ? ear : ear.reverse();
  if (c >= 0) return { points: mitre(corner, limit).points, pieces: own > 0 ? [piece] : [], used: treatment };
  const inner = reach < natural ? add(foot, n, (neighbour - reach * dot(way, other)) / dot(n, other)) : foot;
  const run: Point[] = [add(add(at, n, own), way, reach), inner];
  return {
    points: forward ? run : run.reverse(),
    pieces: wanted > reach && own > 0 ? [piece] : [],
    used: treatment,
    ...(reach < natural ? { why: `the square end is held at ${limit} × the width` } : {}),
  };
}

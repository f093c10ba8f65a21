import { arcLengths, direction, stationAt, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import type { ClipRun, Pressing } from "../types";
import { outward } from "./corner";

/** Curvature is measured over this length, so that the corners of a polyline do not count as curves, mm. */
const WINDOW = 8;
/** Snips stand about 1/4 in apart. */
const SNIP_STEP = 6;
/** Width of a notch cut from a bulge, mm. */
const NOTCH_WIDTH = 5;
/** Cuts stop this far from the sew line, mm. */
const KEEP = 2;
/** A single bend sharper than this is a corner, radians. */
export const CORNER_TURN = 0.35;
const LEAST_TURN = (5 * Math.PI) / 180;

/**
 * The radius under which an allowance has to be clipped.
 *
 * @param width - mm
 * @param strain - what the cut edge takes without help, as a fraction
 * @param pressing - a seam turned to one side asks for twice the radius of one pressed open
 * @returns mm
 * @source derived here: on a curve of radius ρ the cut edge is a/ρ longer or shorter than the seam, 2a/ρ once turned
 */
export function leastRadius(width: number, strain: number, pressing: Pressing): number {
  return ((pressing === "turned" ? 2 : 1) * width) / strain;
}

/**
 * How many notches a bulge needs.
 *
 * @param turn - radians
 * @param notchWidth - width of each notch at the cut edge, mm
 * @source derived here: the cut edge of a turned seam is 2aφ longer than what it lies on
 */
export function notchesNeeded(width: number, turn: number, notchWidth = NOTCH_WIDTH): number {
  return Math.ceil((2 * width * Math.abs(turn)) / notchWidth - 1e-9);
}

/**
 * The stretches of an edge whose allowance must be snipped or notched so that it lies flat, with marks.
 *
 * @source spacing of about 1/4 in, close to the stitching, snip where the cut edge is shorter and notch where it is
 * longer: home-sewing teaching pages; the rule by radius is derived here
 */
export function clipRuns(edge: Edge, width: number, strain: number, pressing: Pressing): ClipRun[] {
  if (width <= 0 || strain <= 0) return [];
  const limit = leastRadius(width, strain, pressing);
  const lengths = arcLengths(edge.points);
  const total = lengths[lengths.length - 1];
  const steps = Math.min(4000, Math.max(1, Math.round(total / 2)));
  const step = total / steps;
  // A sharp bend is a corner, not a curve: it gets one snip where it turns inward.
  const bends = edge.points.map((p, i) =>
    i === 0 || i + 1 === edge.points.length ? 0 : turn(edge.points[i - 1], p, edge.points[i + 1]),
  );
  const turning = bends.map((t) => (Math.abs(t) > CORNER_TURN ? 0 : t));
  const heading = headings(lengths, turning);
  const curve: Curve = { edge, width, limit, pressing, heading };
  const curvature = (at: number): number => {
    const [from, to] = [Math.max(heading.first, at - WINDOW / 2), Math.min(heading.last, at + WINDOW / 2)];
    return to > from ? (heading.at(to) - heading.at(from)) / (to - from) : 0;
  };
  const runs: ClipRun[] = bends.flatMap((t, i) =>
    t < -CORNER_TURN
      ? [
          cornerSnip({
            edge: edge.id,
            corner: edge.points[i],
            at: lengths[i],
            out: edgeOut(edge, i),
            width,
            limit,
            turn: t,
          }),
        ]
      : [],
  );
  let start = -1;
  let sign = 0;
  let sharpest = 0;
  for (let i = 0; i <= steps + 1; i++) {
    const k = i <= steps ? curvature(i * step) : 0;
    const tight = Math.abs(k) > 1 / limit ? Math.sign(k) : 0;
    if (start >= 0 && tight !== sign) {
      const run = finish(curve, sign, start * step, (i - 1) * step, 1 / sharpest);
      if (run) runs.push(run);
      start = -1;
      sharpest = 0;
    }
    if (tight !== 0 && start < 0) [start, sign] = [i, tight];
    if (tight !== 0) sharpest = Math.max(sharpest, Math.abs(k));
  }
  return runs;
}

/** Outward half-way of the bend at a point of an edge. */
function edgeOut(edge: Edge, i: number): Point {
  return halfway(
    direction(edge.points[i - 1], edge.points[i]),
    direction(edge.points[i], edge.points[i + 1]),
  );
}

export function halfway(into: Point, out: Point): Point {
  const [n1, n2] = [outward(into), outward(out)];
  const size = Math.hypot(n1[0] + n2[0], n1[1] + n2[1]);
  return size > 1e-9 ? [(n1[0] + n2[0]) / size, (n1[1] + n2[1]) / size] : n1;
}

/** One snip into an inner corner. `out` points half-way between the two strips. */
export function cornerSnip(bend: {
  readonly edge: string;
  readonly corner: Point;
  readonly at: number;
  readonly out: Point;
  readonly width: number;
  readonly limit: number;
  readonly turn: number;
}): ClipRun {
  const { edge, corner, at, out, width, limit, turn } = bend;
  const mark = (away: number): Point => [corner[0] + out[0] * away, corner[1] + out[1] * away];
  // The lines of the two strips meet at this distance from the corner, held at twice the width.
  const far = Math.min(2, 1 / Math.max(1e-9, Math.cos(turn / 2))) * width;
  const marks = [[mark(far), mark(Math.min(KEEP, width / 2))]];
  return {
    edge,
    kind: "snip",
    from: at,
    to: at,
    radius: 0,
    limit,
    turn: (Math.abs(turn) * 180) / Math.PI,
    marks,
  };
}

interface Curve {
  readonly edge: Edge;
  readonly width: number;
  readonly limit: number;
  readonly pressing: Pressing;
  readonly heading: Heading;
}

function finish(curve: Curve, sign: number, from: number, to: number, radius: number): ClipRun | undefined {
  const { edge, width, limit, pressing, heading } = curve;
  const phi = Math.abs(heading.at(to) - heading.at(from));
  if (phi < LEAST_TURN || to <= from) return undefined;
  const kind = sign > 0 ? "notch" : "snip";
  const count =
    kind === "snip"
      ? Math.max(1, Math.round((to - from) / SNIP_STEP))
      : Math.max(1, notchesNeeded(pressing === "turned" ? width : width / 2, phi));
  const marks: Point[][] = [];
  for (let i = 0; i < count; i++) {
    const { point, tangent } = stationAt(edge.points, from + ((to - from) * (i + 0.5)) / count);
    const out = outward(tangent);
    const at = (away: number, along: number): Point => [
      point[0] + out[0] * away + tangent[0] * along,
      point[1] + out[1] * away + tangent[1] * along,
    ];
    const keep = Math.min(KEEP, width / 2);
    marks.push(
      kind === "snip"
        ? [at(width, 0), at(keep, 0)]
        : [at(width, -NOTCH_WIDTH / 2), at(keep, 0), at(width, NOTCH_WIDTH / 2)],
    );
  }
  return { edge: edge.id, kind, from, to, radius, limit, turn: (phi * 180) / Math.PI, marks };
}

function turn(p: Point, q: Point, r: Point): number {
  const [ux, uy, vx, vy] = [q[0] - p[0], q[1] - p[1], r[0] - q[0], r[1] - q[1]];
  return Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
}

/** Which way an edge heads along its length, radians: the headings of its sides, blended from middle to middle. */
interface Heading {
  /** Middle of the first side and of the last, mm along the edge. */
  readonly first: number;
  readonly last: number;
  readonly at: (length: number) => number;
}

function headings(lengths: readonly number[], turning: readonly number[]): Heading {
  const middles: number[] = [];
  const values: number[] = [];
  for (let i = 0; i + 1 < lengths.length; i++) {
    middles.push((lengths[i] + lengths[i + 1]) / 2);
    values.push(i === 0 ? 0 : values[i - 1] + turning[i]);
  }
  const at = (length: number): number => {
    const i = Math.max(1, Math.min(middles.length - 1, lowerBound(middles, length)));
    if (middles.length < 2) return values[0];
    const t = (length - middles[i - 1]) / (middles[i] - middles[i - 1]);
    return values[i - 1] + (values[i] - values[i - 1]) * Math.max(0, Math.min(1, t));
  };
  return { first: middles[0], last: middles[middles.length - 1], at };
}

/** First index whose value is not below. */
function lowerBound(values: readonly number[], value: number): number {
  let [low, high] = [0, values.length];
  while (low < high) {
    const mid = (low + high) >> 1;
    if (values[mid] < value) low = mid + 1;
    else high = mid;
  }
  return low;
}

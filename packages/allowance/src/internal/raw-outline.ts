import { direction, distance, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import { joinCorner, outward, turnAt, type CornerJoin } from "./corner";
import type { TracedPath } from "./region";

/** Inside an edge a bend up to this turns with a mitre, a sharper one with an arc: no spikes from jittery lines. */
const BEND = 0.35;

const add = (p: Point, v: Point, t: number): Point => [p[0] + v[0] * t, p[1] + v[1] * t];

/** Direction in which an edge leaves its first point. */
export function startDirection(edge: Edge): Point {
  return direction(edge.points[0], edge.points[1]);
}

/** Direction in which an edge comes to its last point. */
export function endDirection(edge: Edge): Point {
  return direction(edge.points[edge.points.length - 2], edge.points[edge.points.length - 1]);
}

/**
 * The outer side of a strip of one width along an edge, square at both ends. Bends that turn inward give either
 * the crossing of the two lines, where both have room for it, or a loop through the sew line that winds away in the union.
 *
 * @returns points, and for each the index of its sew point in the edge
 */
export function stripSide(points: readonly Point[], width: number): { side: Point[]; sew: number[] } {
  const last = points.length - 1;
  let into = direction(points[0], points[1]);
  let before = distance(points[0], points[1]);
  const side: Point[] = [add(points[0], outward(into), width)];
  const sew: number[] = [0];
  const push = (p: Point, i: number): void => {
    side.push(p);
    sew.push(i);
  };
  for (let i = 1; i < last; i++) {
    const at = points[i];
    const out = direction(at, points[i + 1]);
    const after = distance(at, points[i + 1]);
    const turn = turnAt(into, out);
    const reach = Math.abs(Math.tan(turn / 2)) * width;
    if (turn >= 0 ? turn <= BEND : reach <= Math.min(before, after) / 2) {
      const [n1, n2] = [outward(into), outward(out)];
      const grow = width / (1 + n1[0] * n2[0] + n1[1] * n2[1]);
      push([at[0] + (n1[0] + n2[0]) * grow, at[1] + (n1[1] + n2[1]) * grow], i);
    } else {
      const corner = { at, into, out, before: width, after: width };
      for (const p of joinCorner(corner, "rounded", 1).points) push(p, i);
    }
    into = out;
    before = after;
  }
  push(add(points[last], outward(into), width), last);
  return { side, sew };
}

/** The strip as one closed path: down the outer side, back along the sew line. */
export function stripPath(points: readonly Point[], width: number): Point[] {
  const back = points.slice(1, -1).reverse();
  const { side } = stripSide(points, width);
  return [points[0], ...side, points[points.length - 1], ...back];
}

/** A raw cut line: may loop, winds positively exactly over panel, strips and joins. */
export interface RawOutline {
  /** The one closed path, numbered by sew points of the ring from 1. */
  readonly path: TracedPath;
  /** Pieces that corners add, numbered alike. */
  readonly pieces: TracedPath[];
}

/**
 * The raw cut line of a ring.
 *
 * @param joins - joins[i] is the corner at which edge i begins
 */
export function rawOutline(
  ring: readonly Edge[],
  widths: readonly number[],
  joins: readonly CornerJoin[],
): RawOutline {
  const points: Point[] = [];
  const from: number[] = [];
  const pieces: TracedPath[] = [];
  let offset = 1;
  ring.forEach((edge, i) => {
    for (const piece of joins[i].pieces) pieces.push({ points: piece, from: piece.map(() => offset) });
    for (const p of joins[i].points) {
      points.push(p);
      from.push(offset);
    }
    const strip = stripSide(edge.points, widths[i]);
    // The square ends are left to the joins.
    for (let k = 1; k + 1 < strip.side.length; k++) {
      points.push(strip.side[k]);
      from.push(offset + strip.sew[k]);
    }
    offset += edge.points.length - 1;
  });
  return { path: { points, from }, pieces };
}

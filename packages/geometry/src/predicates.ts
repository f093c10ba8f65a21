import { orient2d as orient2dDown } from "robust-predicates";
import type { Point } from "./types";

/**
 * Which way a → b → c turns, decided exactly.
 *
 * @returns positive when counter-clockwise (y up), negative when clockwise, 0 when on one line;
 * the size is about twice the triangle's area
 * @source Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric Predicates, 1997
 */
export function orientation(a: Point, b: Point, c: Point): number {
  return orientationXY(a[0], a[1], b[0], b[1], c[0], c[1]);
}

/** {@link orientation} on bare numbers, for typed arrays. */
export function orientationXY(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
): number {
  // The library counts y downwards.
  return -orient2dDown(ax, ay, bx, by, cx, cy);
}

/** How two segments meet: not at all, crossing inside both, or only touching (end on segment, overlap). */
export type SegmentMeeting = "apart" | "cross" | "touch";

/** How segments a–b and c–d meet, decided exactly. */
export function segmentMeeting(a: Point, b: Point, c: Point, d: Point): SegmentMeeting {
  const abc = Math.sign(orientation(a, b, c));
  const abd = Math.sign(orientation(a, b, d));
  const cda = Math.sign(orientation(c, d, a));
  const cdb = Math.sign(orientation(c, d, b));
  if (abc * abd < 0 && cda * cdb < 0) return "cross";
  if (
    (abc === 0 && withinBox(a, b, c)) ||
    (abd === 0 && withinBox(a, b, d)) ||
    (cda === 0 && withinBox(c, d, a)) ||
    (cdb === 0 && withinBox(c, d, b))
  ) {
    return "touch";
  }
  return "apart";
}

function withinBox(a: Point, b: Point, p: Point): boolean {
  return (
    Math.min(a[0], b[0]) <= p[0] &&
    p[0] <= Math.max(a[0], b[0]) &&
    Math.min(a[1], b[1]) <= p[1] &&
    p[1] <= Math.max(a[1], b[1])
  );
}

import type { Point3 } from "@peltry/geometry";

/** Distance of two points, mm. */
export function distance(a: Point3, b: Point3): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/** Distance of a point from the nearest place of a line, mm. */
export function distanceToLine(p: Point3, line: readonly Point3[]): number {
  let least = Infinity;
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1], line[i]];
    least = Math.min(least, distance(p, pointBetween(a, b, shareAlong(a, b, p))));
  }
  return least;
}

/** Where on a segment the place nearest to a point is: 0 at its start, 1 at its end. */
export function shareAlong(a: Point3, b: Point3, p: Point3): number {
  const d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const square = d[0] * d[0] + d[1] * d[1] + d[2] * d[2];
  const along = d[0] * (p[0] - a[0]) + d[1] * (p[1] - a[1]) + d[2] * (p[2] - a[2]);
  return square > 0 ? Math.max(0, Math.min(1, along / square)) : 0;
}

/** The point at a share of the way from one point to another. */
export function pointBetween(a: Point3, b: Point3, t: number): Point3 {
  return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])];
}

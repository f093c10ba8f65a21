import type { Sheet } from "./sheet";

/** Reads the map J = (a b; c d) of triangle t from rest to flat into `map`, in the order a, b, c, d. */
export function readMap(
  { triangles, rest: { frames } }: Sheet,
  x: Float64Array,
  t: number,
  map: Float64Array,
): void {
  const v0 = 2 * triangles[3 * t];
  const v1 = 2 * triangles[3 * t + 1];
  const v2 = 2 * triangles[3 * t + 2];
  const p = frames[4 * t];
  const q = frames[4 * t + 1];
  const r = frames[4 * t + 2];
  const ux = x[v1] - x[v0];
  const uy = x[v1 + 1] - x[v0 + 1];
  map[0] = ux * p;
  map[1] = ux * q + (x[v2] - x[v0]) * r;
  map[2] = uy * p;
  map[3] = uy * q + (x[v2 + 1] - x[v0 + 1]) * r;
}

/** Adds the slope of an energy by a, b, c, d of triangle t to that by its corners. */
export function addSlope(
  { triangles, rest: { frames } }: Sheet,
  t: number,
  slope: Float64Array,
  gradient: Float64Array,
): void {
  const v0 = 2 * triangles[3 * t];
  const v1 = 2 * triangles[3 * t + 1];
  const v2 = 2 * triangles[3 * t + 2];
  const p = frames[4 * t];
  const q = frames[4 * t + 1];
  const r = frames[4 * t + 2];
  const x1 = slope[0] * p + slope[1] * q;
  const y1 = slope[2] * p + slope[3] * q;
  const x2 = slope[1] * r;
  const y2 = slope[3] * r;
  gradient[v1] += x1;
  gradient[v1 + 1] += y1;
  gradient[v2] += x2;
  gradient[v2 + 1] += y2;
  gradient[v0] -= x1 + x2;
  gradient[v0 + 1] -= y1 + y2;
}

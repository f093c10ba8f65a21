import type { Point, Polyline } from "./types";

/** Distance between two points, mm. */
export function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** The point at fraction t from a to b. */
export function mix(a: Point, b: Point, t: number): Point {
  return [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
}

/** Length of an open polyline, mm. */
export function polylineLength(line: Polyline): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) sum += distance(line[i - 1], line[i]);
  return sum;
}

/** Arc length from the start at each point, mm; the last entry is the whole length. */
export function arcLengths(line: Polyline): number[] {
  const lengths = [0];
  for (let i = 1; i < line.length; i++) lengths.push(lengths[i - 1] + distance(line[i - 1], line[i]));
  return lengths;
}

/** A place on a polyline: the point, the unit tangent there, and the segment it lies on. */
export interface Station {
  readonly point: Point;
  readonly tangent: Point;
  readonly segment: number;
}

/**
 * The place at an arc length from the start; lengths outside are held at the ends.
 *
 * @param line - at least two points
 * @param length - mm from the start
 */
export function stationAt(line: Polyline, length: number): Station {
  let rest = Math.max(0, length);
  for (let i = 0; i + 1 < line.length; i++) {
    const step = distance(line[i], line[i + 1]);
    if (rest <= step || i + 2 === line.length) {
      const t = step > 0 ? Math.min(1, rest / step) : 0;
      return { point: mix(line[i], line[i + 1], t), tangent: direction(line[i], line[i + 1]), segment: i };
    }
    rest -= step;
  }
  return { point: line[0], tangent: [1, 0], segment: 0 };
}

/** Unit vector from a to b; (1, 0) when they coincide. */
export function direction(a: Point, b: Point): Point {
  const d = distance(a, b);
  return d > 0 ? [(b[0] - a[0]) / d, (b[1] - a[1]) / d] : [1, 0];
}

/** The part of a polyline between two arc lengths (from ≤ to), ends interpolated. */
export function slicePolyline(line: Polyline, from: number, to: number): Point[] {
  const lengths = arcLengths(line);
  const out: Point[] = [stationAt(line, from).point];
  for (let i = 1; i + 1 < line.length; i++) {
    if (lengths[i] > from && lengths[i] < to) out.push(line[i]);
  }
  out.push(stationAt(line, to).point);
  return out;
}

/** Evenly spaced points along a polyline, both ends kept; at least one step. */
export function resamplePolyline(line: Polyline, step: number): Point[] {
  const total = polylineLength(line);
  const count = Math.max(1, Math.round(total / step));
  const lengths = arcLengths(line);
  const out: Point[] = [];
  let segment = 0;
  for (let i = 0; i <= count; i++) {
    const at = (total * i) / count;
    while (segment + 2 < line.length && lengths[segment + 1] < at) segment++;
    const span = lengths[segment + 1] - lengths[segment];
    out.push(
      mix(line[segment], line[segment + 1], span > 0 ? Math.min(1, (at - lengths[segment]) / span) : 0),
    );
  }
  return out;
}

/** Fewest points that stay within `tolerance` mm of the line (Douglas and Peucker 1973); the ends are kept. */
export function simplifyPolyline(line: Polyline, tolerance: number): Point[] {
  if (line.length < 3) return [...line];
  const keep = new Uint8Array(line.length);
  keep[0] = keep[line.length - 1] = 1;
  const stack: [number, number][] = [[0, line.length - 1]];
  while (stack.length > 0) {
    const [first, last] = stack.pop()!;
    let worst = -1;
    let far = tolerance;
    for (let i = first + 1; i < last; i++) {
      const d = distanceToSegment(line[i], line[first], line[last]);
      if (d > far) {
        far = d;
        worst = i;
      }
    }
    if (worst >= 0) {
      keep[worst] = 1;
      stack.push([first, worst], [worst, last]);
    }
  }
  return line.filter((_, i) => keep[i] === 1);
}

/** Distance from p to the segment a–b, mm. */
export function distanceToSegment(p: Point, a: Point, b: Point): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const square = dx * dx + dy * dy;
  const t = square > 0 ? Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square)) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/** Distance from p to the nearest place of an open polyline, mm. */
export function distanceToPolyline(p: Point, line: Polyline): number {
  let best = Infinity;
  for (let i = 1; i < line.length; i++) best = Math.min(best, distanceToSegment(p, line[i - 1], line[i]));
  return best;
}

import { orientation, segmentMeeting } from "./predicates";
import { mix, distanceToSegment } from "./polyline";
import type { Box, Outline, Point } from "./types";

/** Signed area, mm²: positive when counter-clockwise. */
export function signedArea(outline: Outline): number {
  let sum = 0;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    sum += outline[j][0] * outline[i][1] - outline[i][0] * outline[j][1];
  }
  return sum / 2;
}

/** Length round a closed outline, mm. */
export function perimeter(outline: Outline): number {
  let sum = 0;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    sum += Math.hypot(outline[i][0] - outline[j][0], outline[i][1] - outline[j][1]);
  }
  return sum;
}

/** The outline itself when counter-clockwise, else reversed. */
export function counterClockwise(outline: Outline): Outline {
  return signedArea(outline) >= 0 ? outline : [...outline].reverse();
}

/** Area centroid of an outline; the vertex mean when the area is zero. */
export function centroid(outline: Outline): Point {
  const [ox, oy] = outline[0];
  let x = 0;
  let y = 0;
  let twice = 0;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const ax = outline[j][0] - ox;
    const ay = outline[j][1] - oy;
    const bx = outline[i][0] - ox;
    const by = outline[i][1] - oy;
    const cross = ax * by - bx * ay;
    x += (ax + bx) * cross;
    y += (ay + by) * cross;
    twice += cross;
  }
  if (twice === 0) {
    const sum = outline.reduce<[number, number]>((s, p) => [s[0] + p[0], s[1] + p[1]], [0, 0]);
    return [sum[0] / outline.length, sum[1] / outline.length];
  }
  return [ox + x / (3 * twice), oy + y / (3 * twice)];
}

/** Smallest axis-aligned box round the points. */
export function boundingBox(points: readonly Point[]): Box {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (const [x, y] of points) {
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return { minX, minY, maxX, maxY };
}

/** Where a point lies against an outline, decided exactly (crossing count with exact turns). */
export function pointInOutline(p: Point, outline: Outline): "inside" | "outside" | "border" {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const a = outline[j];
    const b = outline[i];
    if (segmentMeeting(a, b, p, p) === "touch") return "border";
    if (a[1] > p[1] !== b[1] > p[1]) {
      const turn = orientation(a, b, p);
      if (turn > 0 === b[1] > a[1]) inside = !inside;
    }
  }
  return inside ? "inside" : "outside";
}

/** Distance from a point to the nearest place of a closed outline, mm. */
export function distanceToOutline(p: Point, outline: Outline): number {
  let best = Infinity;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    best = Math.min(best, distanceToSegment(p, outline[j], outline[i]));
  }
  return best;
}

/** A pair of outline sides that meet where they should not; side i runs from point i to point i + 1. */
export interface SideCrossing {
  readonly first: number;
  readonly second: number;
}

/**
 * Every pair of sides of a closed outline that cross or touch, neighbours excepted. Empty for a simple outline.
 * Decided exactly. Sweep over sides sorted by x: near n log n on ordinary outlines.
 */
export function outlineCrossings(outline: Outline): SideCrossing[] {
  const n = outline.length;
  const order = Array.from({ length: n }, (_, i) => i);
  const low = order.map((i) => Math.min(outline[i][0], outline[(i + 1) % n][0]));
  const high = order.map((i) => Math.max(outline[i][0], outline[(i + 1) % n][0]));
  order.sort((a, b) => low[a] - low[b] || a - b);
  const found: SideCrossing[] = [];
  let open: number[] = [];
  for (const side of order) {
    open = open.filter((other) => high[other] >= low[side]);
    for (const other of open) {
      const first = Math.min(side, other);
      const second = Math.max(side, other);
      if (second - first === 1 || (first === 0 && second === n - 1)) continue;
      const meeting = segmentMeeting(
        outline[first],
        outline[(first + 1) % n],
        outline[second],
        outline[(second + 1) % n],
      );
      if (meeting !== "apart") found.push({ first, second });
    }
    open.push(side);
  }
  return found.sort((a, b) => a.first - b.first || a.second - b.second);
}

/** Points moved by a turn (radians, counter-clockwise, about the origin) and then a shift. */
export function placePoints(points: readonly Point[], angle: number, dx = 0, dy = 0): Point[] {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return points.map(([x, y]) => [c * x - s * y + dx, s * x + c * y + dy]);
}

/** The outline mirrored left to right, still counter-clockwise. */
export function mirrorOutline(outline: Outline): Point[] {
  return outline.map(([x, y]): Point => [-x, y]).reverse();
}

/** A point inside the outline, as far from the border as a coarse search finds: good for labels. Deterministic. */
export function labelPoint(outline: Outline): Point {
  const box = boundingBox(outline);
  let best: Point = centroid(outline);
  let room = pointInOutline(best, outline) === "inside" ? distanceToOutline(best, outline) : -1;
  const steps = 16;
  for (let i = 1; i < steps; i++) {
    for (let j = 1; j < steps; j++) {
      const p: Point = [
        box.minX + ((box.maxX - box.minX) * i) / steps,
        box.minY + ((box.maxY - box.minY) * j) / steps,
      ];
      const d = distanceToOutline(p, outline);
      if (d > room && pointInOutline(p, outline) === "inside") {
        room = d;
        best = p;
      }
    }
  }
  return room >= 0 ? best : mix(outline[0], outline[1] ?? outline[0], 0.5);
}

import { turnOf } from "./grid";
import { shiftPolygon, type ShiftPolygon } from "./minkowski";
import { turnGrid, type Shape } from "./shape";
import type { ShiftBox } from "./shift-cells";

/**
 * Polygons of the shifts of shape B (turned by `turn`) against shape A (as drawn) at which they come too close.
 *
 * @param gap - grid steps between the outlines; touching counts as a hit
 */
export function pairPolygons(A: Shape, B: Shape, turn: number, gap: number): ShiftPolygon[] {
  const partsB = B.parts.map((part) => turnGrid(part, turn));
  return A.parts.flatMap((a) => partsB.map((b) => shiftPolygon(a, b, gap)));
}

/** Box of a polygon with two grid steps to spare. */
export function polygonBox({ vertices: { xs, ys } }: ShiftPolygon): ShiftBox {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (let i = 0; i < xs.length; i++) {
    box.minX = Math.min(box.minX, xs[i] - 2);
    box.maxX = Math.max(box.maxX, xs[i] + 2);
    box.minY = Math.min(box.minY, ys[i] - 2);
    box.maxY = Math.max(box.maxY, ys[i] + 2);
  }
  return box;
}

/** How the part of discs that do not meet falls with their distance: with its first or second power. */
export type Decay = 1 | 2;

/** A shape that fills less than this share of its convex hull has a deep bay or long arms. */
const BARE = 0.72;

/**
 * The decay for a job, one for all of its pairs so that they compare. Among full shapes the many far discs add up to
 * more than a small overlap and hide which way leads out of it; shapes with deep bays or long arms, poorly filled by discs,
 * need them.
 *
 * @source measured on the strips of the bench, median of three runs of 60 s, with 2 against 1: shirts 88.4 and 87.6 %,
 * marques, the barest shape 0.70, 89.8 and 90.2 %, swim, the barest 0.49, a point and a half worse. The share was chosen between
 * these; single runs spread as far as the first two differ.
 */
export function decayFor(shapes: readonly Shape[]): Decay {
  return shapes.every((shape) => shape.area > BARE * shape.hullArea) ? 2 : 1;
}

/**
 * How badly two shapes overlap at a shift of B: from the discs inside them, in square steps; above zero everywhere.
 *
 * @source overlap proxy and shape penalty of Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329
 */
export function createOverlapMeasure(
  A: Shape,
  B: Shape,
  turn: number,
  decay: Decay,
): (dx: number, dy: number) => number {
  const [c, s] = turnOf(turn);
  const p = A.poles;
  const q = B.poles.slice();
  for (let k = 0; k < q.length; k += 3) {
    q[k] = c * B.poles[k] - s * B.poles[k + 1];
    q[k + 1] = s * B.poles[k] + c * B.poles[k + 1];
  }
  const eps = 0.01 * Math.max(A.diameter, B.diameter);
  const penalty = Math.sqrt(Math.sqrt(A.hullArea) * Math.sqrt(B.hullArea));
  return (dx, dy) => {
    let sum = 0;
    for (let i = 0; i < p.length; i += 3) {
      for (let k = 0; k < q.length; k += 3) {
        const x = q[k] + dx - p[i];
        const y = q[k + 1] + dy - p[i + 1];
        const depth = p[i + 2] + q[k + 2] - Math.sqrt(x * x + y * y);
        const near = eps / (2 * eps - depth);
        const decayed = depth >= eps ? depth : eps * near * (decay === 2 ? near : 1);
        sum += decayed * (p[i + 2] < q[k + 2] ? p[i + 2] : q[k + 2]);
      }
    }
    return Math.sqrt(Math.PI * sum + eps * eps) * penalty;
  };
}

import { boundingBox, mix, type Outline, type Point } from "@peltry/geometry";
import { isInside } from "../used-tiles";

// Tried: a quadtree pole search (fine, but twice the code) and this plain grid with one refinement. At 20 × 20
// candidates the grid finds rooms within a few per cent of the best, which no reader of a label can see.

const GRID = 20;

/** Lines that a text must not touch: x1, y1, x2, y2 of each segment in turn. */
export class Obstacles {
  readonly segments: number[] = [];
  /** Joints between pages: a text keeps off them only where it can. */
  readonly joints: number[] = [];

  addJoint(a: Point, b: Point): void {
    this.joints.push(a[0], a[1], b[0], b[1]);
  }

  addLine(points: readonly Point[], closed: boolean): void {
    for (let i = closed ? 0 : 1; i < points.length; i++) {
      const a = points[(i + points.length - 1) % points.length]!;
      const b = points[i]!;
      this.segments.push(a[0], a[1], b[0], b[1]);
    }
  }

  /** A rectangle about a centre, turned by `angle` radians; barred inside, so that nothing small fits into it. */
  addBox(centre: Point, width: number, height: number, angle: number): void {
    const [a, b, c, d] = boxCorners(centre, width, height, angle) as [Point, Point, Point, Point];
    const bars = Math.max(1, Math.ceil(height / 3));
    for (let i = 0; i <= bars; i++) this.addLine([mix(a, d, i / bars), mix(b, c, i / bars)], false);
    this.addLine([a, d], false);
    this.addLine([b, c], false);
  }
}

/** Corners of a turned rectangle, counter-clockwise. */
export function boxCorners([x, y]: Point, width: number, height: number, angle: number): Point[] {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const corner = (u: number, v: number): Point => [x + c * u - s * v, y + s * u + c * v];
  const w = width / 2;
  const h = height / 2;
  return [corner(-w, -h), corner(w, -h), corner(w, h), corner(-w, h)];
}

/** A place for a rectangle: its centre and the largest factor by which it may grow. */
export interface Room {
  readonly centre: Point;
  readonly scale: number;
}

/** A rectangle that is to be placed: its size at scale 1 and its turn in radians. */
export interface RoomBox {
  readonly width: number;
  readonly height: number;
  readonly angle: number;
}

/**
 * The place inside an outline where a turned rectangle can be largest, up to `enough`; among places that are large
 * enough the one nearest to the middle. Keeps off page joints as long as that leaves half of the wanted size.
 */
export function findRoom(outline: Outline, obstacles: Obstacles, box: RoomBox, enough: number): Room {
  const clear = roomAmong(outline, [obstacles.segments, obstacles.joints], box, enough);
  if (obstacles.joints.length === 0 || clear.scale >= Math.min(enough, 1) * 0.6) return clear;
  return roomAmong(outline, [obstacles.segments], box, Math.min(enough, 1));
}

function roomAmong(
  outline: Outline,
  lines: readonly (readonly number[])[],
  box: RoomBox,
  enough: number,
): Room {
  const bounds = boundingBox(outline);
  const middle: Point = [(bounds.minX + bounds.maxX) / 2, (bounds.minY + bounds.maxY) / 2];
  let best: Room = { centre: middle, scale: 0 };
  let bestDistance = Infinity;
  const consider = (centre: Point): void => {
    let scale = enough;
    for (const list of lines) scale = Math.min(scale, freeScale(centre, list, box, best.scale * 0.999));
    const distance = Math.hypot(centre[0] - middle[0], centre[1] - middle[1]);
    const better = scale > best.scale * 1.001 || (scale >= best.scale * 0.999 && distance < bestDistance);
    if (scale > 0 && better && isInside(centre, outline)) {
      best = { centre, scale };
      bestDistance = distance;
    }
  };
  const stepX = (bounds.maxX - bounds.minX) / GRID;
  const stepY = (bounds.maxY - bounds.minY) / GRID;
  // From the middle outward, so that the first place with room enough is the one wanted.
  for (const [i, j] of SPIRAL) {
    consider([middle[0] + stepX * i, middle[1] + stepY * j]);
    if (best.scale >= enough) return best;
  }
  const [cx, cy] = best.centre;
  for (let i = -3; i <= 3; i++)
    for (let j = -3; j <= 3; j++) consider([cx + (stepX * i) / 4, cy + (stepY * j) / 4]);
  return best;
}

/** Steps of the grid, nearest to the middle first. */
const SPIRAL: readonly (readonly [number, number])[] = Array.from({ length: (GRID - 1) ** 2 }, (_, k) => {
  const half = GRID / 2 - 1;
  return [(k % (GRID - 1)) - half, Math.floor(k / (GRID - 1)) - half] as const;
}).sort((a, b) => a[0] ** 2 + a[1] ** 2 - b[0] ** 2 - b[1] ** 2 || a[0] - b[0] || a[1] - b[1]);

/** Largest factor at which the box about a centre touches no segment; stops early below `floor`. */
export function freeScale([cx, cy]: Point, segments: readonly number[], box: RoomBox, floor = 0): number {
  const c = Math.cos(box.angle);
  const s = Math.sin(box.angle);
  const kx = 2 / box.width;
  const ky = 2 / box.height;
  let best = Infinity;
  for (let i = 0; i < segments.length; i += 4) {
    const ax = segments[i]! - cx;
    const ay = segments[i + 1]! - cy;
    const bx = segments[i + 2]! - cx;
    const by = segments[i + 3]! - cy;
    const d = chebyshev(
      (c * ax + s * ay) * kx,
      (c * ay - s * ax) * ky,
      (c * bx + s * by) * kx,
      (c * by - s * bx) * ky,
    );
    if (d < best) {
      best = d;
      if (best < floor) return best;
    }
  }
  return best;
}

/** Least max(|x|, |y|) along the segment from a to b: a convex function, so its bends are enough. */
function chebyshev(ax: number, ay: number, bx: number, by: number): number {
  const dx = bx - ax;
  const dy = by - ay;
  let best = Math.min(Math.max(Math.abs(ax), Math.abs(ay)), Math.max(Math.abs(bx), Math.abs(by)));
  const at = (t: number): void => {
    if (t > 0 && t < 1) best = Math.min(best, Math.max(Math.abs(ax + t * dx), Math.abs(ay + t * dy)));
  };
  at(-ax / dx);
  at(-ay / dy);
  at((ay - ax) / (dx - dy));
  at(-(ax + ay) / (dx + dy));
  return best;
}

import type { Outline } from "@peltry/geometry";
import { convexParts, type ConvexPart } from "./convex-parts";
import { gridArea, gridBox, pointInGrid, toGrid, turnOf, type GridOutline } from "./grid";
import { simplifyOutward } from "./simplify-outward";

/** Discs inside a shape, largest first: centre and radius in turn. A rough stand-in for it in overlap measures. */
export type Poles = Float64Array;

/** A panel's cut line as the engine sees it, as drawn (or mirrored), not turned. */
export interface Shape {
  /** The cut line on the grid. */
  readonly exact: GridOutline;
  /** The same with few corners, nowhere inside `exact`. */
  readonly outer: GridOutline;
  readonly parts: readonly ConvexPart[];
  readonly poles: Poles;
  readonly area: number;
  /** Area of the convex hull, square steps. */
  readonly hullArea: number;
  readonly diameter: number;
  readonly simplified: boolean;
}

/** A shape at one turn. */
export interface OrientedShape {
  readonly shape: number;
  readonly turn: number;
  readonly cos: number;
  readonly sin: number;
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** Engine data of an outline (mm). */
export function createShape(outline: Outline): Shape {
  const exact = counterClockwiseGrid(toGrid(outline));
  const outer = simplifyOutward(exact);
  const box = gridBox(outer);
  return {
    exact,
    outer,
    parts: convexParts(outer),
    poles: findPoles(outer),
    area: gridArea(exact),
    hullArea: Math.max(1, hullArea(outer)),
    diameter: Math.hypot(box.maxX - box.minX, box.maxY - box.minY),
    simplified: outer !== exact,
  };
}

function counterClockwiseGrid(outline: GridOutline): GridOutline {
  if (gridArea(outline) >= 0) return outline;
  return { xs: outline.xs.slice().reverse(), ys: outline.ys.slice().reverse() };
}

/** Turned about the origin; exact at right angles, else rounded to the grid. */
export function turnGrid(outline: GridOutline, degrees: number): GridOutline {
  const [c, s] = turnOf(degrees);
  return {
    xs: outline.xs.map((x, i) => Math.round(c * x - s * outline.ys[i])),
    ys: outline.ys.map((y, i) => Math.round(s * outline.xs[i] + c * y)),
  };
}

/** A shape at a turn, with the box of its engine outline. */
export function orientShape(shapes: readonly Shape[], shape: number, turn: number): OrientedShape {
  const [cos, sin] = turnOf(turn);
  return { shape, turn, cos, sin, ...gridBox(turnGrid(shapes[shape].outer, turn)) };
}

function hullArea({ xs, ys }: GridOutline): number {
  const order = Array.from(xs, (_, i) => i).sort((i, j) => xs[i] - xs[j] || ys[i] - ys[j]);
  const half = (list: readonly number[]): number[] => {
    const hull: number[] = [];
    for (const i of list) {
      while (hull.length > 1) {
        const p = hull[hull.length - 2];
        const q = hull[hull.length - 1];
        if ((xs[q] - xs[p]) * (ys[i] - ys[p]) - (ys[q] - ys[p]) * (xs[i] - xs[p]) > 0) break;
        hull.pop();
      }
      hull.push(i);
    }
    hull.pop();
    return hull;
  };
  const hull = [...half(order), ...half(order.slice().reverse())];
  return gridArea({ xs: Float64Array.from(hull, (i) => xs[i]), ys: Float64Array.from(hull, (i) => ys[i]) });
}

const POLE_GRID = 64;
const POLE_COUNT = 24;

/**
 * Discs inside the outline: each the largest that the coarse grid finds outside the ones before.
 *
 * @source poles of inaccessibility as a surrogate: Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329
 */
function findPoles(outline: GridOutline): Poles {
  const box = gridBox(outline);
  const points: { x: number; y: number; room: number }[] = [];
  for (let i = 0; i < POLE_GRID; i++) {
    for (let j = 0; j < POLE_GRID; j++) {
      const x = box.minX + ((i + 0.5) * (box.maxX - box.minX)) / POLE_GRID;
      const y = box.minY + ((j + 0.5) * (box.maxY - box.minY)) / POLE_GRID;
      if (pointInGrid(x, y, outline)) points.push({ x, y, room: borderDistance(x, y, outline) });
    }
  }
  const poles: number[] = [];
  while (poles.length < 3 * POLE_COUNT) {
    let best: (typeof points)[number] | undefined;
    for (const p of points) if (best === undefined || p.room > best.room) best = p;
    if (best === undefined || best.room <= 0 || (poles.length > 0 && best.room < 0.1 * poles[2])) break;
    const { x, y, room } = best;
    poles.push(x, y, room);
    for (const p of points) {
      const dx = p.x - x;
      const dy = p.y - y;
      // Only nearer points are held back: most are passed over without a root.
      if (dx * dx + dy * dy < (p.room + room) ** 2) p.room = Math.sqrt(dx * dx + dy * dy) - room;
    }
  }
  if (poles.length === 0) poles.push((box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2, 1);
  return Float64Array.from(poles);
}

function borderDistance(x: number, y: number, { xs, ys }: GridOutline): number {
  let best = Infinity;
  for (let i = 0, j = xs.length - 1; i < xs.length; j = i++) {
    const dx = xs[i] - xs[j];
    const dy = ys[i] - ys[j];
    const length = dx * dx + dy * dy;
    const t = length === 0 ? 0 : Math.min(1, Math.max(0, ((x - xs[j]) * dx + (y - ys[j]) * dy) / length));
    const ex = x - xs[j] - t * dx;
    const ey = y - ys[j] - t * dy;
    const square = ex * ex + ey * ey;
    if (square < best) best = square;
  }
  return Math.sqrt(best);
}

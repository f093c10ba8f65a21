import type { Outline, Point } from "@peltry/geometry";

/**
 * Grid steps a millimetre. Every outline and every position lies on this grid, so that the engine's tests on bare
 * numbers are exact: sides reach 10⁷ steps, their products stay far below 2⁵³.
 */
export const GRID = 1000;

/** A closed outline on the grid: x and y in steps, counter-clockwise. */
export interface GridOutline {
  readonly xs: Float64Array;
  readonly ys: Float64Array;
}

/** Cosine and sine of a turn in degrees, exact at right angles. */
export function turnOf(degrees: number): readonly [number, number] {
  const turn = ((degrees % 360) + 360) % 360;
  if (turn === 0) return [1, 0];
  if (turn === 90) return [0, 1];
  if (turn === 180) return [-1, 0];
  if (turn === 270) return [0, -1];
  const angle = (turn * Math.PI) / 180;
  return [Math.cos(angle), Math.sin(angle)];
}

/** Mirrors (across the line through the origin at `napAngle`) and turns an outline; mm, counter-clockwise. */
export function orientOutline(outline: Outline, turn: number, mirrored: boolean, napAngle: number): Point[] {
  const [c, s] = turnOf(turn);
  const [mc, ms] = turnOf(2 * napAngle);
  const points = outline.map(([x, y]): Point => {
    const u = mirrored ? mc * x + ms * y : x;
    const v = mirrored ? ms * x - mc * y : y;
    return [c * u - s * v, s * u + c * v];
  });
  return mirrored ? points.reverse() : points;
}

/** An outline rounded to the grid, without repeated points. */
export function toGrid(outline: Outline): GridOutline {
  const xs: number[] = [];
  const ys: number[] = [];
  for (const [px, py] of outline) {
    const x = Math.round(px * GRID);
    const y = Math.round(py * GRID);
    const last = xs.length - 1;
    if (last >= 0 && xs[last] === x && ys[last] === y) continue;
    xs.push(x);
    ys.push(y);
  }
  while (xs.length > 1 && xs[0] === xs[xs.length - 1] && ys[0] === ys[ys.length - 1]) {
    xs.pop();
    ys.pop();
  }
  return { xs: Float64Array.from(xs), ys: Float64Array.from(ys) };
}

/** Back to millimetres, moved by a whole number of grid steps. */
export function fromGrid(outline: GridOutline, dx = 0, dy = 0): Point[] {
  return Array.from(outline.xs, (x, i): Point => [(x + dx) / GRID, (outline.ys[i] + dy) / GRID]);
}

/** Signed area in square steps. */
export function gridArea({ xs, ys }: GridOutline): number {
  let sum = 0;
  for (let i = 0, j = xs.length - 1; i < xs.length; j = i++) sum += xs[j] * ys[i] - xs[i] * ys[j];
  return sum / 2;
}

/** Lowest and highest x and y. */
export function gridBox({ xs, ys }: GridOutline): { minX: number; minY: number; maxX: number; maxY: number } {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (let i = 0; i < xs.length; i++) {
    if (xs[i] < minX) minX = xs[i];
    if (xs[i] > maxX) maxX = xs[i];
    if (ys[i] < minY) minY = ys[i];
    if (ys[i] > maxY) maxY = ys[i];
  }
  return { minX, minY, maxX, maxY };
}

/** True when a point lies inside (borders count either way: callers decide them by other tests). */
export function pointInGrid(x: number, y: number, { xs, ys }: GridOutline): boolean {
  let inside = false;
  for (let i = 0, j = xs.length - 1; i < xs.length; j = i++) {
    if (ys[i] > y !== ys[j] > y && x < ((xs[j] - xs[i]) * (y - ys[i])) / (ys[j] - ys[i]) + xs[i])
      inside = !inside;
  }
  return inside;
}

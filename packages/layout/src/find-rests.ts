import type { Outline, Point } from "@peltry/geometry";
import { turnOf } from "./internal/grid";
import type { Rest } from "./types";

/** What {@link findRest} looks at, piece coordinates, mm. */
export interface RestSpace {
  readonly piece: string;
  /** Border of the cloth. */
  readonly outline: Outline;
  /** Holes, poor cloth and panels: what the rectangle keeps off. */
  readonly obstacles: readonly Outline[];
  /** Direction of the nap, degrees. */
  readonly napAngle: number;
}

/** Cells along each side of the first, coarse search. */
const CELLS = 128;

/**
 * The largest empty rectangle with sides along and across the nap.
 *
 * @returns undefined when not even a cell of the search grid (1/128 of the piece) is empty
 * @remarks searched on a grid, then each side pushed out until it meets something: never overlaps, may miss a
 * rectangle larger by less than a cell's width
 */
export function findRest(space: RestSpace): Rest | undefined {
  const [c, s] = turnOf(90 - space.napAngle);
  const turned = (outline: Outline): Point[] =>
    outline.map(([x, y]): Point => [c * x - s * y, s * x + c * y]);
  const outline = turned(space.outline);
  const sides = [outline, ...space.obstacles.map(turned)].flatMap((ring) =>
    ring.map((a, i): [Point, Point] => [a, ring[(i + 1) % ring.length]]),
  );
  const xs = outline.map((p) => p[0]);
  const ys = outline.map((p) => p[1]);
  const box: Rect = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const coarse = largestFreeCells(freeCells(outline, space.obstacles.map(turned), sides, box));
  if (coarse === undefined) return undefined;
  const w = (box[2] - box[0]) / CELLS;
  const h = (box[3] - box[1]) / CELLS;
  const rect = pushOut(
    [box[0] + coarse[0] * w, box[1] + coarse[1] * h, box[0] + coarse[2] * w, box[1] + coarse[3] * h],
    box,
    sides,
  );
  const [x0, y0, x1, y1] = rect;
  const corners: Point[] = [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
  return {
    piece: space.piece,
    width: x1 - x0,
    length: y1 - y0,
    area: (x1 - x0) * (y1 - y0),
    corners: corners.map(([x, y]): Point => [c * x + s * y, c * y - s * x]),
  };
}

type Rect = [number, number, number, number];

/** 1 for every cell that no side touches and whose middle lies on cloth and off the obstacles. */
function freeCells(
  outline: Outline,
  obstacles: readonly Outline[],
  sides: [Point, Point][],
  box: Rect,
): Uint8Array {
  const free = new Uint8Array(CELLS * CELLS).fill(1);
  const w = (box[2] - box[0]) / CELLS;
  const h = (box[3] - box[1]) / CELLS;
  const cellX = (x: number): number => Math.max(0, Math.min(CELLS - 1, Math.floor((x - box[0]) / w)));
  const cellY = (y: number): number => Math.max(0, Math.min(CELLS - 1, Math.floor((y - box[1]) / h)));
  for (const [a, b] of sides) {
    for (let i = cellX(Math.min(a[0], b[0])); i <= cellX(Math.max(a[0], b[0])); i++) {
      for (let j = cellY(Math.min(a[1], b[1])); j <= cellY(Math.max(a[1], b[1])); j++) {
        const x = box[0] + i * w;
        const y = box[1] + j * h;
        if (free[j * CELLS + i] === 1 && sideMeets(a, b, [x, y, x + w, y + h])) free[j * CELLS + i] = 0;
      }
    }
  }
  for (let j = 0; j < CELLS; j++) {
    const y = box[1] + (j + 0.5) * h;
    const onCloth = crossings(outline, y);
    const blocked = obstacles.map((ring) => crossings(ring, y)).filter((list) => list.length > 0);
    for (let i = 0; i < CELLS; i++) {
      const x = box[0] + (i + 0.5) * w;
      if (!oddBelow(onCloth, x) || blocked.some((list) => oddBelow(list, x))) free[j * CELLS + i] = 0;
    }
  }
  return free;
}

function crossings(ring: Outline, y: number): number[] {
  const found: number[] = [];
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [ax, ay] = ring[j];
    const [bx, by] = ring[i];
    if (ay > y !== by > y) found.push(ax + ((bx - ax) * (y - ay)) / (by - ay));
  }
  return found;
}

function oddBelow(list: readonly number[], x: number): boolean {
  let count = 0;
  for (const value of list) if (value < x) count++;
  return count % 2 === 1;
}

/** True when a segment comes into the open rectangle. */
function sideMeets(a: Point, b: Point, [x0, y0, x1, y1]: Rect): boolean {
  const [ax, ay] = a;
  const [bx, by] = b;
  if ((ax <= x0 && bx <= x0) || (ax >= x1 && bx >= x1)) return false;
  if ((ay <= y0 && by <= y0) || (ay >= y1 && by >= y1)) return false;
  const dx = bx - ax;
  const dy = by - ay;
  let from = 0;
  let to = 1;
  if (dx !== 0) {
    const [t, u] = [(x0 - ax) / dx, (x1 - ax) / dx];
    from = Math.max(from, Math.min(t, u));
    to = Math.min(to, Math.max(t, u));
  }
  if (dy !== 0) {
    const [t, u] = [(y0 - ay) / dy, (y1 - ay) / dy];
    from = Math.max(from, Math.min(t, u));
    to = Math.min(to, Math.max(t, u));
  }
  return from < to;
}

/** Largest rectangle of ones: row by row over the heights of free columns. */
function largestFreeCells(free: Uint8Array): Rect | undefined {
  const heights = new Int32Array(CELLS + 1);
  let best: Rect | undefined;
  let bestArea = 0;
  for (let j = 0; j < CELLS; j++) {
    for (let i = 0; i < CELLS; i++) heights[i] = free[j * CELLS + i] === 1 ? heights[i] + 1 : 0;
    const stack: number[] = [];
    for (let i = 0; i <= CELLS; i++) {
      while (stack.length > 0 && heights[stack[stack.length - 1]] >= heights[i]) {
        const height = heights[stack.pop()!];
        const left = stack.length === 0 ? 0 : stack[stack.length - 1] + 1;
        if (height * (i - left) > bestArea) {
          bestArea = height * (i - left);
          best = [left, j + 1 - height, i, j + 1];
        }
      }
      stack.push(i);
    }
  }
  return best;
}

/** Pushes each side out by up to two cells, until just before it meets something. */
function pushOut(rect: Rect, box: Rect, sides: readonly [Point, Point][]): Rect {
  const grown: Rect = [...rect];
  const reach = [(box[2] - box[0]) / CELLS, (box[3] - box[1]) / CELLS];
  for (const k of [0, 2, 1, 3] as const) {
    const sign = k < 2 ? -1 : 1;
    const start = grown[k];
    const limit =
      k < 2 ? Math.max(box[k], start - 2 * reach[k % 2]) : Math.min(box[k], start + 2 * reach[k % 2]);
    let low = 0;
    let high = Math.abs(limit - start);
    const ok = (by: number): boolean => {
      const trial: Rect = [...grown];
      trial[k] = start + sign * by;
      return !sides.some(([a, b]) => sideMeets(a, b, trial));
    };
    if (ok(high)) low = high;
    else {
      for (let step = 0; step < 16; step++) {
        const middle = (low + high) / 2;
        if (ok(middle)) low = middle;
        else high = middle;
      }
    }
    grown[k] = start + sign * low;
  }
  return grown;
}

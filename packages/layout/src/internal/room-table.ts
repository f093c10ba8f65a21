import { pointInGrid, type GridOutline } from "./grid";
import { shiftPolygon } from "./minkowski";
import { turnGrid, type OrientedShape, type Shape } from "./shape";
import { CLEAR, HIT, hitsInside, shiftCells, type ShiftBox, type ShiftCells } from "./shift-cells";

/** A border that a panel must keep clear of: the piece's own, a hole's, or a zone's of cloth too poor for it. */
export interface Border {
  readonly outline: GridOutline;
  /** Panels belong inside (the piece's own outline) or outside. */
  readonly keep: "inside" | "outside";
  /** Grid steps between panel and border. */
  readonly gap: number;
}

/** Where one oriented panel may lie on one odd piece. */
export interface RoomTable extends ShiftCells {
  readonly borders: readonly Border[];
  /** A point inside the panel: where it lies tells inside from outside once no border is crossed. */
  readonly innerX: number;
  readonly innerY: number;
  /** Distance to the nearest free cell at the cell corners, grid steps. */
  readonly away: Float32Array;
  /** Centres of cells that are free at some tried point, x and y in turn. */
  readonly free: Float64Array;
  /** A position that was tried and is free. */
  readonly sample?: readonly [number, number];
}

/** Cells along each side. */
const CELLS = 96;

/** Table of the positions of an oriented shape against the borders of a piece. Touching a border is allowed at gap 0. */
export function createRoomTable(
  shape: Shape,
  oriented: OrientedShape,
  borders: readonly Border[],
  box: ShiftBox,
  cells = CELLS,
): RoomTable {
  const parts = shape.parts.map((part) => turnGrid(part, oriented.turn));
  const polygons = borders.flatMap(({ outline, gap }) => {
    const sides = Array.from(outline.xs, (x, i) => {
      const j = (i + 1) % outline.xs.length;
      return { xs: Float64Array.of(x, outline.xs[j]), ys: Float64Array.of(outline.ys[i], outline.ys[j]) };
    });
    return sides.flatMap((side) => parts.map((part) => shiftPolygon(side, part, gap)));
  });
  const grid = shiftCells(polygons, box, [cells, cells], false);
  const [px, py] = shape.poles;
  const table = {
    ...grid,
    borders,
    innerX: oriented.cos * px - oriented.sin * py,
    innerY: oriented.sin * px + oriented.cos * py,
  };
  return { ...table, ...freeCells(table) };
}

/** True when the panel lies where it may, at a shift inside the table's box. */
export function isRoom(t: Omit<RoomTable, "away" | "free" | "sample">, x: number, y: number): boolean {
  let i = Math.floor((x - t.x0) * t.perX);
  let j = Math.floor((y - t.y0) * t.perY);
  if (i < 0) i = 0;
  else if (i >= t.nx) i = t.nx - 1;
  if (j < 0) j = 0;
  else if (j >= t.ny) j = t.ny - 1;
  const code = t.cells[j * t.nx + i];
  if (code < 0) return code === CLEAR;
  if (hitsInside(t.refs, t.planes, code, x, y)) return false;
  return onRightSides(t.borders, t.innerX + x, t.innerY + y);
}

/** The inner point is never on a border here: no border comes into the panel. */
function onRightSides(borders: readonly Border[], x: number, y: number): boolean {
  return borders.every(({ outline, keep }) => pointInGrid(x, y, outline) === (keep === "inside"));
}

function freeCells(
  t: Omit<RoomTable, "away" | "free" | "sample">,
): Pick<RoomTable, "away" | "free" | "sample"> {
  const { nx, ny } = t;
  const far = nx + ny;
  const state = new Uint8Array(nx * ny);
  const free: number[] = [];
  let sample: readonly [number, number] | undefined;
  const at = (i: number, j: number, [u, v]: readonly [number, number]): [number, number] => [
    Math.round(t.x0 + (i + u) / t.perX),
    Math.round(t.y0 + (j + v) / t.perY),
  ];
  // Clear cells first, all of them: a point tried at the rim of an open cell may fall into the next.
  for (let k = 0; k < nx * ny; k++) {
    if (t.cells[k] !== CLEAR) continue;
    const i = k % nx;
    // Nothing parts two clear neighbours: what holds for one holds for the other.
    const known = i > 0 && state[k - 1] === 1;
    const [x, y] = at(i, Math.floor(k / nx), CENTRE);
    if (known || onRightSides(t.borders, t.innerX + x, t.innerY + y)) state[k] = 1;
    // Crossed by no border but on the wrong side of one: as good as hit.
    else t.cells[k] = HIT;
  }
  for (let k = 0; k < nx * ny; k++) {
    const code = t.cells[k];
    if (code === HIT) continue;
    for (const spot of code === CLEAR ? [CENTRE] : SPREAD) {
      const [x, y] = at(k % nx, Math.floor(k / nx), spot);
      if (code !== CLEAR && !isRoom(t, x, y)) continue;
      state[k] = 1;
      free.push(x, y);
      sample ??= [x, y];
      break;
    }
  }
  return { away: cornerDistances(state, t, far), free: Float64Array.from(free), ...(sample && { sample }) };
}

const CENTRE = [0.5, 0.5] as const;
const SPREAD = [
  CENTRE,
  [0, 0],
  [1, 0],
  [0, 1],
  [1, 1],
  [0.25, 0.5],
  [0.75, 0.5],
  [0.5, 0.25],
  [0.5, 0.75],
  [0, 0.5],
  [1, 0.5],
  [0.5, 0],
  [0.5, 1],
] as const;

/** Two-pass distance over cell corners to the free cells, in grid steps (8 neighbours). */
function cornerDistances(
  state: Uint8Array,
  t: Pick<ShiftCells, "nx" | "ny" | "perX" | "perY">,
  far: number,
): Float32Array {
  const { nx, ny } = t;
  const w = 1 / t.perX;
  const h = 1 / t.perY;
  const d = Math.hypot(w, h);
  const row = nx + 1;
  const away = new Float32Array(row * (ny + 1)).fill(far * Math.max(w, h));
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      if (state[j * nx + i] === 0) continue;
      const k = j * row + i;
      away[k] = away[k + 1] = away[k + row] = away[k + row + 1] = 0;
    }
  }
  const relax = (k: number, from: number, step: number): void => {
    if (away[from] + step < away[k]) away[k] = away[from] + step;
  };
  for (let j = 0; j <= ny; j++) {
    for (let i = 0; i <= nx; i++) {
      const k = j * row + i;
      if (i > 0) relax(k, k - 1, w);
      if (j > 0) relax(k, k - row, h);
      if (i > 0 && j > 0) relax(k, k - row - 1, d);
      if (i < nx && j > 0) relax(k, k - row + 1, d);
    }
  }
  for (let j = ny; j >= 0; j--) {
    for (let i = nx; i >= 0; i--) {
      const k = j * row + i;
      if (i < nx) relax(k, k + 1, w);
      if (j < ny) relax(k, k + row, h);
      if (i < nx && j < ny) relax(k, k + row + 1, d);
      if (i > 0 && j < ny) relax(k, k + row - 1, d);
    }
  }
  return away;
}

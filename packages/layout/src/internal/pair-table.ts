import { shiftPolygon } from "./minkowski";
import { turnGrid, type Shape } from "./shape";
import { shiftCells, type ShiftCells } from "./shift-cells";
import { turnOf } from "./grid";

/** All that two shapes at one relative turn need: which shifts collide, and how badly. */
export interface PairTable extends ShiftCells {
  /** Overlap measure at the corners of cells {@link LOSS_CELL} times as large, row by row. */
  readonly loss: Float32Array;
}

/** Cells along each side of a table. */
export const CELLS = 64;
/** Cells along each side of a cell of the measure, which is smooth. */
export const LOSS_CELL = 4;

/**
 * Table over the shifts of shape B (turned by `turn`) against shape A (as drawn).
 *
 * @param gap - grid steps between the outlines; touching counts as a hit
 * @remarks parts(A) × parts(B) × cells × sides; 2 to 10 ms for ordinary panels, a look-up afterwards near 50 ns
 */
export function createPairTable(A: Shape, B: Shape, turn: number, gap: number): PairTable {
  const partsB = B.parts.map((part) => turnGrid(part, turn));
  const polygons = A.parts.flatMap((a) => partsB.map((b) => shiftPolygon(a, b, gap)));
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (const { vertices } of polygons) {
    for (let i = 0; i < vertices.xs.length; i++) {
      box.minX = Math.min(box.minX, vertices.xs[i] - 2);
      box.maxX = Math.max(box.maxX, vertices.xs[i] + 2);
      box.minY = Math.min(box.minY, vertices.ys[i] - 2);
      box.maxY = Math.max(box.maxY, vertices.ys[i] + 2);
    }
  }
  const cells = shiftCells(polygons, box, [CELLS, CELLS], true);
  return { ...cells, loss: cornerLosses(cells, A, B, turn) };
}

function cornerLosses(t: ShiftCells, A: Shape, B: Shape, turn: number): Float32Array {
  const row = CELLS / LOSS_CELL + 1;
  const loss = new Float32Array(row * row);
  const measure = createOverlapMeasure(A, B, turn);
  for (let j = 0; j < row; j++) {
    const y = t.y0 + (j * LOSS_CELL) / t.perY;
    for (let i = 0; i < row; i++) loss[j * row + i] = measure(t.x0 + (i * LOSS_CELL) / t.perX, y);
  }
  return loss;
}

/**
 * How badly two shapes overlap at a shift of B: from the discs inside them, in square steps; above zero everywhere.
 *
 * @source overlap proxy and shape penalty of Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329
 */
export function createOverlapMeasure(A: Shape, B: Shape, turn: number): (dx: number, dy: number) => number {
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
        const decayed = depth >= eps ? depth : (eps * eps) / (2 * eps - depth);
        sum += decayed * (p[i + 2] < q[k + 2] ? p[i + 2] : q[k + 2]);
      }
    }
    return Math.sqrt(Math.PI * sum + eps * eps) * penalty;
  };
}

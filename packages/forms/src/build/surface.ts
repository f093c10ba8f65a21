import { QUARTER, SAMPLES } from "./section";

/** A point of a form's surface: x, y, z in mm. */
export type SurfacePoint = [number, number, number];

/** Sections resampled to equal shares of the way round, ready to be looked up between heights. */
export interface SectionTable {
  /** Shares 0, 1/COLUMNS, … 1 for each row: x and z in turn. */
  readonly rows: readonly Float64Array[];
  /** Whether share 0 and share 1 are one point. */
  readonly closed: boolean;
}

/** Steps of the share in a table. */
export const COLUMNS = 4 * QUARTER;

/**
 * A section run resampled so that shares ¼, ½ and ¾ stay on the front, outer and back axis points and the spacing
 * changes smoothly in between.
 */
export function resampleRun(points: Float64Array, out = new Float64Array(2 * (COLUMNS + 1))): Float64Array {
  const arc = new Float64Array(SAMPLES);
  for (let k = 1; k < SAMPLES; k++) {
    arc[k] =
      arc[k - 1] + Math.hypot(points[2 * k] - points[2 * k - 2], points[2 * k + 1] - points[2 * k - 1]);
  }
  const marks = [0, 1, 2, 3, 4].map((quarter) => arc[quarter * QUARTER]);
  const slopes = marks.map((_, i) => {
    if (i === 0) return marks[1] - marks[0];
    if (i === 4) return marks[4] - marks[3];
    const [a, b] = [marks[i] - marks[i - 1], marks[i + 1] - marks[i]];
    return (2 * a * b) / (a + b || 1);
  });
  let k = 1;
  for (let c = 0; c <= COLUMNS; c++) {
    const quarter = Math.min(3, Math.floor((4 * c) / COLUMNS));
    const t = (4 * c) / COLUMNS - quarter;
    const at = hermite(marks[quarter], slopes[quarter], marks[quarter + 1], slopes[quarter + 1], t);
    while (k < SAMPLES - 1 && arc[k] < at) k++;
    const span = arc[k] - arc[k - 1];
    const u = span > 0 ? Math.min(1, Math.max(0, (at - arc[k - 1]) / span)) : 0;
    out[2 * c] = points[2 * k - 2] + u * (points[2 * k] - points[2 * k - 2]);
    out[2 * c + 1] = points[2 * k - 1] + u * (points[2 * k + 1] - points[2 * k - 1]);
  }
  return out;
}

/** Cubic with values and slopes at both ends, t from 0 to 1. */
export function hermite(a: number, slopeA: number, b: number, slopeB: number, t: number): number {
  const s = 1 - t;
  return s * s * ((1 + 2 * t) * a + t * slopeA) + t * t * ((1 + 2 * s) * b - s * slopeB);
}

/**
 * Looks the table up at a share of the way round and a row number that need not be whole: writes x and z.
 * Cubic both ways, so that the surface between the tabled points has no creases.
 */
export function lookUp(table: SectionTable, share: number, row: number, out: [number, number]): void {
  const { rows, closed } = table;
  const last = rows.length - 1;
  const r = Math.min(last, Math.max(0, row));
  const i = Math.min(last - 1, Math.floor(r));
  const s = Math.min(1, Math.max(0, share)) * COLUMNS;
  const j = Math.min(COLUMNS - 1, Math.floor(s));
  const before = j > 0 ? j - 1 : closed ? COLUMNS - 1 : -1;
  const after = j + 2 <= COLUMNS ? j + 2 : closed ? 1 : -1;
  for (let k = 0; k < 2; k++) {
    const b = alongRow(rows[i], j, before, after, s - j, k);
    const c = alongRow(rows[i + 1], j, before, after, s - j, k);
    const a = i > 0 ? alongRow(rows[i - 1], j, before, after, s - j, k) : 2 * b - c;
    const d = i + 2 <= last ? alongRow(rows[i + 2], j, before, after, s - j, k) : 2 * c - b;
    out[k] = catmull(a, b, c, d, r - i);
  }
}

function alongRow(row: Float64Array, j: number, before: number, after: number, t: number, k: number): number {
  const b = row[2 * j + k];
  if (t === 0) return b;
  const c = row[2 * j + 2 + k];
  const a = before < 0 ? 2 * b - c : row[2 * before + k];
  const d = after < 0 ? 2 * c - b : row[2 * after + k];
  return catmull(a, b, c, d, t);
}

function catmull(a: number, b: number, c: number, d: number, t: number): number {
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
}

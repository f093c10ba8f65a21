import { QUARTER, SAMPLES } from "./section";

/** Steps of the share in a table. */
export const COLUMNS = 4 * QUARTER;

/** Sections resampled to shares of the way round, ready to be looked up between heights. */
export interface SectionTable {
  /** Shares 0, 1/COLUMNS, … 1 for each row, x and z in turn; share 0 and share 1 are one point. */
  readonly rows: readonly Float64Array[];
  /** Shares at which the section leaves the plane between the legs and comes back to it: 0 and 1 below the crotch. */
  readonly leave: Float64Array;
  readonly meet: Float64Array;
}

/** Empty table. */
export function createTable(rows: number): SectionTable {
  const list = Array.from({ length: rows }, () => new Float64Array(2 * (COLUMNS + 1)));
  return { rows: list, leave: new Float64Array(rows), meet: new Float64Array(rows).fill(1) };
}

/**
 * Fills one row of a table: shares ¼, ½ and ¾ stay on the front, outer and back axis points, spacing changes smoothly
 * between. `loose` from 0 to 1 lets the front and back go, so that a trunk is shared out evenly. The body's row gets the
 * points that lie under those of the outer run.
 */
export function fillRow(
  table: SectionTable,
  row: number,
  run: Float64Array,
  loose: number,
  body?: { readonly table: SectionTable; readonly run: Float64Array },
): void {
  const arc = new Float64Array(SAMPLES);
  for (let k = 1; k < SAMPLES; k++) {
    arc[k] = arc[k - 1] + Math.hypot(run[2 * k] - run[2 * k - 2], run[2 * k + 1] - run[2 * k - 1]);
  }
  const axis = (quarter: number): number => arc[quarter * QUARTER];
  const total = arc[SAMPLES - 1];
  const marks = [0, axis(1), axis(2), axis(3), total];
  marks[1] += loose * (marks[2] / 2 - marks[1]);
  marks[3] += loose * ((marks[2] + total) / 2 - marks[3]);
  const slopes = marks.map((_, i) => {
    if (i === 0) return marks[1] - marks[0];
    if (i === 4) return marks[4] - marks[3];
    const [a, b] = [marks[i] - marks[i - 1], marks[i + 1] - marks[i]];
    return (2 * a * b) / (a + b || 1);
  });
  const arcAt = (share: number): number => {
    const quarter = Math.min(3, Math.floor(4 * share));
    return hermite(
      marks[quarter],
      slopes[quarter],
      marks[quarter + 1],
      slopes[quarter + 1],
      4 * share - quarter,
    );
  };
  let k = 1;
  for (let c = 0; c <= COLUMNS; c++) {
    const at = arcAt(c / COLUMNS);
    while (k < SAMPLES - 1 && arc[k] < at) k++;
    const span = arc[k] - arc[k - 1];
    const u = span > 0 ? Math.min(1, Math.max(0, (at - arc[k - 1]) / span)) : 0;
    mixPoint(run, k, u, table.rows[row], c);
    if (body) mixPoint(body.run, k, u, body.table.rows[row], c);
  }
  table.leave[row] = shareOf(arcAt, crossing(run, arc, 1));
  table.meet[row] = shareOf(arcAt, crossing(run, arc, -1));
}

function mixPoint(run: Float64Array, k: number, u: number, out: Float64Array, c: number): void {
  out[2 * c] = run[2 * k - 2] + u * (run[2 * k] - run[2 * k - 2]);
  out[2 * c + 1] = run[2 * k - 1] + u * (run[2 * k + 1] - run[2 * k - 1]);
}

/** Length at which the run leaves the plane x = 0 for good, from the start or (−1) from the end. */
function crossing(run: Float64Array, arc: Float64Array, step: 1 | -1): number {
  let k = step === 1 ? 0 : SAMPLES - 1;
  if (run[2 * k] >= 0) return arc[k];
  while (run[2 * (k + step)] < 0) k += step;
  const t = run[2 * k] / (run[2 * k] - run[2 * (k + step)]);
  return arc[k] + t * (arc[k + step] - arc[k]);
}

function shareOf(arcAt: (share: number) => number, arc: number): number {
  let [low, high] = [0, 1];
  if (arcAt(0) >= arc) return 0;
  if (arcAt(1) <= arc) return 1;
  for (let i = 0; i < 40; i++) {
    const half = (low + high) / 2;
    if (arcAt(half) < arc) low = half;
    else high = half;
  }
  return (low + high) / 2;
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
  const { rows } = table;
  const last = rows.length - 1;
  const r = Math.min(last, Math.max(0, row));
  const i = Math.min(last - 1, Math.floor(r));
  const s = Math.min(1, Math.max(0, share)) * COLUMNS;
  const j = Math.min(COLUMNS - 1, Math.floor(s));
  const before = j > 0 ? j - 1 : COLUMNS - 1;
  const after = j + 2 <= COLUMNS ? j + 2 : 1;
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
  return catmull(row[2 * before + k], b, c, row[2 * after + k], t);
}

function catmull(a: number, b: number, c: number, d: number, t: number): number {
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
}

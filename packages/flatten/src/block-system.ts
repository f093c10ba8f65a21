import {
  factorCholesky,
  planCholesky,
  solveCholesky,
  type CholeskyFactor,
  type CholeskyPlan,
  type SparsePattern,
} from "@peltry/geometry";
import type { Sheet } from "./sheet";

/** A symmetric matrix over x and y of every vertex (unknowns 2v and 2v + 1), to be filled, factored and solved. */
export interface BlockSystem {
  clear(): void;
  /** Adds a triangle's 4 × 4 matrix over its map J = (a b; c d), row by row in the order a, b, c, d. */
  addTriangle(t: number, matrix: Float64Array): void;
  /** Adds k n nᵀ to the own block of vertex v. */
  addVertex(v: number, k: number, nx: number, ny: number): void;
  /** Adds k n nᵀ for the difference of the ends of edge v–w, which must be one of the mesh. */
  addEdge(v: number, w: number, k: number, nx: number, ny: number): void;
  factor(): void;
  solve(b: Float64Array, out: Float64Array): void;
}

/** Share of the mean diagonal added to it: grounds the free motions of the whole. */
const GROUND = 1e-7;

interface BlockPlan {
  readonly pattern: SparsePattern;
  readonly plan: CholeskyPlan;
}

/**
 * Makes a {@link BlockSystem} on the links of a sheet.
 *
 * @remarks the factor has four times the entries of the scalar one
 */
export function createBlockSystem(sheet: Sheet): BlockSystem {
  const { pattern, plan } = blockPlan(sheet);
  const { starts, columns } = sheet.pattern;
  const diagonal = new Float64Array(pattern.size);
  const values = new Float64Array(pattern.columns.length);
  let factored: CholeskyFactor | undefined;
  const place = (v: number, k: number, row: number) =>
    pattern.starts[2 * v + row] + 2 * (k - starts[v]) + (columns[k] > v ? 1 : 0);
  const partner = (v: number, row: number) => {
    let smaller = 0;
    for (let k = starts[v]; k < starts[v + 1] && columns[k] < v; k++) smaller++;
    return pattern.starts[2 * v + row] + 2 * smaller;
  };
  const partners = new Int32Array(pattern.size);
  for (let i = 0; i < pattern.size; i++) partners[i] = partner(i >> 1, i & 1);
  const addOwn = (v: number, xx: number, xy: number, yy: number) => {
    diagonal[2 * v] += xx;
    diagonal[2 * v + 1] += yy;
    values[partners[2 * v]] += xy;
    values[partners[2 * v + 1]] += xy;
  };
  const g0 = new Float64Array(3);
  const g1 = new Float64Array(3);
  return {
    clear() {
      diagonal.fill(0);
      values.fill(0);
    },
    addTriangle(t, m) {
      const { frames } = sheet.rest;
      g0[1] = frames[4 * t];
      g1[1] = frames[4 * t + 1];
      g0[2] = 0;
      g1[2] = frames[4 * t + 2];
      g0[0] = -g0[1];
      g1[0] = -g1[1] - g1[2];
      for (let k = 0; k < 3; k++) {
        const p = g0[k];
        const q = g1[k];
        const v = sheet.triangles[3 * t + k];
        addOwn(
          v,
          p * (p * m[0] + 2 * q * m[1]) + q * q * m[5],
          p * (p * m[2] + q * m[3]) + q * (p * m[6] + q * m[7]),
          p * (p * m[10] + 2 * q * m[11]) + q * q * m[15],
        );
        const l = k === 2 ? 0 : k + 1;
        const r = g0[l];
        const s = g1[l];
        const w = sheet.triangles[3 * t + l];
        const xx = p * (r * m[0] + s * m[1]) + q * (r * m[4] + s * m[5]);
        const xy = p * (r * m[2] + s * m[3]) + q * (r * m[6] + s * m[7]);
        const yx = p * (r * m[8] + s * m[9]) + q * (r * m[12] + s * m[13]);
        const yy = p * (r * m[10] + s * m[11]) + q * (r * m[14] + s * m[15]);
        addLink(sheet.slots[6 * t + 2 * k], sheet.slots[6 * t + 2 * k + 1], v, w, xx, xy, yx, yy);
      }
    },
    addVertex(v, k, nx, ny) {
      addOwn(v, k * nx * nx, k * nx * ny, k * ny * ny);
    },
    addEdge(v, w, k, nx, ny) {
      const [xx, xy, yy] = [k * nx * nx, k * nx * ny, k * ny * ny];
      addOwn(v, xx, xy, yy);
      addOwn(w, xx, xy, yy);
      addLink(link(v, w), link(w, v), v, w, -xx, -xy, -xy, -yy);
    },
    factor() {
      let mean = 0;
      for (let i = 0; i < diagonal.length; i++) mean += diagonal[i];
      const ground = (GROUND * mean) / diagonal.length;
      for (let i = 0; i < diagonal.length; i++) diagonal[i] += ground;
      factored = factorCholesky(plan, { pattern, diagonal, values }, factored);
    },
    solve(b, out) {
      solveCholesky(factored!, b, 1, out);
    },
  };

  function link(v: number, w: number): number {
    for (let k = starts[v]; k < starts[v + 1]; k++) if (columns[k] === w) return k;
    return -1;
  }

  function addLink(
    forth: number,
    back: number,
    v: number,
    w: number,
    xx: number,
    xy: number,
    yx: number,
    yy: number,
  ): void {
    const i = place(v, forth, 0);
    values[i] += xx;
    values[i + 1] += xy;
    const j = place(v, forth, 1);
    values[j] += yx;
    values[j + 1] += yy;
    const k = place(w, back, 0);
    values[k] += xx;
    values[k + 1] += yx;
    const l = place(w, back, 1);
    values[l] += xy;
    values[l + 1] += yy;
  }
}

/** Plans made so far; a plan lives as long as the scalar one that it doubles. */
const plans = new WeakMap<CholeskyPlan, BlockPlan>();

/** Every unknown of the sheet's plan doubled; the order is kept. */
function blockPlan(sheet: Sheet): BlockPlan {
  const known = plans.get(sheet.plan);
  if (known !== undefined) return known;
  const { size, starts, columns } = sheet.pattern;
  const doubled = new Int32Array(2 * size + 1);
  const doubledColumns = new Int32Array(4 * columns.length + 2 * size);
  let used = 0;
  for (let v = 0; v < size; v++) {
    for (let row = 0; row < 2; row++) {
      doubled[2 * v + row] = used;
      let own = false;
      for (let k = starts[v]; k < starts[v + 1]; k++) {
        if (!own && columns[k] > v) {
          doubledColumns[used++] = 2 * v + 1 - row;
          own = true;
        }
        doubledColumns[used++] = 2 * columns[k];
        doubledColumns[used++] = 2 * columns[k] + 1;
      }
      if (!own) doubledColumns[used++] = 2 * v + 1 - row;
    }
  }
  doubled[2 * size] = used;
  const order = new Int32Array(2 * size);
  for (let i = 0; i < 2 * size; i++) order[i] = 2 * sheet.plan.order[i >> 1] + (i & 1);
  const pattern = { size: 2 * size, starts: doubled, columns: doubledColumns };
  const made = { pattern, plan: planCholesky(pattern, order) };
  plans.set(sheet.plan, made);
  return made;
}

import {
  factorCholesky,
  meshPattern,
  orderByDissection,
  planCholesky,
  type CholeskyFactor,
  type CholeskyPlan,
  type SparsePattern,
  type SparseSymmetric,
  type TriangleMesh,
} from "@peltry/geometry";
import { restShape, type RestShape } from "./rest-shape";

/** A mesh made ready for flattening: rest shapes, neighbourhood, elimination order, factor. */
export interface Sheet {
  readonly mesh: TriangleMesh;
  readonly triangles: Uint32Array;
  readonly vertexCount: number;
  readonly triangleCount: number;
  readonly loops: readonly (readonly number[])[];
  readonly rest: RestShape;
  readonly pattern: SparsePattern;
  readonly slots: Int32Array;
  readonly plan: CholeskyPlan;
}

/** Prepares a mesh whose topology has been checked. */
export function prepareSheet(mesh: TriangleMesh, loops: readonly (readonly number[])[]): Sheet {
  const vertexCount = mesh.positions.length / 3;
  const { pattern, slots } = meshPattern(mesh.triangles, vertexCount);
  const plan = planCholesky(pattern, orderByDissection(pattern, mesh.positions, 3));
  return {
    mesh,
    triangles: mesh.triangles,
    vertexCount,
    triangleCount: mesh.triangles.length / 3,
    loops,
    rest: restShape(mesh),
    pattern,
    slots,
    plan,
  };
}

/** The sheet with its vertices moved in space; everything that depends on the links only is kept. */
export function moveSheet(sheet: Sheet, positions: Float64Array): Sheet {
  const mesh = { positions, triangles: sheet.triangles };
  return { ...sheet, mesh, rest: restShape(mesh) };
}

/** Cotangent Laplacian of the rest shapes, each triangle times its weight when weights are given. */
export function sheetLaplacian(sheet: Sheet, weights?: Float64Array): SparseSymmetric {
  const { pattern, slots, rest } = sheet;
  const diagonal = new Float64Array(pattern.size);
  const values = new Float64Array(pattern.columns.length);
  for (let t = 0; t < sheet.triangleCount; t++) {
    const p = rest.frames[4 * t];
    const q = rest.frames[4 * t + 1];
    const r = rest.frames[4 * t + 2];
    const area = rest.frames[4 * t + 3] * (weights === undefined ? 1 : weights[t]);
    // Gradients of the corner functions: ∇φ₁ = (p, q), ∇φ₂ = (0, r), ∇φ₀ = −(p, q + r).
    const w01 = -area * (p * p + q * (q + r));
    const w12 = area * q * r;
    const w20 = -area * r * (q + r);
    const s = 6 * t;
    values[slots[s]] += w01;
    values[slots[s + 1]] += w01;
    values[slots[s + 2]] += w12;
    values[slots[s + 3]] += w12;
    values[slots[s + 4]] += w20;
    values[slots[s + 5]] += w20;
    const a = sheet.triangles[3 * t];
    const b = sheet.triangles[3 * t + 1];
    const c = sheet.triangles[3 * t + 2];
    diagonal[a] -= w01 + w20;
    diagonal[b] -= w01 + w12;
    diagonal[c] -= w12 + w20;
  }
  return { pattern, diagonal, values };
}

/** Factor of a Laplacian with the unknowns on `held` kept at zero (or one unknown grounded when none is held). */
export function factorHeld(
  sheet: Sheet,
  matrix: SparseSymmetric,
  held: Uint8Array | null,
  into?: CholeskyFactor,
): CholeskyFactor {
  const diagonal = matrix.diagonal.slice();
  if (held === null) {
    // Grounding one unknown is exact: right-hand sides sum to zero, so that its value comes out as zero.
    const last = sheet.plan.order[sheet.vertexCount - 1];
    diagonal[last] += diagonal[last] > 0 ? diagonal[last] : 1;
    return factorCholesky(sheet.plan, { ...matrix, diagonal }, into);
  }
  const values = matrix.values.slice();
  const { starts, columns } = sheet.pattern;
  for (let i = 0; i < sheet.vertexCount; i++) {
    if (held[i]) diagonal[i] = 1;
    for (let k = starts[i]; k < starts[i + 1]; k++) if (held[i] || held[columns[k]]) values[k] = 0;
  }
  return factorCholesky(sheet.plan, { pattern: sheet.pattern, diagonal, values }, into);
}

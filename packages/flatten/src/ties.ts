import type { CholeskyFactor, SparseSymmetric } from "@peltry/geometry";
import type { Extra } from "./energy";
import { factorHeld, type Sheet } from "./sheet";
import { addSideCurvature } from "./side-curvature";
import { sideEnergy, snapToRails, updateForces, type SideTerms } from "./side-terms";

/** Side terms as the shaping meets them. */
export interface Ties extends Extra {
  /** Whether some are to be met exactly in the end. */
  readonly exact: boolean;
  /** Whether some join edges that no entry of a part's matrix joins. */
  readonly paired: boolean;
  /** Factor of a part's Laplacian with the terms that act on it. */
  factor(sheet: Sheet, laplacian: SparseSymmetric, first: number): CholeskyFactor;
  /** As {@link updateForces}. */
  updateForces(x: Float64Array): number;
  /** The positions with every vertex of a line exactly on it; undefined when there are no lines. */
  snapped(x: Float64Array): Float64Array | undefined;
}

/** Undefined when there is nothing to tie. */
export function createTies(terms: SideTerms): Ties | undefined {
  const { rods, pairs, rails } = terms;
  if (rods.length + pairs.length + rails.length === 0) return undefined;
  return {
    exact: pairs.length + rails.length > 0 || rods.some((rod) => rod.exact),
    paired: pairs.length > 0,
    signed: true,
    energy: (x, gradient) => sideEnergy(terms, x, gradient),
    addCurvature: (x, part, system) => addSideCurvature(terms, x, part, system),
    factor: (sheet, laplacian, first) => factorWithTerms(sheet, laplacian, terms, first),
    updateForces: (x) => updateForces(terms, x),
    snapped(x) {
      if (rails.length === 0) return undefined;
      const snapped = x.slice();
      snapToRails(terms, snapped);
      return snapped;
    },
  };
}

/** Factor of a sheet's Laplacian with the side terms that act on it (first: its first vertex in the stack). */
function factorWithTerms(
  sheet: Sheet,
  laplacian: SparseSymmetric,
  terms: SideTerms,
  first: number,
): CholeskyFactor {
  const last = first + sheet.vertexCount;
  const values = laplacian.values.slice();
  const diagonal = laplacian.diagonal.slice();
  const { starts, columns } = sheet.pattern;
  const addEdge = (i: number, j: number, weight: number) => {
    if (i < first || i >= last) return;
    const a = i - first;
    const b = j - first;
    for (let k = starts[a]; k < starts[a + 1]; k++) if (columns[k] === b) values[k] -= weight;
    for (let k = starts[b]; k < starts[b + 1]; k++) if (columns[k] === a) values[k] -= weight;
    diagonal[a] += weight;
    diagonal[b] += weight;
  };
  // The solver divides by twice this matrix, so that half of each weight goes in.
  for (const rod of terms.rods) addEdge(rod.i, rod.j, 0.5 * rod.weight);
  for (const pair of terms.pairs) {
    addEdge(pair.i, pair.j, 0.5 * pair.weight);
    addEdge(pair.k, pair.l, 0.5 * pair.weight);
  }
  for (const rail of terms.rails) {
    if (rail.vertex >= first && rail.vertex < last) diagonal[rail.vertex - first] += 0.5 * rail.weight;
  }
  return factorHeld(sheet, { pattern: sheet.pattern, diagonal, values }, null);
}

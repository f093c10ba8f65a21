import type { BlockSystem } from "./block-system";
import type { SideTerms } from "./side-terms";
import type { Sheet } from "./sheet";

/** Adds the curvature of the side terms that act on a part (Gauss–Newton; pairs weigh their two edges apart). */
export function addSideCurvature(
  terms: SideTerms,
  x: Float64Array,
  part: { readonly first: number; readonly sheet: Pick<Sheet, "vertexCount"> },
  system: BlockSystem,
): void {
  const { first, sheet } = part;
  const last = first + sheet.vertexCount;
  const addEdge = (i: number, j: number, sx: number, sy: number, weight: number) => {
    if (i < first || i >= last) return;
    const ex = (x[2 * j] - x[2 * i]) * sx;
    const ey = (x[2 * j + 1] - x[2 * i + 1]) * sy;
    const length = Math.sqrt(ex * ex + ey * ey);
    if (length > 0) system.addEdge(i - first, j - first, weight, (ex * sx) / length, (ey * sy) / length);
  };
  for (const rod of terms.rods) addEdge(rod.i, rod.j, rod.sx, rod.sy, rod.weight);
  for (const pair of terms.pairs) {
    // (e − f)² lies below 2 e² + 2 f².
    addEdge(pair.i, pair.j, pair.sx, pair.sy, 2 * pair.weight);
    addEdge(pair.k, pair.l, pair.tx, pair.ty, 2 * pair.weight);
  }
  for (const { vertex, nx, ny, weight } of terms.rails) {
    if (vertex >= first && vertex < last) system.addVertex(vertex - first, weight, nx, ny);
  }
}

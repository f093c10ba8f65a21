// The flattener's strain-limited energy keeps a little pull towards the form's own lengths, which leaves a few percent of
// the area just over a limit that a plan uses to the full. Here the panels are brought inside by projection alone; the
// result counts only when the flattener's certificate says that it is valid.
import type { FlatPanels, SeamLengths } from "@peltry/flatten";
import type { MeshRefinement } from "@peltry/geometry";
import type { PatchCutting } from "./cut-into-patches";
import { boxesOf, type PlanInput } from "./plan-input";
import { searchPatches } from "./search/search-patches";
import { relaxFully } from "./search/search-state";
import { makeSearchSurface } from "./search/search-surface";

/** Steps at most; the longer the finer the mesh. */
const STEPS = 500;

/** Flat places of each patch, inside the limits as far as projection gets. */
export function polishPanels(
  input: PlanInput,
  refinement: MeshRefinement,
  cutting: PatchCutting,
  flat: FlatPanels,
): Float64Array[] {
  const owner = new Int32Array(refinement.triangleCount);
  const within = new Int32Array(refinement.triangleCount);
  cutting.patches.forEach((patch, i) =>
    patch.sourceTriangle.forEach((t, k) => {
      owner[t] = i;
      within[t] = k;
    }),
  );
  const patches = searchPatches(refinement, input.regions);
  const starts = patches.map((patch) => {
    const start = new Float64Array(2 * patch.sourceVertex.length);
    patch.refinedTriangle.forEach((t, k) => {
      const from = flat.panels[owner[t]].positions;
      const corners = cutting.patches[owner[t]].mesh.triangles;
      for (let c = 0; c < 3; c++) {
        const v = patch.triangles[3 * k + c];
        const w = corners[3 * within[t] + c];
        start[2 * v] = from[2 * w];
        start[2 * v + 1] = from[2 * w + 1];
      }
    });
    return start;
  });
  const surface = makeSearchSurface({
    mesh: input.mesh,
    regionOf: input.regions,
    boxes: boxesOf(input.fabrics),
    fixed: [],
    weight: input.weight,
    pile: input.pile,
    pileLimits: input.fabrics.map((fabric) => fabric.maxPileAngle ?? 180),
    widths: input.fabrics.map((fabric) => fabric.widthMm ?? Infinity),
  });
  const ends = relaxFully(surface, refinement, patches, starts, STEPS);
  const out = flat.panels.map((panel) => panel.positions.slice());
  patches.forEach((patch, i) =>
    patch.refinedTriangle.forEach((t, k) => {
      const to = out[owner[t]];
      const corners = cutting.patches[owner[t]].mesh.triangles;
      for (let c = 0; c < 3; c++) {
        const v = patch.triangles[3 * k + c];
        const w = corners[3 * within[t] + c];
        to[2 * w] = ends[i][2 * v];
        to[2 * w + 1] = ends[i][2 * v + 1];
      }
    }),
  );
  return out;
}

/** Lengths of both sides of each seam, and the largest difference along the way. */
export function seamLengths(cutting: PatchCutting, flats: readonly Float64Array[]): SeamLengths[] {
  const index = new Map(cutting.patches.map((patch, i) => [patch.id, i]));
  const stations = (patch: string, path: readonly number[]): number[] => {
    const p = flats[index.get(patch)!];
    const out = [0];
    for (let i = 1; i < path.length; i++) {
      const [a, b] = [2 * path[i - 1], 2 * path[i]];
      out.push(out[i - 1] + Math.hypot(p[a] - p[b], p[a + 1] - p[b + 1]));
    }
    return out;
  };
  return cutting.seams.map(({ id, a, b }) => {
    const left = stations(a.patch, a.path);
    const right = stations(b.patch, b.path);
    const lengthA = left[left.length - 1];
    const lengthB = right[right.length - 1];
    const worstAlong = left.reduce((worst, x, i) => Math.max(worst, Math.abs(x - right[i])), 0);
    return { id, lengthA, lengthB, mismatch: Math.abs(lengthA - lengthB), worstAlong };
  });
}

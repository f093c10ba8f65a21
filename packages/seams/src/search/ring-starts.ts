// A closed end, such as a tip or a toe, takes a seam all round where its rounding begins: cap and sleeve are then each
// laid flat with cuts of their own. A search that adds one cut after another never comes to this, for the ring alone removes
// little.
import { angleDefects, SteinerGraph, type SurfacePoint } from "@peltry/geometry";
import { patchSurface } from "./candidates";
import { nextMark } from "./greedy";
import { inPairs, isOnPlane } from "./mirrored-cuts";
import { openSurface } from "./open-surface";
import { closedLevelLine, onBase } from "./pile-lines";
import { closedEnd } from "./scale-field";
import type { SearchState } from "./search-state";
import { mirrorPath, type SearchSurface } from "./search-surface";
import { worstPatch, type StructuredStart } from "./structured-starts";

/** Points no further from the plane of symmetry than half of this are on it, mm. */
const ON_PLANE = 1e-5;

/** Shares of the closed end's curvature that the cap takes. */
const CAPS = [0.5, 0.7, 0.9];

/** A ring round the closed end of the worst patch, in two halves, with the cuts that open what it leaves as a tube. */
export function ringStarts(surface: SearchSurface, state: SearchState): StructuredStart[] {
  const worst = worstPatch(state);
  if (worst < 0) return [];
  const patch = state.patches[worst];
  const { end: tip, scale, border } = closedEnd(patch);
  if (tip < 0) return [];
  const geodesic = patchSurface(surface, state, patch);
  const plain = {
    ...geodesic,
    weight: new Float64Array(patch.baseTriangle.length).fill(1),
    directionWeight: undefined,
  };
  const { cost: away } = new SteinerGraph(plain, 2).costsFrom([[tip, 0]]);
  const { inner } = angleDefects(patch, border);
  const out: StructuredStart[] = [];
  let before = 0;
  for (const level of levelsOf(inner, away)) {
    if (level < 1.05 * before) continue;
    before = level;
    const ring = closedLevelLine(patch.triangles, geodesic.twin, (v) => away[v] - level);
    const groups = ring && opened(surface, state, onBase(state, patch, ring));
    if (groups) out.push({ kind: "seam", groups, scale: scale[tip] });
  }
  return out;
}

/** Distances from the tip within which lie {@link CAPS} of the most curvature that any distance encloses. */
function levelsOf(inner: Float64Array, away: ArrayLike<number>): number[] {
  const order = Array.from(inner.keys()).sort((a, b) => away[a] - away[b] || a - b);
  const enclosed: number[] = [];
  let sum = 0;
  for (const v of order) enclosed.push((sum += inner[v]));
  const most = enclosed.reduce((a, b) => Math.max(a, b), 0);
  return CAPS.map((share) => away[order[enclosed.findIndex((k) => k >= share * most)]]);
}

function opened(
  surface: SearchSurface,
  state: SearchState,
  ring: readonly SurfacePoint[],
): SurfacePoint[][][] | undefined {
  const halves = halvesOf(surface, ring);
  const cuts = [...state.cuts, ...halves.map((path) => ({ path, mark: nextMark() }))];
  try {
    return inPairs(
      surface,
      [...halves, ...openSurface(surface, cuts)].map((path) => [path]),
    ).filter(({ length }) => length > 0);
  } catch {
    // A ring that edges cannot follow is no start.
    return undefined;
  }
}

/** A ring in two; under symmetry parted where it meets the plane, so that each half is the other's image. */
function halvesOf(surface: SearchSurface, ring: readonly SurfacePoint[]): SurfacePoint[][] {
  const met = surface.mirror
    ? Array.from(ring.keys()).filter((i) => isOnPlane(surface, [ring[i]], ON_PLANE))
    : [];
  const [from, to] = met.length === 2 ? met : [0, Math.floor(ring.length / 2)];
  const half = ring.slice(from, to + 1);
  return [
    half,
    met.length === 2 ? mirrorPath(surface, half) : [...ring.slice(to), ...ring.slice(0, from + 1)],
  ];
}

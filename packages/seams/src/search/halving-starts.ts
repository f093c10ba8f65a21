// A form with one opening and a closed end, such as a boot or a hood, is parted into two halves from rim to rim over its end.
// That is how such covers are mostly sewn; a search that adds one cut after another begins with a dart to the end and then
// serves what lies round it, one small dart at a time.
import {
  SteinerGraph,
  straightenPath,
  surfacePosition,
  tracePath,
  type SurfacePoint,
} from "@peltry/geometry";
import { distance } from "../lines-in-space";
import { nodePath, patchSurface, rimNodes } from "./candidates";
import { nextMark } from "./greedy";
import { harmonic } from "./harmonic";
import { levelLines, onBase } from "./pile-lines";
import { closedEnd } from "./scale-field";
import type { SearchPatch } from "./search-patches";
import { evaluate, type SearchState } from "./search-state";
import { pathStations, type SearchSurface } from "./search-surface";
import { worstPatch, type StructuredStart } from "./structured-starts";

/** Where on the rim the seam begins, as shares of its length from the place nearest to the end: there, and beside it. */
const BEGINS = [0, 0.25];
/** A line is led straight to the end from where it is no further than this, mm. */
const NEAR_END = 15;

/** Seams that halve the worst patch over its closed end; none under symmetry. */
export function halvingStarts(surface: SearchSurface, state: SearchState): StructuredStart[] {
  const worst = worstPatch(state);
  if (worst < 0 || surface.mirror) return [];
  const patch = state.patches[worst];
  const { end, scale } = closedEnd(patch);
  if (end < 0) return [];
  const geodesic = patchSurface(surface, state, patch);
  const graph = new SteinerGraph(geodesic, 2);
  const field = graph.costsFrom([[end, 0]], graph.closedNodes());
  const rim = rimNodes(graph, patch, geodesic);
  const least = (value: (i: number) => number): number =>
    rim.nodes.reduce((best, _, i) => (value(i) < value(best) ? i : best), 0);
  const nearest = least((i) => field.cost[rim.nodes[i]]);
  return BEGINS.flatMap((share) => {
    const goal = (rim.along[nearest] + share * rim.total) % rim.total;
    const from = rim.nodes[least((i) => Math.abs(rim.along[i] - goal))];
    const { points } = straightenPath(geodesic, nodePath(graph, field, from), true);
    const slit = onBase(state, patch, points);
    const back = wayBack(surface, state, slit);
    if (!back) return [];
    const path = [...back, ...slit.slice(1)];
    const { cost } = pathStations(surface, path);
    return cost[path.length - 1] < 1e5
      ? [{ kind: "seam" as const, groups: [[path]], scale: scale[end] }]
      : [];
  });
}

/** From the rim to the end at which a slit begins, half way round from one of its sides to the other. */
function wayBack(
  surface: SearchSurface,
  state: SearchState,
  slit: readonly SurfacePoint[],
): SurfacePoint[] | undefined {
  const mark = nextMark();
  const cuts = [...state.cuts, { path: slit, mark }];
  const opened = evaluate(surface, cuts, { from: state, keep: state, steps: 0 });
  const patch = opened?.patches.find(({ rodEdges }) =>
    rodEdges.some(({ half }) => opened.refinement.mark[half] === mark),
  );
  const round = opened && patch && wayRound(opened, patch, mark);
  const lines = round ? levelLines(opened, patch, (v) => round[v] - 0.5) : [];
  if (lines.length !== 1) return undefined;
  const end = surfacePosition(surface.mesh, slit[0]);
  const away = (point: SurfacePoint): number => distance(surfacePosition(surface.mesh, point), end);
  const [line] = lines;
  const inwards = away(line[0]) < away(line[line.length - 1]) ? line.slice().reverse() : line;
  const near = inwards.findIndex((point) => away(point) < NEAR_END);
  // The last bit, among the triangles round the end itself, is left out.
  const kept = near < 0 ? inwards : inwards.slice(0, Math.max(1, near));
  try {
    return [...kept.slice(0, -1), ...tracePath(surface.root, [kept[kept.length - 1], slit[0]])];
  } catch {
    // Two ends that no way joins.
    return undefined;
  }
}

/** 0 on one side of a slit that ends inside the patch, 1 on the other, harmonic between. */
function wayRound(
  { refinement }: Pick<SearchState, "refinement">,
  patch: SearchPatch,
  mark: number,
): Float64Array | undefined {
  const [loop] = patch.loops;
  const [halves] = patch.loopHalves;
  const n = halves.length;
  const isSlit = (i: number): boolean => refinement.mark[halves[(i + n) % n]] === mark;
  const start = halves.findIndex((_, i) => isSlit(i) && !isSlit(i - 1));
  let count = 0;
  while (start >= 0 && count < n && isSlit(start + count)) count++;
  if (count === 0 || count % 2 !== 0) return undefined;
  const sides = Array.from({ length: count + 1 }, (_, k) => k);
  return harmonic(
    patch,
    sides.map((k) => [loop[(start + k) % n], 0.5 + 0.5 * Math.sign(k - count / 2)] as const),
  );
}

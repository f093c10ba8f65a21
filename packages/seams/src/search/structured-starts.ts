// Sets of cuts that a search does not find one by one: fans of darts round a peak, and gores of a tube. Each alone may
// remove little, so that a greedy search passes them by; together they can be a quarter shorter.
import { SteinerGraph, straightenPath, type SurfacePoint } from "@peltry/geometry";
import { nodePath, patchSurface, rimNodes, type CutKind } from "./candidates";
import { harmonic } from "./harmonic";
import { inPairs, mirrorSide } from "./mirrored-cuts";
import { levelLines, onBase } from "./pile-lines";
import { scaleField } from "./scale-field";
import type { SearchPatch } from "./search-patches";
import type { SearchState } from "./search-state";
import { mirrorPath, pathStations, subPath, type SearchSurface } from "./search-surface";

/** Cuts to begin a search with, each a group of its own. */
export interface StructuredStart {
  readonly kind: CutKind;
  /** One entry a group: a path, or a path and its mirror image. */
  readonly groups: readonly (readonly (readonly SurfacePoint[])[])[];
  readonly scale: number;
}

/** How far the long and the short darts of a fan reach towards the peak; 0 leaves the short ones out. */
const REACHES: readonly (readonly [long: number, short: number])[] = [
  [0.55, 0],
  [0.7, 0],
  [0.85, 0],
  [0.97, 0],
  [0.8, 0.3],
  [0.8, 0.5],
];
const FANS = [1, 2, 3, 4, 5, 6, 8, 10];
/** Shares of the way round at which a tube is cut into gores. */
const GORES: readonly (readonly number[])[] = [[0.5], [0.25], [0.75], [1 / 3, 2 / 3], [0.25, 0.5, 0.75]];
/** The same for cloth that is too firm for those. */
const NARROW_GORES: readonly (readonly number[])[] = [3, 4, 5, 6].map((count) =>
  Array.from({ length: count }, (_, i) => (i + 1) / (count + 1)),
);

/** Fans and gores for the worst patch of a state; `narrow` for gores alone, but more of them. */
export function structuredStarts(
  surface: SearchSurface,
  state: SearchState,
  narrow = false,
): StructuredStart[] {
  const worst = worstPatch(state);
  if (worst < 0) return [];
  const patch = state.patches[worst];
  const starts = narrow
    ? gores(surface, state, patch, NARROW_GORES)
    : [...fans(surface, state, patch), ...gores(surface, state, patch, GORES)];
  return starts.map((start) => ({
    ...start,
    groups: inPairs(surface, start.groups).filter(({ length }) => length > 0),
  }));
}

/** The patch with most violation; -1 where all are accepted. */
export function worstPatch({ measures }: SearchState): number {
  let worst = -1;
  measures.forEach((m, i) => {
    if (!m.accepted && (worst < 0 || m.violation > measures[worst].violation)) worst = i;
  });
  return worst;
}

function fans(surface: SearchSurface, state: SearchState, patch: SearchPatch): StructuredStart[] {
  const border = new Uint8Array(patch.sourceVertex.length);
  for (const loop of patch.loops) for (const v of loop) border[v] = 1;
  const { scale } = scaleField(patch, border);
  const side = surface.mirror && mirrorSide(surface, state, patch);
  let tip = -1;
  scale.forEach((s, v) => {
    if (!border[v] && s > 0.004 && (tip < 0 || s > scale[tip])) tip = v;
  });
  if (tip < 0) return [];
  const geodesic = patchSurface(surface, state, patch);
  const graph = new SteinerGraph(geodesic, 2);
  const field = graph.costsFrom([[tip, 0]], graph.closedNodes());
  const rim = rimNodes(graph, patch, geodesic);
  const sideOf = (node: number): number => (side && node < graph.vertexCount ? side(node) : 0);
  let first = 0;
  const onPlane: number[] = [];
  rim.nodes.forEach((node, i) => {
    // Under symmetry a fan begins on the plane, so that its other half is the image.
    if (Math.abs(sideOf(node)) > 1e-6 || (side && node >= graph.vertexCount)) return;
    onPlane.push(i);
    if (!(field.cost[node] >= field.cost[rim.nodes[first]])) first = i;
  });
  const ways = new Map<number, SurfacePoint[]>();
  const wayFrom = (share: number): SurfacePoint[] | undefined => {
    const goal = (rim.along[first] + share * rim.total) % rim.total;
    // Half way round the plane is met again.
    const opposite = share === 0.5 ? onPlane.filter((i) => i !== first) : [];
    const choice = opposite.length > 0 ? opposite : rim.nodes.keys();
    let near = opposite[0] ?? 0;
    for (const i of choice) if (Math.abs(rim.along[i] - goal) < Math.abs(rim.along[near] - goal)) near = i;
    const node = rim.nodes[near];
    if (!(field.cost[node] < 1e5)) return undefined;
    if (!ways.has(node)) {
      const { points } = straightenPath(geodesic, nodePath(graph, field, node), true);
      ways.set(node, onBase(state, patch, points).reverse());
    }
    return ways.get(node);
  };
  const out: StructuredStart[] = [];
  for (const count of FANS) {
    for (const [long, short] of REACHES) {
      if (short > 0 && count < 3) continue;
      const groups: SurfacePoint[][][] = [];
      const dart = (share: number, reach: number): void => {
        const way = wayFrom(share);
        if (!way || way.length < 2) return;
        const { length } = pathStations(surface, way);
        const path = subPath(surface, way, 0, reach * length[way.length - 1]);
        if (!side) groups.push([path]);
        else if (share < 0.5 - 1e-9) groups.push(share === 0 ? [path] : [path, mirrorPath(surface, path)]);
        else if (share < 0.5 + 1e-9) groups.push([path]);
      };
      for (let k = 0; k < count; k++) {
        dart(k / count, long);
        if (short > 0) dart((k + 0.5) / count, short);
      }
      if (groups.length > (side ? 0 : count - 1)) out.push({ kind: "dart", groups, scale: scale[tip] });
    }
  }
  return out;
}

/** Lines from rim to rim at shares of the way round a tube that one seam has opened. */
function gores(
  surface: SearchSurface,
  state: SearchState,
  patch: SearchPatch,
  choices: readonly (readonly number[])[],
): StructuredStart[] {
  const round = wayRound(state, patch);
  if (!round) return [];
  const out: StructuredStart[] = [];
  for (const shares of choices) {
    const lines = shares.flatMap((share) => levelLines(state, patch, (v) => round[v] - share));
    if (lines.length !== shares.length) continue;
    const groups = lines.map((line) => [line]);
    if (groups.some(([path]) => !(pathStations(surface, path).cost[path.length - 1] < 1e5))) continue;
    out.push({ kind: "seam", groups, scale: 0 });
  }
  return out;
}

/**
 * 0 on one side of the seam that opens a tube, 1 on the other, harmonic between: shares of the way round it. Undefined
 * for a patch that is no opened tube.
 */
function wayRound(state: SearchState, patch: SearchPatch): Float64Array | undefined {
  const sides = openedSides(state, patch);
  if (!sides) return undefined;
  return harmonic(
    patch,
    sides.flatMap((list, k) => list.map((v) => [v, k] as const)),
  );
}

/** Vertices of the two long runs of a patch's outline that are sewn to each other; undefined unless they are disjoint. */
function openedSides(
  { refinement }: Pick<SearchState, "refinement">,
  patch: SearchPatch,
): [number[], number[]] | undefined {
  const halves = patch.loopHalves[0];
  const own = new Map<number, number>();
  halves.forEach((h, i) => own.set(h, i));
  const n = halves.length;
  // Runs of edges whose other side is on the same outline, each next edge paired with the one before on the other side.
  let best: [number, number] | undefined;
  for (let i = 0; i < n; i++) {
    const j = own.get(refinement.twin[halves[i]]);
    if (j === undefined) continue;
    const before = (i + n - 1) % n;
    const partner = own.get(refinement.twin[halves[before]]);
    if (partner !== undefined && partner === (j + 1) % n) continue;
    let length = 0;
    while (length < n && own.get(refinement.twin[halves[(i + length) % n]]) === (j - length + n) % n)
      length++;
    if (!best || length > best[1]) best = [i, length];
  }
  if (!best) return undefined;
  const loop = patch.loops[0];
  const [start, length] = best;
  const back = own.get(refinement.twin[halves[start]])!;
  const run = (from: number): number[] =>
    Array.from({ length: length + 1 }, (_, k) => loop[(from + k + n) % n]);
  const a = run(start);
  const b = run(back - length + 1);
  const seen = new Set(a);
  return b.some((v) => seen.has(v)) ? undefined : [a, b];
}

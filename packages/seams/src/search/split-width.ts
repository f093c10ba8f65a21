import type { SurfacePoint } from "@peltry/geometry";
import { allCuts, makeGroup, STEPS, worstUse, type CutGroup, type Search } from "./greedy";
import { inPairs, linesOnPlane } from "./mirrored-cuts";
import { linesAt } from "./pile-lines";
import { evaluate, type SearchState } from "./search-state";
import type { SearchSurface } from "./search-surface";

/** Share of the cloth's width that the search plans with: the final panel may come out a little wider. */
const MARGIN = 0.96;

/** What parts must be like where anything else is to be had. */
export interface WidthRules {
  /** Narrowest part, mm. */
  readonly minNeck: number;
  readonly sewable: (surface: SearchSurface, state: SearchState, group: CutGroup) => boolean;
}

/**
 * Splits panels that are wider than their cloth along lines that run with the pile, until all fit or none can be split
 * further. Into as few parts as may be, none of them a strip that cannot be sewn; of such lines a cheap one, or one that
 * leaves even parts.
 */
export function splitWidths(surface: SearchSurface, start: Search, rules: WidthRules): Search {
  let search = start;
  for (let round = 0; round < 24; round++) {
    const index = search.state.measures.findIndex((_, i) => piecesOf(surface, search.state, i) > 1);
    if (index < 0) return search;
    const next = splitOne(surface, search, index, rules);
    if (!next) return search;
    search = next;
  }
  return search;
}

function splitOne(
  surface: SearchSurface,
  search: Search,
  index: number,
  rules: WidthRules,
): Search | undefined {
  const { state, groups } = search;
  let best: { search: Search; score: readonly number[] } | undefined;
  for (const paths of linesFor(surface, state, index)) {
    const group = makeGroup(surface, "width", paths, {
      round: groups.length,
      scale: 0,
      before: worstUse(state),
      after: 0,
      locked: true,
    });
    if (!(group.cost < 1e5)) continue;
    const cut = evaluate(surface, [...allCuts(groups), ...group.cuts], {
      from: state,
      keep: state,
      steps: STEPS.full,
      patience: STEPS.patience,
    });
    if (!cut) continue;
    const score = scoreOf(surface, cut, group, rules);
    if (best && !isLess(score, best.score)) continue;
    best = { search: { state: cut, groups: [...groups, { ...group, after: worstUse(cut) }] }, score };
  }
  return best?.search;
}

/** How many pieces of cloth a patch needs side by side. */
function piecesOf(surface: SearchSurface, { measures, patches }: SearchState, i: number): number {
  return Math.max(1, Math.ceil(measures[i].width / (MARGIN * surface.widthLimitOf(patches[i]))));
}

/** Pieces still too many; whether a part cannot be sewn; the cost, up to twice as much the less even the parts are. */
function scoreOf(
  surface: SearchSurface,
  cut: SearchState,
  group: CutGroup,
  { minNeck, sewable }: WidthRules,
): number[] {
  const own = new Set(group.cuts.map(({ mark }) => mark));
  let [more, area, pieces, least, narrow] = [0, 0, 0, Infinity, Infinity];
  cut.patches.forEach((patch, i) => {
    const count = piecesOf(surface, cut, i);
    more += count - 1;
    if (!patch.rodEdges.some(({ half }) => own.has(cut.refinement.mark[half]))) return;
    const { totalArea, flat } = cut.sheets[i];
    const [low, high] = rangeOf(flat, 1);
    area += totalArea;
    pieces += count;
    least = Math.min(least, totalArea / count);
    // A part that runs to a point is as narrow as it is in the mean.
    narrow = Math.min(narrow, totalArea / (high - low));
  });
  const uneven = 1 - (least * pieces) / area;
  const isScrap = narrow < minNeck || !sewable(surface, cut, group);
  return [more, Number(isScrap), group.cost * (1 + uneven ** 2)];
}

function isLess(a: readonly number[], b: readonly number[]): boolean {
  const i = a.findIndex((x, k) => x !== b[k]);
  return i >= 0 && a[i] < b[i];
}

/** Lines that may split a patch, under symmetry each with its image; one in the plane splits evenly what lies across it. */
function linesFor(surface: SearchSurface, state: SearchState, index: number): SurfacePoint[][][] {
  const patch = state.patches[index];
  const limit = MARGIN * surface.widthLimitOf(patch);
  const lines = placesFor(...rangeOf(state.sheets[index].flat, 0), limit).flatMap((x) =>
    linesAt(state, index, x),
  );
  const onPlane = surface.mirror ? linesOnPlane(surface, state, patch) : [];
  return [...onPlane, ...lines].map((path) => inPairs(surface, [[path]])[0]);
}

function rangeOf(flat: Float64Array, axis: 0 | 1): [low: number, high: number] {
  let low = Infinity;
  let high = -Infinity;
  for (let i = axis; i < flat.length; i += 2) {
    low = Math.min(low, flat[i]);
    high = Math.max(high, flat[i]);
  }
  return [low, high];
}

/** Places within the room that the fewest pieces leave for a line, by share; 0.5 for even pieces. */
const SHARES = [0.5, 0.25, 0.75, 0.1, 0.9];

/** Places across a patch where a line leaves it in as few pieces as its width asks. */
function placesFor(low: number, high: number, limit: number): number[] {
  const pieces = Math.ceil((high - low) / limit);
  // First in halves: the fewer lines are looked for in what is wide, the sooner it is done.
  const firsts = [...new Set([Math.floor(pieces / 2), Math.ceil(pieces / 2)])];
  return firsts.flatMap((first) => {
    const from = high - (pieces - first) * limit;
    const to = low + first * limit;
    const even = low + (first / pieces) * (high - low);
    return [even, ...SHARES.slice(pieces > 2 ? 3 : 1).map((share) => from + share * (to - from))];
  });
}

import { allCuts, makeGroup, STEPS, worstUse, type Search } from "./greedy";
import { linesAt } from "./pile-lines";
import { evaluate } from "./search-state";
import { pathStations, type SearchSurface } from "./search-surface";

/** Share of the cloth's width that the search plans with: the final panel may come out a little wider. */
const MARGIN = 0.96;

/**
 * Splits panels that are wider than their cloth along lines that run with the pile, the cheapest that leave two parts
 * narrow enough, until all fit or none can be split further.
 */
export function splitWidths(surface: SearchSurface, start: Search): Search {
  let search = start;
  for (let round = 0; round < 24; round++) {
    const index = search.state.measures.findIndex(
      (m, i) => m.width > MARGIN * surface.widthLimitOf(search.state.patches[i]),
    );
    if (index < 0) return search;
    const next = splitOne(surface, search, index);
    if (!next) return search;
    search = next;
  }
  return search;
}

function splitOne(surface: SearchSurface, search: Search, index: number): Search | undefined {
  const { state, groups } = search;
  const limit = MARGIN * surface.widthLimitOf(state.patches[index]);
  const { flat } = state.sheets[index];
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < flat.length; i += 2) {
    low = Math.min(low, flat[i]);
    high = Math.max(high, flat[i]);
  }
  let best: { search: Search; score: number } | undefined;
  for (const x of placesFor(low, high, limit)) {
    for (const path of linesAt(state, index, x)) {
      const { cost } = pathStations(surface, path);
      if (!(cost[path.length - 1] < 1e5)) continue;
      const group = makeGroup(surface, "width", [path], {
        round: groups.length,
        scale: 0,
        before: worstUse(state),
        after: 0,
        locked: true,
      });
      const cut = evaluate(surface, [...allCuts(groups), group.cuts[0]], {
        from: state,
        keep: state,
        steps: STEPS.full,
        patience: STEPS.patience,
      });
      if (!cut) continue;
      const over = cut.measures.reduce(
        (sum, m, i) => sum + Math.max(0, m.width - MARGIN * surface.widthLimitOf(cut.patches[i])),
        0,
      );
      const score = group.cost + 20 * over;
      if (best && score >= best.score) continue;
      best = { search: { state: cut, groups: [...groups, { ...group, after: worstUse(cut) }] }, score };
    }
  }
  return best?.search;
}

/** Places across the panel where a line may leave both parts narrow enough, or parts nearer to it. */
function placesFor(low: number, high: number, limit: number): number[] {
  const width = high - low;
  const pieces = Math.ceil(width / limit);
  if (pieces > 2) return [low + width / pieces, low + 0.97 * limit, high - 0.97 * limit];
  const from = high - limit;
  const to = low + limit;
  return [0.5, 0.25, 0.75, 0.1, 0.9].map((share) => from + share * (to - from));
}

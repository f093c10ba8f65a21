// Where a form asks for many cuts, one round of the search finds several that have nothing to do with each other. Two of them
// together cost one evaluation more, and save a round.
import { throwIfCancelled } from "@peltry/issues";
import { cutGaps } from "./cut-gap";
import {
  additions,
  laidFrom,
  left,
  worstUse,
  type CutGroup,
  type GreedyOptions,
  type Search,
} from "./greedy";
import type { SearchSurface } from "./search-surface";

/** Cuts of one round at most. */
const MOST = 3;
/** Cuts nearer to each other than this serve the same place, mm. */
const APART = 60;
/** Of what a cut removes alone so much must remain beside the others. */
const KEPT = 0.7;
/** What a further cut removes for its price, against the best one. */
const WORTH = 0.4;

/** The best addition, with others of the same round that are as good beside it; undefined when nothing helps. */
export function severalAdditions(
  surface: SearchSurface,
  search: Search,
  round: number,
  options: GreedyOptions,
): Search | undefined {
  const found = additions(surface, search, round, { ...options, apart: APART });
  let [best] = found;
  if (!best) return undefined;
  const gap = cutGaps(surface);
  const chosen = [added(search, best)];
  const most = gainFor(search, best);
  for (const other of found.slice(1)) {
    if (chosen.length >= MOST || best.state.accepted) break;
    throwIfCancelled(options.signal);
    const group = added(search, other);
    if (gainFor(search, other) < WORTH * most) break;
    if (chosen.some((each) => gap(each, group) < APART)) continue;
    const groups = [...best.groups, group];
    const state = laidFrom(surface, best, groups);
    if (!state || !options.sewable(surface, state, group)) continue;
    const alone = left(search) - left(other);
    if (left(best) - left({ state }) < KEPT * alone) continue;
    const after = worstUse(state);
    best = { state, groups: groups.map((each) => (each === group ? { ...each, after } : each)) };
    chosen.push(group);
  }
  return best;
}

function added(before: Search, after: Search): CutGroup {
  return after.groups.find((group) => !before.groups.some(({ cuts }) => cuts === group.cuts))!;
}

function gainFor(before: Search, after: Search): number {
  return (left(before) - left(after)) / (1 + added(before, after).cost);
}

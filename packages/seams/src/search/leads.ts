import { throwIfCancelled } from "@peltry/issues";
import { laidFrom, makeGroup, worstUse, type CutGroup, type GreedyOptions, type Search } from "./greedy";
import type { SearchSurface } from "./search-surface";
import type { StructuredStart } from "./structured-starts";

/** What a cut costs at least that runs where none may go. */
const FORBIDDEN = 1e5;

/** Structured starts from a state, laid flat. */
export function leads(
  surface: SearchSurface,
  start: Search,
  options: GreedyOptions,
  starts: readonly StructuredStart[],
): Search[] {
  const before = worstUse(start.state);
  const out: Search[] = [];
  for (const { kind, groups, scale } of starts) {
    throwIfCancelled(options.signal);
    const added = groups.map((paths): CutGroup =>
      makeGroup(surface, kind, paths, { round: 0, scale, before, after: 0 }),
    );
    // Fans and gores ask nobody whether they may go there.
    if (!added.every(({ cost }) => cost < FORBIDDEN)) continue;
    const state = laidFrom(surface, start, [...start.groups, ...added]);
    if (!state || !added.every((group) => options.sewable(surface, state, group))) continue;
    const after = worstUse(state);
    out.push({ state, groups: [...start.groups, ...added.map((group) => ({ ...group, after }))] });
  }
  return out;
}

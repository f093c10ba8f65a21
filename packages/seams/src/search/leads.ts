import { throwIfCancelled } from "@peltry/issues";
import {
  allCuts,
  laidFrom,
  makeGroup,
  STEPS,
  worstUse,
  type CutGroup,
  type GreedyOptions,
  type Search,
} from "./greedy";
import { evaluate } from "./search-state";
import type { SearchSurface } from "./search-surface";
import type { StructuredStart } from "./structured-starts";

/** What a cut costs at least that runs where none may go. */
const FORBIDDEN = 1e5;

/**
 * The longest single dart of some starts, laid flat from nothing: none where the start is not folded over. A closed end that
 * cannot be laid flat folds over itself, and from there no cut comes out well, not even the one that opens it.
 */
export function unfoldingLead(
  surface: SearchSurface,
  start: Search,
  options: GreedyOptions,
  starts: readonly StructuredStart[],
): Search[] {
  const isFolded = ({ state }: Pick<Search, "state">): boolean =>
    state.measures.some(({ flips }) => flips > 0);
  if (!isFolded(start)) return [];
  const before = worstUse(start.state);
  const darts = starts
    .filter(({ kind, groups }) => kind === "dart" && groups.length === 1 && groups[0].length === 1)
    .map(({ kind, groups, scale }) =>
      makeGroup(surface, kind, groups[0], { round: 0, scale, before, after: 0 }),
    )
    .filter(({ cost }) => cost < FORBIDDEN);
  if (darts.length === 0) return [];
  const dart = darts.reduce((a, b) => (b.length > a.length ? b : a));
  const groups = [...start.groups, dart];
  const state = evaluate(surface, allCuts(groups), { steps: STEPS.accept, patience: STEPS.patience });
  if (!state || isFolded({ state }) || !options.sewable(surface, state, dart)) return [];
  const after = worstUse(state);
  return [{ state, groups: [...start.groups, { ...dart, after }] }];
}

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

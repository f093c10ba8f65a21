// A long cut may be there only to free the edges of a line that bends over the form. A lens let in along that line does the
// same with less.
import { throwIfCancelled } from "@peltry/issues";
import { withMirrors } from "./candidates";
import {
  allCuts,
  groupCost,
  makeGroup,
  priceOf,
  STEPS,
  worstUse,
  type CutGroup,
  type Search,
} from "./greedy";
import { lengthened } from "./lengthen";
import { lenses, type Lens } from "./lenses";
import { prune, tryReplace, type PruneOptions } from "./prune";
import { pathStations, type SearchSurface } from "./search-surface";
import { evaluate } from "./search-state";

/** Cuts that are tried, the dearest first, and the least price at which a lens can be cheaper, mm. */
const TRIED = 2;
const LEAST = 100;

export interface LetInOptions extends PruneOptions {
  /** Stops when so much work has been spent on the surface. */
  readonly until: number;
}

/** Takes the dearest cuts of a plan that keeps its limits away, one by one, and lets in a lens where that is cheaper. */
export function letIn(surface: SearchSurface, start: Search, options: LetInOptions): Search {
  const dear = start.groups
    .filter((group) => isFree(group) && priceOf(group, options.prices) > LEAST)
    .sort((a, b) => priceOf(b, options.prices) - priceOf(a, options.prices))
    .slice(0, TRIED);
  return dear.reduce((search, group) => letInFor(surface, search, group, options), start);
}

/** The same from a plan whose darts are a little longer, which may be worth it; the old plan where it is not. */
export function letInWithRoom(surface: SearchSurface, start: Search, options: LetInOptions): Search {
  let best = start;
  const darts = start.groups.filter(({ kind, locked }) => kind === "dart" && !locked);
  const longer = darts.map((group) => lengthened(surface, group));
  // Longer darts are no exact images of each other.
  if (surface.mirror || darts.length > TRIED || longer.some(({ length }) => length < 2)) return best;
  for (const k of [0, 1]) {
    const groups = start.groups.map((group) => longer[darts.indexOf(group)]?.[k] ?? group);
    const state = evaluate(surface, allCuts(groups), {
      from: start.state,
      steps: STEPS.accept,
      patience: STEPS.patience,
    });
    if (!state?.accepted) continue;
    const other = letIn(surface, { state, groups }, options);
    if (other.state === state) continue;
    const found = prune(surface, other, { ...options, passes: 1 });
    if (groupCost(found.groups, options.prices) < groupCost(best.groups, options.prices)) best = found;
  }
  return best;
}

function isFree({ locked, kind }: CutGroup): boolean {
  return !locked && kind !== "opening" && kind !== "width";
}

function letInFor(surface: SearchSurface, start: Search, group: CutGroup, options: LetInOptions): Search {
  const at = start.groups.indexOf(group);
  const without = evaluate(surface, allCuts(start.groups.filter((other) => other !== group)), {
    from: start.state,
    keep: start.state,
    steps: STEPS.full,
    patience: STEPS.patience,
  });
  const over = without?.measures.flatMap(({ accepted }, i) => (accepted ? [] : [i])) ?? [];
  if (!without || over.length !== 1) return start;
  const before = worstUse(without);
  let search = start;
  for (let list: readonly Lens[] = lenses(without, over[0]); list.length > 0;) {
    let found: Lens | undefined;
    for (const lens of list) {
      throwIfCancelled(options.signal);
      if (surface.work.spent > options.until) return search;
      const made = groupOf(surface, lens, group.round, before);
      const price = priceOf(search.groups[at], options.prices);
      if (!made || !(priceOf(made, options.prices) < price - 1)) continue;
      const next = tryReplace(surface, search, at, [made], options);
      if (!next) continue;
      search = next;
      found = lens;
      break;
    }
    list = found?.shorter() ?? [];
  }
  return search;
}

/** A lens as a suggestion, with its image under symmetry; undefined where none may go. */
function groupOf(
  surface: SearchSurface,
  { path }: Lens,
  round: number,
  before: number,
): CutGroup | undefined {
  const { length, cost } = pathStations(surface, path);
  const last = path.length - 1;
  const [candidate] = withMirrors(surface, [
    { kind: "seam", paths: [path], length: length[last], cost: cost[last], scale: 0 },
  ]);
  if (!candidate) return undefined;
  const group = makeGroup(surface, candidate.kind, candidate.paths, { round, scale: 0, before, after: 0 });
  return group.cost < 1e5 ? group : undefined;
}

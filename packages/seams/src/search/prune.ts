import { throwIfCancelled, type WorkOptions } from "@peltry/issues";
import type { SurfacePoint } from "@peltry/geometry";
import type { CutKind } from "./candidates";
import {
  BUDGET,
  groupCost,
  laidFrom,
  makeGroup,
  priceOf,
  worstUse,
  type CutGroup,
  type Prices,
  type Search,
} from "./greedy";
import type { SearchState } from "./search-state";
import { pathStations, subPath, type SearchSurface } from "./search-surface";

/** What pruning may be told. */
export interface PruneOptions extends WorkOptions {
  readonly prices: Prices;
  readonly sewable: (surface: SearchSurface, state: SearchState, group: CutGroup) => boolean;
  readonly lasting: (surface: SearchSurface, state: SearchState, group: CutGroup) => boolean;
  /** Shortest dart, mm. */
  readonly minDart: number;
  readonly passes?: number;
  /** Stops when so much work has been spent on the surface; one and a half times {@link BUDGET} by default. */
  readonly until?: number | undefined;
  /** Bisection steps an end. */
  readonly halvings?: number;
  /** Says which groups may be shortened; all by default. Each may be taken away. */
  readonly shorten?: (group: CutGroup) => boolean;
}

/** Takes away and shortens cuts as long as every limit is kept. */
export function prune(surface: SearchSurface, start: Search, options: PruneOptions): Search {
  let search = start;
  for (let pass = 0; pass < (options.passes ?? 2); pass++) {
    const before = groupCost(search.groups, options.prices);
    const order = search.groups
      .filter((group) => !group.locked)
      .sort(
        (a, b) => priceOf(b, options.prices) - priceOf(a, options.prices) || a.cuts[0].mark - b.cuts[0].mark,
      );
    for (const group of order) {
      throwIfCancelled(options.signal);
      if (surface.work.spent > (options.until ?? 1.5 * BUDGET)) return search;
      search = pruneGroup(surface, search, search.groups.indexOf(group), options);
    }
    if (groupCost(search.groups, options.prices) > 0.985 * before) break;
  }
  return search;
}

function pruneGroup(surface: SearchSurface, search: Search, at: number, options: PruneOptions): Search {
  if (at < 0) return search;
  const without = tryReplace(surface, search, at, [], options);
  if (without) return without;
  if (options.shorten?.(search.groups[at]) === false) return search;
  return shorten(surface, search, at, options);
}

/** The search with one group replaced by others, when that is accepted and can be sewn. */
export function tryReplace(
  surface: SearchSurface,
  search: Search,
  at: number,
  by: readonly CutGroup[],
  options: Pick<PruneOptions, "sewable" | "lasting">,
): Search | undefined {
  const groups = [...search.groups.slice(0, at), ...by, ...search.groups.slice(at + 1)];
  const state = laidFrom(surface, search, groups);
  if (!state?.accepted) return undefined;
  for (const group of groups) {
    const fine = by.includes(group) ? options.sewable : options.lasting;
    if (!group.locked && !fine(surface, state, group)) return undefined;
  }
  const after = worstUse(state);
  return { state, groups: groups.map((g) => (by.includes(g) ? { ...g, after } : g)) };
}

/** A way to make a group smaller by a factor between 0 (gone) and 1 (as it is). */
type Shrink = (keep: number) => { kind: CutKind; paths: SurfacePoint[][] } | undefined;

function shorten(surface: SearchSurface, search: Search, at: number, options: PruneOptions): Search {
  const group = search.groups[at];
  let best = search;
  let bestCost = groupCost(search.groups, options.prices);
  for (const shrink of waysToShrink(surface, group, options.minDart)) {
    const found = bisect(surface, search, at, shrink, options);
    if (!found) continue;
    const cost = groupCost(found.groups, options.prices);
    if (cost < bestCost - 0.5) {
      best = found;
      bestCost = cost;
    }
  }
  return best;
}

function bisect(
  surface: SearchSurface,
  search: Search,
  at: number,
  shrink: Shrink,
  options: PruneOptions,
): Search | undefined {
  let low = 0;
  let high = 1;
  let best: Search | undefined;
  const { round, scale, before, after, id } = search.groups[at];
  for (let i = 0; i < (options.halvings ?? 4); i++) {
    const keep = (low + high) / 2;
    const smaller = shrink(keep);
    if (!smaller) {
      low = keep;
      continue;
    }
    const group = makeGroup(surface, smaller.kind, smaller.paths, { round, scale, before, after, id });
    const found = tryReplace(surface, search, at, [group], options);
    if (found) {
      best = found;
      high = keep;
    } else low = keep;
  }
  return best;
}

function waysToShrink(surface: SearchSurface, group: CutGroup, minDart: number): Shrink[] {
  const paths = group.cuts.map((cut) => cut.path);
  const lengths = paths.map((path) => pathStations(surface, path).length[path.length - 1]);
  const each =
    (
      kind: CutKind,
      part: (path: readonly SurfacePoint[], length: number, keep: number) => SurfacePoint[][],
    ): Shrink =>
    (keep) => {
      const out: SurfacePoint[][] = [];
      for (let i = 0; i < paths.length; i++) {
        for (const piece of part(paths[i], lengths[i], keep)) {
          const s = pathStations(surface, piece);
          if (s.length[piece.length - 1] < minDart) return undefined;
          out.push(piece);
        }
      }
      return { kind, paths: out };
    };
  if (group.kind === "dart")
    return [each("dart", (path, length, keep) => [subPath(surface, path, 0, keep * length)])];
  if (group.kind === "gusset" || group.kind === "width" || group.kind === "opening") return [];
  const from = (path: readonly SurfacePoint[], length: number, keep: number): SurfacePoint[] =>
    subPath(surface, path, 0, keep * length);
  const back = (path: readonly SurfacePoint[], length: number, keep: number): SurfacePoint[] =>
    subPath(surface, path, (1 - keep) * length, length).reverse();
  return [
    each("dart", (path, length, keep) => [from(path, length, keep)]),
    each("dart", (path, length, keep) => [back(path, length, keep)]),
    each("dart", (path, length, keep) => [from(path, length, keep / 2), back(path, length, keep / 2)]),
  ];
}

// Halving finds the length of a dart to a tenth. What that leaves is taken off here, bit by bit.
import { throwIfCancelled } from "@peltry/issues";
import type { SurfacePoint } from "@peltry/geometry";
import { makeGroup, type CutGroup, type Search } from "./greedy";
import { tryReplace, type PruneOptions } from "./prune";
import { pathStations, subPath, type SearchSurface } from "./search-surface";

/** What darts are shortened by, mm. */
const TRIMS = [8, 4, 2];

/** Shortens the darts of a plan until none can spare any more. */
export function trim(
  surface: SearchSurface,
  start: Search,
  options: PruneOptions & { readonly until: number },
): Search {
  let search = start;
  for (const by of TRIMS) {
    for (let at = 0; at < search.groups.length; at++) {
      let group: CutGroup | undefined = search.groups[at];
      while ((group = shorter(surface, group, by, options.minDart))) {
        throwIfCancelled(options.signal);
        if (surface.work.spent > options.until) return search;
        const next = tryReplace(surface, search, at, [group], options);
        if (!next) break;
        search = next;
        group = search.groups[at];
      }
    }
  }
  return search;
}

function shorter(
  surface: SearchSurface,
  { kind, cuts, locked, round, scale, before, after, id }: CutGroup,
  by: number,
  least: number,
): CutGroup | undefined {
  if (locked || kind !== "dart") return undefined;
  const paths: SurfacePoint[][] = [];
  for (const { path } of cuts) {
    const { length } = pathStations(surface, path);
    const left = length[path.length - 1] - by;
    if (left < least) return undefined;
    paths.push(subPath(surface, path, 0, left));
  }
  return makeGroup(surface, kind, paths, { round, scale, before, after, id });
}

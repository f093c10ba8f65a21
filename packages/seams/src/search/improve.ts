// A search that adds one cut after another never takes back an early one that has become the wrong one. So some neighbouring
// cuts of a finished plan are taken away and the hole is filled anew, and what comes out cheaper stands ("ruin and
// recreate": Schrimpf et al., Record breaking optimization results using the ruin and recreate principle, J. Comput. Phys.
// 159, 2000).
import { surfacePosition, type Point3 } from "@peltry/geometry";
import { throwIfCancelled } from "@peltry/issues";
import { distance } from "../lines-in-space";
import { cutGaps } from "./cut-gap";
import {
  additions,
  greedySearch,
  groupCost,
  laidFrom,
  priceOf,
  type CutGroup,
  type GreedyOptions,
  type Search,
} from "./greedy";
import { prune } from "./prune";
import type { SearchSurface } from "./search-surface";

/** What a new way to fill a hole may cost before it is shortened, against the plan before. */
const HOPE = 1.12;
/** First steps that are followed for each hole, and how near cuts are that count as one, mm. */
const WAYS = 2;
const SAME = 12;
/** A plan is better that is cheaper by this, mm. */
const GAIN = 1;

export interface ImproveOptions extends GreedyOptions {
  readonly minDart: number;
  /** Stops when so much work has been spent on the surface. */
  readonly until: number;
}

/** Replaces cuts of a plan that keeps its limits by cheaper ones; tells of each cheaper plan. */
export function improve(
  surface: SearchSurface,
  start: Search,
  options: ImproveOptions,
  onBetter: (search: Search) => void,
): void {
  const tried = new Set<string>();
  for (let search: Search | undefined = start; search;) {
    search = nextBetter(surface, search, options, tried);
    if (search) onBetter(search);
  }
}

function nextBetter(
  surface: SearchSurface,
  search: Search,
  options: ImproveOptions,
  tried: Set<string>,
): Search | undefined {
  const cost = groupCost(search.groups, options.prices);
  for (const ruin of ruins(surface, search, options)) {
    throwIfCancelled(options.signal);
    if (surface.work.spent > options.until) return undefined;
    const key = ruin
      .map(({ cuts }) => cuts[0].mark)
      .sort((a, b) => a - b)
      .join();
    if (tried.has(key)) continue;
    tried.add(key);
    const kept = search.groups.filter((group) => !ruin.includes(group));
    const state = laidFrom(surface, search, kept);
    if (!state) continue;
    for (const way of waysToFill(surface, { state, groups: kept }, ruin, options)) {
      const filled = greedySearch(surface, way, {
        ...options,
        dearest: HOPE * cost,
      });
      if (!filled.state.accepted) continue;
      const found = prune(surface, filled, { ...options, passes: 1 });
      const to = groupCost(found.groups, options.prices);
      if (to < cost - GAIN) return found;
      if (surface.work.spent > options.until) return undefined;
    }
  }
  return undefined;
}

/** First steps to fill a hole, other than the way it was filled. */
function waysToFill(
  surface: SearchSurface,
  hole: Search,
  ruin: readonly CutGroup[],
  options: ImproveOptions,
): Search[] {
  if (hole.state.accepted) return [hole];
  return additions(surface, hole, hole.groups.length, options)
    .filter(({ groups }) => !ruin.some((old) => groups.some((group) => isSame(surface, group, old))))
    .slice(0, WAYS);
}

/** Whether two groups run the same way, but for their lengths. */
function isSame(surface: SearchSurface, a: CutGroup, b: CutGroup): boolean {
  const ends = ({ cuts }: CutGroup): Point3[] =>
    cuts.map(({ path }) => surfacePosition(surface.mesh, path[0]));
  const tips = ({ cuts }: CutGroup): Point3[] =>
    cuts.map(({ path }) => surfacePosition(surface.mesh, path.at(-1)!));
  const near = (p: readonly Point3[], q: readonly Point3[]): boolean =>
    p.length === q.length && p.every((x, i) => distance(x, q[i]) < SAME);
  return (
    (near(ends(a), ends(b)) && (a.kind === "dart" || near(tips(a), tips(b)))) ||
    (near(ends(a), tips(b)) && near(tips(a), ends(b)))
  );
}

/** Sets of cuts to take away: single ones, then neighbours in pairs and threes, the dearest first. */
function ruins(surface: SearchSurface, { groups }: Search, { prices }: ImproveOptions): CutGroup[][] {
  const free = groups.filter(({ locked, kind }) => !locked && kind !== "opening" && kind !== "width");
  const order = [...free].sort((a, b) => priceOf(b, prices) - priceOf(a, prices));
  const gap = cutGaps(surface);
  return [1, 2, 3].flatMap((size) =>
    order.flatMap((group) => {
      const near = free.filter((other) => other !== group).sort((a, b) => gap(group, a) - gap(group, b));
      return near.length < size - 1 ? [] : [[group, ...near.slice(0, size - 1)]];
    }),
  );
}

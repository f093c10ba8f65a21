// Where no further cut helps, one that came early is in the way: it passes beside the spot that needs it, or leaves no room for
// the cut that is needed. So the cuts nearest to the spot that is furthest over its limit are led over it; where that does not
// do, they are taken away and the hole is filled anew.
import { surfacePosition, type Point3, type SurfacePoint } from "@peltry/geometry";
import { throwIfCancelled } from "@peltry/issues";
import { distance } from "../lines-in-space";
import { bears, bentOver } from "./bend";
import { bestAddition, laidFrom, type CutGroup, type GreedyOptions, type Search } from "./greedy";
import { overrun, type SearchState } from "./search-state";
import type { SearchSurface } from "./search-surface";

/** Panels that are looked at, the worst first, and cuts round the spot of each. */
const PANELS = 2;
const NEAR = 3;
/** Cuts that may come for those that went, beyond their number. */
const MORE = 1;
/** Cuts that are taken away at once at most. */
const RUIN = 5;
/** What is left over the limits must be at most this share of what it was. */
const GAIN = 0.85;

/** Leads a cut over the worst spot; undefined where that does not leave clearly less over the limits. */
export function bend(surface: SearchSurface, search: Search, options: GreedyOptions): Search | undefined {
  return firstBetter(surface, search, options, (spot) =>
    nearestCuts(surface, search, spot).map((group) => () => bent(surface, search, group, spot, options)),
  );
}

/** Takes cuts round the worst spot away and fills the hole; undefined where that does not leave clearly less. */
export function refill(surface: SearchSurface, search: Search, options: GreedyOptions): Search | undefined {
  return firstBetter(surface, search, options, (spot) =>
    ruinsOf(surface, search, nearestCuts(surface, search, spot)).map(
      (ruin) => () => refilled(surface, search, ruin, options),
    ),
  );
}

/** The best of the ways at the first spot where one of them helps. */
function firstBetter(
  surface: SearchSurface,
  search: Search,
  { signal, until = Infinity }: GreedyOptions,
  waysAt: (spot: SurfacePoint) => (() => Search | undefined)[],
): Search | undefined {
  const enough = GAIN * lack(search.state);
  for (const spot of hotSpots(search.state)) {
    let best: Search | undefined;
    for (const way of waysAt(spot)) {
      throwIfCancelled(signal);
      if (surface.work.spent > until) return best;
      const found = way();
      if (found && lack(found.state) < (best ? lack(best.state) : enough)) best = found;
      if (best?.state.accepted) return best;
    }
    if (best) return best;
  }
  return undefined;
}

/** With one cut led over the spot. */
function bent(
  surface: SearchSurface,
  search: Search,
  old: CutGroup,
  spot: SurfacePoint,
  options: GreedyOptions,
): Search | undefined {
  const { groups } = search;
  let best: Search | undefined;
  const others = groups.filter((group) => group !== old);
  for (const group of bentOver(surface, old, spot, others)) {
    const next = groups.map((each) => (each === old ? group : each));
    const state = laidFrom(surface, search, next);
    if (!state || !options.sewable(surface, state, group)) continue;
    if (!best || lack(state) < lack(best.state)) best = { state, groups: next };
  }
  return best;
}

/** With some cuts gone and others in their place. */
function refilled(
  surface: SearchSurface,
  search: Search,
  ruin: readonly CutGroup[],
  options: GreedyOptions,
): Search | undefined {
  const kept = search.groups.filter((group) => !ruin.includes(group));
  const state = laidFrom(surface, search, kept);
  if (!state) return undefined;
  let filled: Search = { state, groups: kept };
  for (let k = 0; k < ruin.length + MORE && !filled.state.accepted; k++) {
    const next = bestAddition(surface, filled, filled.groups.length, options);
    if (!next) break;
    filled = next;
  }
  return filled;
}

/** What panels that are not within their limits ask too much, summed. */
function lack({ measures }: SearchState): number {
  return measures.reduce((sum, { accepted, violation }) => sum + (accepted ? 0 : violation), 0);
}

/** Vertices where the worst panels are furthest over their limits, off the outlines. */
function hotSpots({ patches, measures, sheets, used, refinement }: SearchState): SurfacePoint[] {
  return Array.from(patches.keys())
    .filter((i) => !measures[i].accepted)
    .sort((a, b) => measures[b].violation - measures[a].violation || a - b)
    .slice(0, PANELS)
    .map((i) => {
      const { triangles, sourceVertex, loops } = patches[i];
      const heat = new Float64Array(sourceVertex.length);
      triangles.forEach((v, h) => {
        const t = Math.floor(h / 3);
        heat[v] += sheets[i].area[t] * overrun(used[i][t]);
      });
      for (const loop of loops) for (const v of loop) heat[v] = -1;
      return refinement.place[sourceVertex[heat.indexOf(heat.reduce((a, b) => Math.max(a, b), -1))]];
    });
}

/** The cuts that may be changed near a spot, the nearest first. */
function nearestCuts(surface: SearchSurface, { groups }: Search, spot: SurfacePoint): CutGroup[] {
  const to: Point3 = surfacePosition(surface.mesh, spot);
  const gap = ({ cuts }: CutGroup): number =>
    cuts
      .flatMap(({ path }) => path)
      .reduce(
        (least, point) => Math.min(least, distance(surfacePosition(surface.mesh, point), to)),
        Infinity,
      );
  return groups
    .filter(({ locked, kind }) => !locked && kind !== "opening" && kind !== "width")
    .map((group) => ({ group, gap: gap(group) }))
    .sort((a, b) => a.gap - b.gap)
    .slice(0, NEAR)
    .map(({ group }) => group);
}

/** Sets of cuts to take away: each alone and pairs, with all that begins on them; the small sets first. */
function ruinsOf(
  surface: SearchSurface,
  { groups }: Search,
  near: readonly CutGroup[],
): (readonly CutGroup[])[] {
  const sets = [
    ...near.map((group) => [group]),
    ...near.flatMap((a, i) => near.slice(i + 1).map((b) => [a, b])),
  ];
  const seen = new Set<string>();
  return sets
    .map((set) => withWhatHangsOn(surface, groups, set))
    .filter((ruin) => {
      const key = ruin.map((group) => groups.indexOf(group)).join();
      if (seen.has(key) || ruin.length > RUIN || ruin.some(({ locked }) => locked)) return false;
      seen.add(key);
      return true;
    })
    .sort((a, b) => a.length - b.length);
}

/** Cuts, and all that begin or end on them, on those and so on: left alone they would hang in the open. */
function withWhatHangsOn(
  surface: SearchSurface,
  groups: readonly CutGroup[],
  set: readonly CutGroup[],
): CutGroup[] {
  const ruin = new Set(set);
  for (const group of ruin) {
    for (const other of groups) {
      if (
        !ruin.has(other) &&
        groups.indexOf(other) > groups.indexOf(group) &&
        group.cuts.some(({ path }) => bears(surface, path, [other]))
      )
        ruin.add(other);
    }
  }
  return groups.filter((group) => ruin.has(group));
}

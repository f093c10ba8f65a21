// A plan made again after a decision: what nobody complained of stands, the hole is mended, and what has become too much is
// taken away. A search from nothing would come to another plan everywhere, in several times the time.
import { insertPath, surfacePosition, type Point3, type SurfacePoint } from "@peltry/geometry";
import { isPeltryError, throwIfCancelled } from "@peltry/issues";
import { curvePoint, frontier, type BestSearch } from "./best-search";
import { greedyOptions } from "./greedy-options";
import { lengthened } from "./lengthen";
import {
  allCuts,
  bestAddition,
  BUDGET,
  groupCost,
  left,
  makeGroup,
  STEPS,
  worstUse,
  type CurvePoint,
  type CutGroup,
  type Search,
} from "./greedy";
import { prune } from "./prune";
import type { RunOptions, StandingPaths } from "./run-search";
import { scaleField } from "./scale-field";
import { pathStations, type SearchSurface } from "./search-surface";
import { evaluate, refineState, type SheetMeasure } from "./search-state";

/** Shares of the work's budget that mending and shortening may use. */
const MEND = 0.15;
const TRIM = 0.3;
/** Share of what the hole asks at first that is little to be left with. */
const ALMOST = 0.005;
/** Steps on all panels together after each cut: few against what a needless cut costs. */
const SETTLE = 300;
/** Below this share of a limit other darts may serve a place without a cut more. */
const NEARLY = 1.3;
/** What is over by no more than this comes inside when what lies over itself has come apart. */
const CLOSE = Object.freeze({ overArea: 0.03, peak: 1.15 });
/** A cut that leaves more than this share of the overrun where it was shows that the hole cannot be mended. */
const HARDLY = 0.97;

/** What can still be made of an earlier plan, and places that the other cuts served: of each list one is enough. */
export function sortStanding(
  surface: SearchSurface,
  cuts: readonly StandingPaths[],
): { standing: StandingPaths[]; lost: Point3[][] } {
  const standing = cuts.filter((cut) => !cut.refused && canStand(surface, cut.paths));
  const lost = cuts.flatMap((cut) =>
    standing.includes(cut) || !TIPPED.includes(cut.kind)
      ? []
      : cut.paths.flatMap((path) => servedPlaces(surface, cut.kind, path)),
  );
  return { standing, lost };
}

/** Kinds of cut that serve a place of the form. */
const TIPPED = ["dart", "seam", "fold"];

/** Whether a cut can be made: no part of it runs where none may go. */
function canStand(surface: SearchSurface, paths: readonly (readonly SurfacePoint[])[]): boolean {
  try {
    const refinement = surface.root.copy();
    for (const path of paths) insertPath(refinement, path, { snap: surface.snap });
  } catch {
    return false;
  }
  return paths.every((path) => pathStations(surface, path).cost[path.length - 1] < 1e5);
}

/** A dart longer than this served more than its tip, mm. */
const LONG = 120;

/**
 * The end of a dart, or the middle of another cut or a long dart; where no cut may go there, the nearest places on either
 * side. Of each list one is enough.
 */
function servedPlaces(
  surface: SearchSurface,
  kind: CutGroup["kind"],
  path: readonly SurfacePoint[],
): Point3[][] {
  const isFree = ({ triangle }: SurfacePoint): boolean => Number.isFinite(surface.weight[triangle]);
  const at = (point: SurfacePoint): Point3 => surfacePosition(surface.mesh, point);
  const free = path.filter(isFree);
  const tip = kind === "dart" ? free.at(-1) : undefined;
  const { length } = pathStations(surface, path);
  const middle = path[Math.floor(path.length / 2)];
  return [
    ...(tip ? [[at(tip)]] : []),
    ...(tip && length[path.length - 1] < LONG
      ? []
      : [isFree(middle) ? [at(middle)] : besideTube(surface, at(middle))]),
  ].filter((places) => places.length > 0);
}

/** The nearest places on either side of one where no cut may go. */
function besideTube(surface: SearchSurface, [x, y, z]: Point3): Point3[] {
  const near = Array.from(surface.weight.keys())
    .filter((t) => Number.isFinite(surface.weight[t]))
    .map((t) => {
      const p = surfacePosition(surface.mesh, { triangle: t, weights: [1 / 3, 1 / 3, 1 / 3] });
      const way = [p[0] - x, p[1] - y, p[2] - z];
      return { p, way, far: Math.hypot(...way) };
    })
    .sort((a, b) => a.far - b.far);
  const [first] = near;
  const other = near.find(({ way }) => way.reduce((sum, d, k) => sum + d * first.way[k], 0) < 0);
  return [first, other].flatMap((side) => (side && side.far < 2 * near[0].far ? [side.p] : []));
}

/**
 * A plan that begins with cuts of an earlier one.
 *
 * @param start - the form opened, laid flat
 * @param standing - each can be made
 * @param lost - places, mm, that are served no more: of each list one is enough
 * @returns undefined where that leads to no plan: then a search from nothing is called for
 */
export function searchFrom(
  surface: SearchSurface,
  start: Search,
  standing: readonly StandingPaths[],
  lost: readonly (readonly Point3[])[],
  options: RunOptions,
): BestSearch | undefined {
  const first = start.state.accepted ? start : withStanding(surface, start, standing);
  return first && mendSearch(surface, first, lost, options, [curvePoint(start)]);
}

/**
 * Goes on from cuts that nearly do: mends what is over the limits, then takes away what is too much.
 *
 * @returns undefined where that leads to no plan
 */
export function mendSearch(
  surface: SearchSurface,
  first: Search,
  lost: readonly (readonly Point3[])[],
  options: RunOptions,
  seen: CurvePoint[] = [],
): BestSearch | undefined {
  let on = surface;
  let asked = options;
  let search = first;
  const note = (now: Search): void => {
    search = now;
    seen.push(curvePoint(now));
    options.onProgress?.({ stage: `${now.groups.length} cuts tried`, done: 0.5 });
  };
  const result = (cancelled: boolean): BestSearch => ({
    search,
    curve: frontier(seen, curvePoint(search)),
    cancelled,
    surface: on,
  });
  try {
    mend(surface, first, lost, options, note);
    if (!search.state.accepted && !surface.eased && options.finer && left(search) < ALMOST * left(first)) {
      // As in a search from nothing: what lacks a little is served by cuts that are harder to sew, and by easing.
      on = { ...options.finer(), eased: true };
      asked = { ...options, rules: options.hardRules };
      const state = evaluate(on, allCuts(search.groups), {
        steps: STEPS.accept,
        patience: STEPS.patience,
      });
      if (!state) return undefined;
      mend(on, { ...search, state }, [], asked, note);
    }
    if (!search.state.accepted) return undefined;
    options.onProgress?.({ stage: "shortening", done: 0.8 });
    const old = new Set(first.groups.map(({ cuts }) => cuts[0].mark));
    search = prune(on, search, {
      ...greedyOptions(asked),
      until: surface.work.spent + TRIM * BUDGET,
      // What stood was made as short as may be when it was found.
      shorten: ({ cuts }) => !old.has(cuts[0].mark),
    });
    return result(false);
  } catch (error) {
    if (!isPeltryError(error) || error.code !== "work/cancelled") throw error;
    return result(true);
  }
}

/** Cuts to the places that lost theirs, then wherever one helps, until the limits are kept or no way on is left. */
function mend(
  surface: SearchSurface,
  start: Search,
  lost: readonly (readonly Point3[])[],
  options: RunOptions,
  note: (search: Search) => void,
): void {
  const greedy = { ...greedyOptions(options), onwards: true };
  const until = surface.work.spent + MEND * BUDGET;
  let search = start;
  const add = (places?: readonly Point3[]): Search | undefined =>
    betterStep(
      search,
      bestAddition(surface, search, search.groups.length, { ...greedy, places }),
      worstUse(search.state) < NEARLY ? bestChange(surface, search, options) : undefined,
      options,
    );
  for (let round = 0; ; round++) {
    throwIfCancelled(options.signal);
    if (!search.state.accepted) {
      const state = refineState(surface, search.state, SETTLE);
      if (state.accepted || state.violation < search.state.violation) search = { ...search, state };
    }
    note(search);
    if (search.state.accepted || surface.work.spent > until) return;
    const next = round < lost.length ? (add(lost[round]) ?? search) : add();
    if (!next || (round >= lost.length && left(next) > HARDLY * left(search))) return;
    search = next;
  }
}

/** The cuts of an earlier plan put back, without those that do not go with the others any more. */
function withStanding(
  surface: SearchSurface,
  start: Search,
  standing: readonly StandingPaths[],
): Search | undefined {
  const before = worstUse(start.state);
  const scale = scaleAt(start);
  const groups = standing.map(({ kind, paths }, round): CutGroup =>
    makeGroup(surface, kind, paths, { round, scale: scale(kind, paths[0]), before, after: 0 }),
  );
  const lay = (cuts: readonly CutGroup[], steps: number): Search | undefined => {
    const all = [...start.groups, ...cuts];
    const state = evaluate(surface, allCuts(all), {
      from: start.state,
      keep: start.state,
      steps,
      patience: STEPS.patience,
    });
    return state && { state, groups: all };
  };
  let search = lay(groups, STEPS.accept);
  if (!search) {
    const fitting: CutGroup[] = [];
    for (const group of groups) if (lay([...fitting, group], 0)) fitting.push(group);
    search = lay(fitting, STEPS.accept);
  }
  if (!search) return undefined;
  const after = worstUse(search.state);
  return {
    ...search,
    groups: search.groups.map((group) => (groups.includes(group) ? { ...group, after } : group)),
  };
}

/** Reads the conformal scale under cuts: at the tip of a dart, for others where it is largest on their way. */
function scaleAt({ state }: Search): (kind: CutGroup["kind"], path: readonly SurfacePoint[]) => number {
  const at = new Map<number, number>();
  for (const patch of state.patches) {
    const border = new Uint8Array(patch.sourceVertex.length);
    for (const loop of patch.loops) for (const v of loop) border[v] = 1;
    const { scale } = scaleField(patch, border);
    patch.baseTriangle.forEach((t, i) => {
      const mean =
        (scale[patch.triangles[3 * i]] +
          scale[patch.triangles[3 * i + 1]] +
          scale[patch.triangles[3 * i + 2]]) /
        3;
      if (!(Math.abs(at.get(t) ?? 0) > Math.abs(mean))) at.set(t, mean);
    });
  }
  return (kind, path) =>
    (kind === "dart" ? path.slice(-1) : path).reduce((most, { triangle }) => {
      const here = at.get(triangle) ?? 0;
      return Math.abs(here) > Math.abs(most) ? here : most;
    }, 0);
}

/** Of two ways on the one that removes more violation for its price. */
function betterStep(
  from: Search,
  a: Search | undefined,
  b: Search | undefined,
  { prices }: RunOptions,
): Search | undefined {
  const score = (to: Search): number =>
    (left(from) - left(to)) / Math.max(1, groupCost(to.groups, prices) - groupCost(from.groups, prices));
  if (!a || !b) return a ?? b;
  return score(b) > score(a) ? b : a;
}

/**
 * The best change of one dart of the panels that are over: longer, where a plan lacks little, or gone, where its legs lie
 * over each other. Both cost less than another cut.
 */
function bestChange(surface: SearchSurface, search: Search, options: RunOptions): Search | undefined {
  const { state, groups } = search;
  const greedy = greedyOptions(options);
  const marksOf = (isMeant: (measure: SheetMeasure) => boolean): Set<number> =>
    new Set(
      state.patches.flatMap(({ rodEdges }, i) =>
        isMeant(state.measures[i]) ? rodEdges.map(({ half }) => state.refinement.mark[half]) : [],
      ),
    );
  // Where hardly anything is left but that legs lie over each other, longer ones do not help.
  const strained = marksOf(
    ({ accepted, crossings, overArea, smoothPeak }) =>
      !accepted && (crossings === 0 || overArea > CLOSE.overArea || smoothPeak > CLOSE.peak),
  );
  const overlapping = marksOf(({ crossings }) => crossings > 0);
  let best: Search | undefined;
  const propose = (old: CutGroup, by: readonly CutGroup[]): void => {
    throwIfCancelled(options.signal);
    const next = groups.flatMap((group) => (group === old ? by : [group]));
    const laid = evaluate(surface, allCuts(next), {
      from: state,
      keep: state,
      steps: STEPS.full,
      patience: STEPS.patience,
    });
    if (!laid || !by.every((group) => greedy.sewable(surface, laid, group))) return;
    const found = { state: laid, groups: next };
    if (left(found) < left(search)) best = betterStep(search, best, found, options);
  };
  const isIn = ({ cuts }: CutGroup, marks: ReadonlySet<number>): boolean =>
    cuts.some(({ mark }) => marks.has(mark));
  for (const group of groups) {
    if (group.kind !== "dart" || group.locked) continue;
    if (isIn(group, overlapping)) propose(group, []);
    if (isIn(group, strained)) for (const longer of lengthened(surface, group)) propose(group, [longer]);
  }
  return best;
}

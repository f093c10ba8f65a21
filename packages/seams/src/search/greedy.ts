import { throwIfCancelled, type WorkOptions } from "@peltry/issues";
import type { Point3, SurfacePoint } from "@peltry/geometry";
import { cutGaps } from "./cut-gap";
import { makeCandidates, type Candidate, type CutKind } from "./candidates";
import { evaluate, violationIn, type SearchCut, type SearchState } from "./search-state";
import { pathStations, type SearchSurface } from "./search-surface";

/** A suggestion in the making: one cut, or a cut and its mirror image. */
export interface CutGroup {
  readonly kind: CutKind;
  readonly cuts: readonly SearchCut[];
  readonly cost: number;
  readonly length: number;
  /** Round of the search that it comes from. */
  readonly round: number;
  /** Conformal scale at its tip. */
  readonly scale: number;
  /** Worst budget share just before and after it was added. */
  readonly before: number;
  readonly after: number;
  /** Kept as it is: accepted or locked by the person. */
  readonly locked?: boolean;
  readonly id?: string;
}

/** Where a search stands. */
export interface Search {
  readonly state: SearchState;
  readonly groups: readonly CutGroup[];
}

/** Fixed prices of the search, mm of plain seam. */
export interface Prices {
  readonly perDart: number;
  readonly perSeam: number;
}

export const DEFAULT_PRICES: Prices = Object.freeze({ perDart: 15, perSeam: 15 });

/** Candidates that are laid flat with care: usually, where none of those helps, and further ones that are apart from the others. */
const FINALISTS = 6;
const ALL = 24;
const FURTHER = 3;

/** Steps of the light flattener. */
export const STEPS = Object.freeze({ screen: 25, full: 100, accept: 260, patience: 30 });

/** One point of the strain-against-length curve. */
export interface CurvePoint {
  readonly cuts: number;
  readonly length: number;
  readonly cost: number;
  /** Largest share of a fabric's budget in use, averaged over about 10 mm. */
  readonly worst: number;
  readonly accepted: boolean;
}

let counter = 0;

/** Marks are unique within a search; the number restarts with it. */
export function restartMarks(from: number): void {
  counter = from;
}

export function nextMark(): number {
  return counter++;
}

export function worstUse(state: SearchState): number {
  return state.measures.reduce((worst, m) => Math.max(worst, m.smoothPeak), 0);
}

/** What is left over the limits; nothing where a state is accepted. */
export function left({ state }: Pick<Search, "state">): number {
  return state.accepted ? 0 : state.violation;
}

export function groupCost(groups: readonly CutGroup[], prices: Prices): number {
  return groups.reduce((sum, g) => sum + priceOf(g, prices), 0);
}

export function priceOf(group: Pick<CutGroup, "kind" | "cuts" | "cost">, prices: Prices): number {
  return group.cost + (group.kind === "dart" ? prices.perDart : prices.perSeam) * group.cuts.length;
}

export function makeGroup(
  surface: SearchSurface,
  kind: CutKind,
  paths: readonly (readonly SurfacePoint[])[],
  more: Omit<CutGroup, "kind" | "cuts" | "cost" | "length">,
): CutGroup {
  let cost = 0;
  let length = 0;
  const cuts = paths.map((path): SearchCut => {
    const s = pathStations(surface, path);
    cost += s.cost[path.length - 1];
    length += s.length[path.length - 1];
    return { path, mark: nextMark() };
  });
  return { kind, cuts, cost, length, ...more };
}

export function allCuts(groups: readonly CutGroup[]): SearchCut[] {
  return groups.flatMap((group) => group.cuts);
}

/** Other cuts laid flat from where those of a search lie; undefined where they leave something that is no disk. */
export function laidFrom(
  surface: SearchSurface,
  { state: from }: Pick<Search, "state">,
  groups: readonly CutGroup[],
): SearchState | undefined {
  return evaluate(surface, allCuts(groups), {
    from,
    keep: from,
    steps: STEPS.accept,
    patience: STEPS.patience,
  });
}

/** What the greedy search may be told. */
export interface GreedyOptions extends WorkOptions {
  readonly prices: Prices;
  readonly rounds?: number;
  readonly finalists?: number;
  /** Lets some more finalists in that are so far from all others, mm. */
  readonly apart?: number | undefined;
  /** Says no to candidates that cannot be sewn. */
  readonly sewable: (surface: SearchSurface, state: SearchState, group: CutGroup) => boolean;
  /** Says no to candidates that no flat state makes sewable; {@link sewable} alone by default. */
  readonly possible?: (surface: SearchSurface, state: SearchState, group: CutGroup) => boolean;
  /** Says whether a cut that was there before is still worth sewing. */
  readonly lasting: (surface: SearchSurface, state: SearchState, group: CutGroup) => boolean;
  readonly onRound?: (search: Search) => void;
  /** What a round adds; {@link bestAddition} by default. */
  readonly add?: typeof bestAddition | undefined;
  /** Triangles of the surface whose violation alone counts; all when absent. */
  readonly zone?: ReadonlySet<number> | undefined;
  /** Only cuts to or through these places, mm. */
  readonly places?: readonly Point3[] | undefined;
  /** Darts whose legs lie over each other go on to an edge before anything else that helps is looked for. */
  readonly onwards?: boolean | undefined;
  /** Few long cuts rather than many short ones that each remove a little for little. */
  readonly haste?: boolean | undefined;
  /** Gives up once the cuts cost more than this. */
  readonly dearest?: number | undefined;
  /** Stops when so much work has been spent on the surface; {@link BUDGET} by default. */
  readonly until?: number | undefined;
}

/**
 * Triangle-steps after which a search takes what it has: about three quarters of a minute of work, counted so that the
 * result does not depend on the machine.
 */
export const BUDGET = 2e8;

/** Adds the cut that removes most violation for its price, until nothing is over the limits. */
export function greedySearch(surface: SearchSurface, start: Search, options: GreedyOptions): Search {
  let search = start;
  options.onRound?.(search);
  for (let round = 0; round < (options.rounds ?? 40) && !search.state.accepted; round++) {
    throwIfCancelled(options.signal);
    if (surface.work.spent > (options.until ?? BUDGET)) break;
    const next = (options.add ?? bestAddition)(surface, search, round, options);
    if (!next || groupCost(next.groups, options.prices) > (options.dearest ?? Infinity)) break;
    search = next;
    options.onRound?.(search);
  }
  return search;
}

/** The best single addition; undefined when nothing helps. */
export function bestAddition(
  surface: SearchSurface,
  search: Search,
  round: number,
  options: GreedyOptions,
): Search | undefined {
  return additions(surface, search, round, options)[0];
}

/** Single additions that help one patch, the best first; none when nothing helps. */
export function additions(
  surface: SearchSurface,
  search: Search,
  round: number,
  options: GreedyOptions,
): Search[] {
  const { state, groups } = search;
  const order = state.measures
    .map((m, i) => ({ i, violation: m.accepted ? -1 : m.violation }))
    .filter((entry) => entry.violation >= 0)
    .sort((a, b) => b.violation - a.violation || a.i - b.i);
  // Most rounds are settled by a few finalists; only where none helps are all of them tried.
  const passes = options.zone ? [true] : [false, true];
  for (const { i, all } of passes.flatMap((all) => order.map(({ i }) => ({ i, all })))) {
    const candidates = makeCandidates(surface, state, i, all, options.places, options.onwards);
    const ranked = screen(surface, search, candidates, round, options);
    const finalists = all ? ranked.slice(0, ALL) : finalistsOf(surface, ranked, options);
    const scored: { search: Search; score: number }[] = [];
    for (const { group, state: warm } of finalists) {
      throwIfCancelled(options.signal);
      const full = evaluate(surface, [...allCuts(groups), ...group.cuts], {
        from: warm,
        keep: state,
        steps: STEPS.full,
        patience: STEPS.patience,
      });
      if (!full || !options.sewable(surface, full, group)) continue;
      const next = withoutWeak(surface, { state: full, groups: [...groups, group] }, options);
      if (!next) continue;
      const score = scoreOf(surface, state, next.state, group, options);
      if (!(score > 0)) continue;
      const after = worstUse(next.state);
      scored.push({
        search: { ...next, groups: next.groups.map((g) => (g === group ? { ...g, after } : g)) },
        score,
      });
    }
    scored.sort((a, b) => b.score - a.score);
    if (scored.length > 0) return scored.map((entry) => entry.search);
  }
  return [];
}

/** The first of the ranked, and those that may serve other places beside them. */
function finalistsOf<T extends { readonly group: CutGroup }>(
  surface: SearchSurface,
  ranked: readonly T[],
  { finalists = FINALISTS, apart }: GreedyOptions,
): T[] {
  const out = ranked.slice(0, finalists);
  if (apart === undefined) return out;
  const gap = cutGaps(surface);
  for (const next of ranked.slice(finalists)) {
    if (out.length >= finalists + FURTHER) break;
    if (out.every(({ group }) => gap(group, next.group) >= apart)) out.push(next);
  }
  return out;
}

/** A new cut may leave an older dart next to nothing to take up: then that one goes, and its cloth is eased. */
function withoutWeak(surface: SearchSurface, search: Search, options: GreedyOptions): Search | undefined {
  const lasts = (state: SearchState, group: CutGroup): boolean =>
    group.locked === true || options.lasting(surface, state, group);
  const groups = search.groups.filter((group) => lasts(search.state, group));
  if (groups.length === search.groups.length) return search;
  const state = evaluate(surface, allCuts(groups), {
    from: search.state,
    keep: search.state,
    steps: STEPS.full,
    patience: STEPS.patience,
  });
  return state && groups.every((group) => lasts(state, group)) ? { state, groups } : undefined;
}

function screen(
  surface: SearchSurface,
  { state, groups }: Search,
  candidates: readonly Candidate[],
  round: number,
  options: GreedyOptions,
): { group: CutGroup; state: SearchState; score: number }[] {
  const out: { group: CutGroup; state: SearchState; score: number }[] = [];
  for (const candidate of candidates) {
    throwIfCancelled(options.signal);
    const group = makeGroup(surface, candidate.kind, candidate.paths, {
      round,
      scale: candidate.scale,
      before: worstUse(state),
      after: 0,
    });
    const quick = evaluate(surface, [...allCuts(groups), ...group.cuts], {
      from: state,
      keep: state,
      steps: STEPS.screen,
    });
    if (!quick) continue;
    if (options.possible && !options.possible(surface, quick, group)) continue;
    out.push({ group, state: quick, score: scoreOf(surface, state, quick, group, options) });
  }
  return out.sort((a, b) => b.score - a.score || a.group.cost - b.group.cost);
}

/** Violation removed for each mm of price. */
function scoreOf(
  surface: SearchSurface,
  before: SearchState,
  after: SearchState,
  group: CutGroup,
  { prices, zone, haste }: GreedyOptions,
): number {
  const left = (state: SearchState): number =>
    state.accepted ? 0 : zone ? violationIn(surface, state, zone) : state.violation;
  const price = priceOf(group, prices) + 1;
  return (left(before) - left(after)) / (haste ? Math.sqrt(price) : price);
}

// Several ways to the end of a search: one cut after another from nothing, and from the structured starts that promise
// to come out cheaper. The cheapest plan inside the limits wins.
import { isPeltryError, throwIfCancelled } from "@peltry/issues";
import { dartsAreWide, isSewable } from "../sewability";
import {
  allCuts,
  bestAddition,
  BUDGET,
  greedySearch,
  groupCost,
  laidFrom,
  makeGroup,
  STEPS,
  worstUse,
  type CurvePoint,
  type CutGroup,
  type GreedyOptions,
  type Search,
} from "./greedy";
import { improve } from "./improve";
import { letIn, letInWithRoom } from "./let-in";
import { nudge } from "./nudge";
import { prune } from "./prune";
import type { RunOptions } from "./run-search";
import { evaluate, refineState } from "./search-state";
import type { SearchSurface } from "./search-surface";
import { ringStarts } from "./ring-starts";
import { trim } from "./trim";
import { bend, refill } from "./unstick";
import { structuredStarts, type StructuredStart } from "./structured-starts";

/** What came out best, and the points of the strain-against-length curve that were seen on the way. */
export interface BestSearch {
  readonly search: Search;
  readonly curve: readonly CurvePoint[];
  readonly cancelled: boolean;
  /** The surface that the search's state lies on. */
  readonly surface: SearchSurface;
}

/** Structured starts that are followed to the end, by effort. */
const FOLLOWED = Object.freeze({ quick: 0, normal: 2, thorough: 6 });

/** What a cut costs at least that runs where none may go. */
const FORBIDDEN = 1e5;

/** Share of the work's budget that one start may use, and after which no further one is begun. */
const EACH = 0.35;
const LATE = 0.8;

/**
 * Share of the rule's narrowest neck below which nothing is suggested; between the two a neck is reported. With the whole
 * of it held in the search, a padded leg at 5 % ended over its limits with four times the seam: the way to a good plan
 * leads past panels that are narrow for a while.
 */
const NECK = 0.3;

/** The same for the cuts that are harder to sew, from one start and from all of them. */
const INSIST = 0.7;
const INSIST_IN_ALL = 2.4;
/** Share of what the form asks at first that is little to be left with. */
const NEARLY = 0.02;
/** The same at the end of a try's share of the work: then it gets a little more. */
const ALMOST = 0.002;
const GRACE = 0.25;
/** Steps on all panels together after each cut: few against what a needless cut costs. */
const SETTLE = 400;
/** Times that the cuts round a panel that is stuck are taken away and looked for anew. */
const AGAIN = 2;

/**
 * Share of the work's budget that making a plan cheaper may use by effort, and with which in all it ends. Large forms take
 * their time anyway; a plan is small that has at most FEW cuts, and may use so much of what it used so far.
 */
const IMPROVE = Object.freeze({
  usual: { quick: 0, normal: 0.35, thorough: 1.5 },
  large: { quick: 0, normal: 0.5, thorough: 1.5 },
  few: { quick: 0, normal: 0.3, thorough: 1.5 },
});
const IMPROVED = Object.freeze({ usual: 1.15, large: 1.4 });
const FEW = 2;
const AS_MUCH = 0.8;
/** The same where a person waits for another plan. */
const DIRECT = 0.03;
/** Share of the work's budget that moving the cuts of other plans may use. */
const SHIFT = 0.1;
const TRIM = 0.2;

/** Rounds of the plain search before other starts are looked at: by then the first suggestion has been told. */
const FIRST_ROUNDS = 3;

/** The best plan from a state that is laid flat already. */
export function bestSearch(surface: SearchSurface, start: Search, options: RunOptions): BestSearch {
  const run = new Run(surface, start, options);
  const follows = options.settling || options.direct ? 0 : FOLLOWED[options.effort];
  if (start.state.accepted) return run.result();
  let first = run.attempt(() => run.grow(start, { rounds: FIRST_ROUNDS, onwards: true }));
  if (run.cancelled || !first) return run.result();
  const found =
    follows > 0
      ? (run.attempt(() =>
          leads(surface, start, greedyOptions(options), structuredStarts(surface, start.state)),
        ) ?? [])
      : [];
  const bound = found.reduce(
    (least, { state, groups }) =>
      state.accepted ? Math.min(least, 1.3 * groupCost(groups, options.prices)) : least,
    Infinity,
  );
  const share = (): number => surface.work.spent + EACH * BUDGET;
  first =
    run.attempt(() =>
      run.finish(first!, { bound, until: found.length > 0 ? share() : BUDGET, onwards: true }),
    ) ?? first;
  const cost = groupCost(run.rounds[run.rounds.length - 1].groups, options.prices);
  const promised = found
    .map((search) => ({ search, promise: promiseOf(search, run.rounds, options) }))
    .sort((a, b) => a.promise - b.promise);
  // Only where nothing else reached the limits is a dear way worth going to its end.
  const isWorth = (promise: number): boolean =>
    !run.best.state.accepted || promise <= 1.2 * Math.min(cost, bound);
  // A start that is a plan already comes first: its promise is kept. Where it is too dear the others get their turn, but
  // for plans of few cuts, among which there is little to choose.
  const sure = promised.findIndex(({ search }) => search.state.accepted);
  if (sure > 0 && (isSmall(run.best) || isWorth(promised[sure].promise)))
    promised.unshift(...promised.splice(sure, 1));
  // On corners too sharp for the cloth no start ends well: those are divided first.
  const stuck = !run.best.state.accepted && run.hasSharpCorners();
  for (const { search, promise } of stuck ? [] : promised.slice(0, follows)) {
    if (run.cancelled || surface.work.spent > LATE * BUDGET) break;
    if (!isWorth(promise)) break;
    const dearest = run.best.state.accepted ? 1.4 * groupCost(run.best.groups, options.prices) : Infinity;
    // Darts that go on are soon an end, but not always the cheapest one: these are looked at without.
    run.attempt(() => run.finish(search, { bound: dearest, until: share(), onwards: false }));
  }
  if (!run.best.state.accepted && options.direct) return run.result();
  const hard = !run.best.state.accepted && !options.givesUp?.(surface, run.best.state);
  if (hard) run.attempt(() => run.insist(found));
  if (run.best.state.accepted && !options.settling && options.effort !== "quick")
    run.attempt(() => run.improve(hard));
  return run.result();
}

/** The best so far, and how to get on. */
class Run {
  best: Search;
  /** The surface that it lies on. */
  private bestOn: SearchSurface;
  cancelled = false;
  /** States of the plain search, in order. */
  readonly rounds: Search[] = [];
  private readonly seen: CurvePoint[] = [];

  constructor(
    private surface: SearchSurface,
    private readonly start: Search,
    private readonly options: RunOptions,
  ) {
    this.best = start;
    this.bestOn = surface;
  }

  /** Whether the mesh has corners that are too sharp for the cloth as it is. */
  hasSharpCorners(): boolean {
    const { finer } = this.options;
    return finer !== undefined && finer().root.triangleCount > this.surface.root.triangleCount;
  }

  /** Does something; when it is cancelled, what has been found stands. */
  attempt<T>(work: () => T): T | undefined {
    if (this.cancelled) return undefined;
    try {
      return work();
    } catch (error) {
      if (!isPeltryError(error) || error.code !== "work/cancelled") throw error;
      this.cancelled = true;
      return undefined;
    }
  }

  /** Adds cuts until nothing is over the limits. */
  grow(from: Search, limits: Pick<GreedyOptions, "rounds" | "dearest" | "until" | "onwards">): Search {
    return greedySearch(this.surface, from, {
      ...greedyOptions(this.options),
      ...limits,
      onRound: (now) => this.note(now),
    });
  }

  /** The same to the end, and then takes away what is too much. */
  finish(
    from: Search,
    { bound, until, onwards }: { bound: number; until: number; onwards: boolean },
  ): Search {
    const dearest = this.best.state.accepted || bound < Infinity ? bound : undefined;
    let search = this.grow(from, { dearest, until, onwards });
    this.keep(search);
    if (search.state.accepted && this.options.effort !== "quick") {
      this.options.onProgress?.({ stage: "shortening", done: 0.8 });
      const options = greedyOptions(this.options);
      if (isSmall(search)) search = letIn(this.surface, search, { ...options, until });
      search = prune(this.surface, search, options);
      this.keep(search);
    }
    return search;
  }

  /**
   * Takes cuts of the best so far away, looks for cheaper ones, and shortens what is left to the last bit; `hard`: among
   * cuts that are harder to sew.
   */
  improve(hard: boolean): void {
    const { surface } = this;
    const { direct, effort, hardRules, large } = this.options;
    const options = { ...greedyOptions(this.options, hard ? hardRules : undefined), onwards: true };
    const few = isSmall(this.best);
    const size = large ? "large" : "usual";
    const share = (direct ? DIRECT : IMPROVE[few ? "few" : size][effort]) * BUDGET;
    const last = Math.max(IMPROVED[size] * BUDGET, share);
    const until = (part: number): number => Math.min(surface.work.spent + part, last);
    const others = (part: number): void =>
      improve(surface, this.best, { ...options, until: until(part) }, (search) => this.keep(search));
    const shifted = (part: number): void => {
      const asked = { ...options, until: until(part) };
      this.keep(nudge(surface, letIn(surface, this.best, asked), asked));
      this.keep(letInWithRoom(surface, this.best, asked));
    };
    // Among few cuts there is little to choose from: there it matters more where each of them runs.
    if (few) {
      const all = Math.min(share, AS_MUCH * surface.work.spent);
      const before = surface.work.spent;
      shifted(all);
      others(all + before - surface.work.spent);
    } else {
      others(share);
      shifted(SHIFT * BUDGET);
    }
    this.keep(trim(surface, this.best, { ...options, until: surface.work.spent + TRIM * BUDGET }));
  }

  /**
   * Cuts that are harder to sew, where nothing else brings the best so far inside the limits. Sharp corners are divided for
   * it, and small spots left to be eased in: to serve each by a cut of its own chops panels to scraps.
   */
  insist(found: readonly Search[]): void {
    const { options } = this;
    this.surface = { ...(options.finer?.() ?? this.surface), eased: true };
    const { surface } = this;
    const relaid = (search: Search): Search | undefined => {
      const state = evaluate(surface, allCuts(search.groups), {
        steps: STEPS.accept,
        patience: STEPS.patience,
      });
      return state && { ...search, state };
    };
    const start = relaid(this.start);
    if (!start) return;
    const hard = { ...greedyOptions(options, options.hardRules), onwards: true };
    const hasty = { ...hard, haste: true };
    // The cheapest that is a plan already; else what lacks least is nearest to the end, whatever it cost so far.
    const lack = ({ state, groups }: Search): number =>
      state.accepted ? -1 / (1 + groupCost(groups, options.prices)) : state.violation;
    const nearest = [
      ...found,
      ...leads(surface, start, hard, structuredStarts(surface, start.state, true)),
    ].reduce((least, lead) => (lack(lead) < lack(least) ? lead : least), this.best);
    const rings = leads(surface, start, hard, ringStarts(surface, start.state));
    // What ran out of its share of the work shortly before the end goes on. It was not looking for what is hard to sew.
    if (this.best.state.violation < NEARLY * start.state.violation) {
      const left = relaid(this.best);
      if (left) this.insistFrom(left, hard, surface.work.spent + INSIST * BUDGET);
    }
    // Where that is a plan, the others are for a cheaper one only.
    const each = (this.best.state.accepted ? 0.5 : 1) * INSIST * BUDGET;
    const last = surface.work.spent + INSIST_IN_ALL * BUDGET;
    // Forms with a closed end are most often done by a ring round it.
    const tries = [
      { search: start, hard },
      ...rings.slice(0, 1).map((search) => ({ search, hard })),
      { search: relaid(nearest), hard: hasty },
      ...rings.slice(1).map((search) => ({ search, hard })),
    ];
    for (const { search, hard: rules } of tries) {
      if (search) this.insistFrom(search, rules, Math.min(last, surface.work.spent + each));
      if (this.best.state.accepted) return;
    }
    // What came nearest goes on.
    if (this.bestOn === surface && this.best.state.violation < NEARLY * start.state.violation)
      this.insistFrom(this.best, hard, surface.work.spent + INSIST * BUDGET);
  }

  private insistFrom(from: Search, hard: GreedyOptions & { minDart: number }, until: number): void {
    const { surface } = this;
    let search = from;
    let zone: ReadonlySet<number> | undefined;
    const more = ({ state }: Search): number =>
      state.violation < ALMOST * this.start.state.violation ? GRACE * BUDGET : 0;
    for (let again = AGAIN; surface.work.spent < until + more(search);) {
      throwIfCancelled(this.options.signal);
      // Panels that were done early lie as their neighbours then did: all of them together find more room.
      const state = refineState(surface, search.state, SETTLE);
      if (state.accepted || state.violation < search.state.violation) search = { ...search, state };
      this.note(search);
      if (search.state.accepted) break;
      if (this.best.state.accepted && this.priceOf(search) > this.priceOf(this.best)) return;
      // Near the end what is left lies beside a cut more often than it needs another.
      const next =
        (more(search) > 0 && bend(surface, search, hard)) ||
        (zone && bestAddition(surface, search, search.groups.length, { ...hard, zone })) ||
        bestAddition(surface, search, search.groups.length, hard) ||
        refill(surface, search, { ...hard, until: until + more(search) });
      if (next) {
        search = next;
        continue;
      }
      if (again-- <= 0) return;
      zone = stuckTriangles(search.state);
      const cleared = this.cleared(surface, search);
      if (!cleared) return;
      search = cleared;
    }
    if (search.state.accepted && this.options.effort !== "quick")
      this.keep(prune(surface, search, { ...hard, passes: 1, until: until + 0.3 * BUDGET }));
  }

  /**
   * The same without the cuts round the panels that are stuck. A search that serves the large panels first leaves a small
   * tip no room for the cuts that it needs; begun anew round it, it serves the tip.
   */
  private cleared(surface: SearchSurface, search: Search): Search | undefined {
    const { state, groups } = search;
    const near = new Set<number>();
    state.patches.forEach((patch, i) => {
      if (state.measures[i].accepted) return;
      for (const { half } of patch.rodEdges) near.add(state.refinement.mark[half]);
    });
    const touched = (group: CutGroup): boolean =>
      !group.locked && group.cuts.some(({ mark }) => near.has(mark));
    const first = groups.findIndex(touched);
    // What ended on a cut that is gone may hang in the open: then all that came after the first of them goes too.
    for (const kept of [
      groups.filter((group) => !touched(group)),
      groups.filter((group, i) => group.locked || i < first),
    ]) {
      if (first < 0) return undefined;
      const left = evaluate(surface, allCuts(kept), { from: state, steps: STEPS.accept });
      if (left) return { state: left, groups: kept };
    }
    return undefined;
  }

  private priceOf({ groups }: Search): number {
    return groupCost(groups, this.options.prices);
  }

  private keep(search: Search): void {
    if (better(this.best, search, this.options) === this.best) return;
    this.best = search;
    this.bestOn = this.surface;
  }

  private note(search: Search): void {
    this.seen.push(curvePoint(search));
    if (!this.best.state.accepted) {
      this.keep(search);
      this.rounds.push(search);
    }
    this.options.onProgress?.({
      stage: `${search.groups.length} cuts tried`,
      done: 0.75 * (1 - 1 / (1 + 0.35 * this.seen.length)),
    });
  }

  result(): BestSearch {
    const { best, cancelled } = this;
    return {
      search: best,
      curve: frontier([curvePoint(this.start), ...this.seen], curvePoint(best)),
      cancelled,
      surface: this.bestOn,
    };
  }
}

export function greedyOptions(
  options: RunOptions,
  asked = options.rules,
): Omit<GreedyOptions, "onRound"> & { minDart: number } {
  const rules = { ...asked, minNeck: NECK * asked.minNeck };
  return {
    prices: options.prices,
    signal: options.signal,
    minDart: rules.minDartLength,
    sewable: (s, state, group) => isSewable(rules, s, state, group),
    lasting: (s, state, group) => dartsAreWide(rules, s, state, group),
  };
}

function isSmall({ groups }: Search): boolean {
  return groups.filter(({ locked }) => !locked).length <= FEW;
}

/** Triangles of the surface under the panels that are over their limits. */
function stuckTriangles({ patches, measures }: Search["state"]): Set<number> {
  return new Set(patches.flatMap((patch, i) => (measures[i].accepted ? [] : [...patch.baseTriangle])));
}

function better(a: Search, b: Search, { prices }: RunOptions): Search {
  if (a.state.accepted !== b.state.accepted) return a.state.accepted ? a : b;
  if (a.state.accepted) return groupCost(b.groups, prices) < groupCost(a.groups, prices) ? b : a;
  return b.state.violation < a.state.violation ? b : a;
}

/** Structured starts from a state, laid flat. */
function leads(
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

/** What the plan that a start leads to may cost. */
function promiseOf({ state, groups }: Search, rounds: readonly Search[], options: RunOptions): number {
  return (
    groupCost(groups, options.prices) + (state.accepted ? 0 : costToGo(state.violation, rounds, options))
  );
}

/** What the search from nothing paid to bring a violation to its end, read off its rounds. */
function costToGo(violation: number, rounds: readonly Search[], { prices }: RunOptions): number {
  const cost = (search: Search): number => groupCost(search.groups, prices);
  const rest = (search: Search): number => (search.state.accepted ? 0 : search.state.violation);
  const last = rounds[rounds.length - 1];
  if (!last || violation <= rest(last)) return 0;
  for (let i = rounds.length - 2; i >= 0; i--) {
    if (rest(rounds[i]) < violation) continue;
    const [high, low] = [rest(rounds[i]), rest(rounds[i + 1])];
    const share = high > low ? (violation - low) / (high - low) : 0;
    return cost(last) - cost(rounds[i + 1]) + share * (cost(rounds[i + 1]) - cost(rounds[i]));
  }
  return Infinity;
}

export function curvePoint({ state, groups }: Search): CurvePoint {
  const own = groups.filter((group) => group.kind !== "opening");
  return {
    cuts: own.reduce((sum, group) => sum + group.cuts.length, 0),
    length: own.reduce((sum, group) => sum + group.length, 0),
    cost: own.reduce((sum, group) => sum + group.cost, 0),
    worst: worstUse(state),
    accepted: state.accepted,
  };
}

/** Of all points seen those that no shorter one beats, up to the plan itself. */
export function frontier(points: readonly CurvePoint[], plan: CurvePoint): CurvePoint[] {
  const order = points
    .filter((point) => point.length < plan.length && !point.accepted)
    .sort((a, b) => a.length - b.length || a.worst - b.worst);
  const out: CurvePoint[] = [];
  for (const point of order) if (out.length === 0 || point.worst < out[out.length - 1].worst) out.push(point);
  return [...out, plan];
}

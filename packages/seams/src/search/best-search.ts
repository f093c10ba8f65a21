// Several ways to the end of a search: one cut after another from nothing, and from the structured starts that promise
// to come out cheaper. The cheapest plan inside the limits wins.
import { isPeltryError } from "@peltry/issues";
import {
  BUDGET,
  greedySearch,
  groupCost,
  worstUse,
  type CurvePoint,
  type GreedyOptions,
  type Search,
} from "./greedy";
import { greedyOptions } from "./greedy-options";
import { improve } from "./improve";
import { insist, insistOnEnd, type Tries } from "./insist";
import { leads, unfoldingLead } from "./leads";
import { letIn, letInWithRoom } from "./let-in";
import { nudge } from "./nudge";
import { prune } from "./prune";
import type { RunOptions } from "./run-search";
import type { SearchSurface } from "./search-surface";
import { severalAdditions } from "./several";
import { structuredStarts } from "./structured-starts";
import { trim } from "./trim";

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

/** Share of the work's budget that one start may use, and after which no further one is begun. */
const EACH = 0.35;
const LATE = 0.8;

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

/** Where so much of what the form asked at first is left after those, it asks for many cuts. */
const MANY = 0.3;

/** The best plan from a state that is laid flat already. */
export function bestSearch(surface: SearchSurface, start: Search, options: RunOptions): BestSearch {
  const run = new Run(surface, start, options);
  const follows = options.settling || options.direct ? 0 : FOLLOWED[options.effort];
  if (start.state.accepted) return run.result();
  if (options.settling && surface.eased) {
    run.attempt(() => run.insistOnEnd());
    return run.result();
  }
  let first = run.attempt(() => run.grow(start, { rounds: FIRST_ROUNDS, onwards: true }));
  if (run.cancelled || !first) return run.result();
  run.many = first.state.violation > MANY * start.state.violation && first.groups.length >= FIRST_ROUNDS;
  const found =
    follows > 0
      ? (run.attempt(() => {
          const starts = structuredStarts(surface, start.state);
          return [leads, unfoldingLead].flatMap((make) =>
            make(surface, start, greedyOptions(options), starts),
          );
        }) ?? [])
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
  /** Rounds add more than one cut. */
  many = false;
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
      add: this.many ? severalAdditions : undefined,
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

  /** Cuts that are harder to sew, where nothing else brings the best so far inside the limits. */
  insist(found: readonly Search[]): void {
    this.surface = { ...(this.options.finer?.() ?? this.surface), eased: true };
    insist(this.surface, this.start, found, this.tries());
  }

  /** The same where a plan made of such cuts lacks a little. */
  insistOnEnd(): void {
    insistOnEnd(this.surface, this.start, this.tries());
  }

  private tries(): Tries {
    return {
      options: this.options,
      best: () => ({ search: this.best, isHere: this.bestOn === this.surface }),
      keep: (search) => this.keep(search),
      note: (search) => this.note(search),
    };
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

function isSmall({ groups }: Search): boolean {
  return groups.filter(({ locked }) => !locked).length <= FEW;
}

function better(a: Search, b: Search, { prices }: RunOptions): Search {
  if (a.state.accepted !== b.state.accepted) return a.state.accepted ? a : b;
  if (a.state.accepted) return groupCost(b.groups, prices) < groupCost(a.groups, prices) ? b : a;
  return b.state.violation < a.state.violation ? b : a;
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

// Cuts that are harder to sew, where nothing else brings a form inside its limits: from several starts in turn, each with ways
// out where no further cut helps.
import { throwIfCancelled } from "@peltry/issues";
import { allCuts, bestAddition, BUDGET, groupCost, STEPS, type CutGroup, type Search } from "./greedy";
import { hardOptions, type SearchRules } from "./greedy-options";
import { halvingStarts } from "./halving-starts";
import { leads } from "./leads";
import { prune } from "./prune";
import { ringStarts } from "./ring-starts";
import type { RunOptions } from "./run-search";
import { evaluate, refineState } from "./search-state";
import type { SearchSurface } from "./search-surface";
import { severalAdditions } from "./several";
import { structuredStarts } from "./structured-starts";
import { bend, refill } from "./unstick";

/** Share of the work's budget that goes into one start, and into all of them. */
const INSIST = 0.7;
const INSIST_IN_ALL = 2.4;
/** Share of what the form asks at first that is little to be left with. */
const NEARLY = 0.02;
/** The same at the end of a try's share of the work: then it gets a little more. */
const ALMOST = 0.002;
const GRACE = 0.25;
/** A cut that leaves more than this share over the limits hardly helps; what the search for a better way may use then. */
const HARDLY = 0.97;
const REFILL = 0.25;
/** Steps on all panels together after each cut: few against what a needless cut costs. */
const SETTLE = 400;
/** Times that the cuts round a panel that is stuck are taken away and looked for anew. */
const AGAIN = 2;

/** What all tries have in common. */
export interface Tries {
  readonly options: RunOptions;
  /** The best plan so far, and whether it lies on the surface of the tries. */
  readonly best: () => { readonly search: Search; readonly isHere: boolean };
  readonly keep: (search: Search) => void;
  /** Tells of a step, and keeps it where it is the best so far. */
  readonly note: (search: Search) => void;
}

/**
 * Looks for a plan among cuts that are harder to sew.
 *
 * @param surface - with its sharp corners divided, and small spots left to be eased in: to serve each by a cut of its own chops
 * panels to scraps
 * @param opened - the form opened
 * @param found - structured starts that the plain search knows
 */
export function insist(surface: SearchSurface, opened: Search, found: readonly Search[], tries: Tries): void {
  const { options, best } = tries;
  const { prices } = options;
  const relaid = (search: Search): Search | undefined => {
    const state = evaluate(surface, allCuts(search.groups), {
      steps: STEPS.accept,
      patience: STEPS.patience,
    });
    return state && { ...search, state };
  };
  const start = relaid(opened);
  if (!start) return;
  const hard = hardOptions(options);
  const hasty = { ...hard, haste: true };
  // The cheapest that is a plan already; else what lacks least is nearest to the end, whatever it cost so far.
  const lack = ({ state, groups }: Search): number =>
    state.accepted ? -1 / (1 + groupCost(groups, prices)) : state.violation;
  const nearest = [
    ...found,
    ...leads(surface, start, hard, structuredStarts(surface, start.state, true)),
  ].reduce((least, lead) => (lack(lead) < lack(least) ? lead : least), best().search);
  const halves = leads(surface, start, hard, halvingStarts(surface, start.state)).sort(
    (a, b) => lack(a) - lack(b),
  );
  const rings = leads(surface, start, hard, ringStarts(surface, start.state));
  const near = ALMOST * start.state.violation;
  const follow = (search: Search, rules: SearchRules, until: number): void =>
    insistFrom(surface, search, rules, { near, until }, tries);
  const isNear = ({ state }: Search): boolean => state.violation < NEARLY * start.state.violation;
  // What ran out of its share of the work shortly before the end goes on. It was not looking for what is hard to sew.
  const left = isNear(best().search) ? relaid(best().search) : undefined;
  if (left) follow(left, hard, surface.work.spent + INSIST * BUDGET);
  // Where that is a plan, the others are for a cheaper one only.
  const each = (best().search.state.accepted ? 0.5 : 1) * INSIST * BUDGET;
  const last = surface.work.spent + INSIST_IN_ALL * BUDGET;
  // Forms with a closed end are most often done in two halves over it, or by a ring round it.
  const order = [
    { search: start, rules: hard },
    { search: halves[0], rules: hard },
    { search: rings[0], rules: hard },
    { search: relaid(nearest), rules: hasty },
    ...rings.slice(1).map((search) => ({ search, rules: hard })),
  ];
  for (const { search, rules } of order) {
    if (search) follow(search, rules, Math.min(last, surface.work.spent + each));
    if (best().search.state.accepted) return;
  }
  // What came nearest goes on.
  const { search, isHere } = best();
  if (isHere && isNear(search)) follow(search, hard, surface.work.spent + INSIST * BUDGET);
}

/** The same from a plan that lacks a little. */
export function insistOnEnd(surface: SearchSurface, from: Search, tries: Tries): void {
  const until = surface.work.spent + INSIST * BUDGET;
  insistFrom(surface, from, hardOptions(tries.options), { near: Infinity, until }, tries);
}

/** Adds cuts until nothing is over the limits, or the work comes to `until`; `near`: violation with which the end is near. */
function insistFrom(
  surface: SearchSurface,
  from: Search,
  hard: SearchRules,
  { near, until }: { near: number; until: number },
  { options, best, keep, note }: Tries,
): void {
  let search = from;
  let zone: ReadonlySet<number> | undefined;
  const isNear = (): boolean => search.state.violation < near;
  const end = (): number => until + (isNear() ? GRACE * BUDGET : 0);
  const price = ({ groups }: Search): number => groupCost(groups, options.prices);
  for (let again = AGAIN; surface.work.spent < end();) {
    throwIfCancelled(options.signal);
    // Panels that were done early lie as their neighbours then did: all of them together find more room.
    const state = refineState(surface, search.state, SETTLE);
    if (state.accepted || state.violation < search.state.violation) search = { ...search, state };
    note(search);
    if (search.state.accepted) break;
    const plan = best().search;
    if (plan.state.accepted && price(search) > price(plan)) return;
    const next = stepFrom(surface, search, hard, zone, { isNear: isNear(), until: end() });
    if (next) {
      search = next;
      continue;
    }
    if (again-- <= 0) return;
    zone = stuckTriangles(search.state);
    const cleared = withoutStuck(surface, search);
    if (!cleared) return;
    search = cleared;
  }
  if (search.state.accepted && options.effort !== "quick")
    keep(prune(surface, search, { ...hard, passes: 1, until: until + 0.3 * BUDGET }));
}

/** One step on, by what is most likely to help. */
function stepFrom(
  surface: SearchSurface,
  search: Search,
  hard: SearchRules,
  zone: ReadonlySet<number> | undefined,
  { isNear, until }: { isNear: boolean; until: number },
): Search | undefined {
  const round = search.groups.length;
  // Near the end what is left lies beside a cut more often than it needs another.
  const bent = isNear ? bend(surface, search, hard) : undefined;
  if (bent) return bent;
  const added =
    (zone && bestAddition(surface, search, round, { ...hard, zone })) ??
    severalAdditions(surface, search, round, hard);
  const { violation } = search.state;
  if (added && (added.state.accepted || added.state.violation < HARDLY * violation)) return added;
  // A cut that hardly helps comes after what may do without it.
  const most = Math.min(until, surface.work.spent + REFILL * BUDGET);
  return (
    (isNear ? undefined : bend(surface, search, hard)) ??
    refill(surface, search, { ...hard, until: most }) ??
    added
  );
}

/**
 * The same without the cuts round the panels that are stuck. A search that serves the large panels first leaves a small tip no
 * room for the cuts that it needs; begun anew round it, it serves the tip.
 */
function withoutStuck(surface: SearchSurface, { state, groups }: Search): Search | undefined {
  const near = new Set<number>();
  state.patches.forEach((patch, i) => {
    if (state.measures[i].accepted) return;
    for (const { half } of patch.rodEdges) near.add(state.refinement.mark[half]);
  });
  const touched = (group: CutGroup): boolean =>
    !group.locked && group.cuts.some(({ mark }) => near.has(mark));
  const first = groups.findIndex(touched);
  if (first < 0) return undefined;
  // What ended on a cut that is gone may hang in the open: then all that came after the first of them goes too.
  for (const kept of [
    groups.filter((group) => !touched(group)),
    groups.filter((group, i) => group.locked || i < first),
  ]) {
    const left = evaluate(surface, allCuts(kept), { from: state, steps: STEPS.accept });
    if (left) return { state: left, groups: kept };
  }
  return undefined;
}

/** Triangles of the surface under the panels that are over their limits. */
function stuckTriangles({ patches, measures }: Search["state"]): Set<number> {
  return new Set(patches.flatMap((patch, i) => (measures[i].accepted ? [] : [...patch.baseTriangle])));
}

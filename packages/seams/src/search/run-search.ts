import { isPeltryError, type WorkOptions } from "@peltry/issues";
import type { SurfacePoint } from "@peltry/geometry";
import { isSewable } from "../sewability";
import type { SewabilityRules } from "../types";
import type { CutKind } from "./candidates";
import {
  allCuts,
  greedySearch,
  makeGroup,
  restartMarks,
  worstUse,
  type CurvePoint,
  type CutGroup,
  type Prices,
  type Search,
} from "./greedy";
import { openSurface } from "./open-surface";
import { prune } from "./prune";
import { evaluate, type SearchState } from "./search-state";
import { splitWidths } from "./split-width";
import { FIRST_MARK, type SearchSurface } from "./search-surface";

/** A cut that the person has settled. */
export interface SettledCut {
  readonly id: string;
  readonly kind: CutKind;
  readonly path: readonly SurfacePoint[];
}

/** What the search is to do. */
export interface RunOptions extends WorkOptions {
  readonly prices: Prices;
  readonly rules: SewabilityRules;
  readonly settled: readonly SettledCut[];
  readonly effort: "quick" | "normal" | "thorough";
}

/** What the search found. */
export interface RunResult {
  readonly search: Search;
  readonly curve: readonly CurvePoint[];
  readonly cancelled: boolean;
}

/** Opens the form, adds cuts until the fabrics can follow, and takes away what is not needed. */
export function runSearch(surface: SearchSurface, options: RunOptions): RunResult | undefined {
  restartMarks(FIRST_MARK);
  const fixed = { round: -1, scale: 0, before: 0, after: 0, locked: true } as const;
  const groups: CutGroup[] = options.settled.map((cut) =>
    makeGroup(surface, cut.kind, [cut.path], { ...fixed, id: cut.id }),
  );
  for (const path of openSurface(surface, allCuts(groups)))
    groups.push(makeGroup(surface, "opening", [path], fixed));
  const state = evaluate(surface, allCuts(groups), { steps: 260, patience: 60 });
  if (!state) return undefined;
  return continueSearch(surface, splitWidths(surface, { state, groups }), options);
}

/** The search from a state that is laid flat already. */
export function continueSearch(surface: SearchSurface, start: Search, options: RunOptions): RunResult {
  const curve: CurvePoint[] = [];
  let best = start;
  const sewable = (s: SearchSurface, state: SearchState, group: CutGroup): boolean =>
    isSewable(options.rules, s, state, group);
  const shared = { prices: options.prices, sewable, signal: options.signal };
  try {
    const found = greedySearch(surface, start, {
      ...shared,
      onRound: (search) => {
        best = search;
        curve.push(curvePoint(search));
        const done = search.state.accepted ? 0.6 : 0.6 * (1 - 1 / (1 + 0.35 * curve.length));
        options.onProgress?.({ stage: `${search.groups.length} cuts tried`, done });
      },
    });
    best = found;
    if (found.state.accepted && options.effort !== "quick") {
      options.onProgress?.({ stage: "shortening", done: 0.65 });
      best = prune(surface, found, { ...shared, minDart: options.rules.minDartLength });
    }
    const split = splitWidths(surface, best);
    if (split !== best) {
      // A split panel may need fewer darts, or by its new turn others.
      best = greedySearch(surface, split, shared);
      if (best.state.accepted)
        best = prune(surface, best, { ...shared, minDart: options.rules.minDartLength, passes: 1 });
    }
    return { search: best, curve, cancelled: false };
  } catch (error) {
    if (isPeltryError(error) && error.code === "work/cancelled")
      return { search: best, curve, cancelled: true };
    throw error;
  }
}

function curvePoint({ state, groups }: Search): CurvePoint {
  const own = groups.filter((group) => group.kind !== "opening");
  return {
    cuts: own.reduce((sum, group) => sum + group.cuts.length, 0),
    length: own.reduce((sum, group) => sum + group.length, 0),
    cost: own.reduce((sum, group) => sum + group.cost, 0),
    worst: worstUse(state),
    accepted: state.accepted,
  };
}

import { dartsAreWide, isSewable, mayBeSewable } from "../sewability";
import type { GreedyOptions } from "./greedy";
import type { RunOptions } from "./run-search";

/**
 * Share of the rule's narrowest neck below which nothing is suggested; between the two a neck is reported. With the whole
 * of it held in the search, a padded leg at 5 % ended over its limits with four times the seam: the way to a good plan
 * leads past panels that are narrow for a while.
 */
const NECK = 0.3;

/** The rules of a run, as the search asks them. */
export type SearchRules = Omit<GreedyOptions, "onRound"> & { readonly minDart: number };

/** What the greedy search is told of the rules and prices of a run. */
export function greedyOptions(options: RunOptions, asked = options.rules): SearchRules {
  const rules = { ...asked, minNeck: NECK * asked.minNeck };
  return {
    prices: options.prices,
    signal: options.signal,
    minDart: rules.minDartLength,
    sewable: (s, state, group) => isSewable(rules, s, state, group),
    lasting: (s, state, group) => dartsAreWide(rules, s, state, group),
  };
}

/** The same for cuts that are harder to sew; what can never be sewn does not stand in the way of what can. */
export function hardOptions(options: RunOptions): SearchRules {
  const { hardRules } = options;
  return {
    ...greedyOptions(options, hardRules),
    onwards: true,
    possible: (...asked) => mayBeSewable(hardRules, ...asked),
  };
}

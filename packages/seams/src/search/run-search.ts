import type { WorkOptions } from "@peltry/issues";
import type { SurfacePoint } from "@peltry/geometry";
import type { SewabilityRules } from "../types";
import { bestSearch, type BestSearch } from "./best-search";
import { greedyOptions } from "./greedy-options";
import type { CutKind } from "./candidates";
import {
  allCuts,
  makeGroup,
  restartMarks,
  type CurvePoint,
  type CutGroup,
  type Prices,
  type Search,
} from "./greedy";
import { inPairs, NEARLY_ONE_LINE } from "./mirrored-cuts";
import { openSurface } from "./open-surface";
import { searchFrom, sortStanding } from "./search-from";
import { evaluate, type SearchState } from "./search-state";
import { splitWidths, type WidthRules } from "./split-width";
import { FIRST_MARK, type SearchSurface } from "./search-surface";

/** A cut that the person has settled. */
export interface SettledCut {
  readonly id: string;
  readonly kind: CutKind;
  readonly path: readonly SurfacePoint[];
}

/** A suggestion of the plan before, to begin with. */
export interface StandingPaths {
  readonly kind: CutKind;
  readonly paths: readonly (readonly SurfacePoint[])[];
  /** It was refused just now: another way to its tip may do. */
  readonly refused?: boolean;
}

/** What the search is to do. */
export interface RunOptions extends WorkOptions {
  readonly prices: Prices;
  readonly rules: SewabilityRules;
  /** What is asked where nothing that keeps the rules keeps the limits. */
  readonly hardRules: SewabilityRules;
  readonly settled: readonly SettledCut[];
  readonly standing: readonly StandingPaths[];
  readonly effort: "quick" | "normal" | "thorough";
  /** The form is a large one. */
  readonly large?: boolean;
  /** No other starts are looked for, nor cuts that are hard to sew. */
  readonly direct?: boolean | undefined;
  /** Goes on from what is there; no other starts are looked for. */
  readonly settling?: boolean;
  /** The surface with its sharp corners divided, for what the plain one does not bring inside the limits. */
  readonly finer?: (() => SearchSurface) | undefined;
  /** Says that what is over the limits is to be mended on the form: then no cuts that are hard to sew are looked for. */
  readonly givesUp?: ((surface: SearchSurface, state: SearchState) => boolean) | undefined;
}

/** What the search found. */
export interface RunResult {
  readonly search: Search;
  readonly curve: readonly CurvePoint[];
  readonly cancelled: boolean;
  /** The surface that the search's state lies on. */
  readonly surface: SearchSurface;
}

/** Opens the form, adds cuts until the fabrics can follow, and takes away what is not needed. */
export function runSearch(surface: SearchSurface, options: RunOptions): RunResult | undefined {
  surface.work.spent = 0;
  const start = openForm(surface, options, []);
  return start && continueSearch(surface, start, options);
}

/** Where nothing stands and more places than this lost their cuts, there is nothing to go on from. */
const FEW = 3;

/** A plan that begins with what stands of an earlier one; undefined where that leads to none. */
export function resumeSearch(surface: SearchSurface, options: RunOptions): RunResult | undefined {
  if (options.standing.length === 0) return undefined;
  surface.work.spent = 0;
  const { standing, lost } = sortStanding(
    surface,
    options.standing.map((cut) => ({ ...cut, paths: inPairs(surface, [cut.paths], NEARLY_ONE_LINE)[0] })),
  );
  // Those are there before anything is suggested.
  const isBase = ({ kind }: StandingPaths): boolean => kind === "opening" || kind === "width";
  const start = openForm(surface, options, standing.filter(isBase));
  const rest = standing.filter((cut) => !isBase(cut));
  if (rest.length === 0 && lost.length > FEW) return undefined;
  const found = start && searchFrom(surface, start, rest, lost, options);
  return found && withinWidths(found, options);
}

/** The form with its settled cuts and those that it cannot be laid flat without. */
function openForm(
  surface: SearchSurface,
  options: RunOptions,
  openings: readonly StandingPaths[],
): Search | undefined {
  restartMarks(FIRST_MARK);
  const fixed = { round: -1, scale: 0, before: 0, after: 0, locked: true } as const;
  const { settled } = options;
  const pairs = inPairs(
    surface,
    settled.map(({ path }) => [path]),
    NEARLY_ONE_LINE,
  );
  const groups: CutGroup[] = [
    ...openings.map(({ kind, paths }) => makeGroup(surface, kind, paths, fixed)),
    ...settled.flatMap(({ kind, id }, i) =>
      pairs[i].length > 0 ? [makeGroup(surface, kind, pairs[i], { ...fixed, id })] : [],
    ),
  ];
  for (const paths of inPairs(
    surface,
    openSurface(surface, allCuts(groups)).map((path) => [path]),
  ))
    if (paths.length > 0) groups.push(makeGroup(surface, "opening", paths, fixed));
  const state = evaluate(surface, allCuts(groups), { steps: 260, patience: 60 });
  return state && splitWidths(surface, { state, groups }, widthRules(options));
}

/** The search from a state that is laid flat already. */
export function continueSearch(surface: SearchSurface, start: Search, options: RunOptions): RunResult {
  return withinWidths(bestSearch(surface, start, options), options);
}

function widthRules(options: RunOptions): WidthRules {
  return { minNeck: options.rules.minNeck, sewable: greedyOptions(options).sewable };
}

/** Splits what came out wider than its cloth. */
function withinWidths(found: BestSearch, options: RunOptions): RunResult {
  if (found.cancelled) return found;
  const split = splitWidths(found.surface, found.search, widthRules(options));
  // A split panel may need fewer darts, or by its new turn others.
  return split === found.search
    ? found
    : {
        ...bestSearch(found.surface, split, { ...options, finer: undefined, settling: true }),
        curve: found.curve,
      };
}

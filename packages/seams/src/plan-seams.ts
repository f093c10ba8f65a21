import { vertexPoint, type MeshRefinement, type TriangleMesh } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import type { Patch } from "./cut-into-patches";
import { createBridge } from "./bridge-grooves";
import { barRejected, checkDecisions, keptCuts, leastRadius, narrowing, type KeptCuts } from "./decisions";
import { finishPlan, verify, type FoundGroup, type Proved, type Verified } from "./finish-plan";
import { joinRuns } from "./join-runs";
import { mendOpenings } from "./mend-openings";
import { inOwnFrame, type OwnInput } from "./own-frame";
import { curveTo } from "./plan-curve";
import { readPlanInput, triangleMiddle, type PlanInput } from "./plan-input";
import {
  continueSearch,
  resumeSearch,
  runSearch,
  type RunOptions,
  type RunResult,
} from "./search/run-search";
import { allCuts, makeGroup, type CurvePoint, type CutGroup, type Search } from "./search/greedy";
import { imagesAmong } from "./search/mirrored-cuts";
import { mendSearch } from "./search/search-from";
import { carryOver, evaluate, type SearchState } from "./search/search-state";
import { searchSize } from "./search-size";
import { makeSearchForm, type SearchForm } from "./search-form";
import { crumbs } from "./sewing-limits";
import type { SearchSurface } from "./search/search-surface";
import type { PlanOptions, SeamDecision, SeamPlan } from "./types";

/** Shares of the limits that the search aims at in turn, when the full form shows that it was too hopeful. */
const SHARES = [1, 0.95, 0.88];

/**
 * Suggests the fewest and cheapest seams and darts with which every panel can be laid flat inside its fabric's limits.
 *
 * @param mesh - the outer surface of the form, mm
 * @param options - regions and their fabrics, or one `limit`; given seams, zones, costs, symmetry, decisions
 * @returns the seam plan with its flat panels. A plan that could not be brought inside the limits comes back too, with
 * `withinLimits` false and issues. When cancelled, the best so far, with `complete` false.
 * @throws `seams/bad-option`, `seams/bad-mesh`, `seams/not-a-surface`, `geometry/path-not-on-edges`
 * @remarks rounds × candidates × one light flattening of a patch; seconds for a leg of 5,000 triangles
 */
export function planSeams(mesh: TriangleMesh, options: PlanOptions = {}): SeamPlan {
  return planOf(solvePlan(mesh, options));
}

/** A plan before it is written up for the caller. */
export interface Solved extends Proved {
  readonly input: PlanInput;
  readonly curve: readonly CurvePoint[];
  readonly complete: boolean;
  readonly issues: readonly Issue[];
}

/** Writes a solved plan up. */
export function planOf({ input, groups, done, curve, complete, issues }: Solved): SeamPlan {
  return finishPlan(input, groups, done, curve, complete, issues);
}

/** Checked input, decisions applied. */
export function inputOf(mesh: TriangleMesh, options: PlanOptions): PlanInput {
  const decisions = options.decisions ?? [];
  checkDecisions(decisions);
  return barRejected(readPlanInput(mesh, options), decisions);
}

/** Does the work of {@link planSeams}. */
export function solvePlan(mesh: TriangleMesh, options: PlanOptions): Solved {
  const bridge = createBridge(mesh);
  let asked = false;
  let best = solveForm(mesh, options, (surface, state) => (asked ||= bridge.wouldHelp(surface, state)));
  const ready = (): boolean => (best.done.valid && best.done.within) || !best.complete;
  if (ready() || !(asked || bridge.wouldHelpPlan(best.input, best.done))) return best;
  const bridged = solveForm(bridge.form().mesh, options);
  if (isBetter(bridged.done, best.done)) best = { ...bridged, issues: [bridge.issue(), ...bridged.issues] };
  if (ready() || !asked) return best;
  // Bridging was no way out: so the form as it is, with all that can be tried.
  const plain = solveForm(mesh, options);
  return isBetter(plain.done, best.done) ? plain : best;
}

/** Plans a form as it is; `givesUp` see {@link RunOptions}. */
function solveForm(mesh: TriangleMesh, options: PlanOptions, givesUp?: RunOptions["givesUp"]): Solved {
  const decisions = options.decisions ?? [];
  checkDecisions(decisions);
  const input = readPlanInput(mesh, options);
  const own = inOwnFrame(input, options);
  const size = options.searchTriangles ?? searchSize(own.input);
  const form = makeSearchForm(own.input, size, own.symmetry);
  const issues = form.notes.map((note) => placed(note, input.mesh));
  const kept = keptCuts(form, own.decisions);
  // What the person saw and did not refuse stays where it can: a cut nearer to a refused one comes before another plan.
  const widths = narrowing(decisions, TUBES);
  const last = widths.slice(-1);
  const attempts: Attempt[] =
    kept.standing.length > 0
      ? [
          ...widths.slice(0, 1).map((narrow) => ({ narrow, resume: true })),
          // Where hardly anything stood, another plan is as near as a tube made narrower, and comes as soon.
          ...(standsLittle(kept) ? [{ narrow: 1, resume: false, direct: true }] : []),
          ...widths.slice(1).map((narrow) => ({ narrow, resume: true })),
          ...last.map((narrow) => ({ narrow, resume: true, hard: true })),
          ...last.map((narrow) => ({ narrow, resume: false })),
        ]
      : widths.map((narrow) => ({ narrow, resume: false }));
  let tubes: Tubes | undefined;
  let best: Solved | undefined;
  for (const attempt of attempts) {
    const { narrow } = attempt;
    if (tubes?.narrow !== narrow) tubes = withTubes(input, form, decisions, narrow);
    const next = attemptPlan({ own, kept, options, givesUp }, tubes, attempt);
    if (!next) continue;
    const found = { ...next, issues: narrow < 1 ? [...issues, nearRefused(decisions, narrow)] : issues };
    if (!best || isBetter(found.done, best.done)) best = found;
    if ((best.done.valid && best.done.within) || !next.complete) break;
  }
  if (!best) {
    fail(
      "seams/cannot-open",
      "The form could not be cut into pieces that are disks.",
      {},
      { fix: "Close its handles, or draw the seams that open it." },
    );
  }
  options.onProgress?.({ stage: "done", done: 1 });
  return best;
}

/** Cuts that were found on a half and its image stay nearer to their places: by the usual snap partners differ by some mm. */
const PAIRED_SNAP = 0.04;

/** An issue with its place in space. */
function placed(issue: Issue, mesh: TriangleMesh): Issue {
  const { vertex, triangle } = issue.at;
  const point =
    vertex !== undefined
      ? vertexPoint(mesh, vertex)
      : triangle !== undefined
        ? triangleMiddle(mesh, triangle)
        : undefined;
  return point ? { ...issue, at: { ...issue.at, point } } : issue;
}

/** Whether at most one cut stood beside what was refused. */
function standsLittle({ standing, settled }: KeptCuts): boolean {
  const beside = standing.filter(({ kind, refused }) => !refused && kind !== "opening" && kind !== "width");
  return beside.length + settled.length <= 1;
}

/** Shares of the usual tube round a refused cut that are left free in turn. */
const TUBES = [1, 0.25];

function nearRefused(decisions: readonly SeamDecision[], narrow: number): Issue {
  const [usual, now] = [1, narrow].map((factor) => leastRadius(decisions, factor));
  return {
    code: "seams/near-refused",
    severity: "note",
    message: `Nothing keeps the limits at the usual ${usual.toFixed(0)} mm from what you refused; a cut may come as near as ${now.toFixed(0)} mm.`,
    at: { path: ["decisions"] },
    found: now,
    limit: usual,
    fix: "Give the decision a radius of its own, or take a cloth that gives more.",
  };
}

/** Forms of more triangles than this are large. */
const LARGE = 6000;

/** What all attempts at a plan have in common. */
interface Task {
  readonly own: OwnInput;
  readonly kept: KeptCuts;
  readonly options: PlanOptions;
  readonly givesUp: RunOptions["givesUp"];
}

/** The form with tubes round refused cuts barred. */
interface Tubes {
  /** Factor on the usual width of the tubes. */
  readonly narrow: number;
  readonly input: PlanInput;
  readonly form: SearchForm;
  /** The search's surface with its sharp corners divided. */
  readonly finer: () => SearchSurface;
}

function withTubes(
  input: PlanInput,
  form: SearchForm,
  decisions: readonly SeamDecision[],
  narrow: number,
): Tubes {
  const barred = barRejected(input, decisions, narrow);
  const around = barred === input ? form : form.weighted(barred.weight.map(Math.fround));
  // Made once, and only where a search is stuck.
  let finer: SearchSurface | undefined;
  return { narrow, input: barred, form: around, finer: () => (finer ??= around.surface(1, true)) };
}

/** A way to a plan. */
interface Attempt {
  /** Factor on the tubes round refused cuts. */
  readonly narrow: number;
  /** Goes on from an earlier plan; else it begins anew. */
  readonly resume: boolean;
  /** One search from nothing, without other starts. */
  readonly direct?: boolean;
  /** With sharp corners divided, cuts that are harder to sew, and small spots left to be eased in. */
  readonly hard?: boolean;
}

function attemptPlan(
  { own, kept, options, givesUp }: Task,
  { input, form, finer }: Tubes,
  { resume, direct, hard = false }: Attempt,
): Solved | undefined {
  const run: RunOptions = {
    prices: input.prices,
    rules: hard ? input.hardRules : input.rules,
    hardRules: input.hardRules,
    finer,
    givesUp: givesUp && ((surface, state) => givesUp({ ...surface, mesh: own.asGiven(surface.mesh) }, state)),
    ...kept,
    effort: options.effort ?? "normal",
    large: input.mesh.triangles.length / 3 > LARGE,
    direct,
    signal: options.signal,
    onProgress: options.onProgress,
  };
  const surface = hard ? { ...finer(), eased: true } : form.surface(1);
  let result = resume ? resumeSearch(surface, run) : runSearch(surface, run);
  if (!result) return undefined;
  let proved = withoutCrumbs(input, prove(input, own.input, form, result));
  const isDone = (): boolean => proved.done.valid && proved.done.within;
  const keep = (next: RunResult, on: SearchForm): void => {
    result = { ...next, curve: result!.curve };
    const again = withoutCrumbs(input, prove(input, own.input, on, next));
    // What came out no better is no reason to sew more.
    if (isBetter(again.done, proved.done)) proved = again;
  };
  // A plan of many cuts that lacks a little on the form itself is mended there, but where a person waits.
  const near =
    !resume && result.surface.eased && !isDone() && !result.cancelled && onTheForm(own, input, proved, run);
  if (near) keep(near.result, near.form);
  for (const share of SHARES.slice(1)) {
    if (isDone() || result.cancelled || !result.search.state.accepted || near) break;
    const next = tighten(form, result, proved.dropped, share, run, resume);
    if (!next) break;
    keep(next, form);
  }
  const { groups, done } = joinRuns(input, proved);
  return {
    input,
    groups,
    done,
    curve: curveTo(result.curve, groups, done),
    complete: !result.cancelled,
    issues: [],
  };
}

/** Carries cuts to the full form and proves them there. */
function prove(input: PlanInput, own: PlanInput, form: SearchForm, { search, surface }: RunResult): Proved {
  const start = form.same ? startFrom(search.state) : undefined;
  const groups = foundGroups(form, surface, search.groups);
  const done = verify(input, groups, start, {}, surface.fine);
  if (done) return { groups, done };
  const mended = [...groups, ...mendOpenings(own, groups)];
  const again = verify(input, mended, start, {}, surface.fine);
  if (again) return { groups: mended, done: again };
  return fail(
    "seams/cannot-open",
    "The form could not be cut into pieces that are disks.",
    {},
    { fix: "Close its handles, or draw the seams that open it." },
  );
}

function isBetter(a: Verified, b: Verified): boolean {
  if (a.valid !== b.valid) return a.valid;
  if (a.within !== b.within) return a.within;
  const over = ({ panels }: Verified): number =>
    panels.reduce((worst, { use }) => Math.max(worst, use.peak), 0);
  return over(a) < over(b);
}

/** Takes away darts that came out too small to be sewn: what they took up is eased in. Says which, by their place. */
function withoutCrumbs(input: PlanInput, proved: Proved): Proved & { dropped: ReadonlySet<number> } {
  const small = new Set(crumbs(input.rules, proved.groups, proved.done));
  const dropped = new Set(proved.groups.flatMap((group, i) => (small.has(group) ? [i] : [])));
  if (small.size === 0) return { ...proved, dropped };
  const groups = proved.groups.filter((group) => !small.has(group));
  const done = verify(input, groups, undefined, {}, proved.done.fine);
  return { ...(done ? { groups, done } : proved), dropped };
}

/** Forms of more triangles than this are not searched as they are. */
const AS_IT_IS = 7500;

/** Goes on from a plan's cuts on the form itself, where that is small enough for a search. */
function onTheForm(
  own: OwnInput,
  input: PlanInput,
  { groups }: Proved,
  run: RunOptions,
): { result: RunResult; form: SearchForm } | undefined {
  if (own.symmetry || input.mesh.triangles.length / 3 > AS_IT_IS) return undefined;
  const form = makeSearchForm(own.input, AS_IT_IS).weighted(input.weight.map(Math.fround));
  const surface = { ...form.surface(1, true), eased: true };
  const found = groups.map(({ kind, paths, ...rest }) => makeGroup(surface, kind, paths, rest));
  const state = evaluate(surface, allCuts(found), { steps: 260, patience: 80 });
  if (!state) return undefined;
  const start: Search = { state, groups: found };
  return { result: continueSearch(surface, start, { ...run, finer: undefined, settling: true }), form };
}

/** Goes on from the cuts found, but for those dropped, with narrower limits. */
function tighten(
  form: SearchForm,
  result: RunResult,
  dropped: ReadonlySet<number>,
  share: number,
  run: RunOptions,
  resume: boolean,
): RunResult | undefined {
  const surface = { ...form.surface(share, result.surface.fine), eased: result.surface.eased };
  const groups = result.search.groups.filter((_, i) => !dropped.has(i));
  const state = evaluate(surface, allCuts(groups), { steps: 260, patience: 80 });
  if (!state) return undefined;
  const start: Search = { state, groups };
  if (resume) return mendSearch(surface, start, [], run);
  return continueSearch(surface, start, { ...run, finer: undefined, settling: true });
}

/** Flat places of the search as a start for the flattener. */
function startFrom(
  state: SearchState,
): (refinement: MeshRefinement, patch: Patch) => Float64Array | undefined {
  return (refinement, patch) =>
    carryOver(state, refinement, {
      sourceVertex: Int32Array.from(patch.sourceVertex),
      refinedTriangle: Int32Array.from(patch.sourceTriangle),
      baseTriangle: Int32Array.from(patch.sourceTriangle, (t) => refinement.baseTriangle[t]),
      triangles: patch.mesh.triangles,
    });
}

function foundGroups(form: SearchForm, surface: SearchSurface, groups: readonly CutGroup[]): FoundGroup[] {
  const images = groups.map(({ cuts }) =>
    surface.mirror
      ? imagesAmong(
          surface,
          cuts.map(({ path }) => path),
        )
      : undefined,
  );
  const cuts = groups.flatMap((group, g) =>
    group.cuts.map((cut, k) => {
      const other = images[g]?.[k] ?? -1;
      // So many places before its own in the list of all.
      return { path: cut.path, kind: group.kind, back: other < 0 ? 0 : k - other };
    }),
  );
  const paths = form.toFull(
    cuts.map(({ path }) => path),
    cuts.map(({ kind }) => (kind === "dart" || kind === "gusset" ? "start" : "both")),
    cuts.map(({ back }, i) => (back > 0 ? i - back : -1)),
  );
  let at = 0;
  return groups.map(({ cuts: own, ...rest }, g) => ({
    ...rest,
    images: images[g],
    snap: surface.mirror && !form.same ? PAIRED_SNAP : undefined,
    paths: own.map(() => paths[at++]),
    state: !rest.id
      ? ("proposed" as const)
      : rest.id.startsWith("locked")
        ? ("locked" as const)
        : ("accepted" as const),
  }));
}

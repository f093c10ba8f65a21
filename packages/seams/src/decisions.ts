import { triangleArea, type Point3 } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { distance, distanceToLine, pointBetween, shareAlong } from "./lines-in-space";
import { triangleMiddle, type PlanInput } from "./plan-input";
import type { Anchors, SearchForm } from "./search-form";
import type { CutKind } from "./search/candidates";
import type { SettledCut, StandingPaths } from "./search/run-search";
import type { SeamArc, SeamDecision, SeamPlan, StandingCut } from "./types";

/**
 * Largest radius of the tube that a rejection bars, mm; for short cuts half their length, for no other cut less than the
 * least: where a dart of 25 mm stood, one that is 15 mm off is another. @remarks judgement; no source
 */
export const REJECT_RADIUS = 40;
const LEAST_RADIUS = 10;

/**
 * A kept cut ends on a line that is no further than this, mm. Where the cut that it ended on has been refused it stays as long
 * as it was, and what joins it to an edge is a suggestion of its own.
 */
const KEPT_END = 15;

/** Lines that differ by no more than this are one, mm. */
const SAME_LINE = 5;

/** Kinds that a plan suggests. */
const STANDING = ["opening", "seam", "dart", "fold", "gusset", "width"];

const ACTIONS = ["accept", "lock", "reject", "nudge"];

/**
 * What to write down when the person accepts, locks, rejects or moves a suggestion; pass it as `decisions` when planning
 * again.
 *
 * @param id - of an arc of the plan
 * @param more - `to` for a nudge: the new place of the end, mm
 * @throws `seams/no-such-arc`, `seams/not-a-suggestion`, `seams/bad-option`
 */
export function decide(
  plan: Pick<SeamPlan, "arcs">,
  id: string,
  action: SeamDecision["action"],
  more: Pick<SeamDecision, "radius" | "to" | "end"> = {},
): SeamDecision {
  const arc: SeamArc | undefined = plan.arcs.find((one) => one.id === id);
  if (!arc) fail("seams/no-such-arc", `The plan has no arc ${id}.`, { seam: id });
  if (arc.origin !== "suggestion") {
    fail(
      "seams/not-a-suggestion",
      `Arc ${id} is ${arc.kind === "given" ? "drawn by you" : "a border of the form"}; there is nothing to decide.`,
      { seam: id },
    );
  }
  if (action === "nudge" && !more.to) {
    fail(
      "seams/bad-option",
      "A nudge needs the place that the end moves to.",
      { seam: id },
      { fix: "Give `to`." },
    );
  }
  return { action, kind: arc.kind, line: arc.line, ...more, rest: standing(plan.arcs, arc) };
}

/** The open suggestions beside one; cuts that belong together as one. */
function standing(arcs: readonly SeamArc[], decided: SeamArc): StandingCut[] {
  const out: StandingCut[] = [];
  const done = new Set([decided.id, decided.partner]);
  for (const { id, kind, origin, state, line, partner } of arcs) {
    if (origin !== "suggestion" || state !== "proposed" || done.has(id)) continue;
    const other = partner === undefined ? undefined : arcs.find((arc) => arc.id === partner);
    out.push({ kind, lines: other ? [line, other.line] : [line] });
    done.add(partner);
  }
  return out;
}

/** Radius of the tube round a rejected cut; one that nobody asked for may be made narrower by a factor. */
function tubeRadius({ radius, line }: SeamDecision, narrow: number): number {
  return radius ?? Math.max(LEAST_RADIUS, narrow * Math.min(REJECT_RADIUS, lengthOf(line) / 2));
}

/** Of some factors those, in order, by which the tubes round rejected cuts become narrower. */
export function narrowing(decisions: readonly SeamDecision[], factors: readonly number[]): number[] {
  const rejected = decisions.filter(({ action }) => action === "reject");
  const sum = (narrow: number): number =>
    rejected.reduce((total, decision) => total + tubeRadius(decision, narrow), 0);
  return factors.filter((narrow, i) => i === 0 || sum(narrow) < sum(factors[i - 1]));
}

/** Radius of the narrowest tube round a rejected cut whose width nobody gave, mm. */
export function leastRadius(decisions: readonly SeamDecision[], narrow: number): number {
  return decisions
    .filter(({ action, radius }) => action === "reject" && radius === undefined)
    .reduce((least, decision) => Math.min(least, tubeRadius(decision, narrow)), REJECT_RADIUS);
}

/** Bars the tubes round rejected cuts, by default as wide as they are to be, but for where cuts beside them stood. */
export function barRejected(input: PlanInput, decisions: readonly SeamDecision[], narrow = 1): PlanInput {
  const rejected = decisions
    .filter((decision) => decision.action === "reject")
    .map((decision) => ({ ...decision, radius: tubeRadius(decision, narrow) }));
  if (rejected.length === 0) return input;
  // What was refused began or ended at some of those: they were seen and not refused.
  const beside = standingBeside(decisions).flatMap(({ lines }) => lines);
  const isBeside = (p: Point3, reach: number): boolean => {
    const own = beside.reduce((least, line) => Math.min(least, distanceToLine(p, line)), reach);
    return own < reach && rejected.every(({ line }) => own < distanceToLine(p, line));
  };
  const weight = input.weight.slice();
  for (let t = 0; t < weight.length; t++) {
    const p = triangleMiddle(input.mesh, t);
    // However large the triangles, those that the cut ran through are barred.
    const least = 1.1 * Math.sqrt(triangleArea(input.mesh, t));
    const bars = rejected.some((one) => inTube(p, { ...one, radius: Math.max(one.radius, least) }));
    if (bars && !isBeside(p, least)) weight[t] = Infinity;
  }
  return { ...input, weight };
}

/** Cuts of earlier plans on the search's mesh. */
export interface KeptCuts {
  /** Cuts that stay; a nudged one with its end moved. */
  readonly settled: SettledCut[];
  /** What stood beside the last decision, as far as the form still has those places: to begin with. */
  readonly standing: StandingPaths[];
}

function lastWithRest(decisions: readonly SeamDecision[]): SeamDecision | undefined {
  return decisions.filter(({ rest }) => rest).at(-1);
}

/** What stood beside the last decision and has not been decided of. */
function standingBeside(decisions: readonly SeamDecision[]): StandingCut[] {
  return (lastWithRest(decisions)?.rest ?? []).filter(
    ({ lines }) => !lines.some((line) => decisions.some((decision) => isSameLine(line, decision.line))),
  );
}

/** Writes the cuts that decisions know of on the search's mesh. */
export function keptCuts(form: SearchForm, decisions: readonly SeamDecision[]): KeptCuts {
  const last = lastWithRest(decisions);
  const rest = last?.rest ?? [];
  const isNear = (line: readonly Point3[]): boolean => form.isNear(line, KEPT_END);
  const near = standingBeside(decisions).filter(({ lines }) => lines.every(isNear));
  // Of the plan that the last decision was made about; what was refused of earlier ones has been made good since.
  const refused = decisions.filter(
    (one) =>
      one.action === "reject" &&
      isNear(one.line) &&
      (one === last || rest.some(({ lines }) => lines.some((line) => isSameLine(line, one.line)))),
  );
  const stand = (cuts: readonly StandingCut[]): StandingPaths[] =>
    cuts.map(({ kind, lines }) => ({
      kind: kind as CutKind,
      paths: lines.map((line) => form.toSearch(line, anchorsOf(kind), KEPT_END)),
    }));
  // In the order in which they may end on each other.
  const openings = stand(near.filter(({ kind }) => kind === "opening"));
  const settled = decisions
    .filter(({ action }) => action !== "reject")
    .map((decision, i) => ({
      id: `${decision.action === "lock" ? "locked" : "accepted"}${i + 1}`,
      kind: decision.kind as CutKind,
      path: form.toSearch(
        decision.action === "nudge" ? nudged(decision) : decision.line,
        anchorsOf(decision.kind),
        decision.action === "nudge" ? Infinity : KEPT_END,
      ),
    }));
  const others = stand(near.filter(({ kind }) => kind !== "opening"));
  const gone = stand(refused.map(({ kind, line }) => ({ kind, lines: [line] })));
  return {
    settled,
    standing: [...openings, ...others, ...gone.map((cut) => ({ ...cut, refused: true }))],
  };
}

function anchorsOf(kind: SeamDecision["kind"]): Anchors {
  return kind === "dart" || kind === "gusset" ? "start" : "both";
}

/** The line with one end moved and the other kept, the way between sheared along. */
function nudged({ line, to, end = "root" }: SeamDecision): Point3[] {
  const from = end === "root" ? line[0] : line[line.length - 1];
  const shift = [0, 1, 2].map((k) => (to?.[k] ?? from[k]) - from[k]);
  const along = [0];
  for (let i = 1; i < line.length; i++) along.push(along[i - 1] + distance(line[i], line[i - 1]));
  const total = along[along.length - 1] || 1;
  return line.map((p, i): Point3 => {
    const share = end === "root" ? 1 - along[i] / total : along[i] / total;
    return [p[0] + share * shift[0], p[1] + share * shift[1], p[2] + share * shift[2]];
  });
}

/**
 * Checks decisions as they come from a file.
 *
 * @throws `seams/bad-option`
 */
export function checkDecisions(decisions: readonly SeamDecision[]): void {
  decisions.forEach((decision, i) => {
    const at = { path: ["decisions", i] };
    if (!ACTIONS.includes(decision.action)) {
      fail("seams/bad-option", `Decision ${i} says ${String(decision.action)}.`, at, {
        limit: ACTIONS.join(", "),
      });
    }
    if (!isLine(decision.line)) {
      fail("seams/bad-option", `Decision ${i} needs a line of at least two points.`, at);
    }
    if (decision.rest !== undefined && !isRest(decision.rest)) {
      fail(
        "seams/bad-option",
        `The rest of decision ${i} is no list of cuts, each with its kind and its lines of at least two points.`,
        { path: ["decisions", i, "rest"] },
        { fix: "Leave it out: then the plan is looked for from the start." },
      );
    }
    if (decision.action !== "reject" && ["given", "border"].includes(decision.kind)) {
      fail("seams/bad-option", `Decision ${i} is about a ${decision.kind} line.`, at, {
        fix: "Decide about suggestions only.",
      });
    }
  });
}

/** Whether two lines are one cut: their ends and the places between lie on each other. */
function isSameLine(a: readonly Point3[], b: readonly Point3[]): boolean {
  const at = (line: readonly Point3[], share: number): Point3 => line[Math.round(share * (line.length - 1))];
  return (
    Math.abs(lengthOf(a) - lengthOf(b)) < SAME_LINE &&
    [0, 0.5, 1].every((share) => distance(at(a, share), at(b, share)) < SAME_LINE)
  );
}

function lengthOf(line: readonly Point3[]): number {
  return line.reduce((sum, p, i) => (i > 0 ? sum + distance(p, line[i - 1]) : 0), 0);
}

function isLine(line: unknown): boolean {
  return (
    Array.isArray(line) &&
    line.length >= 2 &&
    line.every((point) => Array.isArray(point) && point.length === 3 && point.every(Number.isFinite))
  );
}

function isRest(rest: unknown): boolean {
  return (
    Array.isArray(rest) &&
    rest.every(
      (cut: Partial<StandingCut> | null) =>
        typeof cut?.kind === "string" &&
        STANDING.includes(cut.kind) &&
        Array.isArray(cut.lines) &&
        cut.lines.length > 0 &&
        cut.lines.every(isLine),
    )
  );
}

/** Share of a refused cut's length over which the tube round it narrows to nothing at an end. */
const TAPER = 0.4;

/**
 * Whether a point lies in the tube that a rejection bars. Towards the tip of a dart and both ends of a seam it narrows to
 * nothing: another cut from another side may still need to end there.
 */
function inTube(p: Point3, { line, kind, radius }: SeamDecision & { readonly radius: number }): boolean {
  const total = lengthOf(line);
  const taper = TAPER * total;
  const isDart = kind === "dart";
  let before = 0;
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1], line[i]];
    const t = shareAlong(a, b, p);
    const size = distance(a, b);
    const along = before + t * size;
    const toEnd = isDart ? total - along : Math.min(along, total - along);
    const reach = radius * Math.min(1, toEnd / taper);
    if (distance(p, pointBetween(a, b, t)) < reach) return true;
    before += size;
  }
  return false;
}

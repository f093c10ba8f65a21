import { polylineLength } from "@peltry/geometry";
import { findEdge, findPanel, type Panel, type Pattern, type Seam } from "@peltry/pattern";
import type { Issue } from "@peltry/issues";

/** One thing to do at the machine or by hand. */
export interface SewingStep {
  readonly kind: "dart" | "let-in" | "join" | "close" | "finish";
  /** Seam of the step; absent for finishing an edge. */
  readonly seam?: string;
  readonly panel?: string;
  readonly edge?: string;
  readonly lengthMm: number;
  readonly hand: boolean;
  /** Why by hand, or why at this point of the order. */
  readonly reason: string;
  /** The step in a maker's words. */
  readonly text: string;
}

/** Rules of thumb for what fits under a machine. */
export interface SewingRules {
  /** A tube of less girth does not go round a free arm, mm. Common practice, no source. */
  readonly smallestTubeMm: number;
  /** Pile longer than this is combed inwards before sewing, mm. Common practice, no source. */
  readonly combPileMm: number;
}

/** What decides the order of sewing where nothing else is asked. Common practice, no source. */
export const SEWING_RULES: SewingRules = Object.freeze({ smallestTubeMm: 260, combPileMm: 12 });

/** What {@link sewingOrder} gives. */
export interface SewingPlan {
  readonly steps: readonly SewingStep[];
  readonly issues: readonly Issue[];
}

/**
 * A legal order of work: darts first while each panel is flat, then patches let into holes, then panels joined flat from
 * the shortest seam up, then the seams that close tubes, edges last.
 * A seam that closes a tube too narrow for a free arm, or the last opening of a hollow, is marked for the hand.
 */
export function sewingOrder(pattern: Pattern, rules: SewingRules = SEWING_RULES): SewingPlan {
  const issues: Issue[] = [];
  const steps: SewingStep[] = [];
  const group = new Map(pattern.panels.map((panel) => [panel.id, panel.id]));
  const find = (id: string): string => {
    let at = id;
    while (group.get(at) !== at) at = group.get(at)!;
    return at;
  };
  const info = pattern.seams.flatMap((seam) => {
    const known = describe(pattern, seam);
    if (known) return [known];
    issues.push({
      code: "seams/missing-edge",
      severity: "error",
      message: `Seam ${seam.letter} names an edge that the pattern does not have.`,
      at: { seam: seam.id },
      fix: "Check the pattern first.",
    });
    return [];
  });
  const byLength = [...info].sort((x, y) => x.length - y.length || (x.seam.id < y.seam.id ? -1 : 1));
  const open = new Map(pattern.panels.map((panel) => [panel.id, openLength(panel)]));
  const take = (entry: SeamInfo, kind: SewingStep["kind"]): void => {
    const step = seamStep(entry, kind, rules, entryOpen(entry) <= 1);
    steps.push(step);
    if (step.hand && kind === "close") issues.push(handIssue(entry, step));
  };
  const entryOpen = (entry: SeamInfo): number => {
    // What stays open on this assembly once the seam is sewn.
    const roots = new Set([find(entry.a.id), find(entry.b.id)]);
    let total = 0;
    for (const root of roots) total += open.get(root)!;
    return total - 2 * entry.length;
  };
  const sew = (entry: SeamInfo): void => {
    const [a, b] = [find(entry.a.id), find(entry.b.id)];
    const rest = entryOpen(entry);
    group.set(b, a);
    open.set(a, rest);
  };
  const done = new Set<SeamInfo>();
  const run = (kind: SewingStep["kind"], fits: (entry: SeamInfo) => boolean): void => {
    for (const entry of byLength) {
      if (done.has(entry) || !fits(entry)) continue;
      take(entry, kind);
      sew(entry);
      done.add(entry);
    }
  };
  run("dart", (entry) => entry.dart);
  run("let-in", (entry) => entry.letIn);
  // Joining keeps the work flat only while the two sides are still separate assemblies.
  run("join", (entry) => find(entry.a.id) !== find(entry.b.id));
  run("close", () => true);
  steps.push(...finishing(pattern));
  return { steps, issues };
}

interface SeamInfo {
  readonly seam: Seam;
  readonly a: Panel;
  readonly b: Panel;
  readonly length: number;
  readonly dart: boolean;
  readonly letIn: boolean;
  /** Girth of the tube that closing this seam makes, mm; Infinity where it makes none. */
  readonly tubeGirth: number;
  readonly name: string;
  /** Longest pile that meets in the seam, mm. */
  readonly pile: number;
}

function describe(pattern: Pattern, seam: Seam): SeamInfo | undefined {
  const a = findPanel(pattern, seam.a.panel);
  const b = findPanel(pattern, seam.b.panel);
  const edgeA = a && findEdge(a, seam.a.edge);
  const edgeB = b && findEdge(b, seam.b.edge);
  if (!a || !b || !edgeA || !edgeB) return undefined;
  const inHole = (panel: Panel, id: string): boolean =>
    (panel.holes ?? []).some((loop) => loop.some((e) => e.id === id));
  return {
    seam,
    a,
    b,
    length: (polylineLength(edgeA.points) + polylineLength(edgeB.points)) / 2,
    dart: edgeA.role === "dart",
    letIn: a !== b && (inHole(a, seam.a.edge) || inHole(b, seam.b.edge)),
    tubeGirth: a === b && edgeA.role !== "dart" ? smallestSpan(edgeA.points, edgeB.points) : Infinity,
    name: edgeA.name ?? seam.letter,
    pile: Math.max(
      ...[a, b].map((panel) => pattern.fabrics?.find((f) => f.id === panel.fabric)?.pileMm ?? 0),
    ),
  };
}

/** Least distance in the flat between the two edges that a seam brings together: the girth of the tube there. */
function smallestSpan(
  a: readonly (readonly [number, number])[],
  b: readonly (readonly [number, number])[],
): number {
  let least = Infinity;
  const n = Math.min(a.length, 40);
  for (let i = 0; i < n; i++) {
    const p = a[Math.floor((i * (a.length - 1)) / Math.max(1, n - 1))];
    const q = b[Math.floor(((n - 1 - i) * (b.length - 1)) / Math.max(1, n - 1))];
    least = Math.min(least, Math.hypot(p[0] - q[0], p[1] - q[1]));
  }
  return least;
}

function openLength(panel: Panel): number {
  return [panel.edges, ...(panel.holes ?? [])]
    .flat()
    .reduce((sum, edge) => sum + polylineLength(edge.points), 0);
}

function seamStep(
  entry: SeamInfo,
  kind: SewingStep["kind"],
  rules: SewingRules,
  closesUp: boolean,
): SewingStep {
  // A seam that is said to be no hand's work, such as the long side of a band that is turned afterwards, stays so.
  const free = entry.seam.hand === false;
  const tight = !free && kind === "close" && entry.tubeGirth < rules.smallestTubeMm;
  const hand = !free && (entry.seam.hand === true || closesUp || tight);
  const where = entry.a === entry.b ? entry.a.name : `${entry.a.name} to ${entry.b.name}`;
  const letter = entry.seam.letter;
  const named = entry.name === letter ? letter : `${letter} (${entry.name})`;
  const comb = entry.pile >= rules.combPileMm ? ", pile combed inwards before pinning" : "";
  const lines = {
    dart: `Fold ${entry.a.name} right sides together and sew dart ${letter} from the edge to its tip; do not backstitch at the tip, tie off.`,
    "let-in": `Let ${entry.a === entry.b ? entry.a.name : where} in along ${letter}: pin at the match points, sew with the larger panel underneath${comb}.`,
    join: `Sew ${named}: ${where}, right sides together, match point to match point${comb}.`,
    close: `Close ${named} of ${where}${hand ? " by hand" : free ? ", wrong side out" : ", working inside the tube on the free arm"}.`,
    finish: "",
  };
  const reasons = {
    dart: "While the panel is still flat.",
    "let-in": "While the surround is still flat.",
    join: "Both sides still lie flat.",
    close: free
      ? "Turned right side out afterwards."
      : closesUp
        ? "It closes the last opening: turn the part through it first, then close from outside."
        : tight
          ? `The tube is only ${Math.round(entry.tubeGirth)} mm round, less than a free arm takes (${rules.smallestTubeMm} mm).`
          : "It closes the tube, so it comes last.",
    finish: "",
  };
  return {
    kind,
    seam: entry.seam.id,
    lengthMm: entry.length,
    hand,
    reason: reasons[kind],
    text: lines[kind],
  };
}

function handIssue(entry: SeamInfo, step: SewingStep): Issue {
  return {
    code: "seams/sew-by-hand",
    severity: "note",
    message: `Seam ${entry.seam.letter} cannot be reached by machine at its place in the order. ${step.reason}`,
    at: { seam: entry.seam.id },
    found: Math.round(Math.min(entry.tubeGirth, 1e6)),
    fix: "Sew it by hand with a ladder stitch, or move the seam.",
  };
}

function finishing(pattern: Pattern): SewingStep[] {
  const words: Record<string, string> = {
    hem: "Turn up and sew the hem",
    opening: "Fit the closure",
    raw: "Leave cut, or seal the backing,",
  };
  return pattern.panels.flatMap((panel) =>
    panel.edges
      .filter((edge) => words[edge.role])
      .map((edge): SewingStep => ({
        kind: "finish",
        panel: panel.id,
        edge: edge.id,
        lengthMm: polylineLength(edge.points),
        hand: false,
        reason: "Edges come last, when the part has been tried on.",
        text: `${words[edge.role]} at ${edge.name ?? edge.id} of ${panel.name}.`,
      })),
  );
}

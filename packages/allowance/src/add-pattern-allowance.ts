import { PeltryError, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import {
  assertPatternForm,
  checkPattern,
  findEdge,
  findPanel,
  type EdgeRef,
  type Panel,
  type Pattern,
  type Seam,
} from "@peltry/pattern";
import { direction, type Point } from "@peltry/geometry";
import { addAllowance } from "./add-allowance";
import { LEAST_TURN, outward } from "./internal/corner";
import { checkRules } from "./internal/resolve";
import type { AllowanceRules, CornerResult, CornerRule, PanelAllowance } from "./types";

/** Rules of a whole pattern. */
export interface PatternAllowanceRules extends AllowanceRules {
  /** Rules of single panels by id; they win over the common ones field by field. */
  readonly panels?: Readonly<Record<string, AllowanceRules>>;
  /**
   * Squares the ends of every seam, and by the same length on both sides, so that the two cut corners lie on each
   * other when the seam is sewn. At a corner of two seams the one that comes first in the pattern is squared. Ends at
   * hems and folds keep their own treatment.
   */
  readonly matchEnds?: boolean;
}

/** How the allowances of a seam's two sides end. */
export interface SeamEnd {
  readonly seam: string;
  /** Which end of side `a`'s edge. */
  readonly end: "first" | "last";
  /** How far each side's cut edge runs on past the end of the sew line, mm. */
  readonly a: number;
  readonly b: number;
  /** Distance between the two cut corners when sewn, mm. */
  readonly gap: number;
}

/** A pattern with its allowances. */
export interface PatternAllowance {
  /** One for each panel, in the order of the pattern. */
  readonly panels: PanelAllowance[];
  readonly seamEnds: SeamEnd[];
  readonly issues: Issue[];
}

/** Cut corners farther apart than this when sewn are told, mm. */
const GAP = 1;

/**
 * Allowances of every panel of a pattern, and how the two sides of each seam end. The pile of each panel's fabric
 * decides its defaults unless the rules say otherwise.
 *
 * @throws PeltryError `pattern/missing-seam-partner` when a seam lacks a side; else as {@link addAllowance}; `work/cancelled`
 */
export function addPatternAllowance(
  pattern: Pattern,
  rules: PatternAllowanceRules = {},
  options: WorkOptions = {},
): PatternAllowance {
  assertPatternForm(pattern);
  checkRules(rules);
  const missing = checkPattern({ ...pattern, fabrics: undefined }).filter(
    (issue) => issue.code === "pattern/missing-seam-partner",
  );
  if (missing.length > 0) throw new PeltryError(missing);
  const { panels: own = {}, matchEnds = false, ...common } = rules;
  const rulesOf = (panel: Panel, more: readonly CornerRule[] = []): AllowanceRules => {
    const pileMm = pattern.fabrics?.find((fabric) => fabric.id === panel.fabric)?.pileMm;
    const special = Object.hasOwn(own, panel.id) ? own[panel.id] : {};
    const merged = { ...(pileMm === undefined ? {} : { pileMm }), ...common, ...special };
    return { ...merged, corners: [...(merged.corners ?? []), ...more] };
  };
  const made = (extra: ReadonlyMap<string, CornerRule[]>): PanelAllowance[] =>
    pattern.panels.map((panel, i) => {
      throwIfCancelled(options.signal);
      options.onProgress?.({ stage: "allowance", done: i / pattern.panels.length });
      return addAllowance(panel, rulesOf(panel, extra.get(panel.id)));
    });
  let panels = made(new Map());
  if (matchEnds) panels = made(matchingCorners(pattern, panels));
  options.onProgress?.({ stage: "allowance", done: 1 });

  const seamEnds = pattern.seams.flatMap((seam) => measureEnds(pattern, seam, panels));
  const issues = panels.flatMap((panel) => panel.issues);
  for (const seam of pattern.seams) issues.push(...widthsDiffer(seam, pattern, panels));
  if (matchEnds) issues.push(...seamEnds.filter((end) => end.gap > GAP).map((end) => gapIssue(end, pattern)));
  return { panels, seamEnds, issues };
}

interface End {
  readonly ref: EdgeRef;
  readonly corner: CornerResult;
  /** The seam's edge is the one before the corner, or the one after it. */
  readonly side: "before" | "after";
  readonly width: number;
  readonly neighbourWidth: number;
  readonly neighbourRole: string;
  /** Direction past the end, along the seam. */
  readonly way: Point;
}

function endOf(
  pattern: Pattern,
  ref: EdgeRef,
  end: "first" | "last",
  panels: readonly PanelAllowance[],
): End | undefined {
  const at = pattern.panels.findIndex((one) => one.id === ref.panel);
  const made = panels[at];
  const edge = findEdge(pattern.panels[at], ref.edge);
  const side = end === "first" ? "after" : "before";
  const corner = made?.corners.find((one) => one[side] === ref.edge);
  if (!edge || !corner) return undefined;
  const neighbour = side === "before" ? corner.after : corner.before;
  const widthOf = (id: string): number => made.widths.find((one) => one.edge === id)?.width ?? 0;
  const last = edge.points.length - 1;
  return {
    ref,
    corner,
    side,
    width: widthOf(ref.edge),
    neighbourWidth: widthOf(neighbour),
    neighbourRole: findEdge(pattern.panels[at], neighbour)?.role ?? "raw",
    way:
      side === "before"
        ? direction(edge.points[last - 1], edge.points[last])
        : direction(edge.points[1], edge.points[0]),
  };
}

function bothEnds(
  pattern: Pattern,
  seam: Seam,
  panels: readonly PanelAllowance[],
): { end: "first" | "last"; a: End; b: End }[] {
  return (["first", "last"] as const).flatMap((end) => {
    const other = seam.reversed ? (end === "first" ? "last" : "first") : end;
    const a = endOf(pattern, seam.a, end, panels);
    const b = endOf(pattern, seam.b, other, panels);
    return a && b ? [{ end, a, b }] : [];
  });
}

/** How far the cut edge of the seam runs on past the end of its sew line. */
function overrun({ corner, side, way, width }: End): number {
  const [px, py] = corner.point;
  const out: Point = side === "before" ? outward(way) : [-way[1], way[0]];
  const onCutEdge = corner.points.filter(([x, y]) => (x - px) * out[0] + (y - py) * out[1] > width - 1e-6);
  return Math.max(0, ...onCutEdge.map(([x, y]) => (x - px) * way[0] + (y - py) * way[1]));
}

function matchingCorners(pattern: Pattern, panels: readonly PanelAllowance[]): Map<string, CornerRule[]> {
  const rules = new Map<string, CornerRule[]>();
  const free = (end: End): boolean =>
    end.corner.angle < 180 - LEAST_TURN &&
    end.width > 0 &&
    !["hem", "fold", "dart"].includes(end.neighbourRole) &&
    !rules
      .get(end.ref.panel)
      ?.some((rule) => rule.before === end.corner.before && rule.after === end.corner.after);
  const natural = (end: End): number => end.neighbourWidth / Math.sin((end.corner.angle * Math.PI) / 180);
  for (const seam of pattern.seams) {
    for (const { a, b } of bothEnds(pattern, seam, panels)) {
      if (!free(a) || !free(b)) continue;
      const length = Math.max(natural(a), natural(b));
      for (const { ref, corner, side } of [a, b]) {
        const rule: CornerRule = {
          before: corner.before,
          after: corner.after,
          treatment: `squared-to-${side}`,
          length,
        };
        rules.set(ref.panel, [...(rules.get(ref.panel) ?? []), rule]);
      }
    }
  }
  return rules;
}

function measureEnds(pattern: Pattern, seam: Seam, panels: readonly PanelAllowance[]): SeamEnd[] {
  return bothEnds(pattern, seam, panels).map(({ end, a, b }) => {
    const [one, two] = [overrun(a), overrun(b)];
    return { seam: seam.id, end, a: one, b: two, gap: Math.hypot(one - two, a.width - b.width) };
  });
}

function widthsDiffer(seam: Seam, pattern: Pattern, panels: readonly PanelAllowance[]): Issue[] {
  const width = (ref: EdgeRef): number =>
    panels[pattern.panels.findIndex((one) => one.id === ref.panel)].widths.find(
      (one) => one.edge === ref.edge,
    )?.width ?? 0;
  const [a, b] = [width(seam.a), width(seam.b)];
  if (a === b || !findPanel(pattern, seam.a.panel)) return [];
  return [
    {
      code: "allowance/seam-widths-differ",
      severity: "warning",
      message: `Seam ${seam.letter} has an allowance of ${a} mm on one side and ${b} mm on the other: raw edges will not lie together.`,
      at: { seam: seam.id, panel: seam.a.panel, edge: seam.a.edge },
      found: Math.abs(a - b),
      limit: 0,
      fix: "Give both sides one width, or sew by the sew lines and notches.",
    },
  ];
}

function gapIssue({ seam, end, gap }: SeamEnd, pattern: Pattern): Issue {
  const { letter, a } = pattern.seams.find((one) => one.id === seam)!;
  return {
    code: "allowance/seam-ends-differ",
    severity: "note",
    message: `At the ${end} end of seam ${letter} the two cut corners lie ${Math.round(gap * 10) / 10} mm apart when sewn.`,
    at: { seam, panel: a.panel, edge: a.edge },
    found: gap,
    limit: GAP,
    fix: "Match the corners of the sew line there, not of the cut line.",
  };
}

import { distance, distanceToOutline, pointInOutline, signedArea, type Point } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { edgesOutline, type Edge } from "@peltry/pattern";
import type { Merge } from "../types";
import type { TracedPath } from "./region";

const MERGES_TOLD = 5;
/** Slivers under this are rounding, mm². */
const LOOSE_AREA = 0.01;
/** A fold may be missed by the width of the fold, mm. */
const FOLD_TOLERANCE = 0.1;

export const place = (panel: string | undefined): { panel?: string } =>
  panel === undefined ? {} : { panel };

/** The deepest merges as issues; the rest are counted in the last. */
export function mergeIssues(merges: readonly Merge[], panel: string | undefined): Issue[] {
  const told = [...merges]
    .sort((a, b) => b.depth - a.depth)
    .slice(0, MERGES_TOLD)
    .map((merge) => mergeIssue(merge, panel));
  const more = merges.length - told.length;
  if (more === 0) return told;
  const last = told[told.length - 1];
  return [...told.slice(0, -1), { ...last, message: `${last.message} (and ${more} smaller ones)` }];
}

function mergeIssue(merge: Merge, panel: string | undefined): Issue {
  const round = (x: number): number => Math.round(x * 10) / 10;
  return {
    code: "allowance/bay-merged",
    severity: "warning",
    message:
      `The allowances of ${merge.edges.join(", ")} run into each other: ${round(merge.length)} mm of sew line lie up to ` +
      `${round(merge.depth)} mm behind the cut line and cannot be cut apart there.`,
    at: { ...place(panel), edge: merge.edges[0], point: merge.point },
    found: merge.depth,
    fix: "Make the allowance narrower than half of the bay, or face this stretch.",
  };
}

/** Holes that close, and pockets that the allowance closes off. */
export function holeIssues(
  holes: readonly (readonly Point[])[],
  inner: readonly (readonly Edge[])[],
  sewLine: readonly Point[],
  panel: string | undefined,
): Issue[] {
  const issues: Issue[] = [];
  for (const ring of inner) {
    const sew = edgesOutline(ring);
    // Without allowance the cut runs on the sew line, a rounding to either side.
    const isIn = (p: Point): boolean =>
      pointInOutline(p, sew) !== "outside" || distanceToOutline(p, sew) < 0.01;
    if (holes.some((hole) => isIn(hole[0]))) continue;
    issues.push({
      code: "allowance/hole-closed",
      severity: "warning",
      message: "The allowance of the hole meets in its middle: nothing is left to cut out.",
      at: { ...place(panel), edge: ring[0].id },
      fix: "Cut the hole open with a slit that branches to its corners, or face it.",
    });
  }
  for (const hole of holes) {
    if (pointInOutline(hole[0], sewLine) !== "outside") continue;
    issues.push({
      code: "allowance/pocket-closed",
      severity: "warning",
      message: "The allowance closes the mouth of a bay: an inner cut line is left behind it.",
      at: { ...place(panel), point: hole[0] },
      fix: "Make the allowance at the mouth narrower than half of its width.",
    });
  }
  return issues;
}

/** A cut line that met itself and was parted. */
export function touchIssue(grown: number, panel: string | undefined): Issue {
  return {
    code: "allowance/repaired-touch",
    severity: "note",
    message: `The cut line touched itself; it was moved out by ${grown} mm.`,
    at: place(panel),
    found: grown,
    fix: "Nothing to do.",
  };
}

/** Cloth that came apart from the panel and is left out. */
export function loosePieces(
  paths: readonly TracedPath[],
  main: TracedPath,
  panel: string | undefined,
): Issue[] {
  const loose = paths.filter((path) => path !== main && signedArea(path.points) > LOOSE_AREA);
  return loose.map((path) => ({
    code: "allowance/loose-piece",
    severity: "warning" as const,
    message: `A piece of ${Math.round(signedArea(path.points) * 10) / 10} mm² came apart from the panel and was left out.`,
    at: { ...place(panel), point: path.points[0] },
    fix: "Look at the outline there: it may meet its own fold.",
  }));
}

/** A panel that reaches over the line of its own fold. */
export function crossedFold(edge: Edge, ring: readonly Edge[], panel: string | undefined): Issue[] {
  if (edge.role !== "fold") return [];
  const [a, b] = [edge.points[0], edge.points[edge.points.length - 1]];
  const length = distance(a, b);
  let far = 0;
  for (const p of ring.flatMap((one) => one.points)) {
    far = Math.max(far, ((p[0] - a[0]) * (b[1] - a[1]) - (p[1] - a[1]) * (b[0] - a[0])) / length);
  }
  if (far <= FOLD_TOLERANCE) return [];
  return [
    {
      code: "allowance/crosses-fold",
      severity: "warning",
      message: `The panel reaches ${Math.round(far * 10) / 10} mm over the line of its fold: its two halves would overlap, and allowance there is cut off at the fold.`,
      at: { ...place(panel), edge: edge.id },
      found: far,
      limit: FOLD_TOLERANCE,
      fix: "Make the fold a seam, or let the panel end at it.",
    },
  ];
}

import { distance, signedArea, type Point } from "@peltry/geometry";
import { PeltryError, type Issue } from "@peltry/issues";
import { checkOutline, edgesOutline, type Edge } from "@peltry/pattern";
import { unite } from "./region";

/** Points closer than this are one point: a tenth of the 0.001 mm by which corners are told apart. */
const SAME = 1e-4;

/** A closed run of edges that is fit to work on: sound, no doubled points, corners shared. */
export type Ring = readonly Edge[];

/**
 * Makes an outline fit to work on, and tells what had to be mended.
 *
 * @param clockwise - how the ring has to run: holes clockwise
 * @throws PeltryError with the codes of `checkOutline` when it is past mending
 */
export function prepareRing(
  edges: readonly Edge[],
  panel: string | undefined,
  clockwise: boolean,
): { ring: Ring; issues: Issue[] } {
  const issues: Issue[] = [];
  const faults = checkOutline(edges, panel);
  const errors = faults.filter(
    (issue) => issue.severity === "error" && issue.code !== "pattern/touching-outline",
  );
  if (errors.length > 0) throw new PeltryError(errors);
  const touches = faults.filter((issue) => issue.code === "pattern/touching-outline");
  if (touches.length > 0) issues.push(touchingIsHarmless(edges, touches));

  let dropped = 0;
  let ring: Ring = edges.map((edge, i): Edge => {
    const corner = edges[(i + 1) % edges.length].points[0];
    const points = thinned([...edge.points.slice(0, -1), corner]);
    dropped += edge.points.length - points.length;
    return { ...edge, points };
  });
  const at = { ...(panel === undefined ? {} : { panel }), edge: edges[0].id };
  if (dropped > 0) {
    issues.push({
      code: "allowance/repaired-doubled-points",
      severity: "note",
      message: `${dropped} point${dropped > 1 ? "s" : ""} that repeated a neighbour ${dropped > 1 ? "were" : "was"} left out.`,
      at,
      found: dropped,
      fix: "Nothing to do; the sew line is the same.",
    });
  }
  if (signedArea(edgesOutline(ring)) < 0 !== clockwise) {
    ring = reversed(ring);
    issues.push({
      code: "allowance/repaired-winding",
      severity: "warning",
      message: clockwise
        ? "The hole ran counter-clockwise; it was turned round."
        : "The outline ran clockwise; it was turned round, so that the allowance lies outside.",
      at,
      fix: "Give outlines counter-clockwise and holes clockwise.",
    });
  }
  return { ring, issues };
}

/** A touch that encloses nothing twice is let stand; one that hides a crossing is not. */
function touchingIsHarmless(edges: readonly Edge[], touches: readonly Issue[]): Issue {
  const outline = edgesOutline(edges);
  const area = Math.abs(signedArea(outline));
  const turned = signedArea(outline) < 0 ? [...outline].reverse() : outline;
  const covered = unite([turned]).reduce((sum, { points }) => sum + signedArea(points), 0);
  if (Math.abs(covered - area) > 1e-3 * Math.max(1, area)) {
    throw new PeltryError(touches.map((issue) => ({ ...issue, code: "pattern/crossing-outline" })));
  }
  return { ...touches[0], severity: "warning" };
}

function thinned(points: readonly Point[]): Point[] {
  const kept: Point[] = [points[0]];
  const last = points[points.length - 1];
  for (let i = 1; i + 1 < points.length; i++) {
    if (distance(points[i], kept[kept.length - 1]) >= SAME) kept.push(points[i]);
  }
  while (kept.length > 1 && distance(kept[kept.length - 1], last) < SAME) kept.pop();
  kept.push(last);
  return kept;
}

function reversed(ring: Ring): Ring {
  return [...ring].reverse().map((edge): Edge => {
    const points = [...edge.points].reverse();
    if (!edge.notches) return { ...edge, points };
    let length = 0;
    for (let i = 1; i < points.length; i++) length += distance(points[i - 1], points[i]);
    return { ...edge, points, notches: edge.notches.map((notch) => ({ ...notch, at: length - notch.at })) };
  });
}

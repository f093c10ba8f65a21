import { distanceToOutline, pointInOutline, polylineLength, signedArea, type Point } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { edgesFromOutline } from "./edges-from-outline";
import { edgesOutline, seamLetter } from "./outline";
import type { Edge, Marking, Panel, Pattern, Seam } from "./types";

/** A let-in marking nearer to an edge than this cannot be sewn in, mm. */
const CLEAR = 6;

/**
 * The pattern with its let-in markings carried out: each becomes a hole in its panel, an inset panel of its own fabric
 * that fills it, and the seams between them.
 *
 * @returns a new pattern, and an issue for each marking that lies too near an edge or a hole and was left as it is
 */
export function letInMarkings(pattern: Pattern): { pattern: Pattern; issues: Issue[] } {
  const issues: Issue[] = [];
  const panels: Panel[] = [];
  const insets: Panel[] = [];
  const seams: Seam[] = [...pattern.seams];
  const letters = new Set(pattern.seams.map((seam) => seam.letter));
  let next = 0;
  const letter = (): string => {
    while (letters.has(seamLetter(next))) next++;
    letters.add(seamLetter(next));
    return seamLetter(next);
  };
  for (const panel of pattern.panels) {
    let base = panel;
    for (const marking of panel.markings) {
      if (marking.kind !== "area" || marking.method !== "let-in") continue;
      const room = roomAround(base, marking);
      if (room < CLEAR) {
        issues.push(tooNear(panel, marking, room));
        continue;
      }
      const made = letIn(base, marking, letter);
      base = made.base;
      insets.push(made.inset);
      seams.push(...made.seams);
    }
    panels.push(base);
  }
  return { pattern: { ...pattern, panels: [...panels, ...insets], seams }, issues };
}

function letIn(
  panel: Panel,
  marking: Marking,
  letter: () => string,
): { base: Panel; inset: Panel; seams: Seam[] } {
  const round = signedArea(marking.points) < 0 ? [...marking.points].reverse() : [...marking.points];
  const name = `${panel.id}-${marking.id}`;
  const parts = halved(edgesFromOutline(round, { cornerDegrees: 35, role: "seam", prefix: "side-" }));
  const edges = parts.map((edge, i): Edge => ({ ...edge, seam: `${name}-${i + 1}` }));
  const hole = [...edges]
    .reverse()
    .map((edge): Edge => ({ ...edge, id: `${marking.id}-${edge.id}`, points: [...edge.points].reverse() }));
  const seams = edges.map((edge, i): Seam => ({
    id: `${name}-${i + 1}`,
    letter: letter(),
    a: { panel: name, edge: edge.id },
    b: { panel: panel.id, edge: `${marking.id}-${edge.id}` },
    reversed: true,
    matchPoints: [],
  }));
  const inset: Panel = {
    id: name,
    name: marking.label ?? `${panel.name}, ${marking.id}`,
    fabric: marking.fabric ?? panel.fabric,
    edges,
    darts: [],
    markings: [],
    ...(marking.pile === undefined
      ? panel.pile === undefined
        ? {}
        : { pile: panel.pile }
      : { pile: marking.pile }),
    count: panel.count,
    mirrored: panel.mirrored,
    ...(panel.layer === undefined ? {} : { layer: panel.layer }),
  };
  const base: Panel = {
    ...panel,
    holes: [...(panel.holes ?? []), hole],
    markings: panel.markings.filter((one) => one !== marking),
  };
  return { base, inset, seams };
}

/** A round without corners is cut in two, so that its seams have ends to start from. */
function halved(edges: readonly Edge[]): readonly Edge[] {
  if (edges.length > 1) return edges;
  const { points } = edges[0];
  const half = polylineLength(points) / 2;
  let middle = 1;
  for (let sum = 0; middle + 1 < points.length; middle++) {
    sum += Math.hypot(points[middle][0] - points[middle - 1][0], points[middle][1] - points[middle - 1][1]);
    if (sum >= half) break;
  }
  return [
    { ...edges[0], id: "side-1", points: points.slice(0, middle + 1) },
    { ...edges[0], id: "side-2", points: points.slice(middle) },
  ];
}

function roomAround(panel: Panel, marking: Marking): number {
  const outline = edgesOutline(panel.edges);
  const holes = (panel.holes ?? []).map(edgesOutline);
  let room = Infinity;
  for (const p of marking.points) {
    if (
      pointInOutline(p, outline) === "outside" ||
      holes.some((hole) => pointInOutline(p, hole) === "inside")
    )
      return -1;
    for (const ring of [outline, ...holes]) room = Math.min(room, distanceToOutline(p, ring));
  }
  const within = (ring: readonly Point[]): boolean =>
    ring.some((p) => pointInOutline(p, marking.points) === "inside");
  return [outline, ...holes].some(within) ? -1 : room;
}

function tooNear(panel: Panel, marking: Marking, room: number): Issue {
  return {
    code: "pattern/let-in-at-edge",
    severity: "warning",
    message: `Marking ${marking.id} of ${panel.name} leaves ${Math.round(Math.max(0, room) * 10) / 10} mm to an edge; it cannot be let in there.`,
    at: { panel: panel.id, path: ["markings", marking.id] },
    found: room,
    limit: CLEAR,
    fix: "Sew it on top, or let the panel's own seam run along it.",
  };
}

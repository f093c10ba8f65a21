import { polylineLength } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { assertOptions, assertPatternForm } from "./check/check-form";
import { mirrorPanel } from "./move-panel";
import { findEdge, findPanel, panelEdges, seamLetter } from "./outline";
import type { Edge, EdgeRef, Panel, Pattern, Seam } from "./types";
import { unfoldPanel } from "./unfold-panel";

/** Which panels are opened. */
export interface UnfoldOptions {
  /** Ids of panels with a fold edge; every such panel when left out. */
  readonly panels?: readonly string[];
}

/**
 * The pattern with its cut-on-fold panels opened, as they are cut from one layer of cloth, with all seams, match points
 * and notches of the new halves. A panel of both hands that is sewn to an opened one, straight or by way of others,
 * becomes two panels, as each hand now has seams of its own: the second is its mirror image. New panels, edges and seams
 * carry the old id with `-mirrored` after it; new seams take the next free letters. Panels that nothing of this touches
 * stay as they are.
 *
 * An edge of a new half whose partner exists but once keeps the role `seam` without a seam: `checkPattern` names it.
 *
 * @throws PeltryError `pattern/no-fold` when a panel has no fold edge or more than one, `pattern/no-panel`,
 * `pattern/bad-form` when it is no pattern, `pattern/bad-options`
 */
export function unfoldPattern(pattern: Pattern, options: UnfoldOptions = {}): Pattern {
  assertPatternForm(pattern);
  assertOptions(options);
  const opened = new Set(options.panels ?? pattern.panels.filter(hasFold).map((panel) => panel.id));
  for (const id of opened) {
    if (findPanel(pattern, id)) continue;
    fail(
      "pattern/no-panel",
      `There is no panel ${id} to open.`,
      { panel: id },
      { fix: "Name panels of it." },
    );
  }
  const split = handsToPart(pattern, opened);
  const taken = new Set([...pattern.panels, ...pattern.seams].map(({ id }) => id));
  const twinIds = (things: readonly { readonly id: string }[]): Map<string, string> =>
    new Map(things.map(({ id }) => [id, free(`${id}-mirrored`, taken)]));
  const panelTwins = twinIds(pattern.panels.filter((panel) => split.has(panel.id)));

  const twinOf = ({ panel, edge }: EdgeRef): EdgeRef | undefined =>
    opened.has(panel)
      ? { panel, edge: `${edge}-mirrored` }
      : split.has(panel)
        ? { panel: panelTwins.get(panel)!, edge }
        : undefined;
  const doubled = pattern.seams.filter((seam) => twinOf(seam.a) && twinOf(seam.b));
  const seamTwins = twinIds(doubled);
  const letters = new Set(pattern.seams.map((seam) => seam.letter));
  const seams = doubled.map((seam): Seam => ({
    ...seam,
    id: seamTwins.get(seam.id)!,
    letter: nextLetter(letters),
    a: twinOf(seam.a)!,
    b: twinOf(seam.b)!,
    // A mirrored edge runs the other way, so it is measured from its other end.
    matchPoints: seam.matchPoints.map((point) => ({
      ...point,
      a: lengthOf(pattern, seam.a) - point.a,
      b: lengthOf(pattern, seam.b) - point.b,
    })),
  }));
  const resewn = (edge: Edge): Edge => resew(edge, seamTwins);
  const panels = pattern.panels.flatMap((panel): Panel[] => {
    if (opened.has(panel.id)) {
      const known = new Set(panelEdges(panel).map((edge) => edge.id));
      return [mapEdges(unfoldPanel(panel), (edge) => (known.has(edge.id) ? edge : resewn(edge)))];
    }
    if (!split.has(panel.id)) return [panel];
    const twin = mapEdges(mirrorPanel(panel), resewn);
    const name = `${panel.name}, mirrored`;
    return [
      { ...panel, mirrored: false },
      { ...twin, id: panelTwins.get(panel.id)!, name, mirrored: false },
    ];
  });
  return { ...pattern, panels, seams: [...pattern.seams, ...seams] };
}

const hasFold = (panel: Panel): boolean => panel.edges.some((edge) => edge.role === "fold");

/** Panels cut in both hands that are sewn to an opened panel, or to another of these. */
function handsToPart({ panels, seams }: Pattern, opened: ReadonlySet<string>): Set<string> {
  const hands = new Set(panels.filter((one) => one.mirrored && !opened.has(one.id)).map((one) => one.id));
  const split = new Set<string>();
  const queue = [...opened];
  for (let id = queue.pop(); id !== undefined; id = queue.pop()) {
    for (const { a, b } of seams) {
      const other = a.panel === id ? b.panel : b.panel === id ? a.panel : undefined;
      if (other === undefined || !hands.has(other) || split.has(other)) continue;
      split.add(other);
      queue.push(other);
    }
  }
  return split;
}

/** An edge of a mirrored half, sewn in the twin of its seam; loose where the seam has none. */
function resew(edge: Edge, twins: ReadonlyMap<string, string>): Edge {
  if (edge.seam === undefined) return edge;
  const seam = twins.get(edge.seam);
  if (seam !== undefined) return { ...edge, seam };
  const { seam: _, notches, ...rest } = edge;
  return { ...rest, ...(notches ? { notches: notches.map(({ match: __, ...notch }) => notch) } : {}) };
}

function mapEdges(panel: Panel, map: (edge: Edge) => Edge): Panel {
  return {
    ...panel,
    edges: panel.edges.map(map),
    ...(panel.holes ? { holes: panel.holes.map((hole) => hole.map(map)) } : {}),
  };
}

function lengthOf(pattern: Pattern, ref: EdgeRef): number {
  const panel = findPanel(pattern, ref.panel);
  const edge = panel && findEdge(panel, ref.edge);
  return edge ? polylineLength(edge.points) : 0;
}

/** The id itself, or with a number after it where it is taken. */
function free(id: string, taken: Set<string>): string {
  let name = id;
  for (let n = 2; taken.has(name); n++) name = `${id}-${n}`;
  taken.add(name);
  return name;
}

function nextLetter(taken: Set<string>): string {
  let next = 0;
  while (taken.has(seamLetter(next))) next++;
  taken.add(seamLetter(next));
  return seamLetter(next);
}

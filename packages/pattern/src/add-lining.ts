import { fail } from "@peltry/issues";
import { assertOptions, assertPatternForm } from "./check/check-form";
import { seamLetter } from "./outline";
import type { Edge, EdgeRef, Panel, Pattern, Seam } from "./types";

/** What is copied, and into what. */
export interface LiningOptions {
  /** Fabric of the copies. */
  readonly fabric: string;
  /** Ids of the panels to copy; every outer panel when left out. */
  readonly panels?: readonly string[];
  /** `lining` when left out. */
  readonly layer?: NonNullable<Panel["layer"]>;
}

/**
 * The pattern with copies of its panels in another fabric, and with the seams between them. Ids of copies end in the
 * layer's name. Markings stay behind; notches, darts and folds come along. A seam to a panel that is not copied
 * becomes an opening, to be felled down by hand.
 *
 * @throws PeltryError `pattern/no-panel` when a panel named is not there, `pattern/bad-form`, `pattern/bad-options`
 */
export function addLining(pattern: Pattern, options: LiningOptions): Pattern {
  assertPatternForm(pattern);
  assertOptions(options);
  const layer = options.layer ?? "lining";
  const chosen =
    options.panels ??
    pattern.panels.filter((panel) => (panel.layer ?? "outer") === "outer").map((panel) => panel.id);
  for (const id of chosen) {
    if (pattern.panels.some((panel) => panel.id === id)) continue;
    fail(
      "pattern/no-panel",
      `There is no panel ${id} to copy.`,
      { panel: id },
      { fix: "Name panels of the pattern." },
    );
  }
  const copied = (ref: EdgeRef): boolean => chosen.includes(ref.panel);
  const name = (id: string): string => `${id}-${layer}`;
  const letters = new Set(pattern.seams.map((seam) => seam.letter));
  let next = 0;
  const letter = (): string => {
    while (letters.has(seamLetter(next))) next++;
    letters.add(seamLetter(next));
    return seamLetter(next);
  };
  const both = pattern.seams.filter((seam) => copied(seam.a) && copied(seam.b));
  const kept = new Set(both.map((seam) => seam.id));
  const copyEdge = (edge: Edge): Edge => {
    if (edge.seam === undefined) return edge;
    if (kept.has(edge.seam)) return { ...edge, seam: name(edge.seam) };
    const { seam: _, notches, ...rest } = edge;
    const loose = notches?.map(({ match: __, ...notch }) => notch);
    return {
      ...rest,
      role: edge.role === "seam" ? "opening" : edge.role,
      ...(loose ? { notches: loose } : {}),
    };
  };
  const hasPile = (pattern.fabrics?.find((fabric) => fabric.id === options.fabric)?.pileMm ?? 0) > 0;
  const panels = pattern.panels
    .filter((panel) => chosen.includes(panel.id))
    .map((panel): Panel => {
      const { pile, ...rest } = panel;
      return {
        ...rest,
        ...(hasPile && pile !== undefined ? { pile } : {}),
        id: name(panel.id),
        name: `${panel.name}, ${layer}`,
        fabric: options.fabric,
        layer,
        edges: panel.edges.map(copyEdge),
        ...(panel.holes ? { holes: panel.holes.map((hole) => hole.map(copyEdge)) } : {}),
        markings: [],
      };
    });
  const seams = both.map((seam): Seam => ({
    ...seam,
    id: name(seam.id),
    letter: letter(),
    a: { panel: name(seam.a.panel), edge: seam.a.edge },
    b: { panel: name(seam.b.panel), edge: seam.b.edge },
  }));
  return { ...pattern, panels: [...pattern.panels, ...panels], seams: [...pattern.seams, ...seams] };
}

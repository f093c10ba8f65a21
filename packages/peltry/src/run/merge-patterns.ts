import { seamLetter, type Edge, type Panel, type Pattern, type Seam } from "@peltry/pattern";

/** Panels whose ids differ in their last number only, such as `coat-2` and `coat-1`, by that number; the others stay. */
function inOrderOfNumbers(panels: readonly Panel[]): Panel[] {
  const stem = ({ id }: Panel): string => id.replace(/\d+$/, "");
  const number = ({ id }: Panel): number => Number(/\d+$/.exec(id)?.[0] ?? 0);
  const waiting = new Map<string, Panel[]>();
  for (const panel of panels) waiting.set(stem(panel), [...(waiting.get(stem(panel)) ?? []), panel]);
  for (const list of waiting.values()) list.sort((p, q) => number(p) - number(q));
  return panels.map((panel) => waiting.get(stem(panel))!.shift()!);
}

/**
 * One pattern of several parts: seam ids get the part's id before them, letters run on through the whole costume.
 * Panel ids are unique already, as they begin with their part's.
 */
export function mergePatterns(
  name: string,
  parts: readonly { readonly id: string; readonly pattern: Pattern }[],
): Pattern {
  const seams: Seam[] = [];
  const panels: Panel[] = [];
  for (const { id, pattern } of parts) {
    const renamed = new Map(pattern.seams.map((seam) => [seam.id, `${id}/${seam.id}`]));
    for (const seam of pattern.seams) {
      seams.push({ ...seam, id: renamed.get(seam.id)!, letter: seamLetter(seams.length) });
    }
    const edges = (list: readonly Edge[]): Edge[] =>
      list.map((edge) =>
        edge.seam === undefined ? edge : { ...edge, seam: renamed.get(edge.seam) ?? edge.seam },
      );
    for (const panel of inOrderOfNumbers(pattern.panels)) {
      panels.push({
        ...panel,
        edges: edges(panel.edges),
        ...(panel.holes ? { holes: panel.holes.map(edges) } : {}),
      });
    }
  }
  const fabrics = new Map(
    parts.flatMap(({ pattern }) => (pattern.fabrics ?? []).map((f) => [f.id, f] as const)),
  );
  return {
    format: "peltry-pattern",
    version: 1,
    name,
    panels,
    seams,
    ...(fabrics.size ? { fabrics: [...fabrics.values()] } : {}),
  };
}

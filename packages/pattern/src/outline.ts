import type { Point } from "@peltry/geometry";
import type { Edge, Panel, Pattern } from "./types";

/** The closed outline of a run of edges: corners once, not repeated at the end. */
export function edgesOutline(edges: readonly Edge[]): Point[] {
  return edges.flatMap((edge) => edge.points.slice(0, -1));
}

/** The sew line of a panel as one closed outline. */
export function panelOutline(panel: Panel): Point[] {
  return edgesOutline(panel.edges);
}

/** The panel with this id, or undefined. */
export function findPanel(pattern: Pattern, id: string): Panel | undefined {
  return pattern.panels.find((panel) => panel.id === id);
}

/** Every edge of a panel: the outer outline first, then the holes. */
export function panelEdges(panel: Panel): Edge[] {
  return [...panel.edges, ...(panel.holes ?? []).flat()];
}

/** The edge with this id, outer outline first, then holes; or undefined. */
export function findEdge(panel: Panel, id: string): Edge | undefined {
  return panelEdges(panel).find((edge) => edge.id === id);
}

/** Seam letters in order: A … Z, AA, AB … */
export function seamLetter(index: number): string {
  let letters = "";
  for (let n = index; n >= 0; n = Math.floor(n / 26) - 1)
    letters = String.fromCharCode(65 + (n % 26)) + letters;
  return letters;
}

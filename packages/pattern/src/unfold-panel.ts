import { distance } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { mirrorPanelAbout } from "./move-panel";
import type { Edge, Panel } from "./types";

/** Corners within this of the fold line are on it, mm. */
const ON_FOLD = 0.1;

/**
 * The whole panel of one that is cut on the fold: the fold edge is gone, the other half is its mirror image. Edges,
 * darts and markings of the new half carry their id with `-mirrored` after it. Edges that the fold cuts square
 * through stay two edges that run on into each other.
 *
 * @param fold - id of the fold edge; may be left out when there is only one
 * @throws PeltryError `pattern/no-fold` when there is no such edge or more than one to choose from
 */
export function unfoldPanel(panel: Panel, fold?: string): Panel {
  const folds = panel.edges.filter(
    (edge) => edge.role === "fold" && (fold === undefined || edge.id === fold),
  );
  if (folds.length !== 1) {
    fail(
      "pattern/no-fold",
      `There ${folds.length === 0 ? "is no fold edge" : `are ${folds.length} fold edges`} to open the panel about.`,
      {
        panel: panel.id,
        ...(fold === undefined ? {} : { edge: fold }),
      },
      { found: folds.length, limit: 1, fix: "Name the one fold edge." },
    );
  }
  const [edge] = folds;
  const at = panel.edges.indexOf(edge);
  const [a, b] = [edge.points[0], edge.points[edge.points.length - 1]];
  const other = mirrorPanelAbout(panel, a, b);
  // From the end of the fold round to its beginning, then back on the other side.
  const half = [...panel.edges.slice(at + 1), ...panel.edges.slice(0, at)];
  const back = half.map((one) => other.edges.find((mirrored) => mirrored.id === one.id)!).reverse();
  const named = (one: Edge): Edge => {
    const last = one.points.length - 1;
    const points = one.points.map((p, i) =>
      i === 0 && distance(p, a) < ON_FOLD ? a : i === last && distance(p, b) < ON_FOLD ? b : p,
    );
    return { ...one, id: `${one.id}-mirrored`, points };
  };
  return {
    ...panel,
    edges: [...half, ...back.map(named)],
    ...(panel.holes
      ? {
          holes: [
            ...panel.holes,
            ...other.holes!.map((hole) => hole.map((one) => ({ ...one, id: `${one.id}-mirrored` }))),
          ],
        }
      : {}),
    darts: [
      ...panel.darts,
      ...other.darts.map((dart) => ({
        ...dart,
        id: `${dart.id}-mirrored`,
        legs: [`${dart.legs[0]}-mirrored`, `${dart.legs[1]}-mirrored`] as const,
      })),
    ],
    markings: [
      ...panel.markings,
      ...other.markings.map((marking) => ({ ...marking, id: `${marking.id}-mirrored` })),
    ],
  };
}

/** How many pieces of cloth a panel asks for. */
export interface CutQuantity {
  /** As drawn. */
  readonly plain: number;
  /** Turned over. */
  readonly mirrored: number;
  readonly total: number;
  /** Laid on a fold of the cloth. */
  readonly onFold: boolean;
}

/** How many pieces of cloth a panel asks for: as drawn, turned over, and whether on the fold. */
export function cutQuantity(panel: Panel): CutQuantity {
  const mirrored = panel.mirrored ? panel.count : 0;
  return {
    plain: panel.count,
    mirrored,
    total: panel.count + mirrored,
    onFold: panel.edges.some((edge) => edge.role === "fold"),
  };
}

import { direction, distance, distanceToPolyline, mix, outlineCrossings, type Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { assertOptions, assertPanelForm } from "./check/check-form";
import { edgesOutline } from "./outline";
import type { Edge, Panel } from "./types";

/** How a facing is made. */
export interface FacingOptions {
  /** Id of the new panel. */
  readonly id: string;
  /** Width of the facing, mm. */
  readonly depth: number;
  /** Fabric; that of the panel when left out. */
  readonly fabric?: string;
}

/**
 * A facing: a band of even depth along a run of edges, with the panel's own shape. Its outer edge is the run, with role
 * `seam` left to declare by the caller (it is `opening` here), its ends lie on the neighbouring edges, its inner edge
 * is raw.
 *
 * @param edges - ids of edges that follow each other in the outline
 * @throws PeltryError `pattern/facing-run` when the edges do not follow each other, `pattern/facing-too-deep` when the
 * band would meet itself or run past its neighbours, `pattern/bad-form`, `pattern/bad-options`
 */
export function facingPanel(panel: Panel, edges: readonly string[], options: FacingOptions): Panel {
  assertPanelForm(panel);
  assertOptions(options);
  const n = panel.edges.length;
  const first = panel.edges.findIndex((edge) => edge.id === edges[0]);
  const run = edges.map((_, i) => panel.edges[(first + i) % n]);
  if (first < 0 || edges.length >= n || run.some((edge, i) => edge.id !== edges[i])) {
    fail(
      "pattern/facing-run",
      `The edges ${edges.join(", ")} do not follow each other in panel ${panel.id}.`,
      { panel: panel.id, edge: edges[0] },
      {
        fix: "Name edges in outline order, and leave at least one out.",
      },
    );
  }
  const { depth } = options;
  const line = [
    ...run.flatMap((edge) => edge.points.slice(0, -1)),
    run[run.length - 1].points[run[run.length - 1].points.length - 1],
  ];
  const tooDeep = (): never =>
    fail(
      "pattern/facing-too-deep",
      `A facing of ${depth} mm does not fit along ${edges.join(", ")}.`,
      { panel: panel.id, edge: edges[0] },
      {
        found: depth,
        fix: "Take a smaller depth.",
      },
    );
  if (!(depth > 0)) tooDeep();
  const before = panel.edges[(first + n - 1) % n];
  const after = panel.edges[(first + edges.length) % n];
  const start = upToDepth([...before.points].reverse(), line, depth) ?? tooDeep();
  const end = upToDepth(after.points, line, depth) ?? tooDeep();
  const inner = [end[end.length - 1], ...insideLine(line, depth).reverse(), start[start.length - 1]];
  const made: Edge[] = [
    ...run.map((edge): Edge => {
      const { seam: _, notches: __, ...rest } = edge;
      return { ...rest, role: "opening" };
    }),
    { id: "end", role: "raw", points: end },
    { id: "inner", role: "raw", points: inner },
    { id: "start", role: "raw", points: [...start].reverse() },
  ];
  if (outlineCrossings(edgesOutline(made)).length > 0) tooDeep();
  const { holes: _, notes: __, ...rest } = panel;
  return {
    ...rest,
    id: options.id,
    name: `${panel.name}, facing`,
    fabric: options.fabric ?? panel.fabric,
    layer: "facing",
    edges: made,
    darts: [],
    markings: [],
  };
}

/** The part of a line, from its start, that lies within the depth of another line; undefined when all of it does. */
function upToDepth(line: readonly Point[], from: readonly Point[], depth: number): Point[] | undefined {
  const taken: Point[] = [line[0]];
  for (let i = 1; i < line.length; i++) {
    if (distanceToPolyline(line[i], from) < depth) {
      taken.push(line[i]);
      continue;
    }
    let [low, high] = [0, 1];
    for (let k = 0; k < 50; k++) {
      const mid = (low + high) / 2;
      if (distanceToPolyline(mix(line[i - 1], line[i], mid), from) < depth) low = mid;
      else high = mid;
    }
    taken.push(mix(line[i - 1], line[i], high));
    return taken;
  }
  return undefined;
}

/** The inner points of a line moved to its left by the depth, corners mitred. */
function insideLine(line: readonly Point[], depth: number): Point[] {
  const moved: Point[] = [];
  for (let i = 1; i + 1 < line.length; i++) {
    if (distance(line[i - 1], line[i]) === 0) continue;
    const [into, out] = [direction(line[i - 1], line[i]), direction(line[i], line[i + 1])];
    const grow = depth / Math.max(0.2, 1 + into[0] * out[0] + into[1] * out[1]);
    moved.push([line[i][0] - (into[1] + out[1]) * grow, line[i][1] + (into[0] + out[0]) * grow]);
  }
  return moved;
}

import { pointInOutline, signedArea, type Outline, type Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import type { Edge, Marking, Panel, Pattern } from "@peltry/pattern";
import { cornersOf } from "./corners";
import type { WrapDrawing } from "./wrap-drawing";

/** How {@link patternFromOutlines} makes panels. */
export interface OutlinePatternOptions {
  readonly name?: string | undefined;
  /** Fabric id of every panel. Default `main`. */
  readonly fabric?: string | undefined;
  /** An outline that turns by more than this within `cornerReach` has a corner there, degrees. Default 35. */
  readonly cornerDeg?: number | undefined;
  /** Length to either side over which a turn is measured, mm. Default 6. */
  readonly cornerReach?: number | undefined;
  /** Outlines smaller than this are left out, mm². Default 100. */
  readonly leastArea?: number | undefined;
  /** Direction of the pile on the drawing, degrees. Default −90, down the page. */
  readonly pile?: number | undefined;
}

/**
 * Panels from the outlines of cut-open wrap pieces: edges parted at corners, outlines inside others as holes, open lines
 * inside a panel as markings. Edges have the role `raw` until they are paired.
 *
 * @returns a pattern without seams
 * @throws `forms/no-outline` when the drawing has no outline of that size; `forms/bad-call` for a point or option that is none
 */
export function patternFromOutlines(
  drawing: Pick<WrapDrawing, "outlines" | "lines">,
  options: OutlinePatternOptions = {},
): Pattern {
  if (!Array.isArray(drawing?.outlines) || !Array.isArray(drawing.lines)) {
    fail(
      "forms/no-outline",
      "The drawing has no list of outlines or of lines.",
      {},
      { found: typeof drawing, fix: "Pass what readWrapSvg or readWrapDxf gives, or { outlines, lines }." },
    );
  }
  for (const list of [drawing.outlines, drawing.lines]) list.forEach((one, i) => checkRun(one, i));
  for (const key of ["cornerDeg", "cornerReach", "leastArea", "pile"] as const)
    if (options[key] !== undefined && !Number.isFinite(options[key]))
      fail(
        "forms/bad-call",
        `The option ${key} is no number.`,
        { path: [key] },
        { fix: "Pass a number, or leave it out." },
      );
  for (const key of ["name", "fabric"] as const)
    if (options[key] !== undefined && typeof options[key] !== "string")
      fail(
        "forms/bad-call",
        `The option ${key} is no text.`,
        { path: [key] },
        { fix: "Pass a text, or leave it out." },
      );
  const least = options.leastArea ?? 100;
  const outlines = drawing.outlines.filter(({ points }) => Math.abs(signedArea(points)) >= least);
  if (outlines.length === 0) {
    fail(
      "forms/no-outline",
      `No closed outline of at least ${least} mm² was found.`,
      {},
      {
        found: drawing.outlines.length,
        limit: 1,
        fix: "Close the outlines, or check the scale of the drawing.",
      },
    );
  }
  const parent = outlines.map((inner, i) => innermost(inner.points, outlines, i));
  const depth = (i: number): number => (parent[i] < 0 ? 0 : depth(parent[i]) + 1);
  const taken = new Map<string, number>();
  const fabric = options.fabric ?? "main";
  const panels = outlines.flatMap(({ name, points }, i): Panel[] => {
    if (depth(i) % 2 === 1) return [];
    const id = freshId(name, taken);
    const holes = outlines.filter((_, j) => parent[j] === i);
    return [
      {
        id,
        name: name || id,
        fabric,
        edges: toEdges(points, "edge", options),
        ...(holes.length > 0
          ? {
              holes: holes.map((hole, k) => toEdges(hole.points.slice().reverse(), `hole-${k + 1}`, options)),
            }
          : {}),
        darts: [],
        markings: markingsIn(points, drawing, parent, outlines, i),
        pile: options.pile ?? -90,
        count: 1,
        mirrored: false,
      },
    ];
  });
  return {
    format: "peltry-pattern",
    version: 1,
    name: options.name ?? "wrap",
    panels,
    seams: [],
    fabrics: [{ id: fabric, name: fabric }],
  };
}

function checkRun(run: { readonly name: string; readonly points: readonly Point[] }, index: number): void {
  const isPlace = (p: unknown): boolean => Array.isArray(p) && p.length === 2 && p.every(Number.isFinite);
  const given: { name?: unknown; points?: unknown } | null | undefined = run;
  if (
    typeof given?.name === "string" &&
    Array.isArray(given.points) &&
    given.points.length > 0 &&
    given.points.every(isPlace)
  )
    return;
  fail(
    "forms/bad-call",
    `Outline or line ${index} of the drawing has no name, or a point that is no place.`,
    { index },
    { fix: "Pass what readWrapSvg or readWrapDxf gives, or { name, points }, each point x, y in mm." },
  );
}

type Named = { readonly name: string; readonly points: Outline };

/** The smallest other outline around this one; −1 for none. */
function innermost(points: Outline, outlines: readonly Named[], own: number): number {
  let best = -1;
  outlines.forEach((other, j) => {
    if (j === own || Math.abs(signedArea(other.points)) <= Math.abs(signedArea(points))) return;
    if (!inside(points[0], other.points)) return;
    if (best < 0 || Math.abs(signedArea(other.points)) < Math.abs(signedArea(outlines[best].points)))
      best = j;
  });
  return best;
}

function inside(p: Point, outline: Outline): boolean {
  return pointInOutline(p, outline) === "inside";
}

function freshId(name: string, taken: Map<string, number>): string {
  const base =
    name
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 40) || "piece";
  const n = (taken.get(base) ?? 0) + 1;
  taken.set(base, n);
  return n === 1 ? base : `${base}-${n}`;
}

function toEdges(outline: Outline, prefix: string, options: OutlinePatternOptions): Edge[] {
  const corners = cornersOf(outline, options.cornerDeg ?? 35, options.cornerReach ?? 6);
  return corners.map((from, i) => {
    const to = corners[(i + 1) % corners.length];
    const count = (to - from + outline.length) % outline.length || outline.length;
    return {
      id: `${prefix}-${i + 1}`,
      role: "raw",
      points: Array.from({ length: count + 1 }, (_, k) => outline[(from + k) % outline.length]),
    };
  });
}

function markingsIn(
  points: Outline,
  drawing: Pick<WrapDrawing, "lines">,
  parent: readonly number[],
  outlines: readonly Named[],
  own: number,
): Marking[] {
  return drawing.lines
    .filter(
      (line) =>
        inside(line.points[line.points.length >> 1], points) &&
        !outlines.some((o, j) => j !== own && parent[j] === own && inside(line.points[0], o.points)),
    )
    .map((line, i) => ({
      id: `line-${i + 1}`,
      kind: "line",
      points: line.points,
      ...(line.name ? { label: line.name } : {}),
    }));
}

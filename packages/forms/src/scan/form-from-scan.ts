import { splitByLabels, type LabelSplit, triangleArea, type TriangleMesh } from "@peltry/geometry";
import { fail, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import type { Form, FormCurve, FormRegion } from "../types";
import { borderPoints, partAtBorders } from "./paint/border-strokes";
import { bendToInk } from "./paint/bend-to-ink";
import { borderRuns, type BorderRun } from "./paint/border-curves";
import { classifyPaint, type Colour, type PaintField } from "./paint/classify-paint";
import { settleCarried } from "./paint/drawn-ends";
import { cleanLabels } from "./paint/clean-labels";
import { findStrokes, inkWidth, type InkMap } from "./paint/find-strokes";
import { fitStrokes, settleTips, type FittedStroke } from "./paint/fit-strokes";
import { insertStrokes, type InsertedStrokes } from "./paint/insert-strokes";
import { linkStrokes, trimOverlaps } from "./paint/link-strokes";
import { joinEnds, type JoinedStroke } from "./paint/join-ends";
import { pickedStroke, type PickedLine } from "./paint/picked-strokes";
import { buildSurfaceGraph, type SurfaceGraph } from "./paint/surface-graph";
import { SurfaceFinder } from "./paint/trace-stroke";
import { PointGrid } from "./paint/point-grid";
import { at, resample, runLength, type Vec } from "./paint/vector";
import { orderInSpace } from "./order-in-space";
import { shown } from "../parts/number";
import { needMesh } from "./check-mesh";
import { markMade, repairWithEdges, type RepairOptions, type RepairReport } from "./repair-mesh";
import { turnPoint, turnUp, type UpAxis } from "./turn-up";

/** A paint that marks one fabric. */
export interface ScanRegion {
  readonly id: string;
  readonly name?: string | undefined;
  /** Reference colour in plain light, r, g, b 0..255; several where the paint varies. */
  readonly colour: Colour | readonly Colour[];
}

/** How {@link formFromScan} reads a painted scan. */
export interface ScanFormOptions extends WorkOptions {
  readonly name?: string | undefined;
  /** Axis of the scan that points up. Default `y`. */
  readonly up?: UpAxis | undefined;
  /** Paints; the first is what an unpainted filled hole takes when nothing is near. None: one region. */
  readonly regions?: readonly ScanRegion[] | undefined;
  /** Colour of the pen that lines were drawn with; none drawn when left away. */
  readonly line?: Colour | undefined;
  /** Lines picked point by point, joined by shortest ways over the surface; curves of kind `drawn` under their own ids. */
  readonly picked?: readonly PickedLine[] | undefined;
  /** Parts of one paint smaller than this go to what is around them, mm². Default 400. */
  readonly leastRegion?: number | undefined;
  /** Lines shorter than this in all are stray ink, mm. Default 40. */
  readonly leastLine?: number | undefined;
  /** Missing ink up to this length is bridged, mm. Default 20. */
  readonly bridge?: number | undefined;
  /** How far region borders are evened, mm. Default 10, or one and a half edges of a coarse scan. */
  readonly smooth?: number | undefined;
  /**
   * How the mesh is repaired first; open pieces are turned outward, spikes flattened, noise evened
   * out in 8 rounds, and shadows with rims up to 800 mm filled, unless said otherwise here.
   */
  readonly repair?: Omit<RepairOptions, "colors" | "signal" | "onProgress"> | undefined;
}

/** A form out of a scan, and what was found. */
export interface ScanForm {
  readonly form: Form;
  /** r, g, b of each vertex of the form. */
  readonly colors?: Uint8Array;
  /** Triangle of the scan for each triangle of the form; −1 in filled holes. */
  readonly sourceTriangle: Int32Array;
  /** 1 for each triangle of a filled hole. */
  readonly filled: Uint8Array;
  readonly report: ScanFormReport;
}

/** What {@link formFromScan} found. */
export interface ScanFormReport {
  readonly repair: RepairReport;
  readonly regions: readonly { readonly id: string; readonly areaMm2: number; readonly triangles: number }[];
  readonly curves: readonly {
    readonly id: string;
    readonly kind: FormCurve["kind"];
    /**
     * Length, mm; of a line as it was drawn: without what its ends were carried on to meet other lines, with what the pen
     * ran on past them.
     */
    readonly lengthMm: number;
    /** Length of the run of mesh edges, mm. */
    readonly pathMm: number;
    readonly closed: boolean;
  }[];
  /** Middle width of the drawn lines, mm. */
  readonly lineWidthMm?: number;
  readonly issues: readonly Issue[];
}

/** Longest rim of a shadow that is filled unasked, mm: the crook of a knee. A larger hole is the better for a new scan. */
const SHADOW_RIM = 800;

/**
 * Makes a form from a painted scan: regions from the vertex colours, borders and drawn lines as runs of mesh edges.
 * Paints are told apart whatever light falls on them; ink is what lies between a paint and the pen's colour. An inked
 * outline of a patch becomes the patch's border, not a second line. Line ends are carried on to the line, border or rim
 * they point at.
 *
 * @param scan - mesh in mm with its colours, as {@link readMesh} gives it
 * @throws `forms/bad-pick` when a picked point lies nowhere near the surface
 * @throws `forms/no-colours` when regions or lines are asked of a scan without colours
 * @throws `forms/bad-call` when a colour or an option makes no sense
 * @remarks Near linear in triangles; `bench/scan.ts` prints the CPU time. Borders lie within about 2 mm of the paint's edge, lines within 2 mm of the
 * middle of the ink, on the painted leg of the tests.
 */
export function formFromScan(
  scan: { readonly mesh: TriangleMesh; readonly colors?: Uint8Array | undefined },
  options: ScanFormOptions = {},
): ScanForm {
  const paints = checkOptions(scan, options);
  const stage = (name: string, done: number): void => {
    throwIfCancelled(options.signal);
    options.onProgress?.({ stage: name, done });
  };
  stage("repair", 0);
  const turned = turnUp(scan.mesh, options.up ?? "y");
  const ordered = orderInSpace(turned, scan.colors);
  const { repaired, edges } = repairWithEdges(ordered?.mesh ?? turned, {
    orient: "outward",
    flattenSpikes: true,
    evenRounds: 8,
    fillShadowsUpTo: SHADOW_RIM,
    ...options.repair,
    colors: ordered?.colors ?? scan.colors,
  });
  stage("paint", 0.3);
  const graph = buildSurfaceGraph(repaired.mesh, edges);
  const blind = markMade(repaired.sourceVertex);
  const field =
    repaired.colors && (options.line || paints.length > 1)
      ? classifyPaint(graph, repaired.colors, {
          paints,
          ink: options.line,
          reach: options.smooth ?? Math.max(10, 1.5 * graph.edge),
          blind,
        })
      : undefined;
  if (field) cleanLabels(graph, field.shares, field.label, options.leastRegion ?? 400);
  stage("lines", 0.5);
  const drawn = allStrokes(graph, field, blind, options);
  stage("insert", 0.7);
  const split = splitByLabels(
    repaired.mesh,
    field && paints.length > 1 ? field.shares : [new Float64Array(graph.vertexCount)],
  );
  const inserted = insertStrokes(split.mesh, split.label, drawn.strokes);
  const regionOf = inserted.sourceTriangle.map((t) => split.label[t]);
  const origin = inserted.sourceTriangle.map((t) => split.sourceTriangle[t]);
  const issues: Issue[] = [];
  const { curves, carried } = collectCurves(
    inserted.mesh,
    regionOf,
    inserted.paths,
    drawn,
    regionList(options),
    issues,
  );
  const form: Form = {
    name: options.name ?? "scan",
    mesh: inserted.mesh,
    regions: regionList(options),
    regionOf,
    curves,
    landmarks: [],
  };
  stage("done", 1);
  return {
    form,
    ...(repaired.colors ? { colors: carry(repaired.colors, split, inserted.added) } : {}),
    sourceTriangle: origin.map((t) => {
      const own = repaired.sourceTriangle[t];
      return own >= 0 && ordered ? ordered.sourceTriangle[own] : own;
    }),
    filled: markMade(origin.map((t) => repaired.sourceTriangle[t])),
    report: {
      repair: repaired.report,
      regions: measureRegions(form),
      curves: curves.map(({ id, kind, path, closed }) => {
        const pathMm = runLength(
          path.map((v) => at(form.mesh.positions, v)),
          closed,
        );
        return { id, kind, closed, lengthMm: pathMm - (carried.get(path) ?? 0), pathMm };
      }),
      ...(drawn.width === undefined ? {} : { lineWidthMm: drawn.width }),
      issues: [...repaired.report.issues, ...issues],
    },
  };
}

function checkOptions(
  scan: { readonly mesh: TriangleMesh; readonly colors?: Uint8Array | undefined },
  options: ScanFormOptions,
): Colour[][] {
  needMesh(scan?.mesh);
  const refuse = (key: string, fix: string): never =>
    fail("forms/bad-call", `The option ${key} makes no sense.`, { path: [key] }, { fix });
  for (const key of ["leastRegion", "leastLine", "bridge", "smooth"] as const) {
    const value: unknown = options[key] ?? 0;
    if (typeof value !== "number" || !(value >= 0)) refuse(key, "Pass a number of mm, or mm².");
  }
  if (!Array.isArray(options.regions ?? [])) refuse("regions", "Pass a list of { id, colour }.");
  if (!Array.isArray(options.picked ?? []) || !(options.picked ?? []).every((line) => isRun(line?.points)))
    refuse("picked", "Pass a list of { id, points }, each point x, y, z.");
  const regions = options.regions ?? [];
  if ((regions.length > 1 || options.line) && !scan.colors) {
    fail(
      "forms/no-colours",
      "The scan has no vertex colours, so that regions and drawn lines cannot be found.",
      {},
      { fix: "Export the scan with vertex colours or a texture, or pick points." },
    );
  }
  const isColour = (c: unknown): c is Colour =>
    Array.isArray(c) && c.length === 3 && c.every((x) => typeof x === "number" && x >= 0 && x <= 255);
  const all = regions.map((region, i) => {
    const list = (isColour(region?.colour) ? [region.colour] : region?.colour) as readonly Colour[];
    if (!Array.isArray(list) || list.length === 0 || !list.every(isColour)) {
      fail(
        "forms/bad-call",
        `Region ${i} (“${shown(region?.id)}”) has no good colour.`,
        { path: ["regions", i, "colour"] },
        { limit: "three numbers 0 to 255", fix: "Pass r, g, b as seen in plain light." },
      );
    }
    return [...list];
  });
  if (options.line && !isColour(options.line)) {
    fail(
      "forms/bad-call",
      "The line's colour is no r, g, b.",
      { path: ["line"] },
      { limit: "three numbers 0 to 255", fix: "Pass r, g, b of the pen." },
    );
  }
  return all.length > 0 ? all : [[[128, 128, 128]]];
}

function isRun(points: unknown): boolean {
  return Array.isArray(points) && points.every((q) => Array.isArray(q) && q.length === 3);
}

function regionList(options: ScanFormOptions): FormRegion[] {
  const regions = options.regions ?? [];
  return regions.length > 0
    ? regions.map(({ id, name }) => ({ id, name: name ?? id }))
    : [{ id: "all", name: "all" }];
}

interface Drawn {
  readonly strokes: JoinedStroke[];
  /** Picked line of each stroke; undefined for those found in the ink. */
  readonly picked: (PickedLine | undefined)[];
  readonly width?: number | undefined;
}

/** Strokes found in the ink and strokes picked by hand, joined to what they end on. */
function allStrokes(
  graph: SurfaceGraph,
  field: PaintField | undefined,
  blind: Uint8Array,
  options: ScanFormOptions,
): Drawn {
  const { strokes, width } =
    field && options.line
      ? inkedStrokes(graph, field, blind, options)
      : { strokes: [] as FittedStroke[], width: undefined };
  const lines = options.picked ?? [];
  const finder = lines.length > 0 ? new SurfaceFinder(graph) : undefined;
  const picked = lines.map((line, i) =>
    pickedStroke(
      graph,
      finder!,
      line.points.map((q) => turnPoint(q, options.up ?? "y")),
      line.closed ?? false,
      i,
    ),
  );
  const all = [...strokes, ...picked];
  if (all.length === 0) return { strokes: [], picked: [], width };
  const border = field ? borderPoints(graph, field.label) : [];
  const near = 2 * (width ?? 2) + graph.edge;
  const joined = joinEnds(all, { border, rim: rimPoints(graph), reach: options.bridge ?? 20, near });
  if (field && width !== undefined)
    settleCarried(graph, { share: field.ink, width }, joined.slice(0, strokes.length));
  return { strokes: joined, picked: [...strokes.map(() => undefined), ...lines], width };
}

function inkedStrokes(
  graph: SurfaceGraph,
  field: PaintField,
  blind: Uint8Array,
  options: ScanFormOptions,
): { strokes: FittedStroke[]; width?: number } {
  const width = inkWidth(graph, field.ink);
  if (width === undefined) return { strokes: [] };
  const ink: InkMap = { share: field.ink, width };
  const least = options.leastLine ?? 40;
  const found = findStrokes(graph, ink, { bridge: options.bridge ?? 20, leastLine: least });
  const near = 0.7 * width + 0.2 * graph.edge;
  const rules = {
    bridge: Math.max(options.bridge ?? 20, 2 * width),
    look: 2 * width + graph.edge,
    near,
    unseen: unseenBetween(graph, blind),
  };
  // Ends that thinning left askew point the right way once fitted; what is linked then is fitted over the gap. Tips are
  // settled after that, or the ink of the next stretch would count as theirs.
  const link = (strokes: readonly FittedStroke[]): FittedStroke[] => {
    const linked = linkStrokes(strokes, rules);
    const changed = linked.length < strokes.length || linked.some((s, i) => s.closed !== strokes[i].closed);
    return changed ? fitStrokes(graph, ink, linked) : linked;
  };
  const joined = link(trimOverlaps(fitStrokes(graph, ink, found), near));
  settleTips(graph, ink, joined);
  const fitted = link(trimOverlaps(joined, near));
  const border = borderPoints(graph, field.label);
  const parts = partAtBorders(fitted, border, 0.8 * width + 0.7 * graph.edge, 4 * width + 2 * graph.edge);
  bendToInk(graph, field, parts.onBorder, width + 1.2 * graph.edge);
  return {
    strokes: parts.strokes.filter(
      (stroke) => runLength(stroke.points, stroke.closed) > Math.max(1.5 * width, 0.4 * least),
    ),
    width,
  };
}

/** Measures how much of a straight way lies over filled holes, where no ink can be. */
function unseenBetween(graph: SurfaceGraph, blind: Uint8Array): ((from: Vec, to: Vec) => number) | undefined {
  const made: Vec[] = [];
  for (let v = 0; v < blind.length; v++) if (blind[v]) made.push(at(graph.mesh.positions, v));
  if (made.length === 0) return undefined;
  const grid = new PointGrid(made, 1.5 * graph.edge + 3);
  return (from, to) => {
    const places = resample([from, to], 1, false);
    return places.filter((q) => grid.anyNear(q)).length;
  };
}

function rimPoints(graph: SurfaceGraph): Vec[] {
  const points: Vec[] = [];
  for (let v = 0; v < graph.vertexCount; v++) if (graph.onBorder[v]) points.push(at(graph.mesh.positions, v));
  return points;
}

function collectCurves(
  mesh: TriangleMesh,
  regionOf: Int32Array,
  paths: readonly (readonly number[] | undefined)[],
  drawnLines: Drawn,
  regions: readonly FormRegion[],
  issues: Issue[],
): { curves: FormCurve[]; carried: Map<readonly number[], number> } {
  const length = (path: readonly number[], closed: boolean): number =>
    runLength(
      path.map((v) => at(mesh.positions, v)),
      closed,
    );
  const { strokes, picked } = drawnLines;
  const followed = paths.flatMap((path, i) => {
    if (path) return [{ path, closed: strokes[i].closed, line: picked[i] }];
    issues.push(lineLost(strokes[i]));
    return [];
  });
  const inked = followed
    .filter(({ line }) => !line)
    .sort((a, b) => length(b.path, b.closed) - length(a.path, a.closed))
    .map(({ path, closed }, i): FormCurve => ({
      id: `line-${i + 1}`,
      name: `drawn line ${i + 1}`,
      kind: "drawn",
      path,
      closed,
    }));
  const byHand = followed.flatMap(({ path, closed, line }): FormCurve[] =>
    line ? [{ id: line.id, name: line.name ?? line.id, kind: "drawn", path, closed }] : [],
  );
  const { borders, rims } = borderRuns(mesh, regionOf);
  const byLength = (a: BorderRun, b: BorderRun): number =>
    length(b.path, b.closed) - length(a.path, a.closed);
  const border = borders.sort(byLength).map((run, i): FormCurve => ({
    id: `border-${i + 1}`,
    name: `${regions[run.left].name} to ${regions[run.right].name}`,
    kind: "border",
    path: run.path,
    closed: run.closed,
  }));
  const rim = rims.sort(byLength).map((run, i): FormCurve => ({
    id: `rim-${i + 1}`,
    name: `rim ${i + 1}`,
    kind: "rim",
    path: run.path,
    closed: run.closed,
  }));
  const carried = new Map(paths.flatMap((path, i) => (path ? [[path, strokes[i].carried] as const] : [])));
  return { curves: [...border, ...inked, ...byHand, ...rim], carried };
}

function lineLost(stroke: JoinedStroke): Issue {
  return {
    code: "forms/line-lost",
    severity: "warning",
    message: `A drawn line of ${Math.round(runLength(stroke.points, stroke.closed))} mm could not be followed over the surface.`,
    at: { point: [...stroke.points[0]] },
    fix: "Pick its points by hand.",
  };
}

function measureRegions(form: Form): { id: string; areaMm2: number; triangles: number }[] {
  const out = form.regions.map(({ id }) => ({ id, areaMm2: 0, triangles: 0 }));
  form.regionOf.forEach((r, t) => {
    out[r].areaMm2 += triangleArea(form.mesh, t);
    out[r].triangles++;
  });
  return out;
}

type Split = Pick<LabelSplit, "mesh" | "from" | "to" | "fraction">;

/** Colours of the form's vertices, between those of the scan. */
function carry(colors: Uint8Array, split: Split, added: InsertedStrokes["added"]): Uint8Array {
  const before = split.from.length;
  const out = new Uint8Array(3 * (before + added.length));
  for (let v = 0; v < before; v++) {
    const [a, b, t] = [3 * split.from[v], 3 * split.to[v], split.fraction[v]];
    for (let k = 0; k < 3; k++) out[3 * v + k] = Math.round(colors[a + k] * (1 - t) + colors[b + k] * t);
  }
  added.forEach(({ triangle, weights }, i) => {
    for (let k = 0; k < 3; k++) {
      let sum = 0;
      for (let c = 0; c < 3; c++) sum += weights[c] * out[3 * split.mesh.triangles[3 * triangle + c] + k];
      out[3 * (before + i) + k] = Math.round(sum);
    }
  });
  return out;
}

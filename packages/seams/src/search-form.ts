import {
  createSurfaceLocator,
  decimate,
  inTriangle,
  meshArea,
  MeshRefinement,
  supportVertices,
  surfacePosition,
  tracePath,
  triangleArea,
  type Point3,
  type SurfaceLocator,
  type SurfacePoint,
  type TriangleMesh,
} from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { distance, pointBetween, shareAlong } from "./lines-in-space";
import { mirroredForm } from "./mirror-form";
import { findMirrorMap, type MirrorMap } from "./mirror-map";
import { createPlane, type Plane } from "./mirror-plane";
import { boxesOf, triangleMiddle, type PlanInput } from "./plan-input";
import { carryOrder } from "./carry-order";
import { straightInTriangles } from "./straight-in-triangles";
import { projectPile } from "./search/pile-field";
import { makeSearchSurface, type SearchSurface } from "./search/search-surface";
import { notParted, pileNotes, symmetryFault, symmetryReach } from "./symmetry-fault";

/** The form as the search sees it, and the ways there and back. */
export interface SearchForm {
  /** The search's surface with limits scaled by `share`; `fine`: with its sharp corners divided. */
  readonly surface: (share: number, fine?: boolean) => SearchSurface;
  /** Cuts of the search written on the given mesh, in order; `imageOf`: the earlier one that each is the mirror image of, or −1. */
  readonly toFull: (
    paths: readonly (readonly SurfacePoint[])[],
    anchored: readonly Anchors[],
    imageOf: readonly number[],
  ) => SurfacePoint[][];
  /** A line in space written on the search's mesh; its anchored ends go to a line within `reach` mm, at any distance by default. */
  readonly toSearch: (line: readonly Point3[], anchored: Anchors, reach?: number) => SurfacePoint[];
  /** Whether every point of a line in space is within `reach` mm of the form. */
  readonly isNear: (line: readonly Point3[], reach: number) => boolean;
  /** Where symmetry was asked for: what kept cuts from coming in mirror pairs, and what is not the same on both sides. */
  readonly notes: readonly Issue[];
  /** Nothing was changed: places are the same on both. */
  readonly same: boolean;
  /** The same form with other costs of a mm of cut, one a triangle of the given mesh. */
  readonly weighted: (weight: Float64Array) => SearchForm;
}

/** Which ends of a cut lie on a border, seam or earlier cut. */
export type Anchors = "both" | "start" | "end" | "none";

/**
 * Makes the mesh that the search works on: the form itself when it is small, else a coarser one. Under symmetry it is its own
 * mirror image triangle for triangle: the form itself where that is so, else half of it and that half's image.
 */
export function makeSearchForm(
  input: PlanInput,
  triangles: number,
  symmetry?: { readonly point: Point3; readonly normal: Point3 },
): SearchForm {
  const lines = input.fixed.map(({ path, closed }) => (closed ? [...path, path[0]] : [...path]));
  const isSmall = input.mesh.triangles.length / 3 <= 1.25 * triangles;
  if (!symmetry)
    return isSmall ? sameForm(input, lines) : coarseForm(input, lines, decimated(input, triangles, lines));
  const plane = createPlane(symmetry);
  const reach = symmetryReach(input.mesh, triangles);
  const mirror = isSmall ? findMirrorMap(input.mesh, plane, input.regions) : undefined;
  const fault = symmetryFault(input, plane, reach);
  const half =
    fault || mirror
      ? undefined
      : mirroredForm(input.mesh, input.regions, lines, plane, triangles, reach.lines);
  const found =
    mirror && !fault
      ? sameForm(input, lines, mirror)
      : half
        ? coarseForm(input, lines, half, plane)
        : undefined;
  if (!found) return { ...makeSearchForm(input, triangles), notes: [fault ?? notParted()] };
  return { ...found, notes: pileNotes(input, plane) };
}

/** The mesh of a search beside the form. */
interface CoarseMesh {
  readonly mesh: TriangleMesh;
  readonly regions: Int32Array;
  readonly lines: readonly (readonly number[])[];
  readonly mirror?: MirrorMap;
}

function decimated(input: PlanInput, triangles: number, lines: readonly (readonly number[])[]): CoarseMesh {
  const coarse = decimate(input.mesh, { triangles, lines, labels: input.regions });
  return {
    mesh: coarse.mesh,
    regions: Int32Array.from(coarse.sourceTriangle, (t) => input.regions[t]),
    lines: lines.map((line) => line.map((v) => coarse.vertexOf[v]).filter((v) => v >= 0)),
  };
}

/** The form itself. */
function sameForm(input: PlanInput, lines: readonly (readonly number[])[], mirror?: MirrorMap): SearchForm {
  const work = { spent: 0 };
  const full = new MeshRefinement(input.mesh);
  const weighted = (given: Float64Array): SearchForm => {
    const weight = mirror ? bothSides(given, mirror) : given;
    return {
      surface: (share, fine) => ({
        ...surfaceOf(input, input.mesh, input.regions, lines, weight, input.pile, share, work, fine),
        mirror,
      }),
      weighted,
      toFull: (paths) => paths.map((path) => [...path]),
      toSearch: createProjection(input.mesh, full, lineEdges(full, input.regions, lines)),
      isNear: nearTo(input.mesh),
      same: true,
      notes: [],
    };
  };
  return weighted(input.weight);
}

/** A mesh beside the form. */
function coarseForm(
  input: PlanInput,
  lines: readonly (readonly number[])[],
  coarse: CoarseMesh,
  plane?: Plane,
): SearchForm {
  const { mesh, regions, mirror } = coarse;
  const work = { spent: 0 };
  const under = piecesOver(input.mesh, mesh, mirror !== undefined);
  const pile = averagedPile(input, mesh, under);
  const refinement = new MeshRefinement(mesh);
  const transfer = createTransfer(input, lines, plane, lineEdges(refinement, regions, coarse.lines));
  const weighted = (given: Float64Array): SearchForm => {
    const mean = averagedWeight(input.mesh, given, under, regions.length);
    const weight = mirror ? bothSides(mean, mirror) : mean;
    return {
      ...fixed,
      surface: (share, fine) => ({
        ...surfaceOf(input, mesh, regions, coarse.lines, weight, pile, share, work, fine),
        mirror,
      }),
    };
  };
  const fixed: Omit<SearchForm, "surface"> = {
    weighted,
    toFull: (paths, anchored, imageOf) => transfer(mesh, paths, anchored, imageOf),
    toSearch: createProjection(mesh, refinement, lineEdges(refinement, regions, coarse.lines)),
    isNear: nearTo(mesh),
    same: false,
    notes: [],
  };
  return weighted(input.weight);
}

/** Pairs of a given triangle and the coarse one that it lies on. */
interface Pieces {
  readonly given: readonly number[];
  readonly coarse: readonly number[];
}

/** What coarse triangles stand for; with `all` those under which no middle of a given one lies, too. */
function piecesOver(given: TriangleMesh, coarse: TriangleMesh, all: boolean): Pieces {
  const { nearest } = createSurfaceLocator(coarse);
  const from = Array.from({ length: given.triangles.length / 3 }, (_, t) => t);
  const to = from.map((t) => nearest(triangleMiddle(given, t)).place.triangle);
  if (!all) return { given: from, coarse: to };
  const seen = new Set(to);
  const rest = Array.from({ length: coarse.triangles.length / 3 }, (_, c) => c).filter((c) => !seen.has(c));
  const back = rest.length > 0 ? createSurfaceLocator(given).nearest : nearest;
  return {
    given: [...from, ...rest.map((c) => back(triangleMiddle(coarse, c)).place.triangle)],
    coarse: [...to, ...rest],
  };
}

/** Costs when every cut is made on both sides: what is barred on one is barred on both. */
function bothSides(weight: Float64Array, { triangle }: MirrorMap): Float64Array {
  return weight.map((w, t) => (w + weight[triangle[t]]) / 2);
}

function surfaceOf(
  input: PlanInput,
  mesh: TriangleMesh,
  regionOf: Int32Array,
  fixed: readonly (readonly number[])[],
  weight: Float64Array,
  pile: Float64Array,
  share: number,
  work: { spent: number },
  fine?: boolean,
): SearchSurface {
  const { directionCost } = input;
  return makeSearchSurface({
    work,
    fine,
    mesh,
    regionOf,
    boxes: boxesOf(input.fabrics, share),
    fixed,
    weight,
    directionWeight: directionCost && directionCost(pile),
    pile,
    // Pile turns more than the strain does when a plan is carried over to the full form.
    pileLimits: input.fabrics.map(({ maxPileAngle }) => (maxPileAngle ? maxPileAngle * share ** 2 : 180)),
    widths: input.fabrics.map((fabric) => (fabric.widthMm ?? Infinity) * share),
  });
}

/** Pile of the coarse triangles: the mean over what they stand for. */
function averagedPile(input: PlanInput, coarse: TriangleMesh, under: Pieces): Float64Array {
  const count = coarse.triangles.length / 3;
  const area = new Float64Array(count);
  const direction = new Float64Array(3 * count);
  under.given.forEach((t, i) => {
    const c = under.coarse[i];
    const a = triangleArea(input.mesh, t);
    area[c] += a;
    for (let k = 0; k < 3; k++) direction[3 * c + k] += a * input.pile[3 * t + k];
  });
  return projectPile(
    coarse,
    direction.map((d, k) => d / (area[Math.floor(k / 3)] || 1)),
  );
}

/** Cost of the coarse triangles: the mean over what they stand for. */
function averagedWeight(mesh: TriangleMesh, given: Float64Array, under: Pieces, count: number): Float64Array {
  const area = new Float64Array(count);
  const barred = new Float64Array(count);
  const sum = new Float64Array(count);
  under.given.forEach((t, i) => {
    const c = under.coarse[i];
    const a = triangleArea(mesh, t);
    area[c] += a;
    if (given[t] === Infinity) barred[c] += a;
    else sum[c] += a * given[t];
  });
  return area.map((a, c) => {
    if (a === 0) return 1;
    if (barred[c] > 0.25 * a) return Infinity;
    return sum[c] / (a - barred[c]);
  });
}

/** Carries cuts over to the given mesh. */
function createTransfer(
  input: PlanInput,
  lines: readonly (readonly number[])[],
  plane: Plane | undefined,
  coarseEdges: readonly (readonly [SurfacePoint, SurfacePoint])[],
): (
  coarse: TriangleMesh,
  paths: readonly (readonly SurfacePoint[])[],
  anchored: readonly Anchors[],
  imageOf: readonly number[],
) => SurfacePoint[][] {
  const full = new MeshRefinement(input.mesh);
  const edges = lineEdges(full, input.regions, lines);
  return (coarse, paths, anchored, imageOf) => {
    // Ends move by less than the coarse triangles are large; the first cut of a closed form ends in the open.
    const reach = 3 * Math.sqrt((2.3 * meshArea(coarse)) / (coarse.triangles.length / 3));
    const project = createProjection(input.mesh, full, edges, reach);
    const found: SurfacePoint[][] = [];
    const drawn = paths.map((path) => path.map((point) => surfacePosition(coarse, point)));
    const bases = coarseEdges.map((edge) => edge.map((point) => surfacePosition(coarse, point)));
    for (const { i, anchors } of carryOrder(drawn, bases, anchored, imageOf)) {
      const line = drawn[i];
      const other = found[imageOf[i]];
      if (plane && other) {
        // Both of a pair end at the same places, whatever the triangles there are like.
        const ends = [other[0], other[other.length - 1]].map((point) =>
          plane.image(surfacePosition(input.mesh, point)),
        );
        if (distance(ends[0], line[0]) > distance(ends[1], line[0])) ends.reverse();
        line[0] = ends[0];
        line[line.length - 1] = ends[1];
      }
      found[i] = project(line, anchors);
    }
    return found;
  };
}

/**
 * Ends that are nearer than this are one place, mm: two cuts that meet on the search's mesh meet on the given one. Less than
 * the shortest arc that a plan may have.
 */
const SAME_PLACE = 6;

/** Writes lines in space on a mesh: points projected, ends put exactly on the lines (or on earlier cuts) where they belong. */
function createProjection(
  mesh: TriangleMesh,
  refinement: MeshRefinement,
  edges: readonly [SurfacePoint, SurfacePoint][],
  usual = Infinity,
): (line: readonly Point3[], anchored: Anchors, reach?: number) => SurfacePoint[] {
  const locator = createSurfaceLocator(mesh);
  const targets = edges.slice();
  const meetings = meetingPlaces(mesh, edges);
  return (line, anchored, reach = usual) => {
    const places = line.map((point) => locator.nearest(point).place);
    const last = places.length - 1;
    const end = (i: number, far: number): SurfacePoint => {
      const met = meetings.find(({ at }) => distance(at, line[i]) < Math.min(far, SAME_PLACE));
      const place = met?.place ?? anchor(mesh, targets, line[i], far) ?? places[i];
      if (!met) meetings.push({ at: line[i], place });
      return place;
    };
    places[0] = end(0, anchored === "both" || anchored === "start" ? reach : 1);
    places[last] = end(last, anchored === "both" || anchored === "end" ? reach : 1);
    const traced = straightInTriangles(mesh, tracePath(refinement, places));
    for (let k = 1; k < traced.length; k++) targets.push([traced[k - 1], traced[k]]);
    return traced;
  };
}

function nearTo(mesh: TriangleMesh): SearchForm["isNear"] {
  let locator: SurfaceLocator | undefined;
  return (line, reach) => {
    const { nearest } = (locator ??= createSurfaceLocator(mesh));
    return line.every((point) => nearest(point).distance <= reach);
  };
}

/** A place where lines meet or end, and where it is in space. */
interface Meeting {
  readonly at: Point3;
  readonly place: SurfacePoint;
}

/** Vertices where edges of lines meet or end. */
function meetingPlaces(
  { positions, triangles }: TriangleMesh,
  edges: readonly (readonly SurfacePoint[])[],
): Meeting[] {
  const arms = new Map<number, { count: number; place: SurfacePoint }>();
  for (const edge of edges) {
    for (const place of edge) {
      const v = triangles[3 * place.triangle + place.weights.indexOf(1)];
      arms.set(v, { count: (arms.get(v)?.count ?? 0) + 1, place });
    }
  }
  return [...arms].flatMap(([v, { count, place }]) =>
    count === 2 ? [] : [{ at: [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]], place }],
  );
}

/** Borders, region borders and given lines as single edges. */
function lineEdges(
  full: MeshRefinement,
  regions: Int32Array,
  lines: readonly (readonly number[])[],
): [SurfacePoint, SurfacePoint][] {
  const out: [SurfacePoint, SurfacePoint][] = [];
  const edge = (h: number): void => {
    const t = Math.floor(h / 3);
    const end = (k: number): SurfacePoint => ({
      triangle: t,
      weights: [k === 0 ? 1 : 0, k === 1 ? 1 : 0, k === 2 ? 1 : 0],
    });
    out.push([end(h % 3), end((h + 1) % 3)]);
  };
  for (let h = 0; h < full.twin.length; h++) {
    const g = full.twin[h];
    if (g < 0 || (g > h && regions[Math.floor(h / 3)] !== regions[Math.floor(g / 3)])) edge(h);
  }
  for (const line of lines)
    for (let i = 1; i < line.length; i++) edge(full.edgeBetween(line[i - 1], line[i]));
  return out;
}

/** The nearest place on any of the segments, when within reach. */
function anchor(
  mesh: TriangleMesh,
  targets: readonly (readonly [SurfacePoint, SurfacePoint])[],
  point: Point3,
  reach: number,
): SurfacePoint | undefined {
  let best: SurfacePoint | undefined;
  let least = reach;
  for (const [from, to] of targets) {
    const a = surfacePosition(mesh, from);
    const b = surfacePosition(mesh, to);
    const t = shareAlong(a, b, point);
    const gap = distance(pointBetween(a, b, t), point);
    if (gap >= least) continue;
    least = gap;
    best = t < 1e-3 ? from : t > 1 - 1e-3 ? to : between(mesh, from, to, t);
  }
  return best;
}

/**
 * A place between two ends on one edge of the mesh; inside a triangle the nearer end: a cut is put in by its crossings, and
 * what begins on it between them would miss it where those move to a vertex.
 */
function between(mesh: TriangleMesh, from: SurfacePoint, to: SurfacePoint, t: number): SurfacePoint {
  const triangle = inTriangle(mesh, to, from.triangle) ? from.triangle : to.triangle;
  const a = inTriangle(mesh, from, triangle);
  const b = inTriangle(mesh, to, triangle);
  if (!a || !b) return t < 0.5 ? from : to;
  const mix = (k: number): number => (1 - t) * a.weights[k] + t * b.weights[k];
  const place: SurfacePoint = { triangle, weights: [mix(0), mix(1), mix(2)] };
  return supportVertices(mesh, place).length < 3 ? place : t < 0.5 ? from : to;
}

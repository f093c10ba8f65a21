import {
  extractTriangles,
  insertPath,
  inTriangle,
  MeshRefinement,
  supportVertices,
  tracePath,
  type MeshPiece,
  type SurfacePoint,
  type TriangleMesh,
} from "@peltry/geometry";
import type { JoinedStroke } from "./join-ends";
import { PointGrid } from "./point-grid";
import { buildSurfaceGraph, type SurfaceGraph } from "./surface-graph";
import { straightenTrace } from "./straighten-trace";
import { placeOf, SurfaceFinder, traceStroke, type TraceEnds } from "./trace-stroke";
import { apart, at, dot, resample, size, sub, type Vec } from "./vector";

/** Crossings nearer to an edge's end than this share of it move there: less makes needles, more makes lines zigzag. */
const SNAP = 0.06;

/** Ends of lines closer than this to a place where lines meet already go there, mm: the run between could not be sewn. */
const CRUMB = 3;

/** Rounds of straightening: enough for the zigzag of single triangles, too few to leave the drawing. */
const STRAIGHTEN = 8;

/** Strokes as runs of mesh edges. */
export interface InsertedStrokes {
  readonly mesh: TriangleMesh;
  /** Triangle of the given mesh for each triangle. */
  readonly sourceTriangle: Int32Array;
  /** Places on the given mesh of the vertices that follow its own. */
  readonly added: readonly SurfacePoint[];
  /** Vertices of each stroke in order; undefined for one that could not be walked. A ring does not repeat its first. */
  readonly paths: readonly (readonly number[] | undefined)[];
}

/**
 * Makes strokes into runs of mesh edges, rings and through lines first, so that ends find what they meet.
 *
 * @param label - region of each triangle: borders between regions count as lines to meet
 */
export function insertStrokes(
  mesh: TriangleMesh,
  label: Int32Array,
  strokes: readonly JoinedStroke[],
): InsertedStrokes {
  const graph = buildSurfaceGraph(mesh);
  const finder = new SurfaceFinder(graph);
  const waits = (i: number): number => strokes[i].joins.filter((join) => join?.to === "stroke").length;
  const order = strokes.map((_, i) => i).sort((a, b) => waits(a) - waits(b) || a - b);
  const attempt = (triangles: readonly number[]): Attempt => {
    const work = new StrokeWork(graph, finder, label, extractTriangles(mesh, triangles));
    const paths: (number[] | undefined)[] = new Array<undefined>(strokes.length).fill(undefined);
    for (const i of order) paths[i] = work.insert(strokes[i], i, paths);
    return { work, paths };
  };
  const first = attempt(trianglesNear(graph, strokes));
  // A way round a place that cannot be walked may leave the surroundings of the lines.
  const { work, paths } = first.paths.every((path) => path !== undefined)
    ? first
    : attempt(Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t));
  return work.assemble(
    paths.map((path, i) => (path ? followSplits(work.refinement, path, strokes[i].closed) : undefined)),
  );
}

interface Attempt {
  readonly work: StrokeWork;
  readonly paths: readonly (readonly number[] | undefined)[];
}

/** Spacings, in edges, of the places between which a stroke goes by shortest ways when it cannot be walked. */
const SPACINGS = [3, 6, 12] as const;

/** Triangles close to any stroke: only these are ever cut, and taking them out saves most of the work on a large scan. */
function trianglesNear(graph: SurfaceGraph, strokes: readonly JoinedStroke[]): number[] {
  const points = strokes.flatMap((s) => s.points);
  const close = new Uint8Array(graph.vertexCount);
  if (points.length > 0) {
    const grid = new PointGrid(points, 6 * graph.edge + 6);
    for (let v = 0; v < close.length; v++) if (grid.anyNear(at(graph.mesh.positions, v))) close[v] = 1;
  }
  const out: number[] = [];
  const { triangles } = graph.mesh;
  for (let t = 0; t < triangles.length / 3; t++) {
    if (close[triangles[3 * t]] || close[triangles[3 * t + 1]] || close[triangles[3 * t + 2]]) out.push(t);
  }
  return out;
}

class StrokeWork {
  readonly refinement: MeshRefinement;
  private readonly partOf: Int32Array;
  private readonly inner: Uint8Array;
  private readonly border: number[];
  private plain: MeshRefinement | undefined;

  constructor(
    private readonly graph: SurfaceGraph,
    private readonly finder: SurfaceFinder,
    label: Int32Array,
    private readonly part: MeshPiece,
  ) {
    this.refinement = new MeshRefinement(part.mesh);
    this.partOf = new Int32Array(graph.mesh.triangles.length / 3).fill(-1);
    part.sourceTriangle.forEach((t, i) => {
      this.partOf[t] = i;
    });
    this.inner = this.markInner();
    this.border = this.markBorders(label);
  }

  /** Triangles whose neighbours all lie in the part (or past the real rim): cutting these leaves no crack. */
  private markInner(): Uint8Array {
    const { part, partOf, graph } = this;
    return Uint8Array.from(part.sourceTriangle, (t) => {
      for (let h = 3 * t; h < 3 * t + 3; h++)
        if (graph.twin[h] >= 0 && partOf[(graph.twin[h] / 3) | 0] < 0) return 0;
      return 1;
    });
  }

  /** Marks edges between regions as lines; gives their vertices, in the part's numbers. */
  private markBorders(label: Int32Array): number[] {
    const { part, graph, refinement } = this;
    const out = new Set<number>();
    part.sourceTriangle.forEach((t, i) => {
      for (let k = 0; k < 3; k++) {
        const g = graph.twin[3 * t + k];
        if (g < 0 || label[(g / 3) | 0] === label[t]) continue;
        refinement.markEdge(3 * i + k, 1);
        out.add(part.mesh.triangles[3 * i + k]).add(part.mesh.triangles[3 * i + ((k + 1) % 3)]);
      }
    });
    return [...out].sort((a, b) => a - b);
  }

  insert(
    stroke: JoinedStroke,
    i: number,
    paths: readonly (readonly number[] | undefined)[],
  ): number[] | undefined {
    const { points, closed } = stroke;
    const ends = closed ? {} : { from: this.endPlace(stroke, 0, paths), to: this.endPlace(stroke, 1, paths) };
    const whole = traceStroke(this.graph, this.finder, points, closed, ends);
    const walked = whole && this.insertTrace(whole, closed, i + 2);
    if (walked) return walked;
    for (const spacing of SPACINGS) {
      const path = this.insertTrace(this.shortestTrace(stroke, ends, spacing), closed, i + 2);
      if (path) return path;
    }
    return undefined;
  }

  private insertTrace(
    whole: readonly SurfacePoint[] | undefined,
    closed: boolean,
    mark: number,
  ): number[] | undefined {
    if (!whole || whole.length < 2) return undefined;
    const trace = this.toPart(straightenTrace(this.graph, whole, STRAIGHTEN));
    if (!trace) return undefined;
    const path = closed
      ? insertRing(this.refinement, trace, mark)
      : insertPath(this.refinement, trace, { mark, snap: SNAP });
    return path.length > 1 ? path : undefined;
  }

  /** Shortest ways between places along a stroke; undefined when they lie on different pieces. */
  private shortestTrace(stroke: JoinedStroke, ends: TraceEnds, spacing: number): SurfacePoint[] | undefined {
    this.plain ??= new MeshRefinement(this.graph.mesh);
    const step = spacing * this.graph.edge;
    const places = resample(stroke.points, step, stroke.closed).flatMap((q) => this.finder.find(q) ?? []);
    if (ends.from) places[0] = ends.from;
    if (ends.to) places[Math.max(1, places.length - 1)] = ends.to;
    if (stroke.closed && places.length > 2) places.push(places[0]);
    if (places.length < 2) return undefined;
    const trace = tracePath(this.plain, places);
    const linked = trace.every((q, k) => k === 0 || shareTriangle(this.plain!, trace[k - 1], q));
    return linked ? trace : undefined;
  }

  /** Places in the part's numbers; undefined when the walk leaves it. */
  private toPart(trace: readonly SurfacePoint[]): SurfacePoint[] | undefined {
    const out = trace.map(({ triangle, weights }) => ({ triangle: this.partOf[triangle], weights }));
    return out.every(({ triangle }) => triangle >= 0 && this.inner[triangle]) ? out : undefined;
  }

  private endPlace(
    stroke: JoinedStroke,
    side: 0 | 1,
    paths: readonly (readonly number[] | undefined)[],
  ): SurfacePoint | undefined {
    const join = stroke.joins[side];
    const tip = side === 0 ? stroke.points[0] : stroke.points[stroke.points.length - 1];
    if (join?.to === "rim") return nearestOnRim(this.graph, tip);
    const among =
      join?.to === "stroke" ? paths[join.stroke] : join?.to === "border" ? this.border : undefined;
    const place = among && nearestVertex(this.refinement, among, tip, this.meetings(paths));
    return place && { triangle: this.part.sourceTriangle[place.triangle], weights: place.weights };
  }

  /** Vertices where two strokes already meet. */
  private meetings(paths: readonly (readonly number[] | undefined)[]): ReadonlySet<number> {
    const seen = new Set<number>();
    const out = new Set<number>();
    for (const path of paths)
      for (const v of path ?? []) {
        if (seen.has(v)) out.add(v);
        seen.add(v);
      }
    return out;
  }

  /** The whole mesh with the refined part put back. Vertices of the whole keep their numbers; new ones follow. */
  assemble(paths: readonly (readonly number[] | undefined)[]): InsertedStrokes {
    const { graph, part, partOf, refinement } = this;
    const { positions, triangles } = graph.mesh;
    const before = part.mesh.positions.length / 3;
    const total = positions.length / 3;
    const name = (v: number): number => (v < before ? part.sourceVertex[v] : total + v - before);
    const all = new Float64Array(3 * (total + refinement.vertexCount - before));
    all.set(positions);
    for (let v = before; v < refinement.vertexCount; v++)
      for (let k = 0; k < 3; k++) all[3 * name(v) + k] = refinement.positions[3 * v + k];
    const count = partOf.length - part.sourceTriangle.length + refinement.triangleCount;
    const corners = new Uint32Array(3 * count);
    const source = new Int32Array(count);
    let made = 0;
    for (let t = 0; t < partOf.length; t++) {
      if (partOf[t] >= 0) continue;
      for (let k = 0; k < 3; k++) corners[3 * made + k] = triangles[3 * t + k];
      source[made++] = t;
    }
    for (let i = 0; i < refinement.triangleCount; i++) {
      for (let k = 0; k < 3; k++) corners[3 * made + k] = name(refinement.corners[3 * i + k]);
      source[made++] = part.sourceTriangle[refinement.baseTriangle[i]];
    }
    return {
      mesh: { positions: all, triangles: corners },
      sourceTriangle: source,
      added: refinement.place
        .slice(before)
        .map(({ triangle, weights }) => ({ triangle: part.sourceTriangle[triangle], weights })),
      paths: paths.map((path) => path?.map(name)),
    };
  }
}

function shareTriangle(surface: MeshRefinement, a: SurfacePoint, b: SurfacePoint): boolean {
  return surface
    .baseStar(supportVertices(surface.base, a)[0])
    .some((t) => inTriangle(surface.base, a, t) && inTriangle(surface.base, b, t));
}

/** A ring goes in as two halves: a path that comes back to its start would be taken for a detour and dropped. */
function insertRing(refinement: MeshRefinement, trace: readonly SurfacePoint[], mark: number): number[] {
  const half = Math.floor(trace.length / 2);
  const first = insertPath(refinement, trace.slice(0, half + 1), { mark, snap: SNAP });
  const middle = refinement.place[first[first.length - 1]];
  const second = insertPath(refinement, [middle, ...trace.slice(half + 1, -1), refinement.place[first[0]]], {
    mark,
  });
  return [...first, ...second.slice(1)];
}

/** The vertex nearest to a tip; one where lines already meet is taken for a little nearer than it is. */
function nearestVertex(
  refinement: MeshRefinement,
  among: readonly number[],
  tip: Vec,
  meetings: ReadonlySet<number>,
): SurfacePoint | undefined {
  let best = -1;
  let least = Infinity;
  for (const v of among) {
    const d = apart(at(refinement.positions, v), tip) - (meetings.has(v) ? CRUMB : 0);
    if (d < least) {
      least = d;
      best = v;
    }
  }
  return best < 0 ? undefined : refinement.place[best];
}

function nearestOnRim(graph: SurfaceGraph, tip: Vec): SurfacePoint | undefined {
  const { positions, triangles } = graph.mesh;
  let best: SurfacePoint | undefined;
  let least = Infinity;
  for (let h = 0; h < graph.twin.length; h++) {
    if (graph.twin[h] >= 0) continue;
    const n = h % 3 === 2 ? h - 2 : h + 1;
    const a = at(positions, triangles[h]);
    const way = sub(at(positions, triangles[n]), a);
    const t = Math.max(0.05, Math.min(0.95, dot(sub(tip, a), way) / (dot(way, way) || 1)));
    const weights: [number, number, number] = [0, 0, 0];
    weights[h % 3] = 1 - t;
    weights[n % 3] = t;
    const place = { triangle: Math.floor(h / 3), weights };
    const d = apart(placeOf(graph, place), tip);
    if (d < least) {
      least = d;
      best = place;
    }
  }
  return best;
}

/** A path whose edges may have been split by later ones, with the new vertices put in. */
function followSplits(refinement: MeshRefinement, path: readonly number[], closed: boolean): number[] {
  const run = closed && path[0] !== path[path.length - 1] ? [...path, path[0]] : path;
  const out: number[] = [run[0]];
  for (let i = 1; i < run.length; i++) {
    let here = run[i - 1];
    const goal = run[i];
    for (let guard = 0; guard < 1000 && here !== goal; guard++) {
      const step = refinement.edgeBetween(here, goal) >= 0 ? goal : straightOn(refinement, here, goal);
      if (step < 0) break;
      out.push(step);
      here = step;
    }
  }
  if (closed && out.length > 1 && out[out.length - 1] === out[0]) out.pop();
  return out;
}

function straightOn(refinement: MeshRefinement, here: number, goal: number): number {
  const p = refinement.positions;
  const way = sub(at(p, goal), at(p, here));
  let best = -1;
  let most = 0.999999;
  for (const h of refinement.star(here)) {
    for (const v of [
      refinement.corners[h % 3 === 2 ? h - 2 : h + 1],
      refinement.corners[h % 3 === 0 ? h + 2 : h - 1],
    ]) {
      const step = sub(at(p, v), at(p, here));
      if (size(step) >= size(way)) continue;
      const fit = dot(step, way) / (size(step) * size(way) || 1);
      if (fit > most) {
        most = fit;
        best = v;
      }
    }
  }
  return best;
}

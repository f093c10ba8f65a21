import { insertPath, MeshRefinement, type SurfacePoint, type TriangleMesh } from "@peltry/geometry";
import type { JoinedStroke } from "./join-ends";
import { buildSurfaceGraph, type SurfaceGraph } from "./surface-graph";
import { placeOf, SurfaceFinder, traceStroke } from "./trace-stroke";
import { apart, at, dot, size, sub, type Vec } from "./vector";

/** Strokes as runs of mesh edges. */
export interface InsertedStrokes {
  readonly mesh: TriangleMesh;
  /** Triangle of the given mesh for each triangle. */
  readonly sourceTriangle: Int32Array;
  /** Place of each vertex on the given mesh. */
  readonly place: readonly SurfacePoint[];
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
  const refinement = new MeshRefinement(mesh);
  markBorders(graph, label, refinement);
  const border = borderVertices(graph, label);
  const paths: (number[] | undefined)[] = new Array<undefined>(strokes.length).fill(undefined);
  const waits = (i: number): number => strokes[i].joins.filter((join) => join?.to === "stroke").length;
  const order = strokes.map((_, i) => i).sort((a, b) => waits(a) - waits(b) || a - b);
  for (const i of order) {
    const { points, closed, joins } = strokes[i];
    const end = (side: 0 | 1): SurfacePoint | undefined => {
      const join = joins[side];
      const tip = side === 0 ? points[0] : points[points.length - 1];
      if (join?.to === "stroke" && paths[join.stroke])
        return nearestVertex(refinement, paths[join.stroke]!, tip);
      if (join?.to === "border") return nearestVertex(refinement, border, tip);
      if (join?.to === "rim") return nearestOnRim(graph, tip);
      return undefined;
    };
    const trace = traceStroke(graph, finder, points, closed, closed ? {} : { from: end(0), to: end(1) });
    if (!trace || trace.length < 2) continue;
    const path = closed
      ? insertRing(refinement, trace, i + 2)
      : insertPath(refinement, trace, { mark: i + 2 });
    if (path.length < 2) continue;
    paths[i] = path;
  }
  return {
    mesh: refinement.toMesh(),
    sourceTriangle: Int32Array.from(refinement.baseTriangle),
    place: refinement.place,
    paths: paths.map((path, i) => (path ? followSplits(refinement, path, strokes[i].closed) : undefined)),
  };
}

/** A ring goes in as two halves: a path that comes back to its start would be taken for a detour and dropped. */
function insertRing(refinement: MeshRefinement, trace: readonly SurfacePoint[], mark: number): number[] {
  const half = Math.floor(trace.length / 2);
  const first = insertPath(refinement, trace.slice(0, half + 1), { mark });
  const middle = refinement.place[first[first.length - 1]];
  const second = insertPath(refinement, [middle, ...trace.slice(half + 1, -1), refinement.place[first[0]]], {
    mark,
  });
  return [...first, ...second.slice(1)];
}

function markBorders(graph: SurfaceGraph, label: Int32Array, refinement: MeshRefinement): void {
  for (let h = 0; h < graph.twin.length; h++) {
    const g = graph.twin[h];
    if (g > h && label[Math.floor(g / 3)] !== label[Math.floor(h / 3)]) refinement.markEdge(h, 1);
  }
}

function borderVertices(graph: SurfaceGraph, label: Int32Array): number[] {
  const out = new Set<number>();
  for (let h = 0; h < graph.twin.length; h++) {
    const g = graph.twin[h];
    if (g >= 0 && label[Math.floor(g / 3)] !== label[Math.floor(h / 3)]) out.add(graph.mesh.triangles[h]);
  }
  return [...out].sort((a, b) => a - b);
}

function nearestVertex(
  refinement: MeshRefinement,
  among: readonly number[],
  tip: Vec,
): SurfacePoint | undefined {
  let best = -1;
  let least = Infinity;
  for (const v of among) {
    const d = apart(at(refinement.positions, v), tip);
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

import { nextHalfEdge as next, inTriangle, type SurfacePoint } from "@peltry/geometry";
import { PointGrid } from "./point-grid";
import type { SurfaceGraph } from "./surface-graph";
import { apart, at, cross, dot, sub, unit, type Vec } from "./vector";

/** Finds the place on a surface that is nearest to a point in space. */
export class SurfaceFinder {
  private readonly grid: PointGrid;
  /** Normals evened over the neighbourhood, x, y, z a vertex. */
  readonly normals: Float64Array;

  constructor(private readonly graph: SurfaceGraph) {
    this.normals = evenNormals(graph);
    this.grid = new PointGrid(graph.mesh.positions, 2.5 * graph.edge);
  }

  /** The nearest place in the triangles round the nearest vertex; undefined far from the surface. */
  find(point: Vec): SurfacePoint | undefined {
    const v = this.grid.nearest(point, (i) => this.graph.leaving[i] >= 0);
    if (v < 0) return undefined;
    let best: SurfacePoint | undefined;
    let least = Infinity;
    for (const t of this.trianglesNear(v)) {
      const [place, d] = nearestIn(this.graph, t, point);
      if (d < least) {
        least = d;
        best = place;
      }
    }
    return best;
  }

  private trianglesNear(v: number): Set<number> {
    const out = new Set<number>();
    for (const w of [v, ...this.graph.neighbours.subarray(this.graph.start[v], this.graph.start[v + 1])]) {
      for (const t of trianglesRound(this.graph, w)) out.add(t);
    }
    return out;
  }
}

function evenNormals(graph: SurfaceGraph): Float64Array {
  const { start, neighbours } = graph;
  let now = graph.normals;
  for (let round = 0; round < 4; round++) {
    const after = new Float64Array(now.length);
    for (let v = 0; v < graph.vertexCount; v++) {
      let x = 0;
      let y = 0;
      let z = 0;
      for (let i = start[v]; i < start[v + 1]; i++) {
        const w = 3 * neighbours[i];
        x += now[w];
        y += now[w + 1];
        z += now[w + 2];
      }
      const size = Math.sqrt(x * x + y * y + z * z) || 1;
      after[3 * v] = x / size;
      after[3 * v + 1] = y / size;
      after[3 * v + 2] = z / size;
    }
    now = after;
  }
  return now;
}

/** Triangles round a vertex. */
export function trianglesRound(graph: SurfaceGraph, v: number): number[] {
  const out: number[] = [];
  const first = graph.leaving[v];
  for (let h = first; h >= 0;) {
    out.push(Math.floor(h / 3));
    h = graph.twin[next(next(h))];
    if (h === first) break;
  }
  return out;
}

function corner(graph: SurfaceGraph, t: number, k: number): Vec {
  return at(graph.mesh.positions, graph.mesh.triangles[3 * t + k]);
}

/**
 * Nearest point of a triangle, as weights, and its distance.
 *
 * @source Ericson, Real-Time Collision Detection, 2005, 5.1.5 (closest point on a triangle)
 */
function nearestIn(graph: SurfaceGraph, t: number, p: Vec): [SurfacePoint, number] {
  const [a, b, c] = [corner(graph, t, 0), corner(graph, t, 1), corner(graph, t, 2)];
  const weights = closest(p, a, b, c);
  const q: Vec = [0, 1, 2].map((k) => weights[0] * a[k] + weights[1] * b[k] + weights[2] * c[k]) as Vec;
  return [{ triangle: t, weights }, apart(p, q)];
}

function closest(p: Vec, a: Vec, b: Vec, c: Vec): [number, number, number] {
  const ab = sub(b, a);
  const ac = sub(c, a);
  const ap = sub(p, a);
  const d1 = dot(ab, ap);
  const d2 = dot(ac, ap);
  if (d1 <= 0 && d2 <= 0) return [1, 0, 0];
  const bp = sub(p, b);
  const d3 = dot(ab, bp);
  const d4 = dot(ac, bp);
  if (d3 >= 0 && d4 <= d3) return [0, 1, 0];
  const vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return [1 - d1 / (d1 - d3), d1 / (d1 - d3), 0];
  const cp = sub(p, c);
  const d5 = dot(ab, cp);
  const d6 = dot(ac, cp);
  if (d6 >= 0 && d5 <= d6) return [0, 0, 1];
  const vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return [1 - d2 / (d2 - d6), 0, d2 / (d2 - d6)];
  const va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const w = (d4 - d3) / (d4 - d3 + (d5 - d6));
    return [0, 1 - w, w];
  }
  const sum = va + vb + vc || 1;
  return [1 - vb / sum - vc / sum, vb / sum, vc / sum];
}

export function placeOf(graph: SurfaceGraph, point: SurfacePoint): Vec {
  const out: Vec = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    const q = corner(graph, point.triangle, k);
    for (let d = 0; d < 3; d++) out[d] += point.weights[k] * q[d];
  }
  return out;
}

/** A line runs past the rim of a scan at most so far, mm: what its ends are carried on, and some. Judgement. */
const PAST_RIM = 30;

/** How a walk along a stroke begins and ends. */
export interface TraceEnds {
  /** Place to begin at; by default the place nearest to the first point. */
  readonly from?: SurfacePoint | undefined;
  /** Place to end at; by default the place nearest to the last point. */
  readonly to?: SurfacePoint | undefined;
}

/**
 * Walks over the surface along a run of points near it, from triangle to triangle.
 *
 * @returns places that each share a triangle with the next: the start, one place on every edge crossed, the end;
 * undefined when the run leaves the surface
 */
export function traceStroke(
  graph: SurfaceGraph,
  finder: SurfaceFinder,
  points: readonly Vec[],
  closed: boolean,
  ends: TraceEnds = {},
): SurfacePoint[] | undefined {
  const look = Math.max(1.2 * graph.edge, 2);
  const normals = finder.normals;
  const run = closed ? [...points, ...leading(points, 4 * look)] : points;
  const start = ends.from ?? finder.find(run[0]);
  const goal = closed ? undefined : (ends.to ?? finder.find(run[run.length - 1]));
  if (!start || (!closed && !goal)) return undefined;
  const path: SurfacePoint[] = [start];
  let here = placeOf(graph, start);
  let i = 0;
  let triangle = -1;
  let entry = -1;
  const most = 40 * run.length + 2000;
  for (let steps = 0; steps < most; steps++) {
    i = nearestAhead(run, i, here, look);
    // A ring ends where it first crossed an edge; a line at its goal.
    const end = closed ? (i >= points.length - 2 && path.length > 4 ? path[1] : undefined) : goal;
    if (
      end &&
      triangle >= 0 &&
      (closed || nearEnd(run, i, 3 * look)) &&
      inTriangle(graph.mesh, end, triangle)
    ) {
      path.push(end);
      return closed ? path.slice(1) : path;
    }
    const target =
      end && (closed || nearEnd(run, i, 1.5 * look)) ? placeOf(graph, end) : ahead(run, i, here, look);
    const exit =
      triangle < 0
        ? firstExit(graph, normals, start, here, target)
        : exitOf(graph, normals, triangle, entry, here, target);
    if (!exit) return undefined;
    path.push(exit.place);
    here = placeOf(graph, exit.place);
    const g = graph.twin[exit.half];
    // At the rim a line may end, but not with most of it still to come: that lies beyond a hole.
    if (g < 0) return !closed && nearEnd(run, i, Math.max(3 * look, PAST_RIM)) ? path : undefined;
    triangle = Math.floor(g / 3);
    entry = g;
  }
  return undefined;
}

function nearEnd(run: readonly Vec[], i: number, reach: number): boolean {
  let left = 0;
  for (let k = i + 1; k < run.length && left <= reach; k++) left += apart(run[k - 1], run[k]);
  return left <= reach;
}

/** The first points of a ring, over a length. */
function leading(points: readonly Vec[], length: number): Vec[] {
  const out: Vec[] = [points[0]];
  let gone = 0;
  for (let i = 1; i < points.length && gone < length; i++) {
    gone += apart(points[i - 1], points[i]);
    out.push(points[i]);
  }
  return out;
}

function nearestAhead(run: readonly Vec[], from: number, here: Vec, look: number): number {
  let best = from;
  let least = apart(run[from], here);
  let gone = 0;
  for (let i = from + 1; i < run.length && gone < 3 * look; i++) {
    gone += apart(run[i - 1], run[i]);
    const d = apart(run[i], here);
    if (d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

function ahead(run: readonly Vec[], from: number, here: Vec, look: number): Vec {
  for (let i = from + 1; i < run.length; i++) if (apart(run[i], here) >= look) return run[i];
  return run[run.length - 1];
}

interface Exit {
  readonly half: number;
  readonly place: SurfacePoint;
}

/** The first edge crossed from a start that may lie inside a triangle, on an edge or at a vertex. */
function firstExit(
  graph: SurfaceGraph,
  normals: Float64Array,
  start: SurfacePoint,
  here: Vec,
  target: Vec,
): Exit | undefined {
  const support = [0, 1, 2].filter((k) => start.weights[k] > 0);
  const candidates =
    support.length === 3
      ? [start.triangle]
      : trianglesRound(graph, graph.mesh.triangles[3 * start.triangle + support[0]]).filter((t) =>
          inTriangle(graph.mesh, start, t),
        );
  let best: Exit | undefined;
  let most = -Infinity;
  for (const t of candidates) {
    const weights = inTriangle(graph.mesh, start, t)!.weights;
    for (let k = 0; k < 3; k++) {
      // An edge that holds the start is no way out.
      if (weights[(k + 2) % 3] <= 1e-9) continue;
      const half = 3 * t + k;
      const hit = crossEdge(graph, half, here, cutPlane(normals, graph, t, here, target));
      if (hit === undefined) continue;
      const place = onEdge(half, hit);
      const gain = dot(unit(sub(placeOf(graph, place), here)), unit(sub(target, here)));
      if (gain <= 0) continue;
      if (gain > most) {
        most = gain;
        best = { half, place };
      }
    }
  }
  return best;
}

/**
 * Where the way to the target leaves a triangle that was entered through `entry`. The way is cut out by a plane that
 * stands upright on the surface around, so that single steep triangles (spikes of a scan) do not turn it.
 */
function exitOf(
  graph: SurfaceGraph,
  normals: Float64Array,
  t: number,
  entry: number,
  here: Vec,
  target: Vec,
): Exit {
  const [first, second] = [next(entry), next(next(entry))];
  const apex = at(graph.mesh.positions, graph.mesh.triangles[second]);
  const plane = cutPlane(normals, graph, t, here, target);
  // With the apex left of the way, the way leaves to its right, through the first of the two other edges.
  const half = dot(sub(apex, here), plane) < 0 ? first : second;
  const hit = crossEdge(graph, half, here, plane);
  return { half, place: onEdge(half, hit ?? (half === second ? 0.97 : 0.03)) };
}

/** Normal of the upright plane through here and the target, pointing right of the way. */
function cutPlane(normals: Float64Array, graph: SurfaceGraph, t: number, here: Vec, target: Vec): Vec {
  const up: Vec = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    const v = graph.mesh.triangles[3 * t + k];
    for (let d = 0; d < 3; d++) up[d] += normals[3 * v + d];
  }
  return cross(sub(target, here), up);
}

/** Fraction along a half-edge at which a plane through here crosses it. */
function crossEdge(graph: SurfaceGraph, half: number, here: Vec, plane: Vec): number | undefined {
  const [a, b] = [
    at(graph.mesh.positions, graph.mesh.triangles[half]),
    at(graph.mesh.positions, graph.mesh.triangles[next(half)]),
  ];
  const ga = dot(sub(a, here), plane);
  const gb = dot(sub(b, here), plane);
  if (ga > 0 === gb > 0) return undefined;
  return Math.max(0.03, Math.min(0.97, ga / (ga - gb)));
}

function onEdge(half: number, f: number): SurfacePoint {
  const weights: [number, number, number] = [0, 0, 0];
  weights[half % 3] = 1 - f;
  weights[next(half) % 3] = f;
  return { triangle: Math.floor(half / 3), weights };
}

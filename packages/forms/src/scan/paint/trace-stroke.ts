import { inTriangle, type SurfacePoint } from "@peltry/geometry";
import { next } from "../repair/edge-table";
import { PointGrid } from "./point-grid";
import type { SurfaceGraph } from "./surface-graph";
import { add, apart, at, cross, dot, size, sub, unit, type Vec } from "./vector";

/** Finds the place on a surface that is nearest to a point in space. */
export class SurfaceFinder {
  private readonly grid: PointGrid;

  constructor(private readonly graph: SurfaceGraph) {
    const p = graph.mesh.positions;
    this.grid = new PointGrid(Array.from({ length: graph.vertexCount }, (_, v) => at(p, v)), 2.5 * graph.edge);
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

/** How a walk along a stroke begins and ends. */
export interface TraceEnds {
  /** Place to begin at; by default the place nearest to the first point. */
  readonly from?: SurfacePoint | undefined;
  /** Place to end at; by default the place nearest to the last point. */
  readonly to?: SurfacePoint | undefined;
  /** How far to carry straight on past either free end until the surface's border is met, mm; the end stays when it is not. */
  readonly carryOn?: number;
}

/**
 * Walks over the surface along a run of points near it, from triangle to triangle.
 *
 * @returns places that each share a triangle with the next: the start, one place on every edge crossed, the end;
 * undefined when the run leaves the surface
 */
export function traceStroke(graph: SurfaceGraph, finder: SurfaceFinder, points: readonly Vec[], closed: boolean, ends: TraceEnds = {}): SurfacePoint[] | undefined {
  const run = closed ? [...points, points[0], points[1]] : points;
  const start = ends.from ?? finder.find(run[0]);
  const goal = closed ? undefined : (ends.to ?? finder.find(run[run.length - 1]));
  if (!start || (!closed && !goal)) return undefined;
  const path: SurfacePoint[] = [start];
  let here = placeOf(graph, start);
  let i = 0;
  let triangle = -1;
  let entry = -1;
  const look = Math.max(1.2 * graph.edge, 2);
  const most = 40 * run.length + 2000;
  for (let steps = 0; steps < most; steps++) {
    i = nearestAhead(run, i, here, look);
    if (goal && triangle >= 0 && i >= run.length - 2 - Math.ceil(look) && inTriangle(graph.mesh, goal, triangle)) {
      path.push(goal);
      return path;
    }
    if (closed && steps > 3 && i >= run.length - 3 && triangle >= 0) {
      const again = inTriangle(graph.mesh, path[1], triangle);
      if (again) {
        path.shift();
        path.push(path[0]);
        return path;
      }
    }
    const target = goal && i + 1 >= run.length - 1 ? placeOf(graph, goal) : ahead(run, i, here, look);
    const exit = triangle < 0 ? firstExit(graph, start, here, target) : exitOf(graph, triangle, entry, here, target);
    if (!exit) return path.length > 1 && !goal ? undefined : undefined;
    path.push(exit.place);
    here = placeOf(graph, exit.place);
    const g = graph.twin[exit.half];
    if (g < 0) return closed ? undefined : path;
    triangle = Math.floor(g / 3);
    entry = g;
  }
  return undefined;
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
function firstExit(graph: SurfaceGraph, start: SurfacePoint, here: Vec, target: Vec): Exit | undefined {
  const support = [0, 1, 2].filter((k) => start.weights[k] > 0);
  const candidates =
    support.length === 3
      ? [start.triangle]
      : trianglesRound(graph, graph.mesh.triangles[3 * start.triangle + support[0]]).filter((t) => inTriangle(graph.mesh, start, t));
  let best: Exit | undefined;
  let most = -Infinity;
  for (const t of candidates) {
    const weights = inTriangle(graph.mesh, start, t)!.weights;
    for (let k = 0; k < 3; k++) {
      // An edge that holds the start is no way out.
      if (weights[(k + 2) % 3] <= 1e-9) continue;
      const half = 3 * t + k;
      const hit = crossEdge(graph, half, here, target);
      if (hit === undefined) continue;
      const place = onEdge(half, hit);
      const gain = dot(unit(sub(placeOf(graph, place), here)), unit(sub(target, here)));
      if (gain > most) {
        most = gain;
        best = { half, place };
      }
    }
  }
  return best;
}

/** Where the way to the target leaves a triangle that was entered through `entry`. */
function exitOf(graph: SurfaceGraph, t: number, entry: number, here: Vec, target: Vec): Exit | undefined {
  const [first, second] = [next(entry), next(next(entry))];
  const apex = at(graph.mesh.positions, graph.mesh.triangles[second]);
  const normal = cross(sub(corner(graph, t, 1), corner(graph, t, 0)), sub(corner(graph, t, 2), corner(graph, t, 0)));
  const way = sub(target, here);
  // Left of the way to the apex lies the second edge, right of it the first.
  const side = dot(cross(sub(apex, here), way), normal);
  const half = side > 0 ? second : first;
  const hit = crossEdge(graph, half, here, target);
  return { half, place: onEdge(half, hit ?? (side > 0 ? 0.97 : 0.03)) };
}

/** Fraction along a half-edge at which the way from here to the target, seen in its triangle's plane, crosses it. */
function crossEdge(graph: SurfaceGraph, half: number, here: Vec, target: Vec): number | undefined {
  const t = Math.floor(half / 3);
  const [a, b] = [at(graph.mesh.positions, graph.mesh.triangles[half]), at(graph.mesh.positions, graph.mesh.triangles[next(half)])];
  const normal = cross(sub(corner(graph, t, 1), corner(graph, t, 0)), sub(corner(graph, t, 2), corner(graph, t, 0)));
  const plane = cross(sub(target, here), normal);
  const ga = dot(sub(a, here), plane);
  const gb = dot(sub(b, here), plane);
  if (ga > 0 === gb > 0 || size(plane) === 0) return undefined;
  const f = ga / (ga - gb);
  const hit = add(a, sub(b, a), f);
  if (dot(sub(hit, here), sub(target, here)) <= 0) return undefined;
  return Math.max(0.03, Math.min(0.97, f));
}

function onEdge(half: number, f: number): SurfacePoint {
  const weights: [number, number, number] = [0, 0, 0];
  weights[half % 3] = 1 - f;
  weights[next(half) % 3] = f;
  return { triangle: Math.floor(half / 3), weights };
}

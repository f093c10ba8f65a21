// Approaches tried: re-triangulating each crossed triangle from its crossing points (fragile where paths share a triangle);
// walking from vertex to vertex in the plane of one base triangle and splitting what is crossed (this one: every step
// starts at a vertex, so new edges never cross the rest of the path).
import { fail } from "@peltry/issues";
import type { MeshRefinement } from "./mesh-refinement";
import { nextHalfEdge, previousHalfEdge } from "./mesh-topology";
import { inTriangle, supportVertices, type SurfacePoint } from "./surface-point";

/** How {@link insertPath} treats near misses. */
export interface InsertOptions {
  /** A crossing nearer to an edge's end than this fraction of the edge moves to that end. Default 0.1. */
  readonly snap?: number;
  /** Mark to put on the edges of the path; 0 or absent leaves them unmarked. */
  readonly mark?: number;
}

/**
 * Makes a path on the surface into a run of mesh edges, splitting the triangles that it crosses.
 *
 * @param refinement - changed in place
 * @param path - points on the BASE mesh; each lies in one base triangle with the next
 * @returns the vertices of the path in order, each joined to the next by an edge
 * @throws `geometry/empty-path`; `geometry/bad-surface-point` for a triangle that does not exist or weights that are none
 * @throws `geometry/path-leaves-triangle` when two neighbouring points share no base triangle
 * @remarks about linear in the triangles crossed; the path never snaps to a vertex of a line it does not end on
 */
export function insertPath(
  refinement: MeshRefinement,
  path: readonly SurfacePoint[],
  options: InsertOptions = {},
): number[] {
  const snap = options.snap ?? 0.1;
  if (path.length === 0)
    fail("geometry/empty-path", "The path has no point.", {}, { found: 0, limit: 1, fix: "Give a point." });
  path.forEach((point, index) => requireSurfacePoint(refinement, point, index));
  const vertices = [insertPoint(refinement, path[0], snap)];
  for (let i = 1; i < path.length; i++) {
    const from = vertices[vertices.length - 1];
    const triangle = commonTriangle(refinement, from, path[i]);
    if (triangle < 0) {
      fail(
        "geometry/path-leaves-triangle",
        `Point ${i} of the path shares no triangle with the point before it.`,
        { index: i, triangle: path[i].triangle },
        { fix: "Add the points where the path crosses the edges between." },
      );
    }
    walk(refinement, triangle, inTriangle(refinement.base, path[i], triangle)!, vertices, snap);
  }
  const simple = withoutLoops(vertices);
  if (options.mark) refinement.markPath(simple, options.mark);
  return simple;
}

/**
 * The vertex at a base point: an old one within the snap distance, else a new one.
 *
 * @throws `geometry/bad-surface-point`
 */
export function insertPoint(refinement: MeshRefinement, point: SurfacePoint, snap = 0.1): number {
  requireSurfacePoint(refinement, point, 0);
  let best = -1;
  let bestInside = -Infinity;
  let bestAt: [number, number, number] = [0, 0, 0];
  let bestTriangle = point.triangle;
  for (const triangle of [point.triangle, ...neighbours(refinement, point)]) {
    const here = inTriangle(refinement.base, point, triangle)!;
    for (const part of refinement.partsOf(triangle)) {
      const at = localWeights(refinement, triangle, part, here.weights);
      const inside = Math.min(at[0], at[1], at[2]);
      if (inside > bestInside) [best, bestInside, bestAt, bestTriangle] = [part, inside, at, triangle];
    }
    if (bestInside >= -1e-12) break;
  }
  return settle(refinement, bestTriangle, best, bestAt, point, snap);
}

/** Rounding that weights may carry: their least value and how far their sum is from 1. */
const WEIGHT_ERROR = 1e-6;

function requireSurfacePoint(
  refinement: MeshRefinement,
  { triangle, weights }: SurfacePoint,
  index: number,
): void {
  const triangles = refinement.base.triangles.length / 3;
  if (!Number.isInteger(triangle) || triangle < 0 || triangle >= triangles) {
    fail(
      "geometry/bad-surface-point",
      `Point ${index} names triangle ${triangle}; the mesh has ${triangles}.`,
      { index },
      { found: triangle, limit: triangles - 1, fix: "Take points of this very mesh." },
    );
  }
  const sum = weights[0] + weights[1] + weights[2];
  if (!(Math.abs(sum - 1) <= WEIGHT_ERROR && Math.min(...weights) >= -WEIGHT_ERROR)) {
    fail(
      "geometry/bad-surface-point",
      `Point ${index} has weights ${weights.join(", ")}, which are not inside triangle ${triangle}.`,
      { index, triangle },
      {
        found: sum,
        limit: 1,
        fix: "Give three weights of 0 or more that add up to 1; cleanWeights rounds them.",
      },
    );
  }
}

/** Base triangles beside the point's own that hold it too. */
function neighbours(refinement: MeshRefinement, point: SurfacePoint): number[] {
  const support = supportVertices(refinement.base, point);
  if (support.length === 3) return [];
  return refinement
    .baseStar(support[0])
    .filter((t) => t !== point.triangle && inTriangle(refinement.base, point, t) !== undefined);
}

/** Puts a point of a part on its nearest corner or edge when close, else in the middle of it. */
function settle(
  refinement: MeshRefinement,
  triangle: number,
  part: number,
  at: readonly [number, number, number],
  point: SurfacePoint,
  snap: number,
): number {
  const support = supportVertices(refinement.base, point).length;
  for (let k = 0; k < 3; k++) {
    if (at[k] < 1 - snap) continue;
    const v = refinement.corners[3 * part + k];
    // A point of a base edge may move along that edge only, so that the next triangle still finds it.
    if (support === 3 || supportOf(refinement, v, triangle, point)) return v;
  }
  for (let k = 0; k < 3; k++) {
    if (at[k] > (support === 3 ? snap / 2 : 1e-6)) continue;
    const h = 3 * part + ((k + 1) % 3);
    const t = at[(k + 2) % 3] / Math.max(1e-300, at[(k + 1) % 3] + at[(k + 2) % 3]);
    const a = refinement.corners[h];
    const b = refinement.corners[nextHalfEdge(h)];
    if (t < snap && (support === 3 || supportOf(refinement, a, triangle, point))) return a;
    if (t > 1 - snap && (support === 3 || supportOf(refinement, b, triangle, point))) return b;
    return refinement.splitEdge(h, Math.min(1 - 1e-6, Math.max(1e-6, t)));
  }
  return refinement.splitTriangle(part, point);
}

/** Whether v lies on the base edge (or vertex) that carries the point. */
function supportOf(refinement: MeshRefinement, v: number, triangle: number, point: SurfacePoint): boolean {
  const at = refinement.weightsIn(v, triangle);
  const edge = inTriangle(refinement.base, point, triangle);
  if (!at || !edge) return false;
  for (let k = 0; k < 3; k++) if (at[k] > 0 && edge.weights[k] <= 0) return false;
  return true;
}

/** A base triangle that holds both the vertex and the point; -1 when there is none. */
function commonTriangle(refinement: MeshRefinement, v: number, point: SurfacePoint): number {
  if (refinement.weightsIn(v, point.triangle)) return point.triangle;
  for (const t of refinement.baseStar(supportVertices(refinement.base, point)[0])) {
    if (refinement.weightsIn(v, t) && inTriangle(refinement.base, point, t)) return t;
  }
  return -1;
}

/** Weights of a base point in one part of its base triangle. */
function localWeights(
  refinement: MeshRefinement,
  triangle: number,
  part: number,
  q: readonly [number, number, number],
): [number, number, number] {
  const a = refinement.weightsIn(refinement.corners[3 * part], triangle)!;
  const b = refinement.weightsIn(refinement.corners[3 * part + 1], triangle)!;
  const c = refinement.weightsIn(refinement.corners[3 * part + 2], triangle)!;
  const area = cross(a, b, c);
  if (area === 0) return [-1, -1, -1];
  return [cross(q, b, c) / area, cross(a, q, c) / area, cross(a, b, q) / area];
}

/** Twice the signed area of three points in weights 1 and 2 as plane coordinates. */
function cross(a: readonly number[], b: readonly number[], c: readonly number[]): number {
  return (b[1] - a[1]) * (c[2] - a[2]) - (b[2] - a[2]) * (c[1] - a[1]);
}

/** Steps from the last vertex to the point q of one base triangle, splitting edges on the way. */
function walk(
  refinement: MeshRefinement,
  triangle: number,
  q: SurfacePoint,
  vertices: number[],
  snap: number,
): void {
  for (let guard = 0; guard < 10000; guard++) {
    const m = vertices[vertices.length - 1];
    const here = refinement.weightsIn(m, triangle);
    if (!here) break;
    if (distance2(here, q.weights) < 1e-18) return;
    const step = findWedge(refinement, triangle, m, here, q.weights);
    if (!step) break;
    const next = advance(refinement, triangle, step, here, q, snap);
    if (next === m) return;
    threadCrossing(vertices, refinement, next);
    vertices.push(next);
    const at = refinement.weightsIn(next, triangle)!;
    // Snapped to the goal's neighbour: a point inside may end there, so may one on its own edge.
    if (step.last && next !== m) {
      if (distance2(at, q.weights) < 1e-18 || step.settled) return;
    }
  }
}

interface Wedge {
  /** Part whose corner is the present vertex. */
  readonly part: number;
  /** Half-edge opposite to the present vertex. */
  readonly opposite: number;
  last: boolean;
  settled: boolean;
}

/** The part round the present vertex that the way to q enters. */
function findWedge(
  refinement: MeshRefinement,
  triangle: number,
  m: number,
  here: readonly number[],
  q: readonly number[],
): Wedge | undefined {
  let best: Wedge | undefined;
  let bestFit = -1e-7;
  for (const h of refinement.star(m)) {
    const part = Math.floor(h / 3);
    if (refinement.baseTriangle[part] !== triangle) continue;
    const n = nextHalfEdge(h);
    const a = refinement.weightsIn(refinement.corners[n], triangle)!;
    const b = refinement.weightsIn(refinement.corners[nextHalfEdge(n)], triangle)!;
    const size = Math.abs(cross(here, a, b)) + 1e-300;
    const left = cross(here, a, q) / size;
    const right = cross(here, q, b) / size;
    // Ahead, not behind: the sum is the share of the way to the far edge.
    if (left + right <= 0) continue;
    const fit = Math.min(left, right) / (Math.abs(left) + Math.abs(right));
    if (fit > bestFit) {
      bestFit = fit;
      best = { part, opposite: n, last: false, settled: false };
    }
  }
  return best;
}

/** The next vertex towards q: q itself when it lies in the wedge's part, else where the far edge is crossed. */
function advance(
  refinement: MeshRefinement,
  triangle: number,
  step: Wedge,
  here: readonly number[],
  q: SurfacePoint,
  snap: number,
): number {
  const n = step.opposite;
  const va = refinement.corners[n];
  const vb = refinement.corners[nextHalfEdge(n)];
  const a = refinement.weightsIn(va, triangle)!;
  const b = refinement.weightsIn(vb, triangle)!;
  const area = cross(here, a, b);
  const toB = Math.max(0, cross(here, a, q.weights) / area);
  const toA = Math.max(0, cross(here, q.weights, b) / area);
  const share = toA + toB;
  const support = supportVertices(refinement.base, q).length;
  if (share < 1 - 1e-9) {
    step.last = true;
    const local: [number, number, number] = [0, 0, 0];
    const k = previousHalfEdge(n) % 3;
    local[k] = 1 - share;
    local[(k + 1) % 3] = toA;
    local[(k + 2) % 3] = toB;
    step.settled = true;
    return settle(refinement, triangle, step.part, local, q, snap);
  }
  const t = toB / share;
  const ends = share < 1 + 1e-9;
  if (ends) step.last = step.settled = true;
  const open = (v: number): boolean =>
    ends
      ? support === 3 || supportOf(refinement, v, triangle, q)
      : !refinement.onLine(v) || refinement.mark[n] !== 0;
  if (t < (open(va) ? snap : 1e-6)) return va;
  if (t > 1 - (open(vb) ? snap : 1e-6)) return vb;
  return refinement.splitEdge(n, t);
}

function distance2(a: readonly number[], b: readonly number[]): number {
  return (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2 + (a[0] - b[0]) ** 2;
}

/** A new vertex that divides an earlier edge of this same path belongs into that edge too; the loop goes later. */
function threadCrossing(vertices: number[], refinement: MeshRefinement, added: number): void {
  if (added !== refinement.vertexCount - 1) return;
  const beside = new Set(refinement.star(added).map((h) => refinement.corners[nextHalfEdge(h)]));
  for (let i = 1; i < vertices.length; i++) {
    if (!beside.has(vertices[i - 1]) || !beside.has(vertices[i])) continue;
    if (refinement.edgeBetween(vertices[i - 1], vertices[i]) >= 0) continue;
    vertices.splice(i, 0, added);
    return;
  }
}

/** Drops what lies between two visits of the same vertex. */
function withoutLoops(vertices: readonly number[]): number[] {
  const seen = new Map<number, number>();
  const out: number[] = [];
  for (const v of vertices) {
    const before = seen.get(v);
    if (before !== undefined) {
      for (const dropped of out.splice(before + 1)) seen.delete(dropped);
      continue;
    }
    seen.set(v, out.length);
    out.push(v);
  }
  return out;
}

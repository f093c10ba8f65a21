import { geodesicPath } from "./geodesic";
import type { MeshRefinement } from "./mesh-refinement";
import { nextHalfEdge } from "./mesh-topology";
import {
  cleanWeights,
  inTriangle,
  supportVertices,
  surfacePosition,
  type SurfacePoint,
} from "./surface-point";
import type { TriangleMesh } from "./types";

/**
 * Joins places on a mesh into one path: between neighbours it goes through the triangles cut by a plane that holds both
 * and stands on the surface, or, where that fails, along the shortest path.
 *
 * @param surface - the mesh with its neighbours
 * @param places - at least one
 * @returns points, each in one triangle with the next
 */
export function tracePath(surface: MeshRefinement, places: readonly SurfacePoint[]): SurfacePoint[] {
  const out: SurfacePoint[] = [places[0]];
  for (let i = 1; i < places.length; i++) {
    const from = out[out.length - 1];
    const steps = planeWalk(surface, from, places[i]) ?? shortest(surface, from, places[i]);
    out.push(...steps);
  }
  return out.filter((point, i) => i === 0 || !samePlace(surface.base, point, out[i - 1]));
}

function samePlace(mesh: TriangleMesh, a: SurfacePoint, b: SurfacePoint): boolean {
  const p = surfacePosition(mesh, a);
  const q = surfacePosition(mesh, b);
  return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]) < 1e-9;
}

/** Triangles that hold a place. */
function holders(surface: MeshRefinement, place: SurfacePoint): number[] {
  const support = supportVertices(surface.base, place);
  if (support.length === 3) return [place.triangle];
  return surface.baseStar(support[0]).filter((t) => inTriangle(surface.base, place, t) !== undefined);
}

function planeWalk(
  surface: MeshRefinement,
  from: SurfacePoint,
  to: SurfacePoint,
): SurfacePoint[] | undefined {
  const mesh = surface.base;
  const p = mesh.positions;
  const a = surfacePosition(mesh, from);
  const b = surfacePosition(mesh, to);
  const d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const goal = Math.hypot(d[0], d[1], d[2]);
  if (goal < 1e-9) return [];
  const up = [0, 0, 0];
  for (const t of [from.triangle, to.triangle]) {
    const n = normal(mesh, t);
    for (let i = 0; i < 3; i++) up[i] += n[i];
  }
  const n = [d[1] * up[2] - d[2] * up[1], d[2] * up[0] - d[0] * up[2], d[0] * up[1] - d[1] * up[0]];
  const side = (v: number): number =>
    n[0] * (p[3 * v] - a[0]) + n[1] * (p[3 * v + 1] - a[1]) + n[2] * (p[3 * v + 2] - a[2]);
  const ahead = (x: readonly number[]): number =>
    ((x[0] - a[0]) * d[0] + (x[1] - a[1]) * d[1] + (x[2] - a[2]) * d[2]) / goal;
  const out: SurfacePoint[] = [];
  let now = from;
  for (let guard = 0; guard < 400; guard++) {
    const around = holders(surface, now);
    if (around.some((t) => inTriangle(mesh, to, t))) {
      out.push(to);
      return out;
    }
    const reached = ahead(surfacePosition(mesh, now));
    let best: SurfacePoint | undefined;
    let step = Infinity;
    for (const t of around) {
      for (let k = 0; k < 3; k++) {
        const h = 3 * t + k;
        const u = mesh.triangles[h];
        const v = mesh.triangles[nextHalfEdge(h)];
        const su = side(u);
        const sv = side(v);
        if ((su > 0 && sv > 0) || (su < 0 && sv < 0) || su === sv) continue;
        const s = su / (su - sv);
        const weights: [number, number, number] = [0, 0, 0];
        weights[k] = 1 - s;
        weights[(k + 1) % 3] = s;
        const point: SurfacePoint = { triangle: t, weights: cleanWeights(...weights, 1e-7) };
        const gain = ahead(surfacePosition(mesh, point)) - reached;
        // The nearest crossing that leads on.
        if (gain > 1e-7 && gain < step) {
          step = gain;
          best = point;
        }
      }
    }
    if (!best || reached > goal + 1e-6) return undefined;
    out.push(best);
    now = best;
  }
  return undefined;
}

function normal(mesh: TriangleMesh, t: number): number[] {
  const p = mesh.positions;
  const [a, b, c] = [0, 1, 2].map((k) => 3 * mesh.triangles[3 * t + k]);
  const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const size = Math.hypot(n[0], n[1], n[2]) || 1;
  return n.map((x) => x / size);
}

/** Shortest path between the strongest corners of two places. */
function shortest(surface: MeshRefinement, from: SurfacePoint, to: SurfacePoint): SurfacePoint[] {
  const mesh = surface.base;
  const corner = ({ triangle, weights }: SurfacePoint): number =>
    mesh.triangles[3 * triangle + weights.indexOf(Math.max(...weights))];
  const [a, b] = [corner(from), corner(to)];
  if (a === b) return [surface.place[a], to];
  const path = geodesicPath({ positions: mesh.positions, corners: mesh.triangles, twin: surface.twin }, a, [
    b,
  ]);
  if (!path) return [to];
  const points = path.points.map((point) =>
    point.half < 0 ? surface.place[point.vertex] : surface.placeOnEdge(point.half, point.t),
  );
  return [...points, to];
}

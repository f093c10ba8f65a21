import type { SurfacePoint } from "@peltry/geometry";
import type { SurfaceGraph } from "./surface-graph";
import { placeOf } from "./trace-stroke";
import { add, at, dot, sub, type Vec } from "./vector";

/**
 * Takes the small zigzags out of a walk over the surface: each place slides along the edge that it lies on towards the
 * straight way between its neighbours. Both ends stay; a ring's as well.
 *
 * @param rounds - few: many would turn the walk into a shortest way and leave the drawing
 */
export function straightenTrace(
  graph: SurfaceGraph,
  trace: readonly SurfacePoint[],
  rounds: number,
): SurfacePoint[] {
  const out = trace.slice();
  const places = out.map((q) => placeOf(graph, q));
  for (let round = 0; round < rounds; round++) {
    for (let i = 1; i + 1 < out.length; i++) {
      const edge = edgeUnder(out[i]);
      if (!edge) continue;
      const [from, to] = edge;
      const { triangle } = out[i];
      const a = at(graph.mesh.positions, graph.mesh.triangles[3 * triangle + from]);
      const way = sub(at(graph.mesh.positions, graph.mesh.triangles[3 * triangle + to]), a);
      const t = Math.max(0.04, Math.min(0.96, nearestOnEdge(a, way, places[i - 1], places[i + 1])));
      const weights: [number, number, number] = [0, 0, 0];
      weights[from] = 1 - t;
      weights[to] = t;
      out[i] = { triangle, weights };
      places[i] = add(a, way, t);
    }
  }
  return out;
}

/** Corners of the edge that a place lies inside of. */
function edgeUnder(place: SurfacePoint): [number, number] | undefined {
  const on = [0, 1, 2].filter((k) => place.weights[k] > 0);
  return on.length === 2 ? [on[0], on[1]] : undefined;
}

/** Fraction along an edge of its place nearest to the straight line between two points. */
function nearestOnEdge(a: Vec, way: Vec, p: Vec, q: Vec): number {
  const line = sub(q, p);
  const gap = sub(a, p);
  const ww = dot(way, way);
  const ll = dot(line, line);
  const wl = dot(way, line);
  const both = ww * ll - wl * wl;
  if (!(both > 1e-9 * ww * ll)) return 0.5;
  return (wl * dot(line, gap) - ll * dot(way, gap)) / both;
}

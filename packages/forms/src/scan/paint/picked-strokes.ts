import {
  buildEdgeTable,
  twinsOf,
  extractTriangles,
  geodesicPath,
  geodesicSurface,
  graphPosition,
  type Point3,
  type TriangleMesh,
} from "@peltry/geometry";
import { fail } from "@peltry/issues";
import type { FittedStroke } from "./fit-strokes";
import type { SurfaceGraph } from "./surface-graph";
import { placeOf, type SurfaceFinder } from "./trace-stroke";
import { apart, at, resample, type Vec } from "./vector";

/** A line that somebody picked point by point. */
export interface PickedLine {
  readonly id: string;
  readonly name?: string | undefined;
  /** Places on or near the surface, in the scan's own axes, mm; at least two, three for a ring. */
  readonly points: readonly Point3[];
  readonly closed?: boolean | undefined;
}

/**
 * Joins picked points by shortest ways over the surface.
 *
 * @param points - picked points, turned to the form's axes
 * @throws `forms/bad-pick` when a point is far from the surface, or two of them lie on different pieces
 */
export function pickedStroke(
  graph: SurfaceGraph,
  finder: SurfaceFinder,
  points: readonly Vec[],
  closed: boolean,
  index: number,
): FittedStroke {
  if (points.length < (closed ? 3 : 2) || !points.every((q) => q.every(Number.isFinite))) {
    fail(
      "forms/bad-pick",
      `Picked line ${index} has too few points, or one that is no place.`,
      { path: ["picked", index] },
      { found: points.length, limit: closed ? 3 : 2, fix: "Pick at least two points, three for a ring." },
    );
  }
  const places = points.map((q, i) => {
    const place = finder.find(q);
    if (!place) {
      fail(
        "forms/bad-pick",
        `Point ${i} of picked line ${index} lies nowhere near the surface.`,
        { path: ["picked", index, "points", i], point: [...q] },
        { fix: "Pick it on the scan, in mm." },
      );
    }
    return placeOf(graph, place);
  });
  const run: Vec[] = [places[0]];
  const stretches = closed ? places.length : places.length - 1;
  for (let i = 0; i < stretches; i++)
    run.push(
      ...wayBetween(graph.mesh, places[i], places[(i + 1) % places.length], index, i),
      places[(i + 1) % places.length],
    );
  if (closed) run.pop();
  const even = resample(run, Math.max(1.5, 0.5 * graph.edge), closed);
  return { points: even, closed, joined: [false, false] };
}

/** The inner points of the shortest way, searched in ever wider surroundings. */
function wayBetween(mesh: TriangleMesh, from: Vec, to: Vec, line: number, stretch: number): Vec[] {
  const middle: Vec = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2, (from[2] + to[2]) / 2];
  const span = apart(from, to);
  for (const reach of [0.9 * span + 20, 2.5 * span + 60, Infinity]) {
    const near = trianglesWithin(mesh, middle, reach);
    if (near.length === 0) continue;
    const part = extractTriangles(mesh, near).mesh;
    const twin = twinsOf(buildEdgeTable(part.triangles, part.positions.length / 3));
    const surface = geodesicSurface(part, twin);
    const path = geodesicPath(surface, nearestVertex(part, from), [nearestVertex(part, to)]);
    if (path) return path.points.slice(1, -1).map((q) => [...graphPosition(surface, q)] as Vec);
  }
  return fail(
    "forms/bad-pick",
    `Points ${stretch} and ${stretch + 1} of picked line ${line} lie on different pieces of the scan.`,
    { path: ["picked", line, "points", stretch] },
    { fix: "Pick points on one piece." },
  );
}

function trianglesWithin(mesh: TriangleMesh, middle: Vec, reach: number): number[] {
  const out: number[] = [];
  for (let t = 0; t < mesh.triangles.length / 3; t++)
    if (apart(at(mesh.positions, mesh.triangles[3 * t]), middle) <= reach) out.push(t);
  return out;
}

function nearestVertex(mesh: TriangleMesh, place: Vec): number {
  let best = 0;
  let least = Infinity;
  for (let v = 0; v < mesh.positions.length / 3; v++) {
    const d = apart(at(mesh.positions, v), place);
    if (d < least) {
      least = d;
      best = v;
    }
  }
  return best;
}

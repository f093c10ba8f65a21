import { nextHalfEdge as next, buildEdgeTable, type Point3, type TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { shown } from "../parts/number";
import { needMesh } from "./check-mesh";

/** One run of a level cut. */
export interface GirthLoop {
  /** Length along the surface, into every hollow, mm. */
  readonly contourMm: number;
  /** Length of a tape drawn tight round it (the convex hull), mm. */
  readonly tapeMm: number;
  /** False where the cut runs into a rim; the tape then bridges the gap. */
  readonly closed: boolean;
  /** Points in order, mm. */
  readonly points: readonly Point3[];
}

/**
 * Girths of a mesh at a level: one loop for each limb that the level cuts, longest first.
 *
 * @param level - height along `axis`, mm
 * @param axis - 0 for x, 1 for y (default), 2 for z
 * @throws `forms/bad-call` when the level is no number, the axis none, or the mesh none
 * @source a tape girth is the perimeter of the section's convex hull; hull by Andrew, Another efficient algorithm for
 * convex hulls in two dimensions, 1979
 */
export function measureGirths(mesh: TriangleMesh, level: number, axis: 0 | 1 | 2 = 1): GirthLoop[] {
  if (!Number.isFinite(level) || ![0, 1, 2].includes(axis))
    fail(
      "forms/bad-call",
      "The level is no number, or its axis is none.",
      {},
      { found: shown(level), fix: "Pass a height in mm, and 0, 1 or 2 for its axis." },
    );
  const { positions: p, triangles } = needMesh(mesh);
  const table = buildEdgeTable(triangles, p.length / 3);
  // A vertex on the level counts as just above it.
  const above = (v: number): boolean => p[3 * v + axis] >= level;
  const cutOf = new Map<number, Point3>();
  const beside = new Map<number, number[]>();
  for (let t = 0; t < triangles.length / 3; t++) {
    const ends: number[] = [];
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const [a, b] = [triangles[h], triangles[next(h)]];
      if (above(a) === above(b)) continue;
      const e = table.edgeOf[h];
      ends.push(e);
      if (!cutOf.has(e)) {
        const f = (level - p[3 * a + axis]) / (p[3 * b + axis] - p[3 * a + axis]);
        cutOf.set(
          e,
          [0, 1, 2].map((k) => p[3 * a + k] + f * (p[3 * b + k] - p[3 * a + k])) as unknown as Point3,
        );
      }
    }
    if (ends.length !== 2) continue;
    for (const [a, b] of [ends, [ends[1], ends[0]]]) {
      const list = beside.get(a);
      if (list) list.push(b);
      else beside.set(a, [b]);
    }
  }
  return chain(beside)
    .map(({ edges, closed }) =>
      measure(
        edges.map((e) => cutOf.get(e)!),
        closed,
        axis,
      ),
    )
    .filter((loop) => loop.contourMm > 0)
    .sort((a, b) => b.contourMm - a.contourMm);
}

function chain(beside: ReadonlyMap<number, readonly number[]>): { edges: number[]; closed: boolean }[] {
  const seen = new Set<number>();
  const out: { edges: number[]; closed: boolean }[] = [];
  const walk = (start: number): void => {
    const edges: number[] = [];
    let here: number | undefined = start;
    let before = -1;
    while (here !== undefined && !seen.has(here)) {
      seen.add(here);
      edges.push(here);
      const from: number = before;
      before = here;
      here = beside.get(here)!.find((e) => e !== from && !seen.has(e));
    }
    out.push({
      edges,
      closed: edges.length > 2 && beside.get(before)!.includes(start) && beside.get(start)!.length > 1,
    });
  };
  for (const [e, list] of beside) if (list.length === 1 && !seen.has(e)) walk(e);
  for (const e of beside.keys()) if (!seen.has(e)) walk(e);
  return out;
}

function measure(points: Point3[], closed: boolean, axis: number): GirthLoop {
  let contourMm = 0;
  for (let i = closed ? 0 : 1; i < points.length; i++) {
    const [a, b] = [points[(i + points.length - 1) % points.length], points[i]];
    contourMm += Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
  }
  return {
    contourMm,
    tapeMm: hullLength(points.map((q) => [q[(axis + 1) % 3], q[(axis + 2) % 3]])),
    closed,
    points,
  };
}

function hullLength(points: [number, number][]): number {
  const sorted = points.slice().sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: [number, number][]): [number, number][] => {
    const hull: [number, number][] = [];
    for (const q of list) {
      while (hull.length > 1 && turn(hull[hull.length - 2], hull[hull.length - 1], q) <= 0) hull.pop();
      hull.push(q);
    }
    return hull.slice(0, -1);
  };
  const hull = [...half(sorted), ...half(sorted.slice().reverse())];
  return hull.reduce(
    (sum, q, i) =>
      sum + Math.hypot(q[0] - hull[(i + 1) % hull.length][0], q[1] - hull[(i + 1) % hull.length][1]),
    0,
  );
}

function turn(a: [number, number], b: [number, number], c: [number, number]): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

import {
  insertPath,
  MeshRefinement,
  nextHalfEdge,
  previousHalfEdge,
  supportVertices,
  type SurfacePoint,
  type TriangleMesh,
} from "@peltry/geometry";
import { withoutHooks } from "./hooks";
import { refineCorners } from "./search/refine-corners";

/** A form with all its lines as edges. */
export interface RefinedLines {
  readonly refinement: MeshRefinement;
  /** Vertices of each given line, then of each cut, on the refined mesh. */
  readonly fixed: readonly (readonly number[])[];
  readonly cuts: readonly (readonly number[])[];
}

/** First mark of the cuts here; marks below belong to given lines. */
const CUTS_FROM = 1_000_000;

/**
 * Inserts cuts into a form, see `insertPath` for `snap`, and follows every line through the splits. With the `room` of a cloth
 * the triangles at corners too sharp for it are divided first.
 */
export function refineAlong(
  mesh: TriangleMesh,
  fixed: readonly { readonly path: readonly number[]; readonly closed: boolean }[],
  regions: Int32Array,
  cuts: readonly (readonly SurfacePoint[])[],
  { snap = 0.12, room }: { readonly snap?: number | undefined; readonly room?: number | undefined } = {},
): RefinedLines {
  const refinement = new MeshRefinement(mesh);
  fixed.forEach(({ path, closed }, i) => refinement.markPath(closed ? [...path, path[0]] : path, i + 1));
  for (let h = 0; h < refinement.twin.length; h++) {
    const g = refinement.twin[h];
    if (g > h && regions[Math.floor(h / 3)] !== regions[Math.floor(g / 3)])
      refinement.markEdge(h, CUTS_FROM - 1);
  }
  if (room !== undefined) refineCorners(refinement, room);
  const first = cuts.map((path, i) => insertPath(refinement, path, { mark: CUTS_FROM + i, snap }));
  const given = fixed.map(({ path, closed }) => {
    const run = closed ? [...path, path[0]] : path;
    const full = joinRuns(run, (a, b) => alongBaseEdge(refinement, a, b));
    return closed ? full.slice(0, -1) : full;
  });
  const runs = first.map((path, i) => joinRuns(path, (a, b) => alongMark(refinement, a, b, CUTS_FROM + i)));
  return { refinement, fixed: given, cuts: withoutHooks(refinement, runs, verticesOnLines(refinement)) };
}

/** Vertices on borders, given lines and borders of regions. */
function verticesOnLines({ corners, twin, mark }: MeshRefinement): Set<number> {
  const out = new Set<number>();
  for (let h = 0; h < corners.length; h++) {
    if (twin[h] >= 0 && !(mark[h] > 0 && mark[h] < CUTS_FROM)) continue;
    out.add(corners[h]).add(corners[nextHalfEdge(h)]);
  }
  return out;
}

function joinRuns(path: readonly number[], between: (a: number, b: number) => number[]): number[] {
  const out = [path[0]];
  for (let i = 1; i < path.length; i++) out.push(...between(path[i - 1], path[i]).slice(1));
  return out;
}

/** Vertices from a to b along one edge of the base that may have been divided. */
function alongBaseEdge(refinement: MeshRefinement, a: number, b: number): number[] {
  const allowed = (v: number): boolean => {
    if (v === b) return true;
    const support = supportVertices(refinement.base, refinement.place[v]);
    return support.length === 2 && support.includes(a) && support.includes(b);
  };
  return search(refinement, a, b, (_, v) => allowed(v));
}

function alongMark(refinement: MeshRefinement, a: number, b: number, mark: number): number[] {
  if (refinement.edgeBetween(a, b) >= 0) return [a, b];
  // Where two lines share an edge it carries the mark of the first.
  for (const pass of [
    (h: number) => refinement.mark[h] === mark,
    (h: number) => refinement.mark[h] !== 0,
    () => true,
  ]) {
    const run = search(refinement, a, b, pass);
    if (run.length > 2) return run;
  }
  return [a, b];
}

/** Breadth-first walk from a to b over edges that pass the test; [a, b] when there is none. */
function search(
  refinement: MeshRefinement,
  a: number,
  b: number,
  pass: (half: number, to: number) => boolean,
): number[] {
  const from = new Map<number, number>([[a, -1]]);
  const queue = [a];
  for (let i = 0; i < queue.length && !from.has(b); i++) {
    const v = queue[i];
    for (const h of refinement.star(v)) {
      const back = previousHalfEdge(h);
      for (const [half, to] of [
        [h, refinement.corners[nextHalfEdge(h)]],
        [back, refinement.corners[back]],
      ]) {
        if (from.has(to) || !pass(half, to)) continue;
        from.set(to, v);
        queue.push(to);
      }
    }
  }
  if (!from.has(b)) return [a, b];
  const out: number[] = [];
  for (let v = b; v >= 0; v = from.get(v)!) out.push(v);
  return out.reverse();
}

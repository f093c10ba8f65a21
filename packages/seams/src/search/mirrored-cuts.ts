// Cuts under symmetry: each with its image, or its own image. A cut is that on the plane, or where it runs from one side to
// the other.
import { surfacePosition, type SurfacePoint } from "@peltry/geometry";
import { distance, distanceToLine } from "../lines-in-space";
import { levelLines } from "./pile-lines";
import type { SearchPatch } from "./search-patches";
import type { SearchState } from "./search-state";
import { mirrorPath, placeBetween, type SearchSurface } from "./search-surface";

type Path = readonly SurfacePoint[];

/** Lines that are no further apart than this are one, mm. */
const ONE_LINE = 1;
/** The same for lines that were carried over from another mesh. */
export const NEARLY_ONE_LINE = 10;

/**
 * Makes sets of cuts their own image: cuts on the plane stay, those that run across it are made the same on both sides, and to
 * each other one comes its image, in place of a cut that lay there already.
 *
 * @param groups - what belongs together
 * @param reach - how far apart lines may be that count as one, mm
 * @returns one group for each, empty where its cuts were the images of others; the groups as they are without symmetry
 */
export function inPairs(
  surface: SearchSurface,
  groups: readonly (readonly Path[])[],
  reach = ONE_LINE,
): SurfacePoint[][][] {
  const plain = groups.map((paths) => paths.map((path) => [...path]));
  if (!surface.mirror) return plain;
  const left = new Set(plain.flat());
  return plain.map((paths) =>
    paths.flatMap((path) => {
      if (!left.delete(path)) return [];
      if (isOnPlane(surface, path, reach)) return [path];
      const image = mirrorPath(surface, path);
      if (isOneLine(surface, path, image, reach)) return [evened(surface, path)];
      for (const other of left) if (isOneLine(surface, other, image, reach)) left.delete(other);
      return [path, image];
    }),
  );
}

/** For each of some cuts which of them is its image; −1 for a cut that is its own. */
export function imagesAmong(surface: SearchSurface, paths: readonly Path[]): number[] {
  return paths.map((path, k) => {
    const image = mirrorPath(surface, path);
    return paths.findIndex((other, j) => j !== k && isOneLine(surface, image, other, ONE_LINE));
  });
}

/** Whether a cut runs along the plane of symmetry. */
export function isOnPlane(
  surface: Pick<SearchSurface, "mesh" | "mirror">,
  path: Path,
  reach = ONE_LINE,
): boolean {
  return path.every((point) => Math.abs(sideOf(surface, point)) < reach / 2);
}

/** Whether two cuts run the same way, whichever end they begin at. */
export function isOneLine(surface: SearchSurface, a: Path, b: Path, reach = ONE_LINE): boolean {
  const [p, q] = [a, b].map((path) => path.map((point) => surfacePosition(surface.mesh, point)));
  const ends = (from: number, to: number): boolean =>
    distance(p[0], q[from]) < reach && distance(p[p.length - 1], q[to]) < reach;
  if (!ends(0, q.length - 1) && !ends(q.length - 1, 0)) return false;
  return p.every((x) => distanceToLine(x, q) < reach) && q.every((x) => distanceToLine(x, p) < reach);
}

/** Signed distance of a place from the plane of symmetry. */
function sideOf(
  { mesh, mirror }: Pick<SearchSurface, "mesh" | "mirror">,
  { triangle, weights }: SurfacePoint,
): number {
  return weights.reduce((sum, w, k) => sum + w * mirror!.side[mesh.triangles[3 * triangle + k]], 0);
}

/** A cut across the plane that is nearly its own image made so: its way to the plane, and the image of that back. */
function evened(surface: SearchSurface, path: Path): SurfacePoint[] {
  const side = path.map((point) => sideOf(surface, point));
  const i = side.findIndex((s, k) => k > 0 && s * side[0] <= 0);
  if (i < 0) return [...path];
  const t = side[i - 1] / (side[i - 1] - side[i]);
  const middle = t > 1 - 1e-6 ? path[i] : placeBetween(surface, path[i - 1], path[i], t);
  const half = path.slice(0, i);
  return [...half, middle, ...mirrorPath(surface, half).reverse()];
}

/** Signed distance of a patch vertex from the plane of symmetry. */
export function mirrorSide(
  surface: SearchSurface,
  state: SearchState,
  patch: SearchPatch,
): (v: number) => number {
  return (v) => sideOf(surface, state.refinement.place[patch.sourceVertex[v]]);
}

/** Lines in the plane of symmetry from outline to outline of a patch. */
export function linesOnPlane(
  surface: SearchSurface,
  state: SearchState,
  patch: SearchPatch,
): SurfacePoint[][] {
  return levelLines(state, patch, mirrorSide(surface, state, patch)).map((path) => onVertices(surface, path));
}

/** A way that passes vertices closely goes through them: a line in the plane of symmetry runs along edges where it can. */
export function onVertices({ mesh }: SearchSurface, path: readonly SurfacePoint[]): SurfacePoint[] {
  const corner = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ] as const;
  const through = path.map(({ triangle, weights }): SurfacePoint => {
    const k = weights.findIndex((w) => w > 0.99);
    return { triangle, weights: corner[k] ?? weights };
  });
  return through.filter(
    (point, i) =>
      i === 0 || distance(surfacePosition(mesh, point), surfacePosition(mesh, through[i - 1])) > 1e-9,
  );
}

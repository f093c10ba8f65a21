// The corners of a mesh are little cones. A cut that passes beside a sharp one leaves it to the cloth; led over it, it takes
// it up whole.
import { surfacePosition, tracePath, type Point3, type SurfacePoint } from "@peltry/geometry";
import { distance, distanceToLine, pointBetween, shareAlong } from "../lines-in-space";
import { makeGroup, type CutGroup } from "./greedy";
import { pathStations, subPath, type SearchSurface } from "./search-surface";

/** A cut further off than this is none that passes beside a place, mm. */
const BESIDE = 40;
/** How far on either side a cut leaves its way, against its distance from the place, and mm more. */
const REACHES: readonly (readonly [factor: number, more: number])[] = [
  [1, 10],
  [3, 15],
];

/**
 * The same cut led over a place beside it, with a short and a long way there; a dart that ends near it ends on it.
 *
 * @param others - cuts that stay: what they begin or end on is not moved
 */
export function bentOver(
  surface: SearchSurface,
  group: CutGroup,
  place: SurfacePoint,
  others: readonly CutGroup[],
): CutGroup[] {
  const { kind, cuts, round, scale, before, after, id } = group;
  if (cuts.length !== 1 || surface.mirror) return [];
  const [{ path }] = cuts;
  const { gap, station } = nearestOn(surface, path, surfacePosition(surface.mesh, place));
  if (gap > BESIDE) return [];
  const { length } = pathStations(surface, path);
  const total = length[length.length - 1];
  return REACHES.flatMap(([factor, more]) => {
    const reach = factor * gap + more;
    const [from, to] = [station - reach, station + reach];
    const isTip = kind === "dart" && to >= total;
    const gone = subPath(surface, path, Math.max(0, from), Math.min(total, to));
    if (bears(surface, gone, others)) return [];
    const ahead = from > 0 ? subPath(surface, path, 0, from) : [path[0]];
    const behind = isTip ? [] : to < total ? subPath(surface, path, to, total) : [path[path.length - 1]];
    try {
      const over = tracePath(surface.root, [ahead[ahead.length - 1], place, ...behind.slice(0, 1)]);
      const bent = [...ahead.slice(0, -1), ...over, ...behind.slice(1)];
      return bent.length < 2
        ? []
        : [makeGroup(surface, kind, [bent], { round, scale, before, after, ...(id && { id }) })];
    } catch {
      // Two ends that no way joins.
      return [];
    }
  });
}

/** Ends of cuts no further from a line than this are on it, mm. */
const ON = 1;

/** Whether any of some cuts begins or ends on a path. */
export function bears(
  surface: SearchSurface,
  path: readonly SurfacePoint[],
  cuts: readonly CutGroup[],
): boolean {
  const at = (point: SurfacePoint): Point3 => surfacePosition(surface.mesh, point);
  const line = path.map(at);
  return cuts.some((group) =>
    group.cuts.some((cut) =>
      [cut.path[0], cut.path[cut.path.length - 1]].some((end) => distanceToLine(at(end), line) < ON),
    ),
  );
}

/** Where a path passes nearest to a point: how far from it, and how far from the path's start. */
function nearestOn(
  surface: SearchSurface,
  path: readonly SurfacePoint[],
  point: Point3,
): { gap: number; station: number } {
  const { length } = pathStations(surface, path);
  const places = path.map((each) => surfacePosition(surface.mesh, each));
  let [gap, station] = [Infinity, 0];
  for (let i = 1; i < places.length; i++) {
    const t = shareAlong(places[i - 1], places[i], point);
    const away = distance(pointBetween(places[i - 1], places[i], t), point);
    if (away < gap) [gap, station] = [away, length[i - 1] + t * (length[i] - length[i - 1])];
  }
  return { gap, station };
}

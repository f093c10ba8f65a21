import {
  createSurfaceLocator,
  MeshRefinement,
  surfacePosition,
  tracePath,
  type Point3,
  type SurfaceLocator,
  type SurfacePoint,
} from "@peltry/geometry";
import { distance } from "../lines-in-space";
import { makeGroup, type CutGroup } from "./greedy";
import type { SearchSurface } from "./search-surface";

/** Lengths by which darts are made longer, mm. */
const LONGER = [10, 22, 40];
/** The direction of a tip is taken over this length, mm. */
const LOOK_BACK = 15;

/** A group of darts that go on beyond their tips, by several lengths as far as cuts may go there. */
export function lengthened(surface: SearchSurface, { kind, cuts, ...group }: CutGroup): CutGroup[] {
  const { nearest } = createSurfaceLocator(surface.mesh);
  const base = new MeshRefinement(surface.mesh);
  const { round, scale, before, after } = group;
  return LONGER.map((more) =>
    makeGroup(
      surface,
      kind,
      cuts.map(({ path }) => longer(surface, base, nearest, path, more)),
      { round, scale, before, after },
    ),
  ).filter(({ cost }) => cost < 1e5);
}

/** A path that goes on straight beyond its end. */
function longer(
  surface: SearchSurface,
  base: MeshRefinement,
  nearest: SurfaceLocator["nearest"],
  path: readonly SurfacePoint[],
  more: number,
): SurfacePoint[] {
  const at = (point: SurfacePoint): Point3 => surfacePosition(surface.mesh, point);
  const tip = at(path[path.length - 1]);
  let i = path.length - 2;
  while (i > 0 && distance(tip, at(path[i])) < LOOK_BACK) i--;
  const from = at(path[i]);
  const size = distance(tip, from) || 1;
  const goal: Point3 = [0, 1, 2].map((k) => tip[k] + ((tip[k] - from[k]) * more) / size) as unknown as Point3;
  return [...path.slice(0, -1), ...tracePath(base, [path[path.length - 1], nearest(goal).place])];
}

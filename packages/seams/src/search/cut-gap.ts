import { surfacePosition, type Point3 } from "@peltry/geometry";
import { distance } from "../lines-in-space";
import type { CutGroup } from "./greedy";
import type { SearchSurface } from "./search-surface";

/** Measures the distance between two groups of cuts at their nearest points, mm. */
export function cutGaps(surface: Pick<SearchSurface, "mesh">): (a: CutGroup, b: CutGroup) => number {
  const points = new Map<CutGroup, Point3[]>();
  const pointsOf = (group: CutGroup): Point3[] => {
    const known = points.get(group);
    if (known) return known;
    const found = group.cuts.flatMap(({ path }) => path.map((p) => surfacePosition(surface.mesh, p)));
    points.set(group, found);
    return found;
  };
  return (a, b) => {
    let least = Infinity;
    for (const p of pointsOf(a)) for (const q of pointsOf(b)) least = Math.min(least, distance(p, q));
    return least;
  };
}

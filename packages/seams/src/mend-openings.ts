import type { FoundGroup } from "./finish-plan";
import { boxesOf, type PlanInput } from "./plan-input";
import { restartMarks } from "./search/greedy";
import { openSurface } from "./search/open-surface";
import { FIRST_MARK, makeSearchSurface, pathStations } from "./search/search-surface";

/**
 * Openings that the full form still needs when cuts were carried over from a coarser copy: an end that came to lie a little
 * off its edge can leave a ring.
 */
export function mendOpenings(input: PlanInput, groups: readonly FoundGroup[]): FoundGroup[] {
  const surface = makeSearchSurface({
    mesh: input.mesh,
    regionOf: input.regions,
    boxes: boxesOf(input.fabrics),
    fixed: input.fixed.map(({ path, closed }) => (closed ? [...path, path[0]] : path)),
    weight: input.weight,
    directionWeight: input.directionCost?.(input.pile),
    pile: input.pile,
    pileLimits: input.fabrics.map(() => 180),
  });
  restartMarks(FIRST_MARK);
  const given = groups.flatMap(({ paths }) => paths).map((path, i) => ({ path, mark: FIRST_MARK + i }));
  restartMarks(FIRST_MARK + given.length);
  return openSurface(surface, given).map((path): FoundGroup => {
    const { length, cost } = pathStations(surface, path);
    return {
      kind: "opening",
      paths: [path],
      length: length[path.length - 1],
      cost: cost[path.length - 1],
      round: -1,
      scale: 0,
      before: 0,
      after: 0,
      locked: true,
    };
  });
}

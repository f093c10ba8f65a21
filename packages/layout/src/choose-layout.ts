import type { Layout, LayoutObjective } from "./types";

/** Seeds for runs side by side, one a worker: far apart, the first the given one. */
export function seedsFor(seed: number, count: number): number[] {
  return Array.from({ length: count }, (_, k) => (seed + Math.imul(k, 0x9e3779b1)) | 0);
}

/**
 * The best of several layouts of the same job: what {@link layOut} gave in workers with {@link seedsFor} different
 * seeds. Fewest panels left out come first, then the objective, then the least cloth.
 *
 * @returns the best; the earliest among equals, so that the order of the list alone decides; undefined for none
 */
export function chooseLayout(
  layouts: readonly Layout[],
  objective: LayoutObjective = "fewest-pieces",
): Layout | undefined {
  return layouts.reduce<Layout | undefined>(
    (best, layout) => (best === undefined || isBetter(layout, best, objective) ? layout : best),
    undefined,
  );
}

function isBetter(a: Layout, b: Layout, objective: LayoutObjective): boolean {
  const left = rank(a, objective);
  const right = rank(b, objective);
  const k = left.findIndex((value, i) => value !== right[i]);
  return k >= 0 && left[k] < right[k];
}

/** Figures to make small, the most important first. */
function rank(layout: Layout, objective: LayoutObjective): number[] {
  const own = {
    "fewest-pieces": [layout.piecesTouched.length, layout.usedLength],
    "least-cost": [layout.cost, layout.usedLength],
    "shortest-roll": [layout.usedLength, layout.piecesTouched.length],
    "largest-rest": [-(layout.largestRest?.area ?? 0), layout.piecesTouched.length],
  }[objective];
  return [layout.unplaced.length, ...own, layout.usedArea];
}

import { describe, expect, it } from "vitest";
import { surfacePosition, type TriangleMesh } from "@peltry/geometry";
import { gridSurface } from "../../../test-fixtures/src/shapes";
import { inputOf } from "../src/plan-seams";
import { makeSearchForm } from "../src/search-form";
import { isSewable } from "../src/sewability";
import { additions, groupCost, restartMarks, type GreedyOptions, type Search } from "../src/search/greedy";
import { evaluate } from "../src/search/search-state";
import { FIRST_MARK, type SearchSurface } from "../src/search/search-surface";
import { severalAdditions } from "../src/search/several";

/** A sheet of 500 × 200 mm with a round bump of 45 mm at each of some places along it. */
function sheet(places: readonly number[]): TriangleMesh {
  return gridSurface(
    (u, v) => {
      const [x, y] = [500 * u, 200 * v];
      const height = (at: number): number => 45 * Math.exp(-((x - at) ** 2 + (y - 100) ** 2) / (2 * 35 ** 2));
      return [x, y, places.reduce((sum, at) => sum + height(at), 0)];
    },
    2.5,
    { triangles: 1600 },
  );
}

function start(mesh: TriangleMesh): { surface: SearchSurface; search: Search; options: GreedyOptions } {
  const input = inputOf(mesh, { limit: 0.05 });
  const surface = makeSearchForm(input, 2000).surface(1);
  restartMarks(FIRST_MARK);
  return {
    surface,
    search: { state: evaluate(surface, [], { steps: 260 })!, groups: [] },
    options: {
      prices: input.prices,
      sewable: (...asked) => isSewable(input.rules, ...asked),
      lasting: () => true,
    },
  };
}

describe("severalAdditions", () => {
  it("serves two bumps that are far apart in one round [metamorphic: each alone]", () => {
    const { surface, search, options } = start(sheet([110, 390]));
    const found = severalAdditions(surface, search, 0, options)!;
    expect(found.groups.length).toBeGreaterThanOrEqual(2);
    const middles = found.groups.map(({ cuts: [{ path }] }) => {
      const xs = path.map((point) => surfacePosition(surface.mesh, point)[0]);
      return (Math.min(...xs) + Math.max(...xs)) / 2;
    });
    expect(Math.min(...middles)).toBeLessThan(200);
    expect(Math.max(...middles)).toBeGreaterThan(300);
    const [alone] = additions(surface, search, 0, options);
    expect(found.state.violation).toBeLessThan(0.75 * alone.state.violation);
    const price = (to: Search): number =>
      (search.state.violation - to.state.violation) / groupCost(to.groups, options.prices);
    expect(price(found)).toBeGreaterThan(0.4 * price(alone));
    for (const group of found.groups) expect(options.sewable(surface, found.state, group)).toBe(true);
  });

  it("adds one cut where all candidates serve the same bump [metamorphic]", () => {
    const { surface, search, options } = start(sheet([250]));
    const found = severalAdditions(surface, search, 0, options)!;
    const [alone] = additions(surface, search, 0, options);
    expect(found.groups.length).toBeLessThanOrEqual(2);
    expect(found.state.violation).toBeLessThanOrEqual(alone.state.violation);
  });
});

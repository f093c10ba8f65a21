import { describe, expect, it } from "vitest";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import { inputOf } from "../src/plan-seams";
import { makeSearchForm } from "../src/search-form";
import { isSewable } from "../src/sewability";
import { restartMarks, type GreedyOptions, type Search } from "../src/search/greedy";
import { unfoldingLead } from "../src/search/leads";
import { evaluate } from "../src/search/search-state";
import { FIRST_MARK, type SearchSurface } from "../src/search/search-surface";
import { structuredStarts } from "../src/search/structured-starts";
import { tailTube } from "./forms";

function opened(mesh: ReturnType<typeof tailTube>): {
  surface: SearchSurface;
  start: Search;
  options: GreedyOptions;
} {
  const input = inputOf(mesh, { limit: 0.3 });
  const surface = makeSearchForm(input, 2400).surface(1);
  restartMarks(FIRST_MARK);
  return {
    surface,
    start: { state: evaluate(surface, [], { steps: 260 })!, groups: [] },
    options: {
      prices: input.prices,
      sewable: (...asked) => isSewable(input.rules, ...asked),
      lasting: () => true,
    },
  };
}

const flips = ({ state }: Search): number => state.measures.reduce((sum, measure) => sum + measure.flips, 0);

describe("unfoldingLead", () => {
  it("opens a closed end that folds over itself by one long dart, laid flat from nothing [invariant]", () => {
    const { surface, start, options } = opened(tailTube(2000, 2));
    expect(flips(start)).toBeGreaterThan(20);
    const [lead, ...more] = unfoldingLead(surface, start, options, structuredStarts(surface, start.state));
    expect(more).toEqual([]);
    expect(lead.groups).toHaveLength(1);
    expect(lead.groups[0].length).toBeGreaterThan(350);
    expect(flips(lead)).toBe(0);
    expect(lead.state.violation).toBeLessThan(0.1 * start.state.violation);
  });

  it("is not asked for where nothing is folded over [by hand: a flat cap]", () => {
    const { surface, start, options } = opened(sphericalCap(100, 60, { triangles: 800 }));
    expect(flips(start)).toBe(0);
    expect(unfoldingLead(surface, start, options, structuredStarts(surface, start.state))).toEqual([]);
  });
});

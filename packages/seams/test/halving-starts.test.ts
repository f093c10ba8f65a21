import { describe, expect, it } from "vitest";
import { meshTopology, surfacePosition } from "@peltry/geometry";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import { inputOf } from "../src/plan-seams";
import { makeSearchForm } from "../src/search-form";
import { makeGroup, restartMarks } from "../src/search/greedy";
import { halvingStarts } from "../src/search/halving-starts";
import { evaluate } from "../src/search/search-state";
import { FIRST_MARK } from "../src/search/search-surface";
import { distanceTo } from "./distance-to";
import { tailTube } from "./forms";

describe("halvingStarts", () => {
  for (const [name, mesh, share] of [
    ["a hemisphere", sphericalCap(100, 90, { triangles: 1500 }), 0.04],
    ["a curled tail", tailTube(2000, 2), 0.2],
  ] as const) {
    it(`parts ${name} over its end into two halves [invariant: area]`, () => {
      const surface = makeSearchForm(inputOf(mesh, { limit: 0.03 }), 2400).surface(1);
      restartMarks(FIRST_MARK);
      const state = evaluate(surface, [], { steps: 260 })!;
      const starts = halvingStarts(surface, state);
      expect(starts).toHaveLength(2);
      const [rim] = meshTopology(mesh).loops;
      const around = [...rim, rim[0]].map(
        (v) => [...mesh.positions.slice(3 * v, 3 * v + 3)] as [number, number, number],
      );
      for (const { kind, groups } of starts) {
        expect(groups).toHaveLength(1);
        const cut = makeGroup(surface, kind, groups[0], { round: 0, scale: 0, before: 0, after: 0 });
        const path = groups[0][0].map((point) => surfacePosition(surface.mesh, point));
        for (const end of [path[0], path[path.length - 1]]) expect(distanceTo(around, end)).toBeLessThan(1);
        const halves = evaluate(surface, cut.cuts, { from: state, steps: 100 })!;
        expect(halves.patches).toHaveLength(2);
        const [a, b] = halves.sheets.map(({ totalArea }) => totalArea);
        expect(Math.abs(a - b) / (a + b)).toBeLessThan(share);
        expect(halves.violation).toBeLessThan(0.7 * state.violation);
      }
    });
  }

  it("has nothing to say of a sheet that is flat [closed form]", () => {
    const flat = sphericalCap(100, 5, { triangles: 300 });
    const surface = makeSearchForm(inputOf(flat, { limit: 0.05 }), 2400).surface(1);
    restartMarks(FIRST_MARK);
    expect(halvingStarts(surface, evaluate(surface, [], { steps: 60 })!)).toEqual([]);
  });
});

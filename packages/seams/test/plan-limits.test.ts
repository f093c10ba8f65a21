import { describe, expect, it } from "vitest";
import { checkFlat, measureStrain } from "@peltry/flatten";
import { isPeltryError } from "@peltry/issues";
import type { TriangleMesh } from "@peltry/geometry";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import { planLimits, planSeams } from "../src/index";
import { bump, tailTube } from "./forms";

describe("planLimits", () => {
  const forms: [string, TriangleMesh, number[]][] = [
    ["hemisphere", sphericalCap(100, 90, { triangles: 300 }), [0.12, 0.06, 0.25]],
    ["bump", bump(300), [0.06, 0.035]],
    ["tail", tailTube(300), [0.3, 0.2]],
  ];
  for (const [name, mesh, limits] of forms) {
    it(`never asks more seam of the ${name} for a looser limit, and keeps each limit [invariant; measured by the flattener]`, () => {
      const plans = planLimits(mesh, limits);
      expect(plans.map(({ limit }) => limit)).toEqual(limits);
      const order = [...plans].sort((a, b) => a.limit - b.limit);
      order.forEach(({ limit, plan }, i) => {
        expect(plan.withinLimits).toBe(true);
        const tighter = order[i - 1]?.plan.totals.suggestedLength ?? Infinity;
        expect(plan.totals.suggestedLength).toBeLessThanOrEqual(tighter + 1e-9);
        for (const { patch, flat } of plan.panels) {
          const { flips, overlaps } = checkFlat(patch.mesh, flat.positions);
          expect([flips, overlaps]).toEqual([0, 0]);
          const { major, minor } = measureStrain(patch.mesh, flat.positions);
          // A triangle at the tip of a dart may be over by half; the rule counts area.
          const over = major.filter((e, t) => Math.max(e, -minor[t]) > 1.5 * limit);
          expect(over).toHaveLength(0);
        }
        const { length, withinLimits } = plan.curve[plan.curve.length - 1];
        expect(withinLimits).toBe(true);
        expect(length).toBeCloseTo(plan.totals.suggestedLength, 6);
      });
    });
  }

  it("carries a tighter plan over where a search may find nothing [metamorphic]", () => {
    // A tight limit planned in full, a looser one cancelled before it begins.
    const mesh = sphericalCap(100, 90, { triangles: 200 });
    const signal = { aborted: false };
    const [tight, loose] = planLimits(mesh, [0.08, 0.1], {
      signal,
      onProgress: ({ done }) => {
        // Cancels when the first plan is done: the second has found nothing yet.
        if (done === 1) signal.aborted = true;
      },
    });
    expect(tight.plan.complete).toBe(true);
    expect(loose.plan.complete).toBe(false);
    expect(loose.plan.withinLimits).toBe(true);
    expect(loose.plan.totals.suggestedLength).toBeCloseTo(tight.plan.totals.suggestedLength, 9);
    expect(planSeams(mesh, { limit: 0.1, signal }).withinLimits).toBe(false);
  });

  it("refuses an empty list and limits that are none", () => {
    const code = (limits: number[]): string | undefined => {
      try {
        planLimits(bump(100), limits);
        return undefined;
      } catch (error) {
        return isPeltryError(error) ? error.code : "other";
      }
    };
    expect(code([])).toBe("seams/bad-option");
    expect(code([0.05, -0.1])).toBe("seams/bad-option");
    expect(code([0.05, NaN])).toBe("seams/bad-option");
  });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { leastRadius, notchesNeeded } from "../src/index";

const RUNS = { seed: 1, numRuns: 200 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe("properties of clips", () => {
  it("at the least radius the cut edge is strained just by what it takes, on the outside and the inside [oracle: two arcs]", () => {
    fc.assert(
      fc.property(number(2, 40), number(0.005, 0.3), number(0.1, 3), (width, strain, turn) => {
        const radius = leastRadius(width, strain, "open");
        const seam = radius * turn;
        for (const side of [width, -width]) {
          const edge = (radius + side) * turn;
          expect(Math.abs(edge / seam - 1)).toBeCloseTo(strain, 9);
        }
        // Turned to one side, it lies on the arc that far beyond the seam, twice as far from where it was cut.
        expect(leastRadius(width, strain, "turned")).toBeCloseTo(leastRadius(2 * width, strain, "open"), 9);
        // Twice the width or half the stretch ask for twice the radius.
        expect(leastRadius(width, strain / 2, "open")).toBeCloseTo(2 * radius, 6);
      }),
      RUNS,
    );
  });
  it("the notches take up the surplus of the cut edge, and one fewer would not [oracle: two arcs]", () => {
    fc.assert(
      fc.property(number(2, 40), number(0.05, 3), number(3, 12), fc.boolean(), (width, turn, notch, left) => {
        const count = notchesNeeded(width, left ? turn : -turn, notch);
        const surplus = (100 + width) * turn - (100 - width) * turn;
        expect(count * notch).toBeGreaterThanOrEqual(surplus - 1e-6);
        expect((count - 1) * notch).toBeLessThan(surplus);
      }),
      RUNS,
    );
  });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { numberText } from "../src/internal/number-text";

describe("numberText", () => {
  it("numberText › reads back within half a unit of the last place, without exponent or padding [oracle: invariant]", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.integer({ min: 0, max: 6 }),
        (value, digits) => {
          const text = numberText(value, digits);
          expect(text).toMatch(/^(0|-?(0|[1-9]\d*)(\.\d*[1-9])?)$/);
          expect(text).not.toBe("-0");
          expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.5 * 10 ** -digits * (1 + 1e-6));
        },
      ),
      { seed: 1, numRuns: 400 },
    );
    expect([1e-9, -0.00001, 0.1 + 0.2, 1200, -3.14159].map((value) => numberText(value))).toEqual([
      "0",
      "0",
      "0.3",
      "1200",
      "-3.1416",
    ]);
  });
});

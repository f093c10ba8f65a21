import fc from "fast-check";
import { expect } from "vitest";
import { isPeltryError } from "@peltry/measure";

/** A finite number within bounds, never -0. */
export const within = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);

/** Anything that may come from outside. */
export const odd: fc.Arbitrary<unknown> = fc.oneof(
  fc.anything({ withNullPrototype: true, withBigInt: true }),
  fc.double(),
  fc.constantFrom(NaN, Infinity, -1, 0, "constructor", "__proto__", null, undefined, Symbol("odd")),
);

/** The code of the PeltryError that the work throws, or none; any other throw goes through. */
export function codeOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
}

/** Equal but for rounding, at any size. */
export function near(found: number, wanted: number, share = 1e-12): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(share * Math.max(1e-9, Math.abs(wanted)));
}

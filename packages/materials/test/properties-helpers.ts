import fc from "fast-check";
import { expect } from "vitest";
import { catalogue, isPeltryError, type MaterialEntry } from "../src/index";
import type { Measured } from "../src/entry/types";

/** Any entry of the catalogue. */
export const anyEntry: fc.Arbitrary<MaterialEntry> = fc.constantFrom(...catalogue);

/** A finite number within bounds, never -0. */
export const within = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);

/** A colour as `#rrggbb`. */
export const anyColour: fc.Arbitrary<string> = fc
  .integer({ min: 0, max: 0xffffff })
  .map((value) => `#${value.toString(16).padStart(6, "0")}`);

/** Names that every object answers to, and other texts that are no id. */
export const oddName: fc.Arbitrary<string> = fc.oneof(
  fc.constantFrom("constructor", "__proto__", "toString", "hasOwnProperty", "valueOf", ""),
  fc.string(),
);

/** One figure with everything that a value needs. */
export const measured = (figures: Partial<Measured>): Measured => ({
  unit: "1",
  method: "memory",
  source: "memory",
  grade: "M",
  status: "unconfirmed",
  ...figures,
});

/** An entry with other values. */
export const withValues = (entry: MaterialEntry, values: MaterialEntry["values"]): MaterialEntry => ({
  ...entry,
  values: { ...entry.values, ...values },
});

/** What the work gives, or the code of its PeltryError; any other throw goes through. */
export function codeOr<T>(work: () => T): T | { readonly code: string } {
  try {
    return work();
  } catch (error) {
    if (isPeltryError(error)) return { code: error.code };
    throw error;
  }
}

/** Runs the work on a value from outside: a result, or a PeltryError of one of these codes; the value stays as it was. */
export function staysTyped(work: () => unknown, codes: readonly string[]): void {
  try {
    work();
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    expect(codes).toContain(error.code);
    expect(error.issues.every(({ message }) => message.length > 0)).toBe(true);
  }
}

/** The same list in another order. */
export const shuffled = <T>(items: readonly T[]): fc.Arbitrary<T[]> =>
  fc.shuffledSubarray([...items], { minLength: items.length, maxLength: items.length });

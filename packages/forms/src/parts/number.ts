import { fail } from "@peltry/issues";

/**
 * The value itself where it is a finite number in the range.
 *
 * @throws forms/bad-part
 */
export function partNumber(value: unknown, name: string, low: number, high: number): number {
  if (typeof value === "number" && value >= low && value <= high) return value;
  fail(
    "forms/bad-part",
    `${name} is ${String(value).slice(0, 40)}.`,
    { path: name.split(".") },
    { found: String(value).slice(0, 40), limit: `${low} to ${high}`, fix: "Give a number in that range." },
  );
}

/** The value where it is one of the words. @throws forms/bad-part */
export function partWord<T extends string>(value: unknown, name: string, words: readonly T[]): T {
  if (words.includes(value as T)) return value as T;
  fail(
    "forms/bad-part",
    `${name} is “${String(value).slice(0, 40)}”.`,
    { path: name.split(".") },
    { found: String(value).slice(0, 40), limit: words.join(", "), fix: "Use one of these words." },
  );
}

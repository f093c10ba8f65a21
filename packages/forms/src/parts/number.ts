import { fail } from "@peltry/issues";

/** How a value from outside is named in a message: not every object turns into a text. */
export function shown(value: unknown): string {
  const isText = typeof value !== "object" && typeof value !== "function";
  return isText || value === null ? String(value).slice(0, 40) : `(${typeof value})`;
}

/**
 * The value itself where it is a finite number in the range.
 *
 * @throws forms/bad-part
 */
export function partNumber(value: unknown, name: string, low: number, high: number): number {
  if (typeof value === "number" && value >= low && value <= high) return value;
  fail(
    "forms/bad-part",
    `${name} is ${shown(value)}.`,
    { path: name.split(".") },
    { found: shown(value), limit: `${low} to ${high}`, fix: "Give a number in that range." },
  );
}

/** The value where it is one of the words. @throws forms/bad-part */
export function partWord<T extends string>(value: unknown, name: string, words: readonly T[]): T {
  if (words.includes(value as T)) return value as T;
  fail(
    "forms/bad-part",
    `${name} is “${shown(value)}”.`,
    { path: name.split(".") },
    { found: shown(value), limit: words.join(", "), fix: "Use one of these words." },
  );
}

import { fail } from "@peltry/issues";

/** How a value from outside is named in a message: not every object turns into a text. */
export function shown(value: unknown, most = 40): string {
  const isText = typeof value !== "object" && typeof value !== "function";
  return isText || value === null ? String(value).slice(0, most) : `(${typeof value})`;
}

/**
 * The value itself where it is a finite number in the range.
 *
 * @throws measure/bad-number
 */
export function needNumber(value: unknown, name: string, low: number, high = Infinity): number {
  if (typeof value === "number" && Number.isFinite(value) && value >= low && value <= high) return value;
  fail(
    "measure/bad-number",
    `${name} is ${shown(value)}.`,
    { path: [name] },
    {
      found: shown(value),
      limit: high === Infinity ? `${low} or more` : `${low} to ${high}`,
      fix: "Give a finite number in that range.",
    },
  );
}

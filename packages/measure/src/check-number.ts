import { fail } from "@peltry/issues";

/**
 * The value itself where it is a finite number in the range.
 *
 * @throws measure/bad-number
 */
export function needNumber(value: unknown, name: string, low: number, high = Infinity): number {
  if (typeof value === "number" && Number.isFinite(value) && value >= low && value <= high) return value;
  fail(
    "measure/bad-number",
    `${name} is ${String(value).slice(0, 40)}.`,
    { path: [name] },
    {
      found: String(value).slice(0, 40),
      limit: high === Infinity ? `${low} or more` : `${low} to ${high}`,
      fix: "Give a finite number in that range.",
    },
  );
}

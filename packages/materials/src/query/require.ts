import { fail } from "@peltry/issues";
import { CLOTH_FAMILIES } from "../entry/families";
import type { MaterialEntry } from "../entry/types";

/** The number itself; throws `materials/bad-measure` unless it is finite and within the bounds. */
export function requireWithin(name: string, value: number, low: number, high: number): number {
  if (typeof value === "number" && value >= low && value <= high) return value;
  return fail(
    "materials/bad-measure",
    `${name} is ${shownText(value)}; it must be a number from ${low} to ${high}.`,
    { path: [name] },
    {
      found: shownText(value),
      limit: `${low} to ${high}`,
      fix: "Give a number in that range.",
    },
  );
}

/** How a value that should have been a text is named in a message: anything else may not even turn into one. */
export function shownText(value: unknown, most = 80): string {
  if (typeof value === "string") return value.slice(0, most);
  return typeof value === "object" || typeof value === "function" ? `(${typeof value})` : String(value);
}

/** Throws `materials/not-a-cloth` for anything that is not cut and sewn as cloth. */
export function requireCloth(entry: MaterialEntry): void {
  if (CLOTH_FAMILIES.includes(entry.family)) return;
  fail(
    "materials/not-a-cloth",
    `${entry.name} is of the family ${entry.family}, which is not sewn as cloth.`,
    { material: entry.id },
    {
      found: entry.family,
      limit: CLOTH_FAMILIES.join(", "),
      fix: "Choose a material of one of these families.",
    },
  );
}

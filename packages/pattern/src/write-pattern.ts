import { assertPatternForm } from "./check/check-form";
import { fail } from "@peltry/issues";
import type { Pattern } from "./types";

/** Keys in the order in which a person looks for them; the rest follow by name. */
const KEY_ORDER = (
  "format version name id letter panel edge fabric role kind points seam at match a b reversed matchPoints ease side " +
  "fraction edges holes darts legs tip intake length cut tipRadius markings label method pile stretch grain count mirrored " +
  "layer notes panels seams fabrics"
).split(" ");
const RANK = new Map(KEY_ORDER.map((key, index) => [key, index]));

/**
 * The JSON form of a pattern: keys in a fixed order, one line a point, numbers exactly as they are. The same pattern
 * gives the same bytes, and reading it back (`readPattern` of `@peltry/pattern/schema`) gives the same pattern.
 *
 * @returns JSON text that ends in a line feed
 * @throws PeltryError `pattern/bad-form` when it is no pattern, `pattern/not-a-number` when a number is NaN or infinite, with the path to it
 */
export function writePattern(pattern: Pattern): string {
  assertPatternForm(pattern);
  const text = JSON.stringify(inOrder(pattern, []), null, 1);
  // Coordinate pairs on one line: a third of the length, and a difference between two files can be read.
  return `${text.replace(/\[\n\s+(-?[\d.eE+-]+),\n\s+(-?[\d.eE+-]+)\n\s+\]/g, "[$1, $2]")}\n`;
}

function inOrder(value: unknown, path: readonly (string | number)[]): unknown {
  if (typeof value === "number" && !Number.isFinite(value)) {
    fail(
      "pattern/not-a-number",
      `The number at ${path.join(".")} is ${value}.`,
      { path },
      { fix: "Give a finite number." },
    );
  }
  if (Array.isArray(value)) return value.map((item, index) => inOrder(item, [...path, index]));
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value).sort(([one], [two]) => rank(one) - rank(two) || (one < two ? -1 : 1));
  return Object.fromEntries(entries.map(([key, item]) => [key, inOrder(item, [...path, key])]));
}

function rank(key: string): number {
  return RANK.get(key) ?? KEY_ORDER.length;
}

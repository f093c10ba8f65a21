import { fail, type Place } from "@peltry/issues";
import { shown } from "./check-number";

/** Exact by the international definition of 1959: 1 in = 25.4 mm. */
const INCH = 25.4;

const LENGTH_UNITS: ReadonlyMap<string, number> = new Map([
  ["mm", 1],
  ["millimetre", 1],
  ["millimetres", 1],
  ["millimeter", 1],
  ["millimeters", 1],
  ["cm", 10],
  ["centimetre", 10],
  ["centimetres", 10],
  ["centimeter", 10],
  ["centimeters", 10],
  ["m", 1000],
  ["metre", 1000],
  ["metres", 1000],
  ["meter", 1000],
  ["meters", 1000],
  ["in", INCH],
  ["inch", INCH],
  ["inches", INCH],
  ['"', INCH],
  ["″", INCH],
  ["”", INCH],
  ["''", INCH],
  ["ft", 12 * INCH],
  ["foot", 12 * INCH],
  ["feet", 12 * INCH],
  ["'", 12 * INCH],
  ["′", 12 * INCH],
  ["’", 12 * INCH],
  ["yd", 36 * INCH],
  ["yard", 36 * INCH],
  ["yards", 36 * INCH],
]);

const GRAMS_PER_POUND = 453.59237;
const MASS_UNITS: ReadonlyMap<string, number> = new Map([
  ["g", 1],
  ["gram", 1],
  ["grams", 1],
  ["kg", 1000],
  ["kilogram", 1000],
  ["kilograms", 1000],
  ["lb", GRAMS_PER_POUND],
  ["lbs", GRAMS_PER_POUND],
  ["pound", GRAMS_PER_POUND],
  ["pounds", GRAMS_PER_POUND],
  ["oz", GRAMS_PER_POUND / 16],
  ["ounce", GRAMS_PER_POUND / 16],
  ["ounces", GRAMS_PER_POUND / 16],
  ["st", 14 * GRAMS_PER_POUND],
  ["stone", 14 * GRAMS_PER_POUND],
]);

const VULGAR: Readonly<Record<string, string>> = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
  "⅓": "1/3",
  "⅔": "2/3",
};

/** No length that a maker writes is longer than this. */
const MAX_TEXT = 64;

/**
 * Length in mm of a text such as `34 1/2 in`, `5 ft 8 1/2 in`, `5' 8"`, `86.5 cm`, `34½"` or `880 mm`.
 *
 * @param text number (whole, decimal point, fraction, or whole and fraction) and unit; feet before inches
 * @param at place for the error
 * @throws measure/not-a-length a text that is no number and unit
 * @throws measure/no-unit a bare number: inches and millimetres must not be confused
 * @throws measure/unknown-unit a unit that is not mm, cm, m, in, ft or yd
 * @throws measure/decimal-comma a comma where the point belongs
 * @source 1 in = 25.4 mm exactly (international yard and pound agreement, 1959)
 */
export function parseLength(text: string, at: Place = {}): number {
  return parseQuantity(text, LENGTH_UNITS, at, "length", "34 1/2 in or 876 mm", "mm, cm, m, in, ft and yd");
}

/**
 * Mass in g of a text such as `2.5 kg`, `12 st 4 lb` or `40 g`.
 *
 * @param text number and unit
 * @param at place for the error
 * @throws measure/not-a-mass, measure/no-unit, measure/unknown-unit, measure/decimal-comma as for lengths
 * @source 1 lb = 453.59237 g exactly (international yard and pound agreement, 1959)
 */
export function parseMass(text: string, at: Place = {}): number {
  return parseQuantity(text, MASS_UNITS, at, "mass", "64 kg or 140 lb", "g, kg, oz, lb and st");
}

function parseQuantity(
  text: string,
  units: ReadonlyMap<string, number>,
  at: Place,
  what: "length" | "mass",
  example: string,
  known: string,
): number {
  const refuse = (): never =>
    fail(`measure/not-a-${what}`, `“${shown(text)}” is no ${what}.`, at, {
      found: shown(text),
      fix: `Write it as ${example}.`,
    });
  if (typeof text !== "string" || text.length > MAX_TEXT) return refuse();
  const plain = text
    .replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (sign) => ` ${VULGAR[sign]}`)
    .replace(/[\u00a0\u2009\u202f]/g, " ")
    .replace(/⁄/g, "/")
    .trim()
    .toLowerCase();
  if (/\d\s*,\s*\d/.test(plain)) {
    fail("measure/decimal-comma", `“${text}” has a comma in a number.`, at, {
      found: text,
      fix: "Use a point: 86.5 cm.",
    });
  }
  // Number: whole and fraction, fraction, or decimal; then its unit.
  const part =
    /\s*(?:(\d+)(?:\s+|\s*-\s*)(\d+)\/(\d+)|(\d+)\/(\d+)|(\d+\.?\d*|\.\d+))\s*([^\d\s.,/\-+]*)\.?\s*/y;
  let total = 0;
  let last = Infinity;
  while (part.lastIndex < plain.length) {
    const start = part.lastIndex;
    const match = part.exec(plain);
    if (!match || part.lastIndex === start) return refuse();
    const amount = numberOf(match);
    if (!Number.isFinite(amount)) return refuse();
    const unit = match[7];
    if (unit === "") {
      fail("measure/no-unit", `“${text}” has no unit.`, at, { found: text, fix: `Write it as ${example}.` });
    }
    const factor = units.get(unit);
    if (factor === undefined) {
      fail("measure/unknown-unit", `“${unit}” is not a unit of ${what} that is known here.`, at, {
        found: unit,
        limit: known,
        fix: `Use ${known}.`,
      });
    }
    // 8 in 5 ft or 5 ft 3 ft is a slip of the pen.
    if (factor >= last) return refuse();
    last = factor;
    total += amount * factor;
  }
  return last === Infinity ? refuse() : total;
}

function numberOf(match: RegExpExecArray): number {
  const [, whole, top, bottom, onlyTop, onlyBottom, decimal] = match;
  if (whole !== undefined) return Number(whole) + Number(top) / Number(bottom);
  if (onlyTop !== undefined) return Number(onlyTop) / Number(onlyBottom);
  return Number(decimal);
}

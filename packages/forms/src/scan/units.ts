import type { Issue } from "@peltry/issues";
import type { LengthUnit } from "./raw-mesh";

/** Millimetres in one unit. The inch is 25.4 mm exactly (International yard and pound agreement, 1959). */
export const MM_PER_UNIT: Readonly<Record<LengthUnit, number>> = Object.freeze({
  mm: 1,
  cm: 10,
  dm: 100,
  m: 1000,
  in: 25.4,
  ft: 304.8,
});

/** How the unit of a mesh was settled. */
export interface UnitReport {
  readonly unit: LengthUnit;
  readonly mmPerUnit: number;
  /** `given` by the caller, `stated` by the file or its format, or `guessed` from the size. */
  readonly origin: "given" | "stated" | "guessed";
  /** One sentence for people. */
  readonly word: string;
  /** Other units in which the size would be believable, with the longest side that they would give. */
  readonly others: readonly { readonly unit: LengthUnit; readonly longestMm: number }[];
}

const WORDS: Readonly<Record<string, LengthUnit>> = {
  mm: "mm",
  millimeter: "mm",
  millimeters: "mm",
  millimetre: "mm",
  millimetres: "mm",
  cm: "cm",
  centimeter: "cm",
  centimeters: "cm",
  centimetre: "cm",
  centimetres: "cm",
  dm: "dm",
  decimeter: "dm",
  decimeters: "dm",
  decimetre: "dm",
  decimetres: "dm",
  m: "m",
  meter: "m",
  meters: "m",
  metre: "m",
  metres: "m",
  in: "in",
  inch: "in",
  inches: "in",
  ft: "ft",
  foot: "ft",
  feet: "ft",
};

/** The unit that a comment line states (`units: cm`), if it does. */
export function statedUnit(comment: string): LengthUnit | undefined {
  const match = /\bunits?\b\s*(?:is|are|in)?\s*[:=]?\s*"?([a-z]+)/i.exec(comment.slice(0, 200));
  const word = match?.[1].toLowerCase();
  return word !== undefined && Object.hasOwn(WORDS, word) ? WORDS[word] : undefined;
}

/** Sizes of things worn or scanned: an ear of 80 mm to a tall person with arms up. */
const BELIEVABLE = { least: 80, most: 2600 };

/**
 * Settles the unit of a mesh by the longest side of its box.
 *
 * @param longest - longest side, in file units
 * @param stated - what the file or its format says
 * @param given - what the caller says
 * @remarks A size alone cannot tell 30 cm from 30 in: the guess takes the first of mm, m, cm, dm that makes a thing of
 * 300 to 2600 mm, and the report names the others.
 */
export function settleUnit(
  longest: number,
  stated: LengthUnit | undefined,
  given: LengthUnit | undefined,
): { unit: UnitReport; issues: Issue[] } {
  if (given) return { unit: report(given, "given", longest, `The unit is ${given}, as given.`), issues: [] };
  const size = (unit: LengthUnit): number => longest * MM_PER_UNIT[unit];
  const believable = (unit: LengthUnit): boolean => size(unit) >= 10 && size(unit) <= 2 * BELIEVABLE.most;
  if (stated && (believable(stated) || !(longest > 0))) {
    return { unit: report(stated, "stated", longest, `The file says that it is in ${stated}.`), issues: [] };
  }
  const order: LengthUnit[] = ["mm", "m", "cm", "dm"];
  // A file that states a wrong unit was most often written in mm without a thought.
  const guess =
    order.find((unit) => size(unit) >= (stated ? BELIEVABLE.least : 300) && size(unit) <= BELIEVABLE.most) ??
    order.find((unit) => size(unit) >= BELIEVABLE.least && size(unit) <= BELIEVABLE.most) ??
    "mm";
  const word = `The longest side is ${format(longest)}: taken as ${guess}, ${format(size(guess))} mm.`;
  const issues: Issue[] = [
    {
      code: stated ? "forms/unit-doubtful" : "forms/unit-guessed",
      severity: stated ? "warning" : "note",
      message: stated
        ? `In ${stated}, as the file says, the longest side would be ${format(size(stated))} mm. ${word}`
        : word,
      at: {},
      found: longest,
      fix: "Pass the unit if this is wrong, or check it against a known girth or height.",
    },
  ];
  return { unit: report(guess, "guessed", longest, word), issues };
}

function report(unit: LengthUnit, origin: UnitReport["origin"], longest: number, word: string): UnitReport {
  const others = (Object.keys(MM_PER_UNIT) as LengthUnit[])
    .filter((other) => other !== unit)
    .map((other) => ({ unit: other, longestMm: longest * MM_PER_UNIT[other] }))
    .filter(({ longestMm }) => longestMm >= BELIEVABLE.least && longestMm <= BELIEVABLE.most);
  return { unit, mmPerUnit: MM_PER_UNIT[unit], origin, word, others };
}

function format(x: number): string {
  return String(Number(x.toPrecision(4)));
}

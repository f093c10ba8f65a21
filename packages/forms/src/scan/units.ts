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

/** Shortest thing that is guessed at first, mm: most scans are of limbs and bodies, not of ears. */
const USUAL_LEAST = 300;

/** Units in the order in which programs leave them unsaid; feet are never guessed. */
const COMMON: readonly LengthUnit[] = ["mm", "m", "cm", "in", "dm"];

/** What {@link settleUnit} knows besides the size. */
export interface UnitHints {
  /** What the file or its format says. */
  readonly stated?: LengthUnit | undefined;
  /** What the caller says. */
  readonly given?: LengthUnit | undefined;
  /** Unit that the format is in by custom where nothing is said, such as mm for STL. */
  readonly customary?: LengthUnit | undefined;
}

/**
 * Settles the unit of a mesh by the longest side of its box.
 *
 * @param longest - longest side, in file units
 * @remarks A size alone cannot tell 30 cm from 30 in: the guess takes the customary unit of the format if that makes a
 * thing of 80 to 2600 mm, else the first of mm, m, cm, in, dm that makes one of 300 to 2600 mm. Where another unit would
 * do as well the issue is a warning, says which, and asks for a taped size.
 */
export function settleUnit(longest: number, hints: UnitHints): { unit: UnitReport; issues: Issue[] } {
  const { stated, given, customary } = hints;
  if (given) return { unit: report(given, "given", longest, `The unit is ${given}, as given.`), issues: [] };
  const size = (unit: LengthUnit): number => longest * MM_PER_UNIT[unit];
  const believable = (unit: LengthUnit): boolean => size(unit) >= 10 && size(unit) <= 2 * BELIEVABLE.most;
  if (stated && (believable(stated) || !(longest > 0))) {
    return { unit: report(stated, "stated", longest, `The file says that it is in ${stated}.`), issues: [] };
  }
  const within = (unit: LengthUnit, least: number): boolean =>
    size(unit) >= least && size(unit) <= BELIEVABLE.most;
  // A file that states a wrong unit was most often written in mm without a thought.
  const guess =
    [customary].find((unit) => unit !== undefined && within(unit, BELIEVABLE.least)) ??
    COMMON.find((unit) => within(unit, stated ? BELIEVABLE.least : USUAL_LEAST)) ??
    COMMON.find((unit) => within(unit, BELIEVABLE.least)) ??
    "mm";
  const rivals = COMMON.filter((unit) => unit !== guess && within(unit, BELIEVABLE.least));
  const taken = `The longest side is ${format(longest)}: taken as ${guess}, ${format(size(guess))} mm`;
  const word =
    rivals.length === 0
      ? `${taken}.`
      : `${taken}, but this is not sure: it could be ${rivals.map((unit) => `${unit} (${format(size(unit))} mm)`).join(" or ")}.`;
  const issues: Issue[] = [
    {
      code: stated ? "forms/unit-doubtful" : "forms/unit-guessed",
      severity: stated || rivals.length > 0 ? "warning" : "note",
      message: stated
        ? `In ${stated}, as the file says, the longest side would be ${format(size(stated))} mm. ${word}`
        : word,
      at: {},
      found: longest,
      fix:
        rivals.length > 0
          ? "Pass the unit, or tape one girth or height and check the scan against it."
          : "Pass the unit if this is wrong, or check it against a known girth or height.",
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

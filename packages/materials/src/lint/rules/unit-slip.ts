import { propertyRule } from "../../entry/properties";
import {
  entryRule,
  looseMiddle,
  looseValues,
  type LintContext,
  type Loose,
  type LooseValue,
} from "../context";
import { asTexts, shownAs } from "../loose";
import { slipOf, slipText } from "../slips";

/** Further than this from the middle of its family, and this far beyond its ends, a figure is looked at twice. */
const FAR = 3;
const BEYOND = 1.5;
/** With fewer figures a family has no middle to speak of. */
const ENOUGH = 3;

/**
 * A figure that is off by the factor of a unit: 10 (mm for cm), 33.9 (oz/yd²), 16.0 (lb/ft³), 25.4 (inches).
 * Against other values of the same entry it is a fault; against the family it may be a rare material, so it warns.
 */
export const unitSlip = entryRule(
  "unit-slip",
  "No figure is off by the factor of a unit.",
  ({ entry }, context) => {
    const values = looseValues(entry);
    return values.flatMap((value) => {
      const middle = looseMiddle(value.value);
      const unit = propertyRule(value.property).unit;
      // Degrees have no zero that a ratio could start from.
      if (middle === undefined || middle <= 0 || unit === "Cel") return [];
      const twin = slipWithin(values, value, middle);
      if (twin)
        return [
          {
            path: value.path,
            message: `${value.property} is ${middle} ${unit}, but another value of this entry is ${twin.other}: a factor of ${round(twin.factor)}.`,
            fix: `Check the unit of both${slipText(middle / twin.other, unit)}.`,
            found: middle,
          },
        ];
      return [
        ...slipFromParent(entry, value, middle, context),
        ...outlier(entry, value, middle, context),
      ].slice(0, 1);
    });
  },
);

function slipWithin(
  values: readonly LooseValue[],
  own: LooseValue,
  middle: number,
): { other: number; factor: number } | undefined {
  for (const { property, value, path } of values) {
    if (property !== own.property || path === own.path) continue;
    if (JSON.stringify(value["conditions"]) !== JSON.stringify(own.value["conditions"])) continue;
    const other = looseMiddle(value);
    if (other === undefined || other <= 0) continue;
    const factor = middle > other ? middle / other : other / middle;
    // Both values would be reported; the later one is enough.
    if (slipOf(factor) && (own.path[2] as number) > (path[2] as number)) return { other, factor };
  }
  return undefined;
}

/** A figure that is off from a parent's by the factor of a unit, almost to the digit. */
function slipFromParent(
  entry: Loose,
  { property, path, value }: LooseValue,
  middle: number,
  context: LintContext,
) {
  for (const id of asTexts(entry["parents"])) {
    for (const parent of looseValues(context.known.get(id) ?? {})) {
      if (parent.property !== property || value["conditions"] !== undefined) continue;
      const other = looseMiddle(parent.value);
      if (other === undefined || other <= 0 || !slipOf(middle > other ? middle / other : other / middle))
        continue;
      const { unit } = propertyRule(property);
      return [
        {
          path,
          severity: "warning" as const,
          message: `${property} is ${middle} ${unit}, that of the parent "${id}" is ${round(other)}.`,
          fix: `Check the unit${slipText(middle / other, unit)}.`,
          found: middle,
        },
      ];
    }
  }
  return [];
}

function outlier(entry: Loose, { property, path, value }: LooseValue, middle: number, context: LintContext) {
  const figures = context.familyFigures(entry["family"], property, shownAs(entry["id"]));
  if (figures.length < ENOUGH || value["conditions"] !== undefined) return [];
  const centre = figures[Math.floor(figures.length / 2)]!;
  const low = figures[0]!;
  const high = figures.at(-1)!;
  if (centre <= 0 || (middle <= centre * FAR && middle >= centre / FAR)) return [];
  if (middle >= low / BEYOND && middle <= high * BEYOND) return [];
  const { unit } = propertyRule(property);
  return [
    {
      path,
      severity: "warning" as const,
      message: `${property} is ${middle} ${unit}; the family has ${round(low)} to ${round(high)}, mostly about ${round(centre)}: a factor of ${round(Math.max(middle / centre, centre / middle))}.`,
      fix: `Check the unit${slipText(middle / centre, unit)}; a rare material says so in its note.`,
      found: middle,
      limit: `${round(low)} to ${round(high)}`,
    },
  ];
}

function round(value: number): number {
  return Number(value.toPrecision(3));
}

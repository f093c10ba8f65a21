import { propertyRule } from "../../entry/properties";
import { entryRule, looseValues } from "../context";
import { slipText } from "../slips";

/** Figures lie within what physics and the trade know. */
export const plausible = entryRule("plausible", "Figures lie within what is possible.", ({ entry }) =>
  looseValues(entry).flatMap(({ property, value, path }) => {
    const { plausible: bounds, unit } = propertyRule(property);
    return (["typical", "min", "max"] as const).flatMap((key) => {
      const figure = value[key];
      if (typeof figure !== "number" || (figure >= bounds[0] && figure <= bounds[1])) return [];
      const nearest = figure < bounds[0] ? bounds[0] : bounds[1];
      return [
        {
          path: [...path, key],
          message: `${property}.${key} is ${figure} ${unit}, outside ${bounds[0]} to ${bounds[1]}.`,
          fix: `Check the unit: it must be ${unit}${slipText(figure / nearest, unit)}.`,
          found: figure,
          limit: `${bounds[0]} to ${bounds[1]}`,
        },
      ];
    });
  }),
);

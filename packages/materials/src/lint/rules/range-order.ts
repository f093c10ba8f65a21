import { rangeFault } from "../../schema/measured-rules";
import { entryRule, looseValues } from "../context";
import { draftAt } from "../loose";

/** Smallest, typical and largest stand in that order. */
export const rangeOrder = entryRule("range-order", "min ≤ typical ≤ max.", ({ entry }) =>
  looseValues(entry).flatMap(({ value, path, property }) => {
    const fault = rangeFault(value);
    // A value without any figure is told by the shape rule.
    if (!fault || fault.startsWith("Give")) return [];
    const { typical, min, max } = value;
    const swapped =
      typeof min === "number" &&
      typeof max === "number" &&
      min > max &&
      (typeof typical !== "number" || (typical >= max && typical <= min));
    return [
      {
        path,
        message: `${property}: ${fault}`,
        fix: swapped ? "Swap min and max." : "Look at the source again.",
        ...(swapped
          ? {
              repair: (draft: Record<string, unknown>) => {
                const target = draftAt(draft, path);
                if (target) Object.assign(target, { min: max, max: min });
              },
            }
          : {}),
      },
    ];
  }),
);

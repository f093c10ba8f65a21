import { entryRule } from "../context";
import { asObject } from "../loose";

/** "None" is a claim: it needs a data sheet; otherwise the state is unknown. */
export const allergens = entryRule(
  "allergens",
  'An allergen is "none" only where a data sheet says so.',
  ({ entry }) => {
    if (entry["hazards"] !== undefined) return [];
    return Object.entries(asObject(entry["allergens"]) ?? {}).flatMap(([name, state]) =>
      state === "none"
        ? [
            {
              path: ["allergens", name],
              message: `"none" for ${name} is a claim without a data sheet.`,
              fix: 'Write "unknown", or copy the hazards of the data sheet that says so.',
              repair: (draft: Record<string, unknown>) => {
                const target = asObject(draft["allergens"]) as Record<string, unknown> | undefined;
                if (target) target[name] = "unknown";
              },
            },
          ]
        : [],
    );
  },
);

import { entryRule, findSource, looseValues } from "../context";
import { draftAt, shownAs } from "../loose";

/** A figure says how it was got, and that fits its source. */
export const method = entryRule("method", "A figure says how it was got.", ({ entry }, context) =>
  looseValues(entry).flatMap(({ property, value, path }) => {
    const how = value["method"];
    const kind = findSource(entry, value["source"], context)?.["kind"];
    if (how === "standard" && (typeof value["standard"] !== "string" || value["standard"].trim() === ""))
      return [
        {
          path: [...path, "standard"],
          message: `${property} was measured by a standard that is not named.`,
          fix: 'Name it in "standard", or write the method datasheet-unstated.',
        },
      ];
    if (how === "memory" && kind !== undefined && kind !== "memory")
      return [
        {
          path: [...path, "method"],
          message: `${property} names a source, but its method is memory.`,
          fix: "Write how the source got it: standard, datasheet-unstated, trade-page or literature.",
        },
      ];
    if (kind === "memory" && how !== "memory" && how !== undefined && how !== "hand-test")
      return [
        {
          path: [...path, "method"],
          message: `${property} is from memory, but its method is ${shownAs(how)}.`,
          fix: "Write the method memory.",
          repair: (draft: Record<string, unknown>) => {
            const target = draftAt(draft, path);
            if (target) target["method"] = "memory";
          },
        },
      ];
    return [];
  }),
);

import { entryRule, findSource, looseValues } from "../context";
import { draftAt, shownAs } from "../loose";

/** What is from memory says so, and is never more than unconfirmed. */
export const memoryStatus = entryRule(
  "memory-status",
  "Values from memory stay unconfirmed and say so.",
  ({ entry }, context) =>
    looseValues(entry).flatMap(({ property, value, path }) => {
      const source = findSource(entry, value["source"], context);
      const remembered =
        value["grade"] === "M" || source?.["kind"] === "memory" || value["method"] === "memory";
      if (!remembered) return [];
      const set = (key: string, to: string) => (draft: Record<string, unknown>) => {
        const target = draftAt(draft, path);
        if (target) target[key] = to;
      };
      return [
        ...(value["grade"] === "M"
          ? []
          : [
              {
                path: [...path, "grade"],
                message: `${property} is from memory, so its grade is M, not ${shownAs(value["grade"])}.`,
                fix: "Write M, or name the source that you read.",
                repair: set("grade", "M"),
              },
            ]),
        ...(value["status"] === "unconfirmed"
          ? []
          : [
              {
                path: [...path, "status"],
                message: `${property} is from memory and can never be ${shownAs(value["status"])}.`,
                fix: "Write unconfirmed, or name a source.",
                found: shownAs(value["status"]),
                limit: "unconfirmed",
                repair: set("status", "unconfirmed"),
              },
            ]),
      ];
    }),
);

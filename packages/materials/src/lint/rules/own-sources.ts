import { entryRule } from "../context";
import { asList, asObject, shownAs } from "../loose";
import { sourceUses } from "./known-ids";

/** Own sources are dated, used, and do not hide a shared one. */
export const ownSources = entryRule(
  "own-sources",
  "Own sources are dated and used.",
  ({ entry }, context) => {
    const used = new Set(sourceUses(entry).map(({ id }) => id));
    return asList(entry["sources"]).flatMap((item, index) => {
      const source = asObject(item);
      if (!source) return [];
      const path = ["sources", index];
      const id = shownAs(source["id"]);
      return [
        ...(source["published"] === undefined && source["retrieved"] === undefined
          ? [
              {
                path,
                severity: "warning" as const,
                message: `The source "${id}" has no date.`,
                fix: "Give published, or for a web page retrieved.",
              },
            ]
          : []),
        ...(used.has(id)
          ? []
          : [
              {
                path,
                severity: "warning" as const,
                message: `Nothing names the source "${id}".`,
                fix: "Name it in a value, or take it out.",
              },
            ]),
        ...(context.sharedSources.has(id)
          ? [
              {
                path: [...path, "id"],
                message: `The shared sources already have an id "${id}".`,
                fix: "Use the shared one, or choose another id.",
              },
            ]
          : []),
      ];
    });
  },
);

import { GRADE_KINDS } from "../grade-kinds";
import {
  entryRule,
  findSource,
  looseMiddle,
  looseValues,
  type LintContext,
  type Loose,
  type LooseValue,
} from "../context";
import { asList, asObject, draftAt, shownAs } from "../loose";

/** Figures name where they come from, with the grade of that source; a copied figure names the original. */
export const sourced = entryRule(
  "sourced",
  "Figures name a source of their grade; copies name the original.",
  ({ entry }, context) =>
    looseValues(entry).flatMap((one) => {
      const { property, value, path } = one;
      const source = findSource(entry, value["source"], context);
      if (value["source"] === undefined || value["source"] === "")
        return [
          {
            path: [...path, "source"],
            message: `${property} has no source.`,
            fix: 'Name the id of a source, or "memory" with grade M.',
          },
        ];
      const kind = source?.["kind"];
      const allowed = typeof kind === "string" ? GRADE_KINDS[kind] : undefined;
      if (allowed && value["grade"] !== "M" && !allowed.includes(shownAs(value["grade"])))
        return [
          {
            path: [...path, "grade"],
            message: `${property} has grade ${shownAs(value["grade"])}, but its source is a ${kind}: ${allowed.join(" or ")}.`,
            fix: `Write ${allowed[0]}.`,
            found: shownAs(value["grade"]),
            limit: allowed.join(" or "),
            repair: (draft: Record<string, unknown>) => {
              const target = draftAt(draft, path);
              if (target) target["grade"] = allowed[0];
            },
          },
        ];
      return copied(entry, one, context);
    }),
);

/** A figure from memory that equals a sourced one of a parent, to the digit, was read there. */
function copied(entry: Loose, { property, value, path }: LooseValue, context: LintContext) {
  if (value["grade"] !== "M" || looseMiddle(value) === undefined) return [];
  for (const id of asList(entry["parents"])) {
    const parent = context.known.get(shownAs(id));
    const twin = asList(asObject(parent?.["values"])?.[property])
      .map(asObject)
      .find(
        (other) =>
          other !== undefined &&
          other["grade"] !== "M" &&
          (["typical", "min", "max"] as const).every((key) => other[key] === value[key]),
      );
    if (twin)
      return [
        {
          path: [...path, "source"],
          message: `${property} has the figures of "${shownAs(id)}" but says it is from memory.`,
          fix: `Name their source "${shownAs(twin["source"])}", or leave the value out and mark the parent's with inherit.`,
        },
      ];
  }
  return [];
}

import { entryRule, type LintContext } from "../context";
import { asTexts, shownAs } from "../loose";

/** Parents are of the same family and never lead back to the entry. */
export const parents = entryRule(
  "parents",
  "Parents are of the same family and lead nowhere back.",
  ({ entry }, context) => {
    const own = shownAs(entry["id"]);
    return asTexts(entry["parents"]).flatMap((id, index) => {
      const path = ["parents", index];
      const parent = context.known.get(id);
      if (!parent) return [];
      const circle = pathBack(id, own, context);
      if (circle)
        return [
          {
            path,
            message: `Parents go in a circle: ${[own, ...circle].join(" → ")}.`,
            fix: "Take one of these parents out.",
          },
        ];
      if (parent["family"] === entry["family"]) return [];
      return [
        {
          path,
          message: `The parent "${id}" is of the family ${shownAs(parent["family"])}, the entry of ${shownAs(entry["family"])}.`,
          fix: "Figures are taken over within a family only: choose a parent of the same family.",
        },
      ];
    });
  },
);

/** Ids from `from` up to `target` along parents, if they lead there. */
function pathBack(from: string, target: string, context: LintContext): string[] | undefined {
  if (from === target) return [from];
  const seen = new Set<string>();
  const ways: string[][] = [[from]];
  for (let way = ways.shift(); way; way = ways.shift()) {
    const last = way.at(-1)!;
    if (seen.has(last)) continue;
    seen.add(last);
    for (const id of asTexts(context.known.get(last)?.["parents"])) {
      if (id === target) return [...way, id];
      ways.push([...way, id]);
    }
  }
  return undefined;
}

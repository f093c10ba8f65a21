import { heatGate } from "../../joint/gates";
import { glueCell, gluedAdhesives } from "../../joint/glue-table";
import { material } from "../../query/catalogue";
import { asEntry, entryRule } from "../context";
import { resolveValue } from "../../query/resolve-value";
import { parsedShape } from "../parsed-shape";
import { asObject, shownAs } from "../loose";

/** Ids of the glues that are applied hot. */
function hotGlues(): string[] {
  return gluedAdhesives
    .map(({ id }) => id)
    .filter((id) => (resolveValue(material(id), "applicationTemperature")?.min ?? 0) > HOT);
}

/** °C. */
const HOT = 60;

/**
 * An entry names the row of the glue table that fits it: a hot glue that the row recommends must not be hotter than what
 * the entry's own figures and fibres tolerate.
 */
export const glueGate = entryRule(
  "glue-gate",
  "The row of the glue table fits the entry's own heat limits.",
  (file) => {
    const { entry } = file;
    const sides = asObject(entry["substrates"]);
    if (!sides || !parsedShape(file).success) return [];
    return hotGlues().flatMap((id) => {
      const side = sides["back"] === undefined ? ("face" as const) : ("back" as const);
      const cell = glueCell(id, shownAs(sides[side]));
      const gate = heatGate(material(id), { entry: asEntry(entry), side }, cell);
      const heat = gate?.rating === "damages" ? gate : undefined;
      if (!heat) return [];
      return [
        {
          path: ["substrates", side],
          severity: "warning" as const,
          message: `By the figures of this entry ${id} damages it, though the row "${shownAs(sides[side])}" rates it better.`,
          fix: "Check the heat figures; where they are right, name another row or none.",
        },
      ];
    });
  },
);

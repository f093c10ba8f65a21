import type { Issue } from "@peltry/issues";
import { adhesion, material, type MaterialEntry, type Rating } from "@peltry/materials";
import type { ReadProject } from "../project/read-project";
import { located } from "./located";

/** A glued joint of the project, looked up in the catalogue. */
export interface CheckedGlue {
  readonly adhesive: string;
  readonly entry: MaterialEntry;
  readonly joins: readonly [string, string];
  readonly where: string;
  readonly rating: Rating;
  readonly reasons: readonly string[];
  readonly source: string;
  readonly issues: readonly Issue[];
}

/** Rates every glued joint that the project lists; a fabric of the project may stand for its material. */
export function checkGlues(read: ReadProject): CheckedGlue[] {
  return (read.project.glues ?? []).map((glue, i): CheckedGlue => {
    const at = read.place(["glues", i]);
    const joins = glue.joins.map((id) => read.project.fabrics[id]?.material ?? id) as [string, string];
    const entry = located(read, ["glues", i, "adhesive"], () => material(glue.adhesive));
    const found = located(read, ["glues", i, "joins"], () =>
      adhesion(glue.adhesive, joins[0], joins[1], {
        flexes: glue.flexes === true,
        overPerson: glue.overPerson === true,
      }),
    );
    const reasons = found.reasons.map(({ text }) => text);
    const bad = found.rating === "avoid" || found.rating === "damages";
    const issues: Issue[] = bad
      ? [
          {
            code: "run/glue-unfit",
            severity: found.rating === "damages" ? "error" : "warning",
            message: `${entry.name} between ${joins.join(" and ")}: ${found.rating}. ${reasons.join(" ")}`,
            at,
            source: found.source,
            fix: "Sew it, or choose another glue: the catalogue's table shows which.",
          },
        ]
      : [];
    return {
      adhesive: entry.name,
      entry,
      joins,
      where: glue.where ?? "",
      rating: found.rating,
      reasons,
      source: found.source,
      issues,
    };
  });
}

import { schemaIssue } from "../../schema/parse-with";
import { entryRule } from "../context";
import { parsedShape } from "../parsed-shape";

/** The entry has the shape of the schema: right keys, types, units, conditions. */
export const shape = entryRule("shape", "The entry has the shape of the schema.", (file) => {
  const { document, path } = file;
  const result = parsedShape(file);
  const twice = document.repeatedKeys.map((at) => ({
    path: at,
    message: `The key ${at.join(".")} stands twice.`,
    fix: "Keep one of them.",
  }));
  if (result.success) return twice;
  const faults = result.error.issues
    // Order of min, typical and max has a rule of its own, which can mend it.
    .filter((issue) => !/above max|outside min/.test(issue.message))
    .map((issue) => {
      const { message, fix, at } = schemaIssue(issue, "materials/lint-shape", path, undefined);
      return { path: at.path ?? [], message, fix: fix ?? "See the schema." };
    });
  return [...twice, ...faults];
});

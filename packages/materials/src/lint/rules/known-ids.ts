import { FIBRES } from "../../generated/fibres";
import { REGIONS } from "../../generated/regions";
import { gluedAdhesives, gluedSubstrates } from "../../joint/glue-table";
import { nearestTexts } from "../../query/nearest";
import { cautions } from "../../query/cautions";
import { entryRule, findSource, looseValues, type Finding, type LintContext, type Loose } from "../context";
import { asList, asObject, shownAs } from "../loose";

const ids = (list: readonly { readonly id: string }[]) => list.map(({ id }) => id);

/** Every id that an entry names leads somewhere. */
export const knownIds = entryRule("known-ids", "Every id that is named exists.", ({ entry }, context) => {
  const findings: Omit<Finding, "document">[] = [];
  const check = (what: string, id: unknown, known: readonly string[], path: readonly (string | number)[]) => {
    if (typeof id !== "string" || known.includes(id)) return;
    const near = nearestTexts(id, known, 3);
    findings.push({
      path,
      message: `There is no ${what} "${id.slice(0, 60)}".`,
      fix:
        near.length > 0
          ? `Did you mean ${near.map((one) => `"${one}"`).join(", ")}?`
          : `Known: ${known.slice(0, 40).join(", ")}.`,
      found: id.slice(0, 60),
    });
  };
  const entries = [...context.known.keys()];
  asList(entry["parents"]).forEach((id, index) => check("entry", id, entries, ["parents", index]));
  const deprecated = asObject(entry["deprecated"]);
  asList(deprecated?.["replacedBy"]).forEach((id, index) =>
    check("entry", id, entries, ["deprecated", "replacedBy", index]),
  );
  asList(entry["cautions"]).forEach((id, index) => check("caution", id, ids(cautions), ["cautions", index]));
  asList(entry["fibres"]).forEach((share, index) =>
    check("fibre", asObject(share)?.["fibre"], ids(FIBRES), ["fibres", index, "fibre"]),
  );
  asList(asObject(entry["colour"])?.["fibres"]).forEach((id, index) =>
    check("fibre", id, ids(FIBRES), ["colour", "fibres", index]),
  );
  const sides = asObject(entry["substrates"]);
  for (const side of ["face", "back"])
    check("surface of the glue table", sides?.[side], ids(gluedSubstrates), ["substrates", side]);
  check("adhesive of the glue table", entry["adhesive"], ids(gluedAdhesives), ["adhesive"]);
  asList(entry["regionNotes"]).forEach((note, index) =>
    check("rule of a region", asObject(note)?.["rule"], ids(REGIONS.rules), ["regionNotes", index, "rule"]),
  );
  for (const { id, path } of sourceUses(entry)) {
    if (typeof id !== "string" || findSource(entry, id, context)) continue;
    check("source", id, sourceIds(entry, context), path);
  }
  return findings;
});

function sourceIds(entry: Loose, context: LintContext): string[] {
  const own = asList(entry["sources"]).map((source) => shownAs(asObject(source)?.["id"]));
  return [...own, ...context.sharedSources.keys()];
}

/** Every place of an entry that names a source. */
export function sourceUses(entry: Loose): { id: unknown; path: readonly (string | number)[] }[] {
  const parts = (["care", "colour", "hazards"] as const).map((key) => ({
    object: asObject(entry[key]),
    path: [key],
  }));
  const components = asList(entry["components"]).map((component, index) => ({
    object: asObject(component),
    path: ["components", index],
  }));
  const values = looseValues(entry).map(({ value, path }) => ({ object: value, path }));
  return [...parts, ...components, ...values]
    .filter(({ object }) => object !== undefined)
    .map(({ object, path }) => ({ id: object!["source"], path: [...path, "source"] }));
}

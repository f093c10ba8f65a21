import { FAMILIES, type Family } from "../entry/families";
import { CAUTION_DEFERS_TO, cautions } from "../query/cautions";
import { familyEntries, sourceOf } from "../query/catalogue";
import { unknownValues } from "../query/resolve-value";
import { escapeMarkdown as text, markdownLink, markdownList, markdownTable } from "./markdown";

/** Names of the families for people. */
export const FAMILY_NAMES: Readonly<Record<Family, string>> = {
  "pile-fabric": "Pile fabrics",
  "stretch-knit": "Stretch knits",
  mesh: "Mesh",
  "coated-fabric": "Coated fabrics",
  woven: "Woven cloth",
  felt: "Felt",
  "foam-open": "Open-cell foam",
  "foam-closed": "Closed-cell foam",
  "foam-clay": "Clay and putty",
  thermoplastic: "Plastics",
  filling: "Filling",
  frame: "Frame",
  yarn: "Thread and yarn",
  fastener: "Fasteners and straps",
  leather: "Leather",
  adhesive: "Adhesives",
  tape: "Tapes",
  paint: "Paints",
  dye: "Dyes",
  coating: "Primers and coatings",
  "wrap-film": "Body forms and wraps",
};

/**
 * The list of all entries by family, as Markdown.
 *
 * @param linkTo address of the page of an entry
 */
export function catalogueIndexPage(linkTo: (id: string) => string): string {
  const parts = FAMILIES.map((family) => {
    const rows = familyEntries(family).map((entry) => [
      `[${text(entry.name)}](${linkTo(entry.id)})`,
      text(entry.summary),
      entry.status,
      String(unknownValues(entry).length),
    ]);
    return `## ${FAMILY_NAMES[family]}\n\n${markdownTable(["Material", "What for", "Status", "Unknowns"], rows)}`;
  });
  return `# Materials\n\n${parts.join("\n\n")}\n`;
}

/** All cautions as one Markdown page. */
export function cautionsPage(): string {
  const parts = cautions.map(({ id, title, appliesTo, what, lower, stopOn, sources }) =>
    [
      `## ${text(title)} {#${id}}`,
      `For: ${text(appliesTo)}.`,
      text(what),
      markdownList(lower.map(text)),
      `Stop on: ${stopOn.map(text).join("; ")}.`,
      `Sources: ${sources
        .map((source) => sourceOf(undefined, source))
        .map(({ title: name, url }) => markdownLink(name, url))
        .join("; ")}.`,
    ].join("\n\n"),
  );
  return `# Cautions\n\n${CAUTION_DEFERS_TO}\n\n${parts.join("\n\n")}\n`;
}

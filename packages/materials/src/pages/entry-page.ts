import type { Measured, MaterialEntry, Source } from "../entry/types";
import { PROPERTY_IDS } from "../entry/properties";
import { FIBRES } from "../generated/fibres";
import { gluedAdhesives, gluedSubstrates } from "../joint/glue-table";
import { adhesion } from "../joint/adhesion";
import { CAUTION_DEFERS_TO, caution, regionRules } from "../query/cautions";
import { sourceOf, entryOf } from "../query/catalogue";
import { unknownValues } from "../query/resolve-value";
import { escapeMarkdown as text, markdownLink, markdownList, markdownTable } from "./markdown";
import { conditionText, figureText, propertyLabel } from "./value-text";

/** Words of the grades. */
const GRADES = { A: "A", B: "B", C: "C", M: "from memory" } as const;

/** Options of {@link entryPage}. */
export interface EntryPageOptions {
  /** Address of the page of another entry; none are linked when not given. */
  readonly linkTo?: (id: string) => string;
}

/**
 * The page of an entry as Markdown: what it is, figures with their sources, what is unknown, glues, cautions.
 *
 * @param entry an entry or its id
 * @throws `materials/unknown-material`
 * @remarks Same entry, same bytes.
 */
export function entryPage(entry: MaterialEntry | string, options: EntryPageOptions = {}): string {
  const own = entryOf(entry);
  const sources: Source[] = [];
  const cite = (id: string): string => {
    let at = sources.findIndex((source) => source.id === id);
    if (at < 0) at = sources.push(sourceOf(own, id)) - 1;
    return `[${at + 1}]`;
  };
  const parts = [
    `# ${text(own.name)}`,
    deprecation(own),
    text(own.summary),
    aboutList(own, options),
    ...figures(own, cite),
    ...(own.components ? ["## Contains", components(own, cite)] : []),
    ...glueSection(own, cite),
    ...careSection(own, cite),
    ...cautionSection(own),
    ...hazardSection(own, cite),
    ...(own.notes ? ["## Notes", markdownList(own.notes.map(text))] : []),
    ...(sources.length > 0
      ? ["## Sources", sources.map((source, index) => `${index + 1}. ${sourceLine(source)}`).join("\n")]
      : []),
    `Status: ${own.status}. In the list since ${own.listVersionAdded}.`,
  ];
  return `${parts.filter((part) => part !== "").join("\n\n")}\n`;
}

function deprecation({ deprecated }: MaterialEntry): string {
  if (!deprecated) return "";
  return `> No longer used since ${text(deprecated.since)}: ${text(deprecated.reason)} Use ${deprecated.replacedBy.map(text).join(", ")}.`;
}

function aboutList(entry: MaterialEntry, { linkTo }: EntryPageOptions): string {
  const link = (id: string) => (linkTo ? `[${text(id)}](${linkTo(id)})` : `\`${id}\``);
  const names = Object.values(entry.synonyms ?? {}).flat();
  return markdownList([
    `Id: \`${entry.id}\`, family: ${entry.family}`,
    ...(names.length > 0 ? [`Also called: ${names.map(text).join(", ")}`] : []),
    ...(entry.parents ? [`A kind of: ${entry.parents.map(link).join(", ")}`] : []),
    ...(entry.fibres ? [`Fibres: ${entry.fibres.map(fibreText).join("; ")}`] : []),
    ...(entry.pile
      ? [
          `Pile: lies ${entry.pile.direction === "none" ? "in no direction" : entry.pile.direction}, ${entry.pile.construction}`,
        ]
      : []),
    ...(entry.cellType ? [`Cells: ${entry.cellType}`] : []),
    ...(entry.colour
      ? [`Film: ${entry.colour.film}; hides: ${entry.colour.hiding}; carrier: ${entry.colour.carrier}`]
      : []),
    `Can stand in as: ${entry.roles.join(", ")}`,
  ]);
}

function fibreText(share: NonNullable<MaterialEntry["fibres"]>[number]): string {
  const name = FIBRES.find(({ id }) => id === share.fibre)?.name ?? share.fibre;
  const { percentMin: low, percentMax: high } = share;
  const percent =
    low === undefined
      ? "share unknown"
      : high === undefined || high === low
        ? `${low} %`
        : `${low} to ${high} %`;
  return `${share.part === "whole" ? "" : `${share.part} `}${text(name)} (${percent})`;
}

function figures(entry: MaterialEntry, cite: (id: string) => string): string[] {
  const rows = PROPERTY_IDS.flatMap((property) =>
    (entry.values[property] ?? []).map((value) => [
      propertyLabel(property),
      figureText(value),
      text(methodText(value)),
      `${GRADES[value.grade]} ${cite(value.source)}`,
      value.status,
      text(
        [value.note, value.inheritedFrom === undefined ? "" : `taken over from ${value.inheritedFrom}`]
          .filter(Boolean)
          .join("; "),
      ),
    ]),
  );
  const unknown = unknownValues(entry);
  return [
    "## Figures",
    rows.length === 0 ? "" : markdownTable(["", "Figure", "Method", "Source", "Status", "Note"], rows),
    unknown.length === 0
      ? ""
      : `Unknown: ${unknown.map((property) => propertyLabel(property).toLowerCase()).join("; ")}.`,
  ];
}

function methodText(value: Measured): string {
  const how = value.method === "standard" ? (value.standard ?? "standard") : value.method.replace("-", " ");
  const conditions = conditionText(value);
  return conditions === "" ? how : `${how}, ${conditions}`;
}

function components(entry: MaterialEntry, cite: (id: string) => string): string {
  const rows = (entry.components ?? []).map(({ cas, name, percentMin, percentMax, source }) => [
    text(name),
    cas,
    percentMin === undefined ? "share unknown" : `${percentMin} to ${percentMax ?? percentMin} % by mass`,
    cite(source),
  ]);
  return markdownTable(["Substance", "CAS number", "Share", "Source"], rows);
}

function glueSection(entry: MaterialEntry, cite: (id: string) => string): string[] {
  const onSurfaces = entry.adhesive !== undefined;
  const pairs = onSurfaces
    ? gluedSubstrates.map(({ id, name }) => ({ name, joint: adhesion(entry, id, id) }))
    : entry.substrates
      ? gluedAdhesives.map(({ id, name }) => ({ name, joint: adhesion(id, entry, entry) }))
      : [];
  if (pairs.length === 0) return [];
  const rows = pairs.map(({ name, joint }) => [
    text(name),
    joint.rating.replaceAll("-", " "),
    text(joint.reasons.map((reason) => reason.text).join("; ")),
    joint.sources.map(({ id }) => cite(id)).join(" "),
  ]);
  return [
    onSurfaces ? "## On surfaces" : "## Glues",
    markdownTable([onSurfaces ? "Surface" : "Glue", "Rating", "Why", "Source"], rows),
  ];
}

function careSection({ care }: MaterialEntry, cite: (id: string) => string): string[] {
  if (!care) return [];
  const note = care.note === undefined ? "" : ` ${text(care.note)}.`;
  return [
    "## Cleaning",
    `Wash: ${care.wash}. Dry: ${care.dry}. Iron: ${care.iron}.${note} ${cite(care.source)}`,
  ];
}

function cautionSection(entry: MaterialEntry): string[] {
  if (entry.cautions.length === 0) return ["## Cautions", `No hazard is recorded here. ${CAUTION_DEFERS_TO}`];
  const blocks = entry.cautions
    .map(caution)
    .map(({ title, what, lower, stopOn }) =>
      [
        `### ${text(title)}`,
        text(what),
        markdownList(lower.map(text)),
        `Stop on: ${stopOn.map(text).join("; ")}.`,
      ].join("\n\n"),
    );
  return ["## Cautions", ...blocks, CAUTION_DEFERS_TO];
}

function hazardSection(entry: MaterialEntry, cite: (id: string) => string): string[] {
  const rules = regionRules([entry]);
  const { hazards } = entry;
  const allergens = Object.entries(entry.allergens ?? {}).map(([name, state]) => `${name}: ${state}`);
  return [
    ...(rules.length > 0
      ? [
          "## Rules by region",
          markdownTable(
            ["Region", "Rule", "What it says", "Source"],
            rules.map((rule) => [rule.region, text(rule.title), text(rule.text), cite(rule.source)]),
          ),
        ]
      : []),
    ...(hazards
      ? [
          "## Codes of the data sheet",
          `${hazards.hStatements.join(", ")}${hazards.signalWord ? ` (${hazards.signalWord})` : ""}: copied from a data sheet of ${hazards.sdsDate} ${cite(hazards.source)}. The data sheet of the product in hand decides.`,
        ]
      : []),
    ...(allergens.length > 0 ? [`Allergens: ${allergens.join(", ")}.`] : []),
  ];
}

function sourceLine(source: Source): string {
  const more = [source.locator, source.published, source.kind].filter(Boolean).join(", ");
  return `${markdownLink(source.title, source.url)}${more === "" ? "" : ` (${text(more)})`}`;
}

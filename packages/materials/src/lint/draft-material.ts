import { fail } from "@peltry/issues";
import { FAMILIES, type Family } from "../entry/families";
import { propertyRule, PROPERTIES, type PropertyId } from "../entry/properties";
import type { Method, Source } from "../entry/types";
import { formatEntry } from "./format-entry";
import { GRADE_KINDS } from "./grade-kinds";
import { lintMaterials, type LintFile } from "./lint-materials";
import { highestStatus } from "./status-ladder";

/** What somebody tells of a new material. Only name and family are needed; the rest stays unknown. */
export interface DraftAnswers {
  readonly name: string;
  readonly family: Family | string;
  /** From the name when not given. */
  readonly id?: string;
  readonly summary?: string;
  readonly roles?: readonly string[];
  readonly synonyms?: readonly string[];
  readonly parents?: readonly string[];
  /** `part:fibre:percent`, such as `pile:acrylic:100`; percent may be a range or left out. */
  readonly fibres?: readonly string[];
  /** Rows of the glue table. */
  readonly face?: string;
  readonly back?: string;
  /** `property=figure` with conditions, such as `stretchAcross=30..50,load=hand`. */
  readonly values?: readonly string[];
  /** Where the figures come from; from memory when not given. */
  readonly source?: Omit<Source, "id"> & { readonly id?: string };
  /** How they were got, when the source does not say it. */
  readonly method?: Method;
}

/** Ids are made of small letters, digits and hyphens. */
export function idFromName(name: string): string {
  return name
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-/, "")
    .slice(0, 60)
    .replace(/-$/, "");
}

/**
 * A valid draft of an entry from a few answers, with the cautions that follow from them, ready to be written.
 *
 * @returns path below `data` and text; run {@link lintMaterials} on it for what is left to do
 * @throws `materials/bad-draft` for a family, property or kind of source that does not exist, a figure that cannot be
 * read, or an answer of another type
 */
export function draftMaterial(answers: DraftAnswers): LintFile {
  requireAnswers(answers);
  const { family } = answers;
  if (!FAMILIES.some((one) => one === family))
    refuse("family", `There is no family "${family}".`, `One of ${FAMILIES.join(", ")}.`);
  const id = answers.id ?? idFromName(answers.name);
  if (!/^[a-z0-9]+(-[a-z0-9]+)*$/.test(id))
    refuse("id", `"${id}" is not an id.`, "Small letters, digits, hyphens.");
  const source = answers.source ? { id: `${id}-source`, ...answers.source } : undefined;
  const values = valuesOf(answers.values ?? [], source, answers.method);
  const statuses = Object.values(values)
    .flat()
    .map(({ status }) => status);
  const draft = {
    $schema: "../../schemas/material.schema.json",
    schemaVersion: 1,
    id,
    name: answers.name.trim(),
    family,
    summary: answers.summary?.trim() || `${answers.name.trim()}.`,
    ...(answers.synonyms?.length ? { synonyms: { en: answers.synonyms } } : {}),
    ...(answers.parents?.length ? { parents: answers.parents } : {}),
    roles: answers.roles ?? [],
    ...(answers.face === undefined
      ? {}
      : {
          substrates: { face: answers.face, ...(answers.back === undefined ? {} : { back: answers.back }) },
        }),
    ...(answers.fibres?.length ? { fibres: answers.fibres.map(fibreOf) } : {}),
    ...(family === "pile-fabric" ? { pile: { direction: "unknown", construction: "unknown" } } : {}),
    values,
    cautions: [],
    ...(source && statuses.length > 0 ? { sources: [source] } : {}),
    status: statuses.some((status) => status !== "unconfirmed") ? "provisional" : "unconfirmed",
    listVersionAdded: "0.1.0",
  };
  const file = { path: `${family}/${id}.json`, text: formatEntry(draft) };
  return lintMaterials([file], { fix: true }).fixed[0] ?? file;
}

/** Answers come from flags and forms: each of another type is refused by its name. */
function requireAnswers(answers: DraftAnswers): void {
  const given = answers as unknown as Record<string, unknown> | null | undefined;
  if (typeof given !== "object" || given === null)
    refuse("name", "There are no answers.", "Give a name and a family.");
  const { source } = given;
  if (source !== undefined && (typeof source !== "object" || source === null))
    refuse("source", "source is no object.", "Give its kind and title.");
  for (const key of ["name", "family"])
    if (given[key] === undefined) refuse(key, `There is no ${key}.`, "Give a name and a family.");
  const texts: Record<string, unknown> = { kind: "memory", title: "", ...source, ...given };
  for (const key of ["name", "family", "id", "summary", "face", "back", "method", "kind", "title"])
    if (texts[key] !== undefined && typeof texts[key] !== "string")
      refuse(key, `${key} is no text.`, "Give a text.");
  for (const key of ["roles", "synonyms", "parents", "fibres", "values"]) {
    const list = given[key];
    if (list !== undefined && !(Array.isArray(list) && list.every((one) => typeof one === "string")))
      refuse(key, `${key} is no list of texts.`, "Give a list of texts.");
  }
  if (!Object.hasOwn(GRADE_KINDS, texts.kind as string))
    refuse(
      "source",
      `There is no kind of source "${String(texts.kind)}".`,
      `One of ${Object.keys(GRADE_KINDS).join(", ")}.`,
    );
}

type DraftValue = Record<string, unknown> & { status: string };

function valuesOf(
  texts: readonly string[],
  source: (Omit<Source, "id"> & { id: string }) | undefined,
  method: Method | undefined,
): Record<string, DraftValue[]> {
  const values: Record<string, DraftValue[]> = {};
  for (const text of texts) {
    const [, property, rest] =
      /^\s*(\w+)\s*=\s*(.+)$/.exec(text) ??
      refuse("values", `"${text}" is not property=figure.`, "Such as density=33 or massPerArea=180..220.");
    if (!Object.hasOwn(PROPERTIES, property!))
      refuse(
        "values",
        `There is no property "${property}".`,
        `One of ${Object.keys(PROPERTIES).join(", ")}.`,
      );
    const [figure, ...conditions] = rest!.split(",").map((part) => part.trim());
    const grade = (GRADE_KINDS[source?.kind ?? "memory"]?.[0] ?? "M") as "A" | "B" | "C" | "M";
    const range = figureOf(figure!);
    const middle = range.typical ?? range.min ?? range.max ?? 0;
    (values[property!] ??= []).push({
      unit: propertyRule(property as PropertyId).unit,
      ...range,
      method: source ? (method ?? methodOf(source.kind, property as PropertyId)) : "memory",
      ...conditionsOf(conditions, property as PropertyId, source?.kind),
      source: source?.id ?? "memory",
      grade,
      status: highestStatus({ grade, source: source?.id ?? "memory", middle }, []),
    });
  }
  return values;
}

function figureOf(text: string): { typical?: number; min?: number; max?: number } {
  // Dots stand between two figures: "160-180" is no range, and never just its first figure.
  const match = /^(-?\d+(?:\.\d+)?)?(?:(\.\.)(-?\d+(?:\.\d+)?)?)?$/.exec(text);
  const [, low, dots, high] = match ?? [];
  if (!match || (low === undefined && high === undefined))
    refuse("values", `"${text}" is not a figure.`, "Write 33, or a range as 180..220, ..80, 20.. .");
  if (dots === undefined) return { typical: Number(low) };
  return {
    ...(low === undefined ? {} : { min: Number(low) }),
    ...(high === undefined ? {} : { max: Number(high) }),
  };
}

function conditionsOf(parts: readonly string[], property: PropertyId, kind: string | undefined) {
  const given = parts.map((part) => {
    const [key, value] = part.split("=").map((piece) => piece.trim());
    if (key === undefined || value === undefined || value === "")
      refuse("values", `"${part}" is not a condition.`, "Such as load=hand or strainPercent=25.");
    return [key, /^-?\d+(\.\d+)?$/.test(value!) ? Number(value) : value] as const;
  });
  // What somebody measured at home was a pull by hand.
  const needsLoad = propertyRule(property).needs?.includes("loadNPerCm") === true;
  const hand = needsLoad && given.length === 0 && (kind === "measurement" || kind === undefined);
  const all = hand ? [["load", "hand"] as const] : given;
  return all.length === 0 ? {} : { conditions: Object.fromEntries(all) };
}

const METHODS: Readonly<Record<string, Method>> = {
  "trade-page": "trade-page",
  datasheet: "datasheet-unstated",
  "safety-data-sheet": "datasheet-unstated",
  computed: "computed",
  memory: "memory",
};

function methodOf(kind: string, property: PropertyId): Method {
  if (kind !== "measurement") return METHODS[kind] ?? "literature";
  if (property.startsWith("stretch")) return "hand-test";
  const { unit } = propertyRule(property);
  if (unit === "mm") return "ruler";
  if (unit === "Cel") return "thermometer";
  return unit.startsWith("g") || unit.startsWith("kg") ? "kitchen-scale" : "hand-test";
}

function fibreOf(text: string): object {
  const [part, fibre, percent] = text.split(":").map((piece) => piece.trim());
  if (!part || !fibre)
    refuse("fibres", `"${text}" is not part:fibre:percent.`, "Such as pile:acrylic:100 or whole:polyester.");
  if (percent === undefined || percent === "") return { part, fibre };
  const { typical, min, max } = figureOf(percent);
  return { part, fibre, percentMin: typical ?? min ?? 0, percentMax: typical ?? max ?? 100 };
}

function refuse(path: string, message: string, fix: string): never {
  return fail("materials/bad-draft", message, { path: [path] }, { fix });
}

import { fail } from "@peltry/issues";
import { FAMILIES, type Family } from "../entry/families";
import { PROPERTIES, type PropertyId } from "../entry/properties";
import type { MaterialEntry, Status } from "../entry/types";
import { catalogue } from "./catalogue";
import { shownText } from "./require";
import { resolveValue, STATUS_ORDER } from "./resolve-value";

/** What is looked for; all given parts must hold. */
export interface MaterialQuery {
  /** Words that the id, name, synonyms, roles or summary must contain; any order, any case. */
  readonly text?: string;
  readonly family?: Family | readonly Family[];
  /** Something it can stand in for, such as `outer-pile` or `padding`. */
  readonly role?: string;
  /** A fibre that it has, or may have, in any part. */
  readonly fibre?: string;
  /** Bounds on figures in the unit of the property; entries that have none are left out. */
  readonly values?: { readonly [property in PropertyId]?: { readonly min?: number; readonly max?: number } };
  /** Least status of the figures that count. */
  readonly least?: Status;
  /** A caution that it must not carry. */
  readonly withoutCaution?: string;
  /** Take deprecated entries too. */
  readonly deprecated?: boolean;
}

/**
 * Entries that fit a query, best match of the text first, then by id.
 *
 * @param query a text, or a {@link MaterialQuery}; everything when empty
 * @throws `materials/bad-query` for a family, property or status that does not exist, or a condition of another type
 * @remarks Below a millisecond for the whole catalogue.
 */
export function findMaterials(query: string | MaterialQuery = {}): readonly MaterialEntry[] {
  const wanted: MaterialQuery = typeof query === "string" ? { text: query } : query;
  checkQuery(wanted);
  const words = (wanted.text ?? "")
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter(Boolean);
  return catalogue
    .filter((entry) => fits(entry, wanted))
    .map((entry) => ({ entry, score: textScore(entry, words) }))
    .filter(({ score }) => score !== undefined)
    .sort((a, b) => b.score! - a.score! || (a.entry.id < b.entry.id ? -1 : 1))
    .map(({ entry }) => entry);
}

function checkQuery(query: MaterialQuery): void {
  const refuse = (path: string[], message: string, found: unknown, fix: string): never =>
    fail("materials/bad-query", message, { path }, { found: shownText(found), fix });
  if (!isObject(query))
    refuse([], "The query is no text and no object.", query, "Give words, or conditions.");
  for (const key of ["text", "role", "fibre", "withoutCaution"] as const)
    if (query[key] !== undefined && typeof query[key] !== "string")
      refuse([key], `${key} is no text.`, query[key], "Give a text.");
  const { family, values, least } = query;
  if (family !== undefined && typeof family !== "string" && !Array.isArray(family))
    refuse(["family"], "family is no text and no list.", family, `One or some of ${FAMILIES.join(", ")}.`);
  for (const one of familiesOf(family))
    if (!FAMILIES.includes(one))
      refuse(["family"], `There is no family "${shownText(one)}".`, one, `One of ${FAMILIES.join(", ")}.`);
  if (least !== undefined && !STATUS_ORDER.includes(least))
    refuse(
      ["least"],
      `There is no status "${shownText(least)}".`,
      least,
      `One of ${STATUS_ORDER.join(", ")}.`,
    );
  if (values !== undefined && !isObject(values))
    refuse(["values"], "values is no object.", values, "Such as { density: { min: 30 } }.");
  for (const [property, bounds] of Object.entries<unknown>(values ?? {})) {
    const path = ["values", property];
    if (!Object.hasOwn(PROPERTIES, property))
      refuse(
        path,
        `There is no property "${property}".`,
        property,
        `One of ${Object.keys(PROPERTIES).join(", ")}.`,
      );
    const { min, max }: { min?: unknown; max?: unknown } = isObject(bounds) ? bounds : { min: bounds };
    if (![min, max].every((one) => one === undefined || (typeof one === "number" && !Number.isNaN(one))))
      refuse(path, `The bounds of ${property} are no numbers.`, bounds, "Such as { min: 30, max: 40 }.");
  }
}

function isObject(value: unknown): value is object {
  return typeof value === "object" && value !== null;
}

function familiesOf(family: MaterialQuery["family"]): readonly Family[] {
  return family === undefined ? [] : typeof family === "string" ? [family] : family;
}

function fits(entry: MaterialEntry, query: MaterialQuery): boolean {
  if (entry.deprecated && query.deprecated !== true) return false;
  const families = familiesOf(query.family);
  if (families.length > 0 && !families.includes(entry.family)) return false;
  if (query.role !== undefined && !entry.roles.includes(query.role)) return false;
  if (query.fibre !== undefined && !entry.fibres?.some(({ fibre }) => fibre === query.fibre)) return false;
  if (query.withoutCaution !== undefined && entry.cautions.some((id) => id === query.withoutCaution))
    return false;
  return Object.entries(query.values ?? {}).every(([property, bounds]) => {
    const found = resolveValue(entry, property as PropertyId, query.least ? { least: query.least } : {});
    // A range fits when it reaches into the bounds: the piece in hand may be anywhere in it.
    return (
      found !== undefined && found.max >= (bounds.min ?? -Infinity) && found.min <= (bounds.max ?? Infinity)
    );
  });
}

interface SearchTexts {
  readonly names: readonly string[];
  readonly nameWords: ReadonlySet<string>;
  readonly rest: string;
}

const searched = new WeakMap<MaterialEntry, SearchTexts>();

/** The texts of an entry in small letters, worked out once. */
function textsOf(entry: MaterialEntry): SearchTexts {
  const known = searched.get(entry);
  if (known) return known;
  const names = [entry.id, entry.name, ...Object.values(entry.synonyms ?? {}).flat()].map((name) =>
    name.toLowerCase(),
  );
  const fibres = (entry.fibres ?? []).map(({ fibre }) => fibre);
  const texts = {
    names,
    nameWords: new Set(names.flatMap((name) => name.split(/[^\p{L}\p{N}]+/u))),
    rest: [entry.family, entry.summary, ...entry.roles, ...fibres].join(" ").toLowerCase(),
  };
  searched.set(entry, texts);
  return texts;
}

/** How well the words fit, or undefined when one of them is nowhere. */
function textScore(entry: MaterialEntry, words: readonly string[]): number | undefined {
  if (words.length === 0) return 0;
  const { names, nameWords, rest } = textsOf(entry);
  let score = names.includes(words.join(" ")) ? 10 : 0;
  for (const word of words) {
    if (nameWords.has(word)) score += 3;
    else if (names.some((name) => name.includes(word))) score += 2;
    else if (rest.includes(word)) score += 1;
    else return undefined;
  }
  return score;
}

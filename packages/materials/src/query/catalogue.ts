import { fail } from "@peltry/issues";
import { ALL_ENTRIES } from "../generated/all-entries";
import { SOURCES } from "../generated/sources";
import type { Family } from "../entry/families";
import type { MaterialEntry, Source } from "../entry/types";
import { nearestCandidates, type Candidate } from "./nearest";
import { shownText } from "./require";

/** All entries, in the order of the families and then of their ids. Frozen in meaning: never changed by any function. */
export const catalogue: readonly MaterialEntry[] = ALL_ENTRIES;

let byId: Map<string, MaterialEntry> | undefined;
let bySource: Map<string, Source> | undefined;

function index(): Map<string, MaterialEntry> {
  byId ??= new Map(catalogue.map((entry) => [entry.id, entry]));
  return byId;
}

/**
 * The entry with this id.
 *
 * @param id such as `faux-fur-long`; equals the file name of the entry
 * @returns the entry, with the figures it inherits; deprecated entries are still found
 * @throws `materials/unknown-material` with the nearest ids when there is none
 * @remarks O(1) after the first call.
 */
export function material(id: string): MaterialEntry {
  const entry = findEntry(id);
  if (entry) return entry;
  return failUnknown(id, candidatesOf(catalogue));
}

/**
 * The entry itself, or the one with this id; anything else is refused as an unknown material.
 *
 * @throws `materials/unknown-material`
 */
export function entryOf(entry: MaterialEntry | string): MaterialEntry {
  if (typeof entry === "string") return material(entry);
  const given: unknown = entry;
  if (
    typeof given === "object" &&
    given !== null &&
    "id" in given &&
    "values" in given &&
    "cautions" in given
  )
    return entry;
  return failUnknown(given, []);
}

/** The entry with this id, or undefined. */
export function findEntry(id: string): MaterialEntry | undefined {
  return index().get(id);
}

/** The names that each entry goes by. */
export function candidatesOf(entries: readonly MaterialEntry[]): Candidate[] {
  return entries.map((entry) => ({
    id: entry.id,
    names: [entry.name, ...Object.values(entry.synonyms ?? {}).flat()],
  }));
}

/** Throws `materials/unknown-material`, naming the ids that look most alike. */
export function failUnknown(id: unknown, known: readonly Candidate[]): never {
  const text = shownText(id);
  const near = nearestCandidates(text, known, 3);
  return fail(
    "materials/unknown-material",
    `No material has the id "${text}".`,
    { material: text },
    {
      found: text,
      fix:
        near.length > 0
          ? `Did you mean ${near.map((one) => `"${one}"`).join(", ")}?`
          : "findMaterials() lists all ids.",
    },
  );
}

/** Entries of one family, by id. */
export function familyEntries(family: Family): readonly MaterialEntry[] {
  return catalogue.filter((entry) => entry.family === family);
}

/**
 * The source that a value of an entry names: its own or a shared one.
 *
 * @throws `materials/unknown-source` when neither has it
 */
export function sourceOf(entry: Pick<MaterialEntry, "id" | "sources"> | undefined, id: string): Source {
  const own = entry?.sources?.find((source) => source.id === id);
  if (own) return own;
  bySource ??= new Map(SOURCES.map((source) => [source.id, source]));
  const shared = bySource.get(id);
  if (shared) return shared;
  return fail(
    "materials/unknown-source",
    `No source has the id "${id}".`,
    entry ? { material: entry.id } : {},
    {
      found: id,
      fix: "Add it to the entry's sources.",
    },
  );
}

/** A source as one line: title, place in it, year, address. */
export function sourceText(source: Source): string {
  const year = source.published ? ` (${source.published})` : "";
  return [source.title + year, source.locator, source.url].filter(Boolean).join(", ");
}

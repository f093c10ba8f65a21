import { catalogue } from "../query/catalogue";
import { PROPERTY_IDS, type PropertyId } from "../entry/properties";
import { middleOf } from "../query/resolve-value";
import type { Family } from "../entry/families";
import type { MaterialEntry, Source } from "../entry/types";
import { SOURCES } from "../generated/sources";
import type { JsonDocument } from "./json-text";
import { asList, asObject, shownAs } from "./loose";

/** A file of the catalogue, read as far as it could be. */
export interface LintDocument {
  /** As the caller gave it. */
  readonly path: string;
  /** Folder and name without `.json`. */
  readonly folder: string;
  readonly stem: string;
  readonly text: string;
  readonly document: JsonDocument;
  /** The entry, as loose data: anything may be missing or of the wrong type. */
  readonly entry: Loose;
}

/** Data of which nothing is known. */
export interface Loose {
  readonly [key: string]: unknown;
}

/** A value of an entry with its path, as loose data. */
export interface LooseValue {
  readonly property: PropertyId;
  readonly path: readonly (string | number)[];
  readonly value: Loose;
}

/** What a rule may look at. */
export interface LintContext {
  /** Entries of the files under check. */
  readonly documents: readonly LintDocument[];
  /** All entries by id: those of the files, then those of the shipped catalogue. */
  readonly known: ReadonlyMap<string, Loose>;
  readonly sharedSources: ReadonlyMap<string, Source>;
  /** Middle figures of a property over a family, without the entry itself, sorted. */
  readonly familyFigures: (family: unknown, property: PropertyId, without: string) => readonly number[];
}

/** One fault that a rule found. */
export interface Finding {
  readonly document?: LintDocument;
  readonly path: readonly (string | number)[];
  readonly message: string;
  /** The mend, in words. */
  readonly fix: string;
  readonly severity?: "error" | "warning";
  readonly found?: string | number;
  readonly limit?: string | number;
  /** Mends a draft of the entry in place. */
  readonly repair?: (draft: Record<string, unknown>) => void;
}

/** One rule, one file. */
export interface LintRule {
  readonly id: string;
  /** What it asks, in one sentence. */
  readonly asks: string;
  readonly check: (context: LintContext) => Finding[];
}

/** A rule that looks at one entry at a time. */
export function entryRule(
  id: string,
  asks: string,
  check: (document: LintDocument, context: LintContext) => Omit<Finding, "document">[],
): LintRule {
  return {
    id,
    asks,
    check: (context) =>
      context.documents.flatMap((document) =>
        check(document, context).map((finding) => ({ ...finding, document })),
      ),
  };
}

const valuesOf = new WeakMap<Loose, LooseValue[]>();

/** All values of an entry that are objects, with their paths; worked out once an entry. */
export function looseValues(entry: Loose): LooseValue[] {
  const known = valuesOf.get(entry);
  if (known) return known;
  const found = findValues(entry);
  valuesOf.set(entry, found);
  return found;
}

function findValues(entry: Loose): LooseValue[] {
  const values = asObject(entry["values"]);
  if (!values) return [];
  return PROPERTY_IDS.filter((property) => Object.hasOwn(values, property)).flatMap((property) =>
    asList(values[property]).flatMap((value, index) => {
      const object = asObject(value);
      return object ? [{ property, path: ["values", property, index], value: object }] : [];
    }),
  );
}

/** Sources of an entry by id, its own before the shared ones. */
export function findSource(entry: Loose, id: unknown, context: LintContext): Loose | undefined {
  const own = asList(entry["sources"]).map(asObject);
  return (
    own.find((source) => source?.["id"] === id) ??
    (context.sharedSources.get(shownAs(id)) as Loose | undefined)
  );
}

const SHARED_SOURCES: ReadonlyMap<string, Source> = new Map(SOURCES.map((source) => [source.id, source]));

let shipped: Map<string, { id: string; middle: number }[]> | undefined;

/** Middle figures of the shipped catalogue by family and property; worked out once. */
function shippedFigures(): Map<string, { id: string; middle: number }[]> {
  if (shipped) return shipped;
  shipped = new Map();
  for (const entry of catalogue)
    for (const property of PROPERTY_IDS)
      for (const value of entry.values[property] ?? [])
        if (value.inheritedFrom === undefined)
          addFigure(shipped, entry.family, property, entry.id, middleOf(value));
  return shipped;
}

function addFigure(
  into: Map<string, { id: string; middle: number }[]>,
  family: Family | string,
  property: PropertyId,
  id: string,
  middle: number,
): void {
  const key = `${family} ${property}`;
  const list = into.get(key);
  if (list) list.push({ id, middle });
  else into.set(key, [{ id, middle }]);
}

/** The middle of a loose value, or undefined when it has no usable figure. */
export function looseMiddle(value: Loose): number | undefined {
  const { typical, min, max } = value;
  if (typeof typical === "number") return typical;
  const figures = [min, max].filter((figure) => typeof figure === "number");
  return figures.length === 0 ? undefined : figures.reduce((sum, figure) => sum + figure, 0) / figures.length;
}

/** Gathers what the rules look at. */
export function createContext(documents: readonly LintDocument[], alone: boolean): LintContext {
  const known = new Map<string, Loose>();
  if (!alone) for (const entry of catalogue) known.set(entry.id, entry as unknown as Loose);
  const own = new Map<string, { id: string; middle: number }[]>();
  const replaced = new Set<string>();
  for (const { entry } of documents) {
    const id = shownAs(entry["id"]);
    known.set(id, entry);
    replaced.add(id);
    for (const { property, value } of looseValues(entry)) {
      const middle = looseMiddle(value);
      if (middle !== undefined) addFigure(own, shownAs(entry["family"]), property, id, middle);
    }
  }
  return {
    documents,
    known,
    sharedSources: SHARED_SOURCES,
    familyFigures: (family, property, without) => {
      const key = `${shownAs(family)} ${property}`;
      const old = alone ? [] : (shippedFigures().get(key) ?? []).filter(({ id }) => !replaced.has(id));
      return [...old, ...(own.get(key) ?? [])]
        .filter(({ id }) => id !== without)
        .map(({ middle }) => middle)
        .sort((a, b) => a - b);
    },
  };
}

/** Entry in a form that {@link MaterialEntry} readers take, once the shape rule has passed. */
export function asEntry(entry: Loose): MaterialEntry {
  return entry as unknown as MaterialEntry;
}

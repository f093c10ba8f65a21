import type { Family } from "./families";
import { resolveInherited } from "./inherit";
import { PROPERTIES, type PropertyId } from "./properties";
import type { MaterialEntry, Measured } from "./types";

/** A value as it is shipped: without its unit, and without what values from memory have in common. */
export type PackedValue = Omit<Measured, "unit" | "method" | "source" | "grade" | "status"> &
  Partial<Pick<Measured, "method" | "source" | "grade" | "status">>;

/** An entry as it is shipped: without what its module and its properties already say. */
export type PackedEntry = Omit<
  MaterialEntry,
  "schemaVersion" | "family" | "values" | "cautions" | "status" | "listVersionAdded"
> &
  Partial<Pick<MaterialEntry, "cautions" | "status" | "listVersionAdded">> & {
    readonly values?: { readonly [property in PropertyId]?: readonly PackedValue[] };
  };

const FROM_MEMORY = { method: "memory", source: "memory", grade: "M", status: "unconfirmed" } as const;
const FIRST_VERSION = "0.1.0";

/** An entry without what {@link unpackEntries} puts back: a third of the size. */
export function packEntry(entry: MaterialEntry): PackedEntry {
  const {
    schemaVersion: _1,
    family: _2,
    values,
    cautions,
    status,
    listVersionAdded,
    lastReviewed: _3,
    ...rest
  } = entry;
  const packed = Object.entries(values).map(([id, list]) => [id, list.map(packValue)] as const);
  return {
    ...rest,
    ...(packed.length > 0 ? { values: Object.fromEntries(packed) } : {}),
    ...(cautions.length > 0 ? { cautions } : {}),
    ...(status === "unconfirmed" ? {} : { status }),
    ...(listVersionAdded === FIRST_VERSION ? {} : { listVersionAdded }),
  };
}

function packValue({ unit: _, ...value }: Measured): PackedValue {
  const plain = Object.entries(FROM_MEMORY).every(
    ([key, usual]) => value[key as keyof typeof FROM_MEMORY] === usual,
  );
  if (!plain) return value;
  const { method: _1, source: _2, grade: _3, status: _4, ...rest } = value;
  return rest;
}

/** Whole entries of one family from their shipped form, with the figures they inherit from each other. */
export function unpackEntries(family: Family, packed: readonly PackedEntry[]): readonly MaterialEntry[] {
  return resolveInherited(
    packed.map(({ id, name, summary, values, cautions, status, listVersionAdded, ...rest }) => ({
      schemaVersion: 1,
      id,
      name,
      family,
      summary,
      ...rest,
      values: Object.fromEntries(
        Object.entries(values ?? {}).map(([property, list]) => [
          property,
          list.map((value) => ({ unit: PROPERTIES[property as PropertyId].unit, ...FROM_MEMORY, ...value })),
        ]),
      ),
      cautions: cautions ?? [],
      status: status ?? "unconfirmed",
      listVersionAdded: listVersionAdded ?? FIRST_VERSION,
    })),
  );
}

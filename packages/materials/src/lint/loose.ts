import type { Loose } from "./context";

/** The value if it is an object (not a list), else undefined. */
export function asObject(value: unknown): Loose | undefined {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? (value as Loose) : undefined;
}

/** The value if it is a list, else an empty one. */
export function asList(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

/** The texts of a list. */
export function asTexts(value: unknown): string[] {
  return asList(value).filter((item): item is string => typeof item === "string");
}

/** Every text in some data, with its path; addresses (`url`) left out. */
export function allTexts(
  value: unknown,
  path: readonly (string | number)[] = [],
): { text: string; path: readonly (string | number)[] }[] {
  if (typeof value === "string") return [{ text: value, path }];
  if (Array.isArray(value)) return value.flatMap((item, index) => allTexts(item, [...path, index]));
  const object = asObject(value);
  if (!object) return [];
  return Object.entries(object)
    .filter(([key]) => key !== "url" && key !== "$schema")
    .flatMap(([key, item]) => allTexts(item, [...path, key]));
}

/** The value at a path of a draft, if it is an object or list all the way down. */
export function draftAt(
  draft: unknown,
  path: readonly (string | number)[],
): Record<string, unknown> | undefined {
  let at: unknown = draft;
  for (const key of path) {
    if (typeof at !== "object" || at === null) return undefined;
    at = (at as Record<string | number, unknown>)[key];
  }
  return asObject(at) as Record<string, unknown> | undefined;
}

/** Anything as a short text: texts as they are, the rest as JSON. Never throws for data read from JSON. */
export function shownAs(value: unknown): string {
  return typeof value === "string" ? value : (JSON.stringify(value)?.slice(0, 60) ?? "missing");
}

import { fail } from "@peltry/issues";

/** A JSON object of a glTF file, of which nothing is taken on trust. */
export type Json = Readonly<Record<string, unknown>>;
type Path = readonly (string | number)[];

/** The value as an object, or an empty one where it is absent. */
export function objectAt(value: unknown, path: Path): Json {
  if (value === undefined) return {};
  if (typeof value !== "object" || value === null || Array.isArray(value)) broken(path, "is no object");
  return value as Json;
}

/** The value as a list, or an empty one where it is absent. */
export function listAt(value: unknown, path: Path): readonly unknown[] {
  if (value === undefined) return [];
  if (!Array.isArray(value)) broken(path, "is no list");
  return value as readonly unknown[];
}

/** The value as a whole number ≥ 0; `otherwise` where it is absent. */
export function countAt(value: unknown, path: Path, otherwise?: number): number {
  if (value === undefined && otherwise !== undefined) return otherwise;
  if (typeof value !== "number" || !Number.isInteger(value) || value < 0 || value > Number.MAX_SAFE_INTEGER) {
    broken(path, value === undefined ? "is missing" : `is ${String(value).slice(0, 30)}, no whole number`);
  }
  return value;
}

/** Entry `index` of a list of objects. */
export function entryAt(list: readonly unknown[], index: unknown, what: string, path: Path): Json {
  const at = countAt(index, path);
  if (at >= list.length) {
    fail(
      "forms/bad-index",
      `${path.join(".")} names ${what} ${at}; the file has ${list.length}.`,
      { path },
      {
        found: at,
        limit: list.length - 1,
        fix: "The file is damaged: export it again.",
      },
    );
  }
  return objectAt(list[at], [what, at]);
}

/** A list of exactly `size` finite numbers; `otherwise` where it is absent. */
export function numbersAt(
  value: unknown,
  size: number,
  path: Path,
  otherwise: readonly number[],
): readonly number[] {
  if (value === undefined) return otherwise;
  const list = listAt(value, path);
  if (list.length !== size || list.some((x) => typeof x !== "number" || !Number.isFinite(x))) {
    broken(path, `is not a list of ${size} numbers`);
  }
  return list as readonly number[];
}

export function broken(path: Path, what: string): never {
  fail(
    "forms/bad-gltf",
    `The glTF file is broken: ${path.join(".")} ${what}.`,
    { path },
    { fix: "Export the mesh again." },
  );
}

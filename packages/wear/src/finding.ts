import { fail } from "@peltry/issues";

/** What a finding is about. */
export type Subject =
  | "head load"
  | "band"
  | "balance"
  | "heat"
  | "sight"
  | "footing"
  | "movement"
  | "pressure"
  | "children"
  | "flame"
  | "dressing"
  | "toilet"
  | "all";

/**
 * One result of a check. `note`: worth knowing, or cannot be judged; `caution`: change it or plan for it; `stop`: do not
 * wear it like this.
 */
export interface Finding {
  readonly subject: Subject;
  readonly level: "note" | "caution" | "stop";
  readonly what: string;
  /** What was found and the limit it was held against, both in `unit`. Left out where there is nothing to measure. */
  readonly figure?: number | string;
  readonly limit?: number | string;
  readonly unit?: string;
  /** Publication, or `from memory`, or `judgement`. */
  readonly source: string;
  /** What to change, and how much would be enough. */
  readonly fix?: string;
}

/**
 * The value itself where it is a number in the range.
 *
 * @throws wear/bad-number
 */
export function needNumber(value: unknown, path: string, low: number, high: number): number {
  if (typeof value === "number" && value >= low && value <= high) return value;
  fail(
    "wear/bad-number",
    `${path} is ${String(value).slice(0, 40)}.`,
    { path: path.split(".") },
    { found: String(value).slice(0, 40), limit: `${low} to ${high}`, fix: "Give a number in that range." },
  );
}

/** The word itself where it is one of the list. @throws wear/unknown-word */
export function needWord<T extends string>(value: unknown, path: string, words: readonly T[]): T {
  if (words.includes(value as T)) return value as T;
  fail(
    "wear/unknown-word",
    `${path} is “${String(value).slice(0, 40)}”.`,
    { path: path.split(".") },
    { found: String(value).slice(0, 40), limit: words.join(", "), fix: "Use one of these words." },
  );
}

/**
 * The value itself where it is an object, not null and no list.
 *
 * @throws wear/not-a-costume
 */
export function needObject<T extends object>(value: T, path: string): T {
  if (typeof value === "object" && value !== null && !Array.isArray(value)) return value;
  notThat(value, path, "an object");
}

/**
 * The list itself where it is a list of objects.
 *
 * @throws wear/not-a-costume
 */
export function needList<T extends object>(value: readonly T[], path: string): readonly T[] {
  if (!Array.isArray(value)) notThat(value, path, "a list");
  value.forEach((each: T, index) => needObject(each, `${path}.${index}`));
  return value;
}

function notThat(value: unknown, path: string, wanted: string): never {
  const found = value === null ? "null" : Array.isArray(value) ? "a list" : typeof value;
  fail(
    "wear/not-a-costume",
    `${path} is ${found}, not ${wanted}.`,
    { path: path.split(".") },
    { found, limit: wanted, fix: `Give ${wanted} there, or leave it out.` },
  );
}

/** Rounded for people: tenths. */
export function tenth(value: number): number {
  return Math.round(value * 10) / 10;
}

/** Rounded up to whole steps, so that a change of that size is enough. */
export function roundUp(value: number, step = 1): number {
  return Number((Math.ceil(value / step - 1e-9) * step).toFixed(6));
}

/** The finding for something that was not told, or that no rule here can judge. */
export function cannotJudge(subject: Subject, what: string, fix: string, why = "it was not told"): Finding {
  return {
    subject,
    level: "note",
    what: `Cannot judge ${what}: ${why}.`,
    source: "nothing given",
    fix,
  };
}

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

/** Rounded for people: tenths. */
export function tenth(value: number): number {
  return Math.round(value * 10) / 10;
}

/** The finding for something that was not told. */
export function cannotJudge(subject: Subject, what: string, fix: string): Finding {
  return {
    subject,
    level: "note",
    what: `Cannot judge ${what}: it was not told.`,
    source: "nothing given",
    fix,
  };
}

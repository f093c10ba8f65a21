/** How bad it is: an `error` stops the work, a `warning` wants a person's eye, a `note` is worth knowing. */
export type Severity = "error" | "warning" | "note";

/** Where it is. Every field is optional; give all that are known. Plain data. */
export interface Place {
  /** File name as the caller gave it. */
  readonly file?: string;
  /** Line in that file, from 1. */
  readonly line?: number;
  /** Column in that line, from 1. */
  readonly column?: number;
  /** Byte offset in a binary file. */
  readonly byte?: number;
  /** Keys and indices that lead to the value in a document. */
  readonly path?: readonly (string | number)[];
  readonly panel?: string;
  readonly edge?: string;
  readonly seam?: string;
  /** Name of a fabric piece. */
  readonly piece?: string;
  readonly material?: string;
  readonly triangle?: number;
  readonly vertex?: number;
  /** Index of a point in an outline. */
  readonly index?: number;
  /** Coordinates, mm. */
  readonly point?: readonly number[];
}

/**
 * One fault or remark as plain, cloneable data: what, where, how far off, and the mend.
 * `code` is stable (`package/kebab-case`); `message` is for people and may change.
 */
export interface Issue {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly at: Place;
  /** What was found, in the unit that the message names. */
  readonly found?: number | string;
  /** What is allowed. */
  readonly limit?: number | string;
  /** What to do about it. */
  readonly fix?: string;
  /** Where the limit comes from. */
  readonly source?: string;
}

/** `file:line:column`, or the panel and edge, or the path: the place in one short text; empty when unknown. */
export function placeText(at: Place): string {
  const parts: string[] = [];
  if (at.file !== undefined) {
    parts.push([at.file, at.line, at.column].filter((part) => part !== undefined).join(":"));
  } else if (at.line !== undefined) {
    parts.push(`line ${at.line}${at.column === undefined ? "" : `, column ${at.column}`}`);
  }
  if (at.path !== undefined && at.path.length > 0) parts.push(at.path.join("."));
  for (const key of [
    "panel",
    "edge",
    "seam",
    "piece",
    "material",
    "triangle",
    "vertex",
    "index",
    "byte",
  ] as const) {
    if (at[key] !== undefined) parts.push(`${key} ${at[key]}`);
  }
  if (at.point !== undefined) parts.push(`at (${at.point.map((x) => Math.round(x * 100) / 100).join(", ")})`);
  return parts.join(", ");
}

/** The issue as one line for people: place, message, mend. */
export function issueText(issue: Issue): string {
  const place = placeText(issue.at);
  return `${place ? `${place}: ` : ""}${issue.message}${issue.fix ? ` ${issue.fix}` : ""}`;
}

import { PeltryError, type Issue } from "@peltry/issues";
import type * as z from "zod";

/** What a document tells about its places. */
export type PlaceOf = (path: readonly (string | number)[]) => { line: number; column: number };

/** The parsed value; throws one {@link PeltryError} with an issue for each fault. */
export function parseWith<T extends z.ZodType>(
  schema: T,
  value: unknown,
  code: string,
  file?: string,
  placeOf?: PlaceOf,
): z.output<T> {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  throw new PeltryError(result.error.issues.map((issue) => schemaIssue(issue, code, file, placeOf)));
}

/** One fault of a document as an issue: place, what was found, the mend. */
export function schemaIssue(
  issue: z.core.$ZodIssue,
  code: string,
  file: string | undefined,
  placeOf: PlaceOf | undefined,
): Issue {
  const path = issue.path.map((key) => (typeof key === "number" ? key : String(key)));
  const full =
    issue.code === "unrecognized_keys" && issue.keys[0] !== undefined ? [...path, issue.keys[0]] : path;
  return {
    code,
    severity: "error",
    message: `${full.join(".") || "The document"}: ${sentence(issue)}`,
    at: { ...(file === undefined ? {} : { file }), ...placeOf?.(full), path: full },
    fix: mend(issue),
  };
}

function sentence(issue: z.core.$ZodIssue): string {
  return issue.message.endsWith(".") ? issue.message : `${issue.message}.`;
}

function mend(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case "unrecognized_keys":
      return `Take out or rename ${issue.keys.map((key) => `"${key.slice(0, 60)}"`).join(", ")}.`;
    case "invalid_value":
      return `Write ${issue.values.length === 1 ? "" : "one of "}${issue.values
        .slice(0, 30)
        .map((value) => JSON.stringify(value))
        .join(", ")}.`;
    case "invalid_type":
      return `Give a value of type ${issue.expected}.`;
    case "too_small":
      return `At least ${String(issue.minimum)}.`;
    case "too_big":
      return `At most ${String(issue.maximum)}.`;
    case "invalid_format":
      return "Write it in the form that the schema describes.";
    default:
      return "See the schema of the entry.";
  }
}

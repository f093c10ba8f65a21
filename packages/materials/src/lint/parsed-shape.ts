import { MATERIAL_SCHEMA } from "../schema/material-schema";
import type { LintDocument } from "./context";

type Parsed = ReturnType<typeof MATERIAL_SCHEMA.safeParse>;

const parsed = new WeakMap<LintDocument, Parsed>();

/** What the schema says of a document; worked out once. */
export function parsedShape(document: LintDocument): Parsed {
  const known = parsed.get(document);
  if (known) return known;
  const result = MATERIAL_SCHEMA.safeParse(document.document.value);
  parsed.set(document, result);
  return result;
}

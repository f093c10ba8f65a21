import * as z from "zod";
import { FAMILIES } from "../entry/families";
import type { MaterialEntry } from "../entry/types";
import { CAUTION_IDS } from "../generated/cautions";
import { readJson } from "../lint/json-text";
import { parseWith } from "./parse-with";
import { dateSchema, gradeSchema, idSchema, statusSchema, textSchema, valuesSchema } from "./measured-schema";

const percent = z.number().min(0).max(100);

const sourceSchema = z.strictObject({
  id: idSchema,
  kind: z.enum([
    "regulation",
    "standard",
    "paper",
    "agency",
    "handbook",
    "datasheet",
    "safety-data-sheet",
    "trade-page",
    "measurement",
    "memory",
    "computed",
  ]),
  title: textSchema,
  url: z
    .string()
    .regex(/^https?:\/\/\S+$/)
    .max(400)
    .optional(),
  locator: textSchema.optional().describe("page, table or clause"),
  published: dateSchema.optional(),
  retrieved: dateSchema.optional(),
});

const fibreSchema = z.strictObject({
  part: z.enum(["pile", "backing", "face", "whole"]),
  fibre: idSchema.describe("id of data/shared/fibres.json"),
  percentMin: percent.optional(),
  percentMax: percent.optional(),
});

const care = z.strictObject({
  wash: z.enum(["machine", "hand", "sponge", "none", "unknown"]),
  dry: z.enum(["line", "flat", "tumble-low", "no-tumble", "unknown"]),
  iron: z.enum(["none", "low", "medium", "high", "unknown"]),
  note: textSchema.optional(),
  source: idSchema,
  grade: gradeSchema,
});

const colour = z.strictObject({
  hiding: z.enum(["opaque", "semi-opaque", "transparent", "unknown"]),
  film: z.enum(["flexible", "stiff", "none", "unknown"]),
  carrier: z.enum(["water", "alcohol", "solvent", "none", "unknown"]),
  fibres: z.array(idSchema).optional(),
  source: idSchema,
  grade: gradeSchema,
});

const hazards = z.strictObject({
  hStatements: z.array(z.string().regex(/^(?:H\d{3}[A-Za-z]{0,3}|EUH\d{3}[A-Z]?)$/)).min(1),
  pStatements: z.array(z.string().regex(/^P\d{3}(?:\+P\d{3})*$/)).optional(),
  signalWord: z.enum(["Danger", "Warning"]).optional(),
  source: idSchema,
  sdsDate: dateSchema,
});

const allergen = z.enum(["contains", "may-contain", "none", "unknown"]).optional();

const component = z.strictObject({
  cas: z.string().regex(/^\d{2,7}-\d{2}-\d$/),
  name: textSchema,
  percentMin: percent.optional(),
  percentMax: percent.optional(),
  source: idSchema,
  grade: gradeSchema,
});

/** Shape of an entry. The exported JSON Schema is for editors: rules between fields run only here and in the lint. */
export const MATERIAL_SCHEMA: z.ZodType<Record<string, unknown>> = z.strictObject({
  $schema: z.string().optional(),
  schemaVersion: z.literal(1),
  id: idSchema.describe("equals the file name; never used again for something else"),
  name: textSchema.describe("generic: never a brand"),
  family: z.enum(FAMILIES),
  summary: textSchema.describe("one sentence: what it is, what it is for"),
  synonyms: z.record(z.string().regex(/^[a-z]{2,3}$/), z.array(textSchema)).optional(),
  parents: z.array(idSchema).max(5).optional().describe("entries of the same family that figures come from"),
  roles: z.array(idSchema).max(12).describe("what it can stand in for"),
  substrates: z
    .strictObject({ face: idSchema, back: idSchema.optional() })
    .optional()
    .describe("rows of the glue table"),
  adhesive: idSchema.optional().describe("column of the glue table"),
  fibres: z.array(fibreSchema).max(20).optional(),
  pile: z
    .strictObject({
      direction: z.enum(["along", "across", "none", "unknown"]),
      construction: z.enum(["sliver-knit", "warp-knit", "weft-knit", "woven", "tufted", "unknown"]),
    })
    .optional(),
  plasticised: z.boolean().optional(),
  cellType: z.enum(["open", "closed"]).optional(),
  care: care.optional(),
  colour: colour.optional(),
  values: valuesSchema,
  components: z.array(component).max(60).optional().describe("section 3 of the safety data sheet"),
  hazards: hazards.optional().describe("copied from a safety data sheet, never assigned here"),
  allergens: z
    .strictObject({
      latex: allergen,
      nickel: allergen,
      chromium: allergen,
      ptbp: allergen,
      colophony: allergen,
    })
    .optional(),
  cautions: z.array(z.enum(CAUTION_IDS)),
  regionNotes: z.array(z.strictObject({ region: textSchema, rule: idSchema })).optional(),
  notes: z.array(textSchema).max(12).optional(),
  sources: z.array(sourceSchema).max(40).optional(),
  status: statusSchema,
  reviews: z
    .array(z.strictObject({ by: textSchema, date: dateSchema, scope: z.enum(["values", "safety"]) }))
    .optional(),
  listVersionAdded: z.string().regex(/^\d+\.\d+\.\d+$/),
  lastReviewed: dateSchema.optional(),
  contributors: z.array(textSchema).optional(),
  deprecated: z
    .strictObject({ since: textSchema, replacedBy: z.array(idSchema), reason: textSchema })
    .optional(),
});

/**
 * An entry from plain data.
 *
 * @param file name for messages
 * @throws `materials/bad-entry` with one issue a fault, each with its path
 */
export function parseMaterial(value: unknown, file?: string): MaterialEntry {
  const { $schema: _, ...entry } = parseWith(MATERIAL_SCHEMA, value, "materials/bad-entry", file);
  return entry as unknown as MaterialEntry;
}

/**
 * An entry from the text of its file.
 *
 * @throws `materials/bad-json` with line and column; `materials/bad-entry` with path and line of each fault
 */
export function readMaterial(text: string, file?: string): MaterialEntry {
  const document = readJson(text, file);
  const { $schema: _, ...entry } = parseWith(
    MATERIAL_SCHEMA,
    document.value,
    "materials/bad-entry",
    file,
    document.placeOf,
  );
  return entry as unknown as MaterialEntry;
}

/** The JSON Schema of an entry, as published under `schemas/material.schema.json`. */
export function materialJsonSchema(): object {
  return {
    ...z.toJSONSchema(MATERIAL_SCHEMA, { reused: "ref" }),
    title: "Entry of the materials catalogue",
  };
}

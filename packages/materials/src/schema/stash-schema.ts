import * as z from "zod";
import type { Stash } from "../stash/types";
import { readJson } from "../lint/json-text";
import { parseWith } from "./parse-with";
import { idSchema, textSchema } from "./measured-schema";

const mm = z.number().positive().max(100_000);

const item = z
  .strictObject({
    id: textSchema.max(80).describe("your own name for it, unique in the stash"),
    material: idSchema.describe("id of the catalogue entry"),
    size: z.strictObject({ alongMm: mm, acrossMm: mm }).optional(),
    outline: z
      .array(z.tuple([z.number(), z.number()]))
      .min(3)
      .max(2000)
      .optional()
      .describe("mm; x across, y along the grain"),
    amount: z.strictObject({ value: z.number().min(0), unit: z.enum(["g", "ml", "m", "pieces"]) }).optional(),
    colour: z
      .string()
      .regex(/^#[0-9a-fA-F]{6}$/)
      .optional()
      .describe("#rrggbb"),
    condition: z.enum(["new", "used", "worn", "stained", "damaged", "unknown"]),
    measured: z
      .strictObject({
        massPerAreaGsm: z.number().min(1).max(5000).optional(),
        pileLengthMm: z.number().min(0).max(300).optional(),
        stretchAlongPercent: z.number().min(0).max(400).optional(),
        stretchAcrossPercent: z.number().min(0).max(400).optional(),
        thicknessMm: z.number().min(0.01).max(300).optional(),
      })
      .optional(),
    note: textSchema.optional(),
  })
  .superRefine((value, context) => {
    if (value.size && value.outline)
      context.addIssue({ code: "custom", message: "Give size or outline, not both.", path: ["outline"] });
  });

/** Shape of a stash file. */
export const STASH_SCHEMA: z.ZodType<Record<string, unknown>> = z
  .strictObject({ $schema: z.string().optional(), version: z.literal(1), items: z.array(item).max(10_000) })
  .superRefine((stash, context) => {
    const seen = new Set<string>();
    stash.items.forEach(({ id }, index) => {
      if (seen.has(id))
        context.addIssue({
          code: "custom",
          message: `The name "${id}" is used twice.`,
          path: ["items", index, "id"],
        });
      seen.add(id);
    });
  });

/**
 * A stash from plain data.
 *
 * @throws `materials/bad-stash` with one issue a fault
 */
export function parseStash(value: unknown, file?: string): Stash {
  const { $schema: _, ...stash } = parseWith(STASH_SCHEMA, value, "materials/bad-stash", file);
  return stash as unknown as Stash;
}

/**
 * A stash from the text of its JSON file.
 *
 * @throws `materials/bad-json`, `materials/bad-stash` with line and column
 */
export function readStash(text: string, file?: string): Stash {
  const document = readJson(text, file);
  const { $schema: _, ...stash } = parseWith(
    STASH_SCHEMA,
    document.value,
    "materials/bad-stash",
    file,
    document.placeOf,
  );
  return stash as unknown as Stash;
}

/** The JSON Schema of a stash, as published under `schemas/stash.schema.json`. */
export function stashJsonSchema(): object {
  return { ...z.toJSONSchema(STASH_SCHEMA, { reused: "ref" }), title: "What a maker owns" };
}

import * as z from "zod";
import { CONDITIONS, PROPERTIES, propertyRule, PROPERTY_IDS, type PropertyId } from "../entry/properties";
import { missingConditions, rangeFault } from "./measured-rules";

/** Ids in kebab-case. */
export const idSchema = z
  .string()
  .regex(/^[a-z0-9]+(?:-[a-z0-9]+)*$/)
  .max(60)
  .describe("kebab-case: small letters, digits, hyphens");

/** A text that says something. */
export const textSchema = z.string().trim().min(1).max(600);

/** Year, year-month or full ISO date. */
export const dateSchema = z
  .string()
  .regex(/^\d{4}(?:-\d{2}(?:-\d{2})?)?$/)
  .describe("ISO date; year or year-month where that is all that is known");

/** Grades and statuses. */
export const gradeSchema = z
  .enum(["A", "B", "C", "M"])
  .describe("A regulation, standard, agency, paper; B data sheet, handbook; C trade page; M memory");
export const statusSchema = z.enum(["unconfirmed", "provisional", "contributed", "approved"]);

const conditionValue = z.union([z.number(), z.string().min(1).max(120)]);
const conditions = z.strictObject(
  Object.fromEntries(
    Object.entries(CONDITIONS).map(([id, text]) => [id, conditionValue.optional().describe(text)]),
  ),
);

const common = {
  typical: z.number().optional(),
  min: z.number().optional().describe("smallest over products or specimens"),
  max: z.number().optional().describe("largest over products or specimens"),
  n: z.int().min(1).optional().describe("specimens of a real series"),
  sd: z.number().min(0).optional(),
  method: z.enum([
    "standard",
    "datasheet-unstated",
    "hand-test",
    "ruler",
    "kitchen-scale",
    "thermometer",
    "computed",
    "trade-page",
    "literature",
    "memory",
  ]),
  standard: textSchema.optional().describe("name of the standard when the method is standard"),
  conditions: conditions.optional(),
  source: idSchema.describe("id of a source: of this entry or shared"),
  grade: gradeSchema,
  status: statusSchema,
  note: textSchema.optional(),
  inherit: z.boolean().optional().describe("children without a figure of their own take this one over"),
  inheritedFrom: idSchema.optional(),
};

function measuredSchema(property: PropertyId) {
  const rule = propertyRule(property);
  return z.strictObject({ unit: z.literal(rule.unit), ...common }).superRefine((value, context) => {
    const range = rangeFault(value);
    if (range) context.addIssue({ code: "custom", message: range, path: [] });
    for (const missing of missingConditions(property, value))
      context.addIssue({ code: "custom", message: missing, path: ["conditions"] });
  });
}

const valuesShape = Object.fromEntries(
  PROPERTY_IDS.map((id) => [
    id,
    z
      .array(measuredSchema(id))
      .min(1)
      .max(40)
      .optional()
      .describe(`${PROPERTIES[id].label}, ${PROPERTIES[id].unit}`),
  ]),
) as { [property in PropertyId]: z.ZodOptional<z.ZodArray<ReturnType<typeof measuredSchema>>> };

/** The values of an entry: every property with its one unit. */
export const valuesSchema = z.strictObject(valuesShape);

import { PeltryError, type Issue } from "@peltry/issues";
import * as z from "zod";
import type { Pattern } from "./types";

const mm = z.number().describe("mm");
const degrees = z.number().describe("degrees counter-clockwise from +x");
const id = z.string().min(1);
const point = z.tuple([z.number(), z.number()]).describe("x to the right, y up, mm");
const edgeRef = z.strictObject({ panel: id, edge: id });

const notch = z.strictObject({
  at: mm.min(0).describe("mm from the first point of the edge"),
  kind: z.enum(["single", "double"]),
  match: id.optional().describe("match point of the seam that it stands for"),
});

const edge = z.strictObject({
  id,
  role: z.enum(["seam", "dart", "hem", "fold", "opening", "raw"]),
  points: z.array(point).min(2).describe("sew line, both corners included"),
  seam: id.optional(),
  notches: z.array(notch).optional(),
  name: z.string().optional(),
});

const dart = z.strictObject({
  id,
  legs: z.tuple([id, id]).describe("ids of the legs in outline order: into the tip, out of the tip"),
  tip: point,
  intake: mm.min(0).describe("width of the mouth, mm"),
  length: mm.min(0).describe("leg length, mm"),
  cut: z.boolean(),
  tipRadius: mm.min(0).optional(),
});

const marking = z.strictObject({
  id,
  kind: z.enum(["line", "drill", "area", "text"]),
  points: z.array(point).min(1),
  label: z.string().optional(),
  fabric: id.optional(),
  method: z.enum(["applied", "let-in", "shaved"]).optional(),
  pile: degrees.optional(),
});

const panel = z.strictObject({
  id,
  name: z.string(),
  fabric: id,
  edges: z.array(edge).min(1).describe("outline, counter-clockwise"),
  holes: z.array(z.array(edge).min(1)).optional().describe("inner outlines, clockwise"),
  darts: z.array(dart),
  markings: z.array(marking),
  pile: degrees.optional(),
  stretch: degrees.optional(),
  grain: degrees.optional(),
  count: z.int().min(1),
  mirrored: z.boolean(),
  layer: z.enum(["outer", "lining", "facing", "padding", "sole"]).optional(),
  notes: z.array(z.string()).optional(),
});

const seam = z.strictObject({
  id,
  letter: z.string().min(1),
  a: edgeRef,
  b: edgeRef,
  reversed: z.boolean().describe("true when side b is sewn end to start"),
  matchPoints: z.array(z.strictObject({ id, a: mm.min(0), b: mm.min(0) })),
  ease: z.strictObject({ side: z.enum(["a", "b"]), fraction: z.number().min(0).lt(1) }).optional(),
  note: z.string().optional(),
  hand: z.boolean().optional(),
});

/** The JSON form of a pattern. */
export const patternSchema = z.strictObject({
  format: z.literal("peltry-pattern"),
  version: z.literal(1),
  name: z.string(),
  panels: z.array(panel),
  seams: z.array(seam),
  fabrics: z.array(z.strictObject({ id, name: z.string(), pileMm: mm.min(0).optional() })).optional(),
});

/**
 * A pattern out of a plain value, such as parsed JSON. Looks at the form only; `checkPattern` looks at the sense.
 *
 * @throws PeltryError `pattern/bad-form`, one issue for each field that is wrong, with its path
 */
export function parsePattern(value: unknown): Pattern {
  const result = patternSchema.safeParse(value);
  if (result.success) return result.data;
  throw new PeltryError(result.error.issues.map((issue) => formIssue(issue, value)));
}

/**
 * A pattern out of JSON text.
 *
 * @param file - name that errors carry
 * @throws PeltryError `pattern/not-json`; else as {@link parsePattern}
 */
export function readPattern(text: string, file?: string): Pattern {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (cause) {
    throw new PeltryError({
      code: "pattern/not-json",
      severity: "error",
      message: `This is no JSON: ${cause instanceof Error ? cause.message : String(cause)}.`,
      at: file === undefined ? {} : { file },
      fix: "Give a file that writePattern wrote.",
    });
  }
  return parsePattern(value);
}

/** The JSON Schema (draft 2020-12) of the file form. */
export function patternJsonSchema(): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(patternSchema) as Record<string, unknown>;
  return { $schema, title: "Peltry pattern, version 1", ...rest };
}

function formIssue(issue: z.core.$ZodIssue, value: unknown): Issue {
  const path = issue.path.filter((key): key is string | number => typeof key !== "symbol");
  const holder = path
    .slice(0, 2)
    .reduce<unknown>((at, key) => (at as Record<string | number, unknown> | undefined)?.[key], value);
  const panel = path[0] === "panels" ? nameOf(holder) : undefined;
  const holderEdge = path[0] === "panels" && path[2] === "edges" ? path.slice(0, 4) : undefined;
  const edgeName =
    holderEdge &&
    nameOf(
      holderEdge.reduce<unknown>(
        (at, key) => (at as Record<string | number, unknown> | undefined)?.[key],
        value,
      ),
    );
  return {
    code: "pattern/bad-form",
    severity: "error",
    message: `${path.join(".") || "The file"}: ${issue.message}.`,
    at: {
      path,
      ...(panel === undefined ? {} : { panel }),
      ...(edgeName === undefined ? {} : { edge: edgeName }),
    },
    fix: "See the JSON Schema of the pattern form.",
  };
}

function nameOf(thing: unknown): string | undefined {
  const id = (thing as { id?: unknown } | undefined)?.id;
  return typeof id === "string" ? id : undefined;
}

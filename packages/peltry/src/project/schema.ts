import * as z from "zod";
import { ears, halfMask, headband, hood, horn, tail } from "./schema-ready-parts";
import { boot, leg, scan } from "./schema-surface-parts";
import { wearing, work } from "./schema-wearing";
import { colour, id, length, outline, positive } from "./schema-values";

const piece = z.strictObject({
  id,
  name: z.string().optional(),
  /** Straight piece: width across the grain, length along it. */
  widthMm: length.optional(),
  lengthMm: length.optional(),
  /** Odd piece: its outline with the pile running down the page (−y). */
  outlineMm: outline.optional(),
  holesMm: z.array(outline).optional(),
  /** Direction of the pile on this piece, degrees; −90 (down) unless said. */
  pileDeg: z.number().optional(),
  /** A roll that can be bought: cost per metre. */
  costPerMetre: z.number().nonnegative().optional(),
});

const fabric = z.strictObject({
  name: z.string(),
  material: z.string(),
  /** Colour for pictures. */
  colour: colour.optional(),
  pileLengthMm: positive.optional(),
  /** Tested by hand: overrides the catalogue. */
  stretchAlongPercent: z.number().min(0).max(300).optional(),
  stretchAcrossPercent: z.number().min(0).max(300).optional(),
  easeInPercent: z.number().min(0).max(30).optional(),
  seamAllowanceMm: z.number().min(0).max(60).optional(),
  pieces: z.array(piece),
});

/** The project file as written. */
export const projectSchema = z.strictObject({
  peltry: z.literal(1),
  name: z.string().min(1),
  note: z.string().optional(),
  wearer: z
    .strictObject({
      age: z.number().optional(),
      estimateFrom: z.enum(["women", "men", "both"]).optional(),
      measures: z.record(z.string(), z.union([length, z.array(length).min(1)])),
    })
    .optional(),
  fabrics: z.record(id, fabric),
  parts: z
    .array(z.discriminatedUnion("kind", [leg, boot, scan, tail, ears, horn, headband, hood, halfMask]))
    .min(1),
  /** The day on which it is worn, for the checks. */
  wearing: wearing.optional(),
  /** Rates and prices of the making. */
  work: work.optional(),
  allowance: z
    .strictObject({
      seamMm: z.number().min(0).max(60).optional(),
      hemMm: z.number().min(0).max(60).optional(),
    })
    .optional(),
  layout: z
    .strictObject({ gapMm: z.number().min(0).optional(), edgeMm: z.number().min(0).optional() })
    .optional(),
  paper: z
    .strictObject({ sizes: z.array(z.string()).min(1).optional(), overlapMm: z.number().min(0).optional() })
    .optional(),
  glues: z
    .array(
      z.strictObject({
        adhesive: z.string(),
        joins: z.tuple([z.string(), z.string()]),
        where: z.string().optional(),
        flexes: z.boolean().optional(),
        overPerson: z.boolean().optional(),
      }),
    )
    .optional(),
});

/** The project file after parsing. */
export type Project = z.infer<typeof projectSchema>;
/** A part as a project file states it. */
export type ProjectPart = Project["parts"][number];
/** A part whose surface is cut along seams and flattened. */
export type SurfacePart = Extract<ProjectPart, { kind: "leg" | "boot-cover" | "scan" }>;
/** A part that is drawn flat from a few figures. */
export type ReadyPart = Exclude<ProjectPart, SurfacePart>;
/** A fabric as a project file states it. */
export type ProjectFabric = Project["fabrics"][string];
/** A spot or stripe on a part. */
export type Spot = NonNullable<ProjectPart["spots"]>[number];
/** A closure as a part states it. */
export type ClosurePart = NonNullable<ProjectPart["closures"]>[number];

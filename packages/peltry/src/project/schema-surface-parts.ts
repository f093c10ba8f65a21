import { LEVEL_NAMES } from "@peltry/forms";
import * as z from "zod";
import { colour, degrees, id, length, named, outline, point3, positive } from "./schema-values";

/** Kinds of cut that a plan suggests. */
const suggested = z.enum(["seam", "dart", "fold", "opening", "gusset", "width"]);

const seams = z.strictObject({
  /** Form lines that become seams; default: every drawn line. */
  lines: z.array(z.string()).optional(),
  /** `given`: only those; `suggest`: add what the fabric cannot do without. */
  extra: z.enum(["given", "suggest"]).optional(),
  /** Decisions on suggested seams, kept from run to run. */
  decisions: z
    .array(
      z.strictObject({
        action: z.enum(["accept", "lock", "reject", "nudge"]),
        kind: suggested,
        /** The cut as points on the form, mm, as the workbook gives them. */
        line: z.array(point3).min(1),
        to: point3.optional(),
        /** The end that a nudge moves; the one on the edge where left out. */
        end: z.enum(["root", "tip"]).optional(),
        /** How far round a rejected cut none may go, mm. */
        radius: positive.optional(),
        /** What else that plan suggested: the next one begins with it. */
        rest: z
          .array(z.strictObject({ kind: suggested, lines: z.array(z.array(point3).min(2)).min(1) }))
          .optional(),
      }),
    )
    .optional(),
});

const levelName = z.enum(LEVEL_NAMES);

/** A height on the leg: a named level, mm above the floor, or a share of the way from one level to another. */
const level = z.union([
  levelName,
  z.number(),
  z.strictObject({ level: levelName, offsetMm: z.number().optional() }),
  z.strictObject({ from: levelName, to: levelName, share: z.number() }),
]);

/** What a try-on showed, worked into the form before the pattern is made again. */
const correction = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("girth"), at: level, byMm: z.number(), reachMm: positive.optional() }),
  z.strictObject({
    kind: z.literal("length"),
    at: level,
    byMm: z.number(),
    /** The line that gets longer; all round where left out. */
    along: z.string().optional(),
    reachMm: positive.optional(),
  }),
  z.strictObject({ kind: z.literal("gusset"), along: z.string(), from: level, to: level, widthMm: positive }),
]);

const common = {
  ...named,
  /** Cut a mirrored copy of every panel for the other side. */
  pair: z.boolean().default(false),
  /** Region of the form → fabric of this project. */
  fabrics: z.record(z.string(), z.string()),
  seams: seams.optional(),
  corrections: z.array(correction).optional(),
};

/** Side of the wearer that the panels are drawn for; the left where left out. A pair has the other one as mirrored copies. */
const side = z.enum(["left", "right"]).optional();

/** Direction from the middle of the limb: 0 front, 90 outer side, 180 back, 270 inner side. */
const angleDeg = degrees;

const pad = z.strictObject({
  name: z.string(),
  at: level,
  angleDeg,
  heightMm: z.number(),
  upMm: positive,
  downMm: positive,
  spreadDeg: positive.max(180),
});

const patch = z.strictObject({
  id,
  name: z.string().optional(),
  at: level,
  angleDeg,
  upMm: positive,
  downMm: positive,
  spreadDeg: positive.max(180),
  squareness: z.number().min(2).max(8).optional(),
});

export const leg = z.strictObject({
  ...common,
  kind: z.literal("leg"),
  side,
  /** Upper and lower edge of the part. */
  top: z.enum(["upperThigh", "waistNavel", "waistNatural"]).optional(),
  bottom: level.optional(),
  kneeBendDeg: z.number().min(0).max(40).optional(),
  heelLiftMm: length.optional(),
  /** Lumps of padding; without the key a hind leg that stands on its toes. */
  pads: z.array(pad).optional(),
  /** Girths wanted once padded. */
  girths: z.array(z.strictObject({ at: level, girthMm: length })).optional(),
  /** Name of the region that is not in any patch. */
  region: id.optional(),
  patches: z.array(patch).optional(),
  triangles: z.number().int().min(500).max(200_000).optional(),
});

export const boot = z.strictObject({
  ...common,
  kind: z.literal("boot-cover"),
  side,
  foot: z.enum(["paw", "hoof", "plain"]).optional(),
  heelMm: length.optional(),
  /** Upper edge above the floor, and its girth. */
  topMm: length.optional(),
  topGirthMm: length.optional(),
  wallMm: length.optional(),
  toes: z
    .strictObject({ count: z.number().int().min(2).max(6).optional(), depthMm: z.number().optional() })
    .optional(),
  /** Fur between the toes of a paw, of the part's fabric `tufts` (else of its first): how many in a groove, and their size. */
  tufts: z
    .strictObject({
      perGroove: z.number().int().min(1).max(4).optional(),
      lengthMm: length.optional(),
      widthMm: length.optional(),
    })
    .optional(),
  /** Traced outline of the shoe's sole: x outward, the second number toward the toe. */
  soleOutlineMm: outline.optional(),
  zipMm: length.optional(),
  /** The leg that the cuff meets: as wide as the leg is at that height, and so much more; 10 mm where left out. */
  cuff: z.strictObject({ meets: id, easeMm: length.optional() }).optional(),
  triangles: z.number().int().min(500).max(200_000).optional(),
});

export const scan = z.strictObject({
  ...common,
  kind: z.literal("scan"),
  file: z.string(),
  unit: z.enum(["mm", "cm", "m", "in", "dm"]).optional(),
  up: z.enum(["x", "y", "z", "-x", "-y", "-z"]).optional(),
  /** Ragged ends cut off level, mm from the top and from the bottom of the scan. */
  trim: z
    .strictObject({ topMm: z.number().min(0).optional(), bottomMm: z.number().min(0).optional() })
    .optional(),
  /** Reference colour of each painted region. */
  colours: z.record(z.string(), colour),
  lineColour: colour.optional(),
  /** Points on the scan that help to follow a line, mm in the scan's own frame. */
  lines: z
    .array(
      z.strictObject({
        id,
        points: z.array(z.tuple([z.number(), z.number(), z.number()])).min(2),
        closed: z.boolean().optional(),
      }),
    )
    .optional(),
  /** A girth taken by tape at a height, to check the scale. */
  knownGirth: z.strictObject({ atHeightMm: length, girthMm: length }).optional(),
  knownHeightMm: length.optional(),
});

import * as z from "zod";
import { degrees, id, length, named, positive } from "./schema-values";

const fabricName = z.string();

/** A core wire, or one round a rim. */
const wire = z.strictObject({
  diameterMm: positive,
  metal: z.enum(["steel", "aluminium"]),
  /** Strands side by side or twisted; horns are built on two. */
  strands: z.number().int().min(1).max(8).optional(),
});

export const tail = z.strictObject({
  ...named,
  kind: z.literal("tail"),
  pair: z.boolean().default(false),
  /** A straight cone, a tapered tube with a bend, or a ball of gores. */
  style: z.enum(["cone", "curved", "puff"]),
  /** From base to tip; diameter of a puff. */
  lengthMm: length,
  baseGirthMm: length.optional(),
  /** Cone: the share of a circle that it is cut from, in place of its girth: a third is 0.3333. */
  circleShare: z.number().min(0.01).max(0.95).optional(),
  /** Curved: girth at the tip; the fullest place; turns up from base to middle and from there to the tip. */
  tipGirthMm: length.optional(),
  fullest: z.strictObject({ at: z.number().min(0.05).max(0.95), girthMm: length }).optional(),
  bendDeg: z.tuple([degrees, degrees]).optional(),
  /** Cone: share of the girth that is cut from the fabric called underside. */
  undersideShare: z.number().min(0.1).max(0.6).optional(),
  gores: z.number().int().min(4).max(16).optional(),
  stuffingOpeningMm: length.optional(),
  /** An entry of the catalogue. */
  stuffing: z.string().optional(),
  wire: wire.omit({ strands: true }).optional(),
  /** The band that it hangs from; girth from the waist where left out. */
  band: z
    .strictObject({ girthMm: length.optional(), widthMm: length.optional(), overlapMm: length.optional() })
    .optional(),
  fabrics: z.strictObject({
    coat: fabricName,
    underside: fabricName.optional(),
    band: fabricName.optional(),
  }),
});

export const ears = z.strictObject({
  ...named,
  kind: z.literal("ears"),
  pair: z.boolean().default(true),
  lengthMm: length,
  widthMm: length,
  /** Finished fixing edge. */
  baseWidthMm: length.optional(),
  widestAt: z.number().min(0.2).max(0.8).optional(),
  tip: z.enum(["round", "pointed"]).optional(),
  /** How far the tip leans outward. */
  leanMm: length.optional(),
  cupDepthMm: length.optional(),
  dartMm: length.optional(),
  /** Width of the rim of long pile that shows inside. */
  fringeMm: length.optional(),
  /** A sheet of foam between the layers, and a wire round the rim. */
  foamMm: positive.optional(),
  wire: wire.omit({ strands: true }).optional(),
  fabrics: z.strictObject({ coat: fabricName, lining: fabricName }),
});

export const horn = z.strictObject({
  ...named,
  kind: z.literal("horn"),
  pair: z.boolean().default(true),
  baseDiameterMm: length,
  /** A bent cone … */
  lengthMm: length.optional(),
  tipDiameterMm: length.optional(),
  bendDeg: z.number().min(-540).max(540).optional(),
  /** … or a spiral by its shell parameters: growth a turn, inner over outer distance, creep along the axis. */
  spiral: z
    .strictObject({
      whorl: z.number().min(1.001),
      distance: z.number().min(0).max(0.98),
      translation: z.number().min(-50).max(50),
      turns: positive.max(6),
    })
    .optional(),
  /** Tines of an antler. */
  branches: z
    .array(
      z.strictObject({
        at: z.number().min(0).max(0.98),
        angleDeg: z.number().min(0).max(150),
        aroundDeg: degrees.optional(),
        lengthMm: length,
        baseDiameterMm: length,
        tipDiameterMm: length.optional(),
        bendDeg: z.number().min(-540).max(540).optional(),
      }),
    )
    .max(12)
    .optional(),
  leanOutDeg: z.number().min(-120).max(120).optional(),
  leanBackDeg: z.number().min(-120).max(120).optional(),
  skin: z.enum(["fabric", "yarn"]).default("fabric"),
  strips: z.number().int().min(3).max(24).optional(),
  yarnMm: positive.optional(),
  /** Core wire; 3 mm aluminium, doubled, where left out; false for none. */
  wire: z.union([z.literal(false), wire]).optional(),
  /** Thickness of the foam sheet that makes the bulk. */
  bulkMm: positive.optional(),
  base: z
    .strictObject({
      thicknessMm: positive.optional(),
      tabs: z.number().int().min(0).max(12).optional(),
      tabMm: length.optional(),
    })
    .optional(),
  fabrics: z.strictObject({ skin: fabricName.optional(), bulk: fabricName, base: fabricName }),
});

export const hood = z.strictObject({
  ...named,
  kind: z.literal("hood"),
  pair: z.literal(false).default(false),
  /** Head girth with hair flat; from the measures where left out. */
  headGirthMm: length.optional(),
  wigMm: length.optional(),
  /** Neck edge to crown, face edge to back, across the top; from the girth where left out. */
  heightMm: length.optional(),
  depthMm: length.optional(),
  widthMm: length.optional(),
  faceHeightMm: length.optional(),
  fabrics: z.strictObject({ coat: fabricName }),
});

export const halfMask = z.strictObject({
  ...named,
  kind: z.literal("half-mask"),
  pair: z.literal(false).default(false),
  /** Head girth with hair flat; from the measures where left out. */
  headGirthMm: length.optional(),
  wigMm: length.optional(),
  /** Lower edge to brow; how far each half bends round the head past its flat front. */
  heightMm: length.optional(),
  wrapDeg: z.number().min(20).max(100).optional(),
  /** Middle to middle of the eyes, their height over the lower edge, and from the eye to the shell. */
  eyeSpacingMm: length.optional(),
  eyeHeightMm: length.optional(),
  eyeReliefMm: length.optional(),
  window: z.strictObject({ widthMm: length.optional(), heightMm: length.optional() }).optional(),
  /** Room for the nose: bridge over the lower edge, breadth and stand-out at that edge. */
  nose: z
    .strictObject({ bridgeMm: length.optional(), widthMm: length.optional(), outMm: length.optional() })
    .optional(),
  /** An elastic round the back of the head, or hook-and-loop under the face edge of a hood. */
  fixing: z.enum(["elastic", "hood"]).optional(),
  elasticStretchPercent: z.number().min(0).max(100).optional(),
  /** A sheet of foam between the layers. */
  foamMm: positive.optional(),
  fabrics: z.strictObject({ coat: fabricName, lining: fabricName }),
});

export const headband = z.strictObject({
  ...named,
  kind: z.literal("headband"),
  pair: z.literal(false).default(false),
  /** Head girth with hair flat; from the measures where left out. */
  headGirthMm: length.optional(),
  /** Wig or hood between head and band. */
  wigMm: length.optional(),
  /** A closed ring, or a bow over the head from ear to ear. */
  style: z.enum(["around", "over"]).optional(),
  overMm: length.optional(),
  widthMm: length.optional(),
  stretchPercent: z.number().min(0).max(60).optional(),
  /** Overlap of a closing at the back; a sewn ring where left out. */
  overlapMm: length.optional(),
  stiffenerMm: z.number().min(0).max(20).optional(),
  /** Friction on hair or cap, where it was tried; and a chin strap or cap that takes the tipping. */
  friction: positive.max(2).optional(),
  strap: z.boolean().optional(),
  /** Parts that stand on it: angle round the head from the brow, height of the base over the band's middle. */
  carries: z
    .array(
      z.strictObject({ part: id, aroundDeg: z.number().min(-180).max(180), heightMm: length.optional() }),
    )
    .optional(),
  fabrics: z.strictObject({ band: fabricName, lining: fabricName }),
});

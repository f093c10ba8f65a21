import * as z from "zod";
import { atLeastZero, length, positive } from "./schema-values";

const range = z.tuple([atLeastZero, atLeastZero]);
const celsius = z.number().min(-60).max(120);

/** The day on which the costume is worn: what the checks cannot read off the pattern. All of it may be left out. */
export const wearing = z.strictObject({
  /** Weather or hall: air, black globe, natural wet bulb; or a measured WBGT. */
  airC: celsius.optional(),
  globeC: celsius.optional(),
  wetBulbC: celsius.optional(),
  wbgtC: celsius.optional(),
  humidityPercent: z.number().min(0).max(100).optional(),
  sun: z.boolean().optional(),
  activity: z.enum(["light", "moderate", "heavy", "very heavy"]).optional(),
  usedToHeat: z.boolean().optional(),
  /** How much of the body is covered; from the parts where left out. */
  cover: z.enum(["cloth", "legs", "body", "body and head"]).optional(),
  /** Lowest angle still seen, degrees under level, and the whole width seen; bare eyes where nothing hides them. */
  lowestSeenDeg: positive.max(90).optional(),
  widthSeenDeg: positive.max(360).optional(),
  shoes: z
    .strictObject({
      heelMm: length.optional(),
      heelBaseMm: length.optional(),
      tread: z.enum(["across", "along", "smooth"]).optional(),
      softSole: z.boolean().optional(),
      friction: positive.max(3).optional(),
      lengthMm: length.optional(),
    })
    .optional(),
  /** Depth of a stair's tread where it is worn. */
  stairTreadMm: length.optional(),
  /** Girth round the knee outside the padding; off the form where left out. */
  kneeGirthMm: length.optional(),
  /** Spare length and girth built in. */
  ease: z
    .strictObject({ kneeMm: length.optional(), seatMm: length.optional(), backRiseMm: length.optional() })
    .optional(),
  /** Bands and sleeves that press: tension per width, N/cm. */
  pressing: z
    .array(
      z.strictObject({
        name: z.string(),
        tensionNPerCm: atLeastZero,
        girthMm: length,
        widthMm: length.optional(),
        overJoint: z.boolean().optional(),
      }),
    )
    .optional(),
  stage: z.boolean().optional(),
  cords: z
    .array(
      z.strictObject({
        name: z.string(),
        zone: z.enum(["hood or neck", "waist", "hem", "sleeve", "back"]),
        freeEndMm: length,
        loopMm: length.optional(),
      }),
    )
    .optional(),
  smallParts: z
    .array(z.strictObject({ name: z.string(), sizeMm: z.tuple([positive, positive, positive]) }))
    .optional(),
  flame: z
    .strictObject({
      spreadMmPerS: atLeastZero.optional(),
      goesOut: z.boolean().optional(),
      burnTimeS: atLeastZero.optional(),
      flameNear: z.boolean().optional(),
      hotParts: z.array(z.strictObject({ name: z.string(), surfaceC: celsius })).optional(),
    })
    .optional(),
  dressing: z
    .strictObject({
      helper: z.boolean().optional(),
      onMinutes: atLeastZero.optional(),
      offMinutes: atLeastZero.optional(),
      outSeconds: atLeastZero.optional(),
      closuresAtBack: z.number().int().min(0).max(50).optional(),
    })
    .optional(),
  toilet: z.strictObject({ minutes: atLeastZero, alone: z.boolean().optional() }).optional(),
});

/** How fast and for how much: ranges from slow to quick, from low to high. */
export const work = z.strictObject({
  eveningHours: positive.max(24).optional(),
  machineMPerHour: range.optional(),
  handMPerHour: range.optional(),
  cuttingMPerHour: range.optional(),
  minutesAPanel: range.optional(),
  /** What is bought, each with its amount and the price of one. */
  prices: z.array(z.strictObject({ name: z.string(), amount: atLeastZero, price: range })).optional(),
  other: z.array(z.strictObject({ name: z.string(), hours: range })).optional(),
});

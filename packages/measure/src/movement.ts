import { fail, type Issue } from "@peltry/issues";
import { needNumber, shown } from "./check-number";
import { sittingGrowth } from "./ease";

/** What a body does in a costume. */
export type Pose = "sit" | "crouch" | "stride";

/** Bends of the joints by pose, degrees. Sitting by its definition; a deep crouch from memory; a stride a judgement. */
export const POSES: Readonly<
  Record<Pose, { readonly knee: number; readonly hip: number; readonly hipGrowth: number }>
> = {
  sit: { knee: 90, hip: 90, hipGrowth: 1 },
  crouch: { knee: 130, hip: 115, hipGrowth: 1 },
  stride: { knee: 35, hip: 30, hipGrowth: 0 },
};

/**
 * Extra length, mm, at the front of a bent joint: half the girth's depth times the angle, r θ with r = G / 2π.
 *
 * @param girth round the joint as clothed, mm
 * @param bend degrees
 * @throws measure/bad-number
 * @source bending of a round tube about its middle, derived here; with 386 mm girth and 120° it gives 43 % of 300 mm,
 * near the 35 to 45 % skin strain of Kirk & Ibrahim 1966, Text. Res. J. 36:37 (from memory)
 */
export function jointFrontExtra(girth: number, bend: number): number {
  return ((needNumber(girth, "girth", 0) / (2 * Math.PI)) * needNumber(bend, "bend", 0, 170) * Math.PI) / 180;
}

/**
 * Extra length, mm, of the back from seat to waist when the hip bends: the seat lies half the hip's depth behind the
 * joint and runs round it.
 *
 * @param hipDepth front to back at the hip, mm
 * @param bend degrees
 * @throws measure/bad-number
 * @source derived here
 */
export function backRiseExtra(hipDepth: number, bend: number): number {
  return ((needNumber(hipDepth, "hipDepth", 0) / 2) * needNumber(bend, "bend", 0, 170) * Math.PI) / 180;
}

/**
 * Least girth of a hem, mm, for a step: both sides of a tube that swings with two legs about the hip, plus the leg.
 *
 * @param hem step length, height of the hem and of the hip joint above the floor, girth of the leg at the hem, mm
 * @throws measure/bad-number
 * @source 2 s (H − h) / H + leg, derived here
 */
export function hemGirthForStep(hem: {
  readonly step: number;
  readonly hemHeight: number;
  readonly hipHeight: number;
  readonly legGirth: number;
}): number {
  const hip = needNumber(hem.hipHeight, "hipHeight", 1);
  const height = needNumber(hem.hemHeight, "hemHeight", 0, hip);
  return (
    (2 * needNumber(hem.step, "step", 0) * (hip - height)) / hip + needNumber(hem.legGirth, "legGirth", 0)
  );
}

/** What the wearer and the costume bring to a pose. */
export interface MovementCase {
  readonly pose: Pose;
  /** Girth round the knee outside the padding, mm. */
  readonly kneeGirth: number;
  readonly hip: number;
  readonly hipBreadth: number;
  /** Front to back at the hip, mm; from hip breadth (× 0.685, mean of the 2012 survey) where left out. */
  readonly hipDepth?: number;
  /** Usable stretch of the cloth, fractions: lengthwise at the knee and seat, and across the seat. */
  readonly stretch: { readonly along: number; readonly across: number };
  /** Spare length or girth built in, mm. */
  readonly ease?: { readonly kneeFront?: number; readonly seat?: number; readonly backRise?: number };
  /** Length of cloth that shares the knee's extra, mm; 300 by default. */
  readonly kneeShare?: number;
  /** Length of cloth from seat to waist that shares the back's extra, mm; 400 by default. */
  readonly backShare?: number;
  readonly sex?: "male" | "female";
}

/** One place: what the pose asks and what is there, mm. */
export interface MovementNeed {
  readonly place: "knee front" | "seat" | "back rise";
  readonly needed: number;
  readonly fromStretch: number;
  readonly fromEase: number;
  /** How much is missing; 0 where there is enough. */
  readonly short: number;
}

/**
 * Extra length that a pose asks at knee front, across the seat and up the back, against what cloth and ease give.
 * What is missing comes back as issues.
 *
 * @throws measure/bad-number, measure/unknown-pose, measure/bad-sex
 * @source geometry derived here; hip growth on sitting from the data of Gordon et al. 2014
 */
export function checkMovement(given: MovementCase): {
  needs: readonly MovementNeed[];
  issues: readonly Issue[];
} {
  if (typeof given.pose !== "string" || !Object.hasOwn(POSES, given.pose)) {
    fail(
      "measure/unknown-pose",
      `No pose is called “${shown(given.pose)}”.`,
      { path: ["pose"] },
      {
        found: shown(given.pose),
        limit: Object.keys(POSES).join(", "),
        fix: "Use one of these.",
      },
    );
  }
  const { knee, hip, hipGrowth } = POSES[given.pose];
  const along = needNumber(given.stretch?.along, "stretch.along", 0, 5);
  const across = needNumber(given.stretch?.across, "stretch.across", 0, 5);
  const breadth = needNumber(given.hipBreadth, "hipBreadth", 0);
  const depth = needNumber(given.hipDepth ?? 0.685 * breadth, "hipDepth", 0);
  const growth = sittingGrowth(given.sex);
  const girth = needNumber(given.hip, "hip", 0);
  const list: [MovementNeed["place"], number, number, number][] = [
    [
      "knee front",
      jointFrontExtra(given.kneeGirth, knee),
      along * needNumber(given.kneeShare ?? 300, "kneeShare", 0),
      given.ease?.kneeFront ?? 0,
    ],
    ["seat", hipGrowth * 2 * breadth * growth, across * girth, given.ease?.seat ?? 0],
    [
      "back rise",
      backRiseExtra(depth, hip),
      along * needNumber(given.backShare ?? 400, "backShare", 0),
      given.ease?.backRise ?? 0,
    ],
  ];
  const needs = list.map(([place, needed, fromStretch, fromEase]) => ({
    place,
    needed,
    fromStretch,
    fromEase: needNumber(fromEase, "ease", 0),
    short: Math.max(0, needed - fromStretch - fromEase),
  }));
  const issues = needs
    .filter((need) => need.short > 0.5)
    .map((need) => ({
      code: "measure/too-short-in-pose",
      severity: "warning" as const,
      message: `To ${given.pose}, the ${need.place} lacks ${Math.round(need.short)} mm: it will pull or ride up.`,
      at: { path: [need.place] },
      found: Math.round(need.fromStretch + need.fromEase),
      limit: Math.round(need.needed),
      fix: `Give ${Math.ceil(need.short)} mm more ease there, a stretch panel or a gusset.`,
      source: "joint geometry derived here; near the skin strains of Kirk & Ibrahim 1966 (from memory)",
    }));
  return { needs, issues };
}

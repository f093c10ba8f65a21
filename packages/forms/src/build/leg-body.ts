import { createProfile, type Profile } from "./profile";
import { runLength, sectionPoints, tapeLength, type SectionShape } from "./section";
import { needMeasure, type BodyLevels, type LevelName, type MeasureValues } from "./levels";

/** The bare leg, or leg with half the hip: its section at every height. */
export interface LegBody {
  readonly levels: BodyLevels;
  readonly shapeAt: (height: number) => SectionShape;
  /** Girth that the tape shows at a named level, mm: round one leg below the crotch, round both above. */
  readonly girth: Readonly<Partial<Record<LevelName, number>>>;
  /** Height of the crotch, mm. */
  readonly crotch: number;
}

interface LegShape {
  /** Depth over breadth, share of the depth in front of the middle, superellipse exponent. */
  readonly depth: number;
  readonly frontShare: number;
  readonly power: number;
  /** Middle of the section before or behind the hip joint, mm, and gap to the plane between the legs, mm. */
  readonly ahead: number;
  readonly gap: number;
}

/**
 * Shape of the sections of a standing leg: judgements, as the surveys hold girths but no sections of the leg. Only the
 * look depends on them; the girths are those of the tape.
 */
const LEG_SHAPES: Readonly<
  Record<"ankle" | "calf" | "knee" | "lowerThigh" | "midThigh" | "upperThigh", LegShape>
> = {
  ankle: { depth: 1.22, frontShare: 0.47, power: 2.1, ahead: -20, gap: 46 },
  calf: { depth: 1.03, frontShare: 0.43, power: 2.15, ahead: -14, gap: 26 },
  knee: { depth: 1.07, frontShare: 0.52, power: 2.35, ahead: 4, gap: 20 },
  lowerThigh: { depth: 1.06, frontShare: 0.52, power: 2.3, ahead: 6, gap: 17 },
  midThigh: { depth: 1.1, frontShare: 0.53, power: 2.2, ahead: 6, gap: 8 },
  upperThigh: { depth: 1.16, frontShare: 0.5, power: 2.2, ahead: 2, gap: 1 },
};

const GIRTH_KEY = {
  ankle: "ankleNarrow",
  calf: "calf",
  knee: "knee",
  lowerThigh: "lowerThigh",
  midThigh: "midThigh",
  upperThigh: "upperThigh",
} as const;

type Field = Exclude<keyof SectionShape, "startFront" | "startBack">;
const FIELDS: readonly Field[] = [
  "inner",
  "centre",
  "outer",
  "middle",
  "front",
  "back",
  "innerPower",
  "outerPower",
];

/** Section shapes at the named levels, joined by C² curves. */
export function createLegBody(measures: MeasureValues, levels: BodyLevels, withHip: boolean): LegBody {
  const knots: { name: LevelName; height: number; shape: SectionShape }[] = [];
  const girth: Partial<Record<LevelName, number>> = {};
  for (const name of Object.keys(LEG_SHAPES) as (keyof typeof LEG_SHAPES)[]) {
    girth[name] = name === "midThigh" ? midThighGirth(measures) : needMeasure(measures, GIRTH_KEY[name]);
    knots.push({
      name,
      height: levels.height[name]!,
      shape: legSection(LEG_SHAPES[name], girth[name], levels.forward[name]!),
    });
  }
  const crotch = levels.height.crotch!;
  const thigh = knots[knots.length - 1].shape;
  if (withHip) {
    girth.hip = needMeasure(measures, "hip");
    girth.waistNavel = needMeasure(measures, "waistNavel");
    girth.waistNatural = needMeasure(measures, "waistNatural");
    const breadth = needMeasure(measures, "hipBreadth");
    const hip = trunkSection({
      breadth,
      girth: girth.hip,
      centreShare: 0.46,
      frontShare: 0.44,
      innerPower: 2.4,
      outerPower: 2.35,
      ahead: -8,
    });
    // At the crotch the thigh already lies against its fellow; breadth and depth lead over to the hip.
    const share = (crotch - levels.height.upperThigh!) / (levels.height.hip! - levels.height.upperThigh!);
    knots.push({ name: "crotch", height: crotch, shape: { ...between(thigh, hip, share), inner: 0 } });
    knots.push({ name: "hip", height: levels.height.hip!, shape: hip });
    const waistBreadth = 0.94 * breadth;
    for (const [name, narrower] of [
      ["waistNavel", 1],
      ["waistNatural", 0.93],
    ] as const) {
      const shape = trunkSection({
        breadth: Math.min(waistBreadth * narrower, 0.36 * girth[name]!),
        girth: girth[name]!,
        centreShare: 0.3,
        frontShare: 0.5,
        innerPower: 2.4,
        outerPower: 2.2,
        ahead: 0,
      });
      knots.push({ name, height: levels.height[name]!, shape });
    }
  } else {
    // The tube may run a little past the seat fold: it stays as wide as there.
    knots.push({ name: "crotch", height: crotch, shape: thigh });
  }
  const profiles = Object.fromEntries(
    FIELDS.map((field) => [field, createProfile(knots.map((knot) => [knot.height, knot.shape[field]]))]),
  ) as Record<Field, Profile>;
  const rise = withHip ? createRise(levels) : undefined;
  return {
    levels,
    girth,
    crotch,
    shapeAt: (height) => {
      const shape = Object.fromEntries(FIELDS.map((field) => [field, profiles[field](height)])) as Record<
        Field,
        number
      >;
      const opened = rise && height > crotch ? rise(height) : { front: 0, back: 0 };
      return {
        ...shape,
        inner: height >= crotch && withHip ? 0 : shape.inner,
        startFront: shape.middle + opened.front * (shape.front - shape.middle),
        startBack: shape.middle + opened.back * (shape.back - shape.middle),
      };
    },
  };
}

/** How far the hip is open at the plane of symmetry, 0 at the crotch, 1 where front and back are full. */
function createRise(levels: BodyLevels): (height: number) => { front: number; back: number } {
  const crotch = levels.height.crotch!;
  const rise = levels.height.waistNatural! - crotch;
  const open = (up: number): number => (up >= 1 ? 1 : Math.sqrt(Math.max(0, 1 - (1 - up) ** 3)));
  return (height) => ({
    front: open((height - crotch) / (0.5 * rise)),
    back: open((height - crotch) / (0.62 * rise)),
  });
}

function midThighGirth(measures: MeasureValues): number {
  if (measures.midThigh !== undefined) return needMeasure(measures, "midThigh");
  // Johnson 2021, J. Stat. Data Sci. Educ. 29(3): regression on 177 women.
  return 32.8 + 0.543 * needMeasure(measures, "upperThigh") + 0.431 * needMeasure(measures, "lowerThigh");
}

function legSection(leg: LegShape, girth: number, forward: number): SectionShape {
  const build = (half: number): SectionShape => {
    const depth = 2 * half * leg.depth;
    const middle = leg.ahead + forward;
    return {
      inner: leg.gap,
      centre: leg.gap + half,
      outer: leg.gap + 2 * half,
      middle,
      front: middle + leg.frontShare * depth,
      back: middle - (1 - leg.frontShare) * depth,
      startFront: middle,
      startBack: middle,
      innerPower: leg.power,
      outerPower: leg.power,
    };
  };
  // Girth grows in proportion: one step is exact.
  return build((100 * girth) / runLength(sectionPoints(build(100))));
}

interface TrunkShape {
  readonly breadth: number;
  readonly girth: number;
  /** Where the rounded part begins, as a share of the half breadth. */
  readonly centreShare: number;
  readonly frontShare: number;
  readonly innerPower: number;
  readonly outerPower: number;
  readonly ahead: number;
}

/** Half section of the trunk whose tape girth, both halves together, is the one given: the depth gives way. */
function trunkSection(trunk: TrunkShape): SectionShape {
  const half = trunk.breadth / 2;
  const build = (depth: number): SectionShape => {
    const front = trunk.ahead + trunk.frontShare * depth;
    const back = trunk.ahead - (1 - trunk.frontShare) * depth;
    return {
      inner: 0,
      centre: trunk.centreShare * half,
      outer: half,
      middle: trunk.ahead,
      front,
      back,
      startFront: front,
      startBack: back,
      innerPower: trunk.innerPower,
      outerPower: trunk.outerPower,
    };
  };
  let [low, high] = [1, trunk.girth];
  for (let i = 0; i < 60; i++) {
    const depth = (low + high) / 2;
    if (bothHalves(sectionPoints(build(depth))) < trunk.girth) low = depth;
    else high = depth;
  }
  return build(low);
}

/** Tape round a half section and its mirror image. */
function bothHalves(points: Float64Array): number {
  const both = new Float64Array(2 * points.length);
  both.set(points);
  for (let k = 0; k < points.length; k += 2) {
    both[points.length + k] = -points[k];
    both[points.length + k + 1] = points[k + 1];
  }
  return tapeLength(both);
}

function between(a: SectionShape, b: SectionShape, share: number): SectionShape {
  const out: Partial<Record<keyof SectionShape, number>> = {};
  for (const key of Object.keys(a) as (keyof SectionShape)[]) out[key] = a[key] + share * (b[key] - a[key]);
  return out as unknown as SectionShape;
}

import { createProfile, type Profile } from "./profile";
import { runLength, sectionPoints, tapeBothHalves, type SectionShape } from "./section";
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
  ankle: { depth: 1.22, frontShare: 0.47, power: 2.1, ahead: -20, gap: 50 },
  calf: { depth: 1.03, frontShare: 0.43, power: 2.15, ahead: -14, gap: 30 },
  knee: { depth: 1.07, frontShare: 0.52, power: 2.35, ahead: 4, gap: 24 },
  lowerThigh: { depth: 1.06, frontShare: 0.52, power: 2.3, ahead: 6, gap: 22 },
  midThigh: { depth: 1.1, frontShare: 0.53, power: 2.2, ahead: 1, gap: 16 },
  upperThigh: { depth: 1.16, frontShare: 0.49, power: 2.2, ahead: -12, gap: 9 },
};

const GIRTH_KEY = {
  ankle: "ankleNarrow",
  calf: "calf",
  knee: "knee",
  lowerThigh: "lowerThigh",
  midThigh: "midThigh",
  upperThigh: "upperThigh",
} as const;

/** Section shapes at the named levels, joined by C² curves. */
export function createLegBody(measures: MeasureValues, levels: BodyLevels, withHip: boolean): LegBody {
  const knots: { height: number; shape: SectionShape }[] = [];
  const girth: Partial<Record<LevelName, number>> = {};
  for (const name of Object.keys(LEG_SHAPES) as (keyof typeof LEG_SHAPES)[]) {
    girth[name] = name === "midThigh" ? midThighGirth(measures) : needMeasure(measures, GIRTH_KEY[name]);
    const shape = legSection(legShape(name, measures, levels, withHip), girth[name], levels.forward[name]!);
    knots.push({ height: levels.height[name]!, shape });
  }
  const crotch = levels.height.crotch!;
  const thigh = knots[knots.length - 1].shape;
  if (!withHip) {
    // The tube may run a little past the seat fold: it stays as wide as there.
    knots.push({ height: crotch, shape: thigh });
  } else {
    for (const name of ["hip", "waistNavel", "waistNatural"] as const)
      girth[name] = needMeasure(measures, name);
    const trunk = trunkSections(measures, levels, girth);
    // At the crotch the thigh lies against its fellow; breadth and depth lead over to the hip.
    const share = (crotch - levels.height.upperThigh!) / (levels.height.hip! - levels.height.upperThigh!);
    knots.push({ height: crotch, shape: { ...between(thigh, trunk[0].shape, share), inner: 0 } }, ...trunk);
  }
  const profile = (field: keyof SectionShape): Profile =>
    createProfile(knots.map((knot) => [knot.height, knot.shape[field]]));
  const [centre, outer, middle, front, back] = [
    profile("centre"),
    profile("outer"),
    profile("middle"),
    profile("front"),
    profile("back"),
  ];
  const [innerPower, outerPower] = [profile("innerPower"), profile("outerPower")];
  const inner = withHip ? innerAcrossCrotch(knots, crotch, centre) : profile("inner");
  return {
    levels,
    girth,
    crotch,
    shapeAt: (height) => ({
      inner: inner(height),
      centre: centre(height),
      outer: outer(height),
      middle: middle(height),
      front: front(height),
      back: back(height),
      innerPower: innerPower(height),
      outerPower: outerPower(height),
    }),
  };
}

/** The inner end from the gap between the legs through the crotch to the trunk, where it runs away beyond the plane. */
function innerAcrossCrotch(
  knots: readonly { readonly height: number; readonly shape: SectionShape }[],
  crotch: number,
  centre: Profile,
): Profile {
  const top = knots[knots.length - 1].height;
  const known = knots
    .filter(({ height }) => height <= crotch)
    .map(({ height, shape }) => [height, shape.inner] as const);
  const heights = new Set(knots.filter(({ height }) => height > crotch).map(({ height }) => height));
  for (let k = 1; k <= 12; k++) {
    const height = crotch + ((top - crotch) * k) / 12;
    if ([...heights].every((other) => Math.abs(other - height) > 6)) heights.add(height);
  }
  const above = [...heights].sort((a, b) => a - b);
  return createProfile([
    ...known,
    ...above.map((height) => [height, innerEnd(centre(height), rise(height, crotch, top))] as const),
  ]);
}

/** How far up the rise a height is: 0 at the crotch, short of 1 at the waist, where the opening is all but full. */
function rise(height: number, crotch: number, top: number): number {
  return (0.86 * (height - crotch)) / (top - crotch);
}

/**
 * With the inner end here, a superellipse section of power p crosses the plane of symmetry at ((1 − (1 − t)^p)^(1/p) of
 * its depth: front and back rise are quarter superellipses, round at the crotch and upright at the waist. Derived here.
 */
function innerEnd(centre: number, t: number): number {
  return (-centre * t) / (1 - t);
}

function trunkSections(
  measures: MeasureValues,
  levels: BodyLevels,
  girth: Readonly<Partial<Record<LevelName, number>>>,
): { height: number; shape: SectionShape }[] {
  const hipBreadth = needMeasure(measures, "hipBreadth");
  const crotch = levels.height.crotch!;
  const top = levels.height.waistNatural!;
  // Breadths of the waist over the hip's, and the rounding of the sections: judgements on ISO-style body sketches.
  const shapes = [
    { name: "hip", breadth: hipBreadth, centreShare: 0.42, frontShare: 0.45, power: 2.35, ahead: -8 },
    {
      name: "waistNavel",
      breadth: Math.min(0.94 * hipBreadth, 0.36 * girth.waistNavel!),
      centreShare: 0.2,
      frontShare: 0.5,
      power: 2.3,
      ahead: 0,
    },
    {
      name: "waistNatural",
      breadth: Math.min(0.87 * hipBreadth, 0.36 * girth.waistNatural!),
      centreShare: 0.16,
      frontShare: 0.5,
      power: 2.25,
      ahead: 2,
    },
  ] as const;
  return shapes.map((trunk) => {
    const height = levels.height[trunk.name]!;
    return { height, shape: trunkSection(trunk, girth[trunk.name]!, rise(height, crotch, top)) };
  });
}

function midThighGirth(measures: MeasureValues): number {
  if (measures.midThigh !== undefined) return needMeasure(measures, "midThigh");
  // Johnson 2021, J. Stat. Data Sci. Educ. 29(3): regression on 177 women.
  return 32.8 + 0.543 * needMeasure(measures, "upperThigh") + 0.431 * needMeasure(measures, "lowerThigh");
}

/** With the hip, the thigh below the fold is no broader than half the hip and leaves the plane between the legs gently. */
function legShape(
  name: keyof typeof LEG_SHAPES,
  measures: MeasureValues,
  levels: BodyLevels,
  withHip: boolean,
): LegShape {
  const shape = LEG_SHAPES[name];
  if (name !== "upperThigh" || !withHip) return shape;
  const gap = Math.min(shape.gap, 0.3 * (levels.height.crotch! - levels.height.upperThigh!));
  const most = needMeasure(measures, "hipBreadth") / 2 - gap - 3;
  const girth = needMeasure(measures, "upperThigh");
  let depth = shape.depth;
  const breadth = (): number => {
    const section = legSection({ ...shape, depth }, girth, 0);
    return section.outer - section.inner;
  };
  for (let i = 0; i < 40 && breadth() > most && depth < 1.8; i++) depth += 0.02;
  return { ...shape, gap, depth };
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
      innerPower: leg.power,
      outerPower: leg.power,
    };
  };
  // Girth grows in proportion: one step is exact.
  return build((100 * girth) / runLength(sectionPoints(build(100))));
}

interface TrunkShape {
  readonly breadth: number;
  /** Where the rounded part begins, as a share of the half breadth. */
  readonly centreShare: number;
  readonly frontShare: number;
  readonly power: number;
  readonly ahead: number;
}

/** Half section of the trunk whose tape girth, both halves together, is the one given: the depth gives way. */
function trunkSection(trunk: TrunkShape, girth: number, t: number): SectionShape {
  const half = trunk.breadth / 2;
  const build = (depth: number): SectionShape => ({
    inner: innerEnd(trunk.centreShare * half, t),
    centre: trunk.centreShare * half,
    outer: half,
    middle: trunk.ahead,
    front: trunk.ahead + trunk.frontShare * depth,
    back: trunk.ahead - (1 - trunk.frontShare) * depth,
    innerPower: 2.3,
    outerPower: trunk.power,
  });
  let [low, high] = [1, girth];
  for (let i = 0; i < 50; i++) {
    const depth = (low + high) / 2;
    if (tapeBothHalves(sectionPoints(build(depth))) < girth) low = depth;
    else high = depth;
  }
  return build(low);
}

function between(a: SectionShape, b: SectionShape, share: number): SectionShape {
  const out: Partial<Record<keyof SectionShape, number>> = {};
  for (const key of Object.keys(a) as (keyof SectionShape)[]) out[key] = a[key] + share * (b[key] - a[key]);
  return out as unknown as SectionShape;
}

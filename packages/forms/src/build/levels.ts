import { shown } from "../parts/number";
import { fail } from "@peltry/issues";
import type { MeasureKey } from "@peltry/measure";

/** Level lines of the leg and the hip, from the floor up. */
export const LEVEL_NAMES = [
  "ankle",
  "calf",
  "knee",
  "lowerThigh",
  "midThigh",
  "upperThigh",
  "crotch",
  "hip",
  "waistNavel",
  "waistNatural",
] as const;

/** One of {@link LEVEL_NAMES}. */
export type LevelName = (typeof LEVEL_NAMES)[number];

/** A height: a named level with an offset upward, a share of the way between two, or mm above the floor. */
export type LevelRef =
  | LevelName
  | number
  | { readonly level: LevelName; readonly offset?: number }
  | { readonly from: LevelName; readonly to: LevelName; readonly share: number };

/** Taken or completed measures: mm, or anything with a `value` in mm. */
export type MeasureValues = Readonly<Partial<Record<MeasureKey, number | { readonly value: number }>>>;

/** How the wearer stands in the costume. */
export interface Posture {
  /** Bend of the knee, degrees: the thigh leans forward and the shin back. 0 by default, 40 at most. */
  readonly kneeBend?: number;
  /** How much higher the heel stands than the ball of the foot, mm. 0 by default. */
  readonly heelLift?: number;
}

/** Heights of the levels, mm above the floor, and how far the bent leg carries each forward. */
export interface BodyLevels {
  readonly height: Readonly<Partial<Record<LevelName, number>>>;
  readonly forward: Readonly<Partial<Record<LevelName, number>>>;
}

/** The smallest ankle girth lies about this many ankle-bone heights above the floor: a judgement. */
const NARROW_ANKLE = 1.55;
/** Half a kneecap, mm: from memory. */
const HALF_KNEECAP = 25;
/** The lower thigh girth lies this share of the way from kneecap to crotch: a judgement on “just above the knee”. */
const LOWER_THIGH = 0.14;
/** Levels closer than this cannot both carry a girth, mm. */
const LEAST_STEP = 8;

/**
 * A measure's value.
 *
 * @throws forms/missing-measure where it is absent, forms/bad-measure where it is not a positive number
 */
export function needMeasure(measures: MeasureValues, key: MeasureKey): number {
  const given = measures[key];
  const value = typeof given === "object" && given !== null ? given.value : given;
  if (value === undefined) {
    fail(
      "forms/missing-measure",
      `The form needs the measure ${key}.`,
      { path: ["measures", key] },
      {
        fix: "Take it, or let completeMeasures of @peltry/measure estimate it.",
      },
    );
  }
  if (typeof value !== "number" || !Number.isFinite(value) || value <= 0) {
    fail(
      "forms/bad-measure",
      `The measure ${key} is not a positive number.`,
      { path: ["measures", key] },
      {
        found: shown(value),
        fix: "Give mm.",
      },
    );
  }
  return value;
}

/**
 * Heights of all levels in the posture of the costume.
 *
 * @throws forms/levels-cross where the measures put one level on or above the next
 */
export function bodyLevels(measures: MeasureValues, posture: Posture, withHip: boolean): BodyLevels {
  const lift = inRange(posture.heelLift ?? 0, 0, 200, "heelLift");
  const bend = inRange(posture.kneeBend ?? 0, 0, 40, "kneeBend") * (Math.PI / 180);
  const knee = needMeasure(measures, "kneeHeight");
  const crotch = needMeasure(measures, "insideLeg");
  const fold = Math.min(needMeasure(measures, "glutealFoldHeight"), crotch - LEAST_STEP);
  const standing: [LevelName, number][] = [
    ["ankle", NARROW_ANKLE * needMeasure(measures, "ankleBoneHeight")],
    ["calf", needMeasure(measures, "calfHeight")],
    ["knee", knee],
    ["lowerThigh", knee + LOWER_THIGH * (crotch - knee)],
    ["midThigh", (crotch + knee + HALF_KNEECAP) / 2],
    ["upperThigh", fold],
    ["crotch", crotch],
  ];
  if (withHip) {
    standing.push(
      ["hip", needMeasure(measures, "hipHeight")],
      ["waistNavel", needMeasure(measures, "waistNavelHeight")],
      ["waistNatural", needMeasure(measures, "waistNaturalHeight")],
    );
  }
  for (let i = 1; i < standing.length; i++) {
    const [[below, low], [above, high]] = [standing[i - 1], standing[i]];
    if (high - low < LEAST_STEP) {
      fail(
        "forms/levels-cross",
        `The level ${above} (${Math.round(high)} mm) is not above ${below} (${Math.round(low)} mm).`,
        { path: ["measures"] },
        {
          found: Math.round(high - low),
          limit: LEAST_STEP,
          fix: `Take the heights of ${below} and ${above} again.`,
        },
      );
    }
  }
  return bendLeg(standing, knee, crotch, bend, lift);
}

/** Thigh and shin turn about the knee so that the ankle stays under the hip. */
function bendLeg(
  standing: readonly (readonly [LevelName, number])[],
  knee: number,
  crotch: number,
  bend: number,
  lift: number,
): BodyLevels {
  const ankle = standing[0][1];
  const [shin, thigh] = [knee - ankle, crotch - knee];
  const thighLean = Math.asin(
    (Math.sin(bend) * shin) / Math.sqrt(shin * shin + thigh * thigh + 2 * shin * thigh * Math.cos(bend)),
  );
  const shinLean = bend - thighLean;
  const kneeUp = ankle + shin * Math.cos(shinLean);
  const crotchUp = kneeUp + thigh * Math.cos(thighLean);
  const height: Partial<Record<LevelName, number>> = {};
  const forward: Partial<Record<LevelName, number>> = {};
  for (const [name, level] of standing) {
    const [up, ahead] =
      level <= knee
        ? [ankle + (level - ankle) * Math.cos(shinLean), (level - ankle) * Math.sin(shinLean)]
        : level <= crotch
          ? [kneeUp + (level - knee) * Math.cos(thighLean), (crotch - level) * Math.sin(thighLean)]
          : [crotchUp + level - crotch, 0];
    height[name] = up + lift;
    forward[name] = ahead;
  }
  return { height, forward };
}

/** The height that a reference stands for, mm above the floor. */
export function levelHeight(levels: BodyLevels, ref: LevelRef): number {
  if (typeof ref === "number") {
    if (Number.isFinite(ref)) return ref;
    return badLevel(ref);
  }
  if (typeof ref === "string") return named(levels, ref);
  if (typeof ref !== "object" || ref === null) return badLevel(ref);
  const height =
    "level" in ref
      ? named(levels, ref.level) + (ref.offset ?? 0)
      : named(levels, ref.from) + ref.share * (named(levels, ref.to) - named(levels, ref.from));
  return typeof height === "number" && Number.isFinite(height) ? height : badLevel(ref);
}

function badLevel(ref: unknown): never {
  return fail(
    "forms/bad-level",
    "A level is no height.",
    {},
    { found: shown(ref), fix: "Give mm above the floor, or a level of the form." },
  );
}

function named(levels: BodyLevels, name: LevelName): number {
  const height =
    typeof name === "string" && Object.hasOwn(levels.height, name) ? levels.height[name] : undefined;
  if (height !== undefined) return height;
  fail(
    "forms/unknown-level",
    `This form has no level “${shown(name)}”.`,
    {},
    {
      found: shown(name),
      limit: Object.keys(levels.height).join(", "),
      fix: "Use one of the levels listed, or mm above the floor.",
    },
  );
}

function inRange(value: number, low: number, high: number, path: string): number {
  if (Number.isFinite(value) && value >= low && value <= high) return value;
  fail(
    "forms/bad-posture",
    `${path} of ${shown(value)} is outside what the form can take.`,
    { path: ["posture", path] },
    {
      found: shown(value),
      limit: `${low} to ${high}`,
      fix: "Choose a value in that range.",
    },
  );
}

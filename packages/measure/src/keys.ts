/**
 * One key a measure. The key itself says which waist, thigh, ankle or crotch length is meant; lengths are in mm,
 * `weightKg` is in kg. Definitions in our own words after the standards named.
 */
export interface MeasureDefinition {
  /** What a maker calls it. */
  readonly name: string;
  /** Where the tape goes. */
  readonly how: string;
  readonly kind: "girth" | "height" | "length" | "breadth" | "mass";
  /**
   * Difference between two careful readings that still counts as the same, mm (kg for the mass).
   * From memory after Gordon et al. 1989, where they give one; a judgement elsewhere.
   */
  readonly observerError: number;
  /** False where finding the landmark takes a trained hand: never suggested as the next measure to take. */
  readonly byTape: boolean;
  /** Other names in use: open standards and file keys. */
  readonly aliases?: readonly string[];
}

const entry = (
  name: string,
  kind: MeasureDefinition["kind"],
  observerError: number,
  how: string,
  aliases: readonly string[] = [],
  byTape = true,
): MeasureDefinition => ({ name, how, kind, observerError, byTape, aliases });

/**
 * Every measure by key.
 *
 * @source ISO 8559-1:2017 and EN 13402-1 for names and sites; Gordon et al. 1989 and 2014 for the survey columns
 */
export const MEASURES = {
  stature: entry("Height", "height", 10, "floor to the top of the head, no shoes", ["height", "bodyHeight"]),
  weightKg: entry("Weight", "mass", 1, "on scales, light clothing", ["weight", "bodyMass", "mass"]),
  waistNatural: entry(
    "Waist where a belt settles",
    "girth",
    11,
    "round the waist where a belt settles; may be tilted",
    ["naturalWaist"],
  ),
  waistNavel: entry("Waist at the navel", "girth", 11, "level, at the height of the navel", [
    "waistCircumferenceNavel",
    "navelWaist",
  ]),
  waistMid: entry(
    "Waist half-way",
    "girth",
    11,
    "level, half-way between the lowest rib and the top of the hip bone (ISO 8559-1)",
    ["midWaist", "isoWaist"],
  ),
  hip: entry("Hip", "girth", 12, "level, at the fullest part of the seat", [
    "hips",
    "seat",
    "hipCircumference",
    "buttock",
  ]),
  upperThigh: entry(
    "Thigh below the seat fold",
    "girth",
    6,
    "level, just below the fold of the seat (ISO 8559 thigh girth)",
    ["thigh", "proximalThigh", "thighBelowFold"],
  ),
  midThigh: entry(
    "Thigh half-way",
    "girth",
    6,
    "level, half-way between groin crease and top of the kneecap",
    [],
  ),
  lowerThigh: entry("Thigh above the knee", "girth", 6, "level, just above the knee joint", ["distalThigh"]),
  knee: entry("Knee", "girth", 5, "level, at the middle of the kneecap, leg relaxed", []),
  lowerKnee: entry("Below the knee", "girth", 5, "level, just below the kneecap", []),
  calf: entry("Calf", "girth", 5, "level, at its largest", []),
  ankleNarrow: entry(
    "Ankle at its narrowest",
    "girth",
    4,
    "level, smallest girth above the ankle bones (ISO 8559 minimum leg girth)",
    ["minLeg", "minimumLeg", "ankleMinimum"],
  ),
  ankleBones: entry("Ankle over the bones", "girth", 4, "over both ankle bones", ["ankleOverBones"]),
  heelAnkle: entry(
    "Heel and front of the ankle",
    "girth",
    6,
    "round the heel point and the front bend of the ankle",
    [],
  ),
  ballGirth: entry(
    "Ball of the foot",
    "girth",
    4,
    "round the foot over the heads of the first and fifth long bones",
    ["ball", "ballOfFoot"],
  ),
  footLength: entry("Foot length", "length", 3, "heel to the tip of the longest toe, weight on the foot", []),
  footBreadth: entry("Foot breadth", "breadth", 3, "widest part of the foot, level", []),
  insideLeg: entry("Inside leg", "height", 10, "crotch to floor, upright (EN 13402 inside leg)", [
    "crotchHeight",
    "inseam",
    "insideLegHeight",
  ]),
  glutealFoldHeight: entry("Height of the seat fold", "height", 14, "floor to the fold below the seat", [
    "glutealFurrowHeight",
  ]),
  kneeHeight: entry("Height of the knee", "height", 8, "floor to the middle of the kneecap", [
    "midPatellaHeight",
  ]),
  tibialHeight: entry(
    "Height of the knee joint",
    "height",
    8,
    "floor to the top of the shin bone, inner side",
    [],
    false,
  ),
  calfHeight: entry("Height of the calf", "height", 10, "floor to the level of the largest calf girth", []),
  ankleBoneHeight: entry("Height of the ankle bone", "height", 4, "floor to the outer ankle bone", [
    "malleolusHeight",
  ]),
  hipHeight: entry("Height of the hip line", "height", 10, "floor to the level of the fullest seat", [
    "buttockHeight",
  ]),
  trochanterHeight: entry(
    "Height of the hip joint",
    "height",
    10,
    "floor to the top of the thigh bone's outer knob",
    [],
    false,
  ),
  waistNavelHeight: entry("Height of the navel waist", "height", 10, "floor to the navel", []),
  waistNaturalHeight: entry("Height of the belt waist", "height", 10, "floor to where a belt settles", []),
  waistToHip: entry("Waist to hip", "length", 10, "belt waist to hip line along the side", []),
  bodyRiseNavel: entry(
    "Body rise from the navel waist",
    "height",
    14,
    "navel waist level to crotch level, upright",
  ),
  bodyRiseNatural: entry(
    "Body rise from the belt waist",
    "height",
    14,
    "belt waist level to crotch level, upright",
  ),
  crotchLengthNavel: entry(
    "Crotch length, navel to navel level",
    "length",
    15,
    "front waist to back waist through the crotch, at navel level",
  ),
  crotchLengthNatural: entry(
    "Crotch length, belt to belt",
    "length",
    15,
    "front waist to back waist through the crotch, where a belt settles",
  ),
  backCrotchLengthNavel: entry(
    "Back part of the navel crotch length",
    "length",
    15,
    "crotch to back waist at navel level",
    [],
    false,
  ),
  backCrotchLengthNatural: entry(
    "Back part of the belt crotch length",
    "length",
    15,
    "crotch to back waist where a belt settles",
    [],
    false,
  ),
  trunkGirth: entry("Trunk", "girth", 15, "mid-shoulder down the front, through the crotch and up the back", [
    "trunk",
    "verticalTrunk",
  ]),
  hipBreadth: entry("Hip breadth", "breadth", 8, "widest distance across the hips, standing", [], false),
  waistBreadth: entry("Waist breadth", "breadth", 8, "across the waist at navel height", [], false),
  chest: entry("Chest", "girth", 15, "level, at the fullest part of the chest", ["bust", "chestGirth"]),
  backLengthNavel: entry(
    "Back length to the navel waist",
    "length",
    10,
    "nape to navel level down the spine",
    [],
  ),
  neckGirth: entry("Neck", "girth", 6, "just below the Adam's apple, square to the neck", ["neck"]),
  headGirth: entry(
    "Head, hair flat",
    "girth",
    5,
    "largest, above the ears; little or no hair under the tape",
    ["head"],
  ),
  headGirthOverHair: entry(
    "Head over the hair",
    "girth",
    8,
    "largest, above the ears, over hair as worn",
    [],
  ),
  headBreadth: entry("Head breadth", "breadth", 3, "widest, above the ears", [], false),
  headLength: entry("Head length", "length", 3, "brow to the back of the head", [], false),
  tragionToVertex: entry(
    "Ear to top of the head",
    "height",
    5,
    "notch above the ear flap to the top of the head, upright",
    [],
    false,
  ),
  upperArm: entry("Upper arm", "girth", 6, "half-way between shoulder point and elbow, arm hanging", []),
  upperArmFlexed: entry("Upper arm, tensed", "girth", 6, "largest, elbow bent and muscle tensed", []),
  elbow: entry("Elbow", "girth", 5, "round the elbow, arm straight", []),
  wrist: entry("Wrist", "girth", 4, "round the wrist bones", []),
  handGirth: entry("Hand", "girth", 4, "round the knuckles without the thumb", ["hand"]),
  handLength: entry("Hand length", "length", 3, "wrist crease to the tip of the middle finger", []),
  sleeveLength: entry("Sleeve length", "length", 10, "shoulder point to wrist along the outer arm", [
    "sleeveOutseam",
  ]),
} as const satisfies Record<string, MeasureDefinition>;

/** Key of a measure. */
export type MeasureKey = keyof typeof MEASURES;

/** Measures that a survey holds as a column of its own. */
export type BaseKey = Exclude<
  MeasureKey,
  "waistMid" | "midThigh" | "lowerKnee" | "ankleBones" | "bodyRiseNavel" | "bodyRiseNatural"
>;

/** All keys in a fixed order. */
export const MEASURE_KEYS = Object.keys(MEASURES) as readonly MeasureKey[];

/** Words that do not say which one is meant, and the keys that do. */
export const UNCLEAR_NAMES: Readonly<Record<string, readonly MeasureKey[]>> = {
  waist: ["waistNatural", "waistNavel", "waistMid"],
  ankle: ["ankleNarrow", "ankleBones"],
  crotchLength: ["crotchLengthNavel", "crotchLengthNatural"],
  crotch: ["crotchLengthNavel", "crotchLengthNatural", "insideLeg"],
  bodyRise: ["bodyRiseNavel", "bodyRiseNatural"],
  waistHeight: ["waistNavelHeight", "waistNaturalHeight"],
  outsideLeg: ["waistNavelHeight", "waistNaturalHeight"],
  arm: ["upperArm", "upperArmFlexed", "sleeveLength"],
};

const BY_ALIAS: ReadonlyMap<string, MeasureKey> = new Map(
  MEASURE_KEYS.flatMap((key) =>
    [key, ...(MEASURES[key].aliases ?? [])].map((name) => [plain(name), key] as const),
  ),
);

/** Lower case, no separators, no trailing unit: `waist_navel`, `waistNavelMm` and `waistNavel` are one. */
function plain(name: string): string {
  return name
    .replace(/(?<=[a-z])(?:Girth)?(?:Mm|Kg)$|[_-]?(?:mm|kg)$/, "")
    .replace(/[_\-\s]/g, "")
    .toLowerCase();
}

/**
 * The key that a name stands for: the key itself, snake_case, with its unit at the end (`calfMm`, `calfGirthMm`) or a
 * standard's name; undefined for a name that is not known or does not say which one it means.
 */
export function measureKey(name: string): MeasureKey | undefined {
  if (typeof name !== "string") return undefined;
  return BY_ALIAS.get(plain(name)) ?? BY_ALIAS.get(plain(name.replace(/(?:Girth|_girth)(?=$|Mm$|_mm$)/, "")));
}

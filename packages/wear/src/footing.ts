import { cannotJudge, needNumber, needObject, needWord, roundUp, type Finding } from "./finding";

/** Eye height and what the openings let see. */
export interface SightCase {
  /** Eye height above the floor as worn, heels included, mm. */
  readonly eyeHeightMm: number;
  /** Lowest angle that can still be seen, degrees below level. Bare about 75 (from memory). */
  readonly lowestDeg: number;
  /** Whole width of the field, degrees; bare about 200 (from memory). */
  readonly widthDeg?: number;
}

/** Heel, base, sole and ground. */
export interface FootingCase {
  /** Rise of the heel over the ball, and width of what stands under it, mm. */
  readonly heelHeightMm?: number;
  readonly heelWidthMm?: number;
  /** How far a paw or hoof reaches past the shoe, mm. */
  readonly overhangMm?: number;
  /** True where the cover reaches under or round the edge of the outsole. */
  readonly coversOutsole?: boolean;
  readonly tread?: "across" | "along" | "smooth";
  /** Static friction of the sole on the floor, where it was measured. */
  readonly friction?: number;
  readonly softSole?: boolean;
  /** Whole length of shoe and cover, and depth of a stair's tread where it will be worn, mm. */
  readonly footLengthMm?: number;
  readonly treadMm?: number;
}

/** Limits; judgements unless the finding's source says otherwise. */
export const FOOTING_LIMITS = Object.freeze({
  floorMm: 1500,
  floorStopMm: 4000,
  widthDeg: 120,
  heelMm: 60,
  heelStopMm: 100,
  heelWidthMm: 50,
  overhangMm: 15,
  friction: 0.5,
  treadMm: 250,
});

/**
 * How far ahead the nearest visible floor is, mm: eye height over the tangent of the angle.
 *
 * @throws wear/bad-number
 * @source geometry
 */
export function nearestFloor(eyeHeightMm: number, lowestDeg: number): number {
  needNumber(lowestDeg, "sight.lowestDeg", 0.1, 90);
  return needNumber(eyeHeightMm, "sight.eyeHeightMm", 300, 3000) / Math.tan((lowestDeg * Math.PI) / 180);
}

/** Findings on sight. @throws wear/bad-number, wear/not-a-costume */
export function checkSight(sight: SightCase): Finding[] {
  needObject(sight, "sight");
  const { floorMm, floorStopMm, widthDeg } = FOOTING_LIMITS;
  const floor = nearestFloor(sight.eyeHeightMm, sight.lowestDeg);
  const needed = (Math.atan(sight.eyeHeightMm / floorMm) * 180) / Math.PI;
  const over = floor > floorMm;
  const findings: Finding[] = [
    {
      subject: "sight",
      level: floor > floorStopMm ? "stop" : over ? "caution" : "note",
      what: `The nearest floor that can be seen lies ${Math.round(floor)} mm ahead.`,
      figure: Math.round(floor),
      limit: floorMm,
      unit: "mm",
      source:
        "eye height over tangent; limit of two steps: judgement. A loose face mask alone took 11 to 32° off the lower field on stairs (PLOS ONE 0324333)",
      fix: over
        ? `Open the sight window down to ${roundUp(needed)}° (${roundUp(needed - sight.lowestDeg)}° more). On stairs go slowly with a guide rather than look down (Kal, Young & Ellmers 2020, BMJ 371:m4133).`
        : "On stairs go slowly, with a hand on the rail.",
    },
  ];
  if (sight.widthDeg === undefined)
    return [...findings, cannotJudge("sight", "how wide the eyes see", "Give the whole width of the field.")];
  const width = needNumber(sight.widthDeg, "sight.widthDeg", 1, 360);
  const narrow = width < widthDeg;
  findings.push({
    subject: "sight",
    level: narrow ? "caution" : "note",
    what: narrow
      ? "Little is seen to the sides."
      : "The field is wide enough to see who comes from the side.",
    figure: width,
    limit: widthDeg,
    unit: "°",
    source: "judgement; bare eyes see about 200° (from memory)",
    ...(narrow
      ? {
          fix: `Widen the windows by ${roundUp(widthDeg - width)}° in all, and go with a guide in crowds.`,
        }
      : {}),
  });
  return findings;
}

/** Findings on shoes, heels, soles and steps. @throws wear/bad-number, wear/unknown-word, wear/not-a-costume */
export function checkFooting(foot: FootingCase): Finding[] {
  needObject(foot, "footing");
  const findings: Finding[] = [];
  const limit = FOOTING_LIMITS;
  if (foot.heelHeightMm !== undefined) {
    const heel = needNumber(foot.heelHeightMm, "footing.heelHeightMm", 0, 400);
    const over = heel > limit.heelMm;
    findings.push({
      subject: "footing",
      level: heel > limit.heelStopMm ? "stop" : over ? "caution" : "note",
      what: `The heel stands ${heel} mm over the ball: the higher, the more grip each step asks for.`,
      figure: heel,
      limit: limit.heelMm,
      unit: "mm",
      source:
        "Blanchette et al. 2011, Gait Posture 34:107 (heels of 13, 64 and 95 mm); the limit is a judgement",
      ...(over
        ? {
            fix: `Lower it by ${roundUp(heel - limit.heelMm)} mm, or practise on a level floor with a rail.`,
          }
        : {}),
    });
  } else findings.push(cannotJudge("footing", "the heel", "Give its height over the ball."));
  if (foot.heelWidthMm !== undefined) {
    const width = needNumber(foot.heelWidthMm, "footing.heelWidthMm", 1, 200);
    const narrow = width < limit.heelWidthMm;
    findings.push({
      subject: "footing",
      level: narrow ? "caution" : "note",
      what: narrow
        ? "The base under the heel is narrow; that upsets balance more than height does."
        : "The base under the heel is wide enough.",
      figure: width,
      limit: limit.heelWidthMm,
      unit: "mm",
      source: "Chien et al. 2013, Gait Posture 38:391; the limit is a judgement",
      ...(narrow ? { fix: `Make the base ${roundUp(limit.heelWidthMm - width)} mm wider.` } : {}),
    });
  } else findings.push(cannotJudge("footing", "the base under the heel", "Give its width."));
  if (foot.overhangMm !== undefined) {
    const over = needNumber(foot.overhangMm, "footing.overhangMm", 0, 400);
    const far = over > limit.overhangMm;
    findings.push({
      subject: "footing",
      level: far ? "caution" : "note",
      what: far
        ? "Toes that reach past the shoe catch on steps and edges."
        : "Steps: what reaches past the shoe stays within the toe's clearance.",
      figure: over,
      limit: limit.overhangMm,
      unit: "mm",
      source: "toe clearance in walking is 10 to 20 mm (from memory)",
      ...(far
        ? {
            fix: `Cut the overhang by ${roundUp(over - limit.overhangMm)} mm or let it curve upward, and lift the feet.`,
          }
        : {}),
    });
  } else findings.push(cannotJudge("footing", "steps", "Give how far the cover reaches past the shoe."));
  if (foot.coversOutsole)
    findings.push({
      subject: "footing",
      level: "stop",
      what: "The cover reaches over the edge of the outsole and takes its grip away.",
      source: "common practice, no source",
      fix: "End it above the outsole, or give the cover a gripping sole of its own.",
    });
  if (foot.tread === undefined && foot.friction === undefined)
    findings.push(
      cannotJudge("footing", "the grip of the sole", "Say how the tread runs, or its friction on the floor."),
    );
  if (
    foot.tread !== undefined &&
    needWord(foot.tread, "footing.tread", ["across", "along", "smooth"]) !== "across"
  )
    findings.push({
      subject: "footing",
      level: "caution",
      what: foot.tread === "smooth" ? "A smooth sole slips." : "Grooves along the foot grip worst.",
      source: "Liu et al. 2013, PLOS ONE 0068989: grooves across the walking direction gripped best",
      fix: "Glue or choose a sole with grooves across the foot; the maker's label says which glue holds.",
    });
  if (foot.friction !== undefined) {
    const mu = needNumber(foot.friction, "footing.friction", 0, 3);
    findings.push({
      subject: "footing",
      level: mu < limit.friction ? "caution" : "note",
      what: `Static friction of sole on floor ${mu}.`,
      figure: mu,
      limit: limit.friction,
      source: "0.5 is often quoted for level floors (ASTM D2047 tradition, from memory)",
      ...(mu < limit.friction
        ? { fix: `A sole with ${roundUp(limit.friction - mu, 0.01)} more, and no wet or waxed floors.` }
        : {}),
    });
  }
  if (foot.softSole)
    findings.push({
      subject: "footing",
      level: "caution",
      what: "A soft, thick sole makes the stand unsteady.",
      source: "Menant et al. 2008, Arch. Phys. Med. Rehabil. 89:1970",
      fix: "A firm sole under the padding.",
    });
  if (foot.footLengthMm !== undefined) {
    const length = needNumber(foot.footLengthMm, "footing.footLengthMm", 50, 1000);
    const tread = needNumber(foot.treadMm ?? limit.treadMm, "footing.treadMm", 100, 1000);
    const long = length > tread;
    findings.push({
      subject: "footing",
      level: long ? "caution" : "note",
      what: long ? "The foot is longer than a stair's tread." : "Stairs: the foot finds room on a tread.",
      figure: length,
      limit: tread,
      unit: "mm",
      source:
        foot.treadMm === undefined ? "tread of 250 mm: from memory; measure the stairs" : "tread as given",
      ...(long
        ? { fix: `Shorten it by ${roundUp(length - tread)} mm or go down sideways with a guide.` }
        : {}),
    });
  } else findings.push(cannotJudge("footing", "stairs", "Give the length of shoe and cover."));
  return findings;
}

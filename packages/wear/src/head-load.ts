import { basesOnBand, STANDARD_GRAVITY, type BandBase } from "./base-on-band";
import { cannotJudge, needList, needNumber, needObject, roundUp, tenth, type Finding } from "./finding";

/** Something borne by the head. */
export interface HeadLoad {
  readonly name: string;
  readonly massG: number;
  /**
   * Centre of mass, mm: x to the side, y up, z forward, from the middle of the head at the level of the band. That is the
   * frame in which headbands give their load.
   */
  readonly centre?: readonly [number, number, number];
  /** Or the same from the neck joint (the condyles). One of the two. */
  readonly fromPivot?: readonly [number, number, number];
}

/** What the head bears, and the band that holds it. */
export interface HeadCase {
  readonly loads: readonly HeadLoad[];
  /** Neck joint from the middle of the band, mm; [0, −70, −15] by default, ± 10: a judgement from published head data. */
  readonly pivot?: readonly [number, number, number];
  /** Things that stand on the band by a base of their own, such as horns: does the base tip on it? */
  readonly bases?: readonly BandBase[];
  /** The band that holds it; `none` where nothing is held by a band, as with a mask on elastic. */
  readonly band?:
    | "none"
    | {
        /** Girth that it goes round, and its width, mm. */
        readonly girthMm: number;
        readonly widthMm: number;
        /** Friction of band on hair or cap; 0.3 by default (judgement). */
        readonly friction?: number;
        /** Force with which an open bow squeezes the head, N, where it was measured. */
        readonly clampN?: number;
        /** A strap under the chin or a cap that takes the tipping. */
        readonly strap?: boolean;
      };
}

/** Limits of the head checks. @source Madison et al. 2023 for the 134 N cm; the others are judgements below it */
export const HEAD_LIMITS = Object.freeze({
  noteNcm: 30,
  cautionNcm: 80,
  stopNcm: 130,
  publishedNcm: 134,
  massG: 500,
  clampN: 11,
  pressureKPa: 4,
  bandMm: 20,
  pitchDeg: 30,
  friction: 0.3,
});

const MADISON =
  "134 N cm at 10 % loss of performance: Madison et al. 2023, Mil. Med. 188(S6):520 (21 people, preliminary); the levels 30, 80 and 130 are judgements below it";
const PIVOT = [0, -70, -15] as const;

/** Moments about the neck joint, N cm. */
export interface HeadMoment {
  readonly massG: number;
  /** Positive tips the head forward. */
  readonly forwardNcm: number;
  /** Positive tips it to the +x side. */
  readonly sideNcm: number;
  /** The worst when nodding forward or looking up by 30°. */
  readonly noddingNcm: number;
}

/**
 * Moments of head-borne loads about the neck joint: Σ m g z upright, Σ m g (z cos a + y sin a) when pitched by a.
 *
 * @throws wear/bad-number
 * @source statics
 */
export function headMoment(loads: readonly HeadLoad[], pivot: readonly number[] = PIVOT): HeadMoment {
  [0, 1, 2].forEach((k) => needNumber(pivot?.[k], "head.pivot", -500, 500));
  let [massG, x, y, z] = [0, 0, 0, 0];
  loads.forEach((load, index) => {
    const m = needNumber(load.massG, `head.loads.${index}.massG`, 0, 20_000);
    const told: readonly number[] = load.fromPivot ?? load.centre ?? [0, 0, 0];
    const [px, py, pz] = [0, 1, 2].map(
      (k) =>
        needNumber(told[k], `head.loads.${index}.centre`, -3000, 3000) - (load.fromPivot ? 0 : pivot[k]!),
    );
    massG += m;
    x += m * px!;
    y += m * py!;
    z += m * pz!;
  });
  const Ncm = (gmm: number): number => (gmm * STANDARD_GRAVITY) / 1e4;
  const a = (HEAD_LIMITS.pitchDeg * Math.PI) / 180;
  const [ahead, behind] = [z * Math.cos(a) + y * Math.sin(a), z * Math.cos(a) - y * Math.sin(a)];
  return {
    massG,
    forwardNcm: Ncm(z),
    sideNcm: Ncm(x),
    noddingNcm: Ncm(Math.abs(ahead) > Math.abs(behind) ? ahead : behind),
  };
}

/**
 * Findings on head-borne mass, moment, tipping of the band and of bases on it, clamp and balance.
 *
 * @throws wear/bad-number, wear/not-a-costume
 */
export function checkHead(head: HeadCase): Finding[] {
  needList(needObject(head, "head").loads, "head.loads");
  const bases = basesOnBand(needList(head.bases ?? [], "head.bases"));
  const moment = headMoment(head.loads, head.pivot);
  if (head.loads.some((load) => load.centre === undefined && load.fromPivot === undefined))
    return [
      cannotJudge(
        "head load",
        "the moment on the neck",
        "Give the centre of mass of everything on the head.",
      ),
      massFinding(moment),
      ...bases,
    ];
  return [
    ...momentFindings(moment),
    massFinding(moment),
    balanceFinding(moment),
    ...bandFindings(head),
    ...bases,
  ];
}

function momentFindings(moment: HeadMoment): Finding[] {
  const { noteNcm, cautionNcm, stopNcm, pitchDeg } = HEAD_LIMITS;
  const upright = Math.abs(moment.forwardNcm);
  const level = upright >= stopNcm ? "stop" : upright >= cautionNcm ? "caution" : "note";
  const limit = level === "stop" ? stopNcm : level === "caution" ? cautionNcm : noteNcm;
  const findings: Finding[] = [
    {
      subject: "head load",
      level,
      what: `Held upright, what the head bears tips it ${moment.forwardNcm < 0 ? "back" : "forward"} with ${tenth(upright)} N cm${upright < noteNcm ? ": under the lowest level" : ""}.`,
      figure: tenth(upright),
      limit,
      unit: "N cm",
      source: MADISON,
      ...enough(moment.massG, upright, limit),
    },
  ];
  const nodding = Math.abs(moment.noddingNcm);
  if (nodding >= noteNcm && nodding > upright) {
    const reached = nodding >= stopNcm ? stopNcm : nodding >= cautionNcm ? cautionNcm : noteNcm;
    findings.push({
      subject: "head load",
      // The published figure is for a level head: a passing nod is never more than a caution.
      level: nodding >= cautionNcm ? "caution" : "note",
      what: `Nodding or looking up by ${pitchDeg}°, its height adds to that: ${tenth(nodding)} N cm.`,
      figure: tenth(nodding),
      limit: reached,
      unit: "N cm",
      source: `${MADISON}; for a bent head: judgement`,
      ...enough(moment.massG, nodding, reached),
    });
  }
  return findings;
}

/** How much less mass or lever brings a moment under a limit. */
function enough(massG: number, size: number, limit: number): { fix?: string } {
  if (size < limit || massG === 0) return {};
  const lever = (size * 1e4) / (STANDARD_GRAVITY * massG);
  const change = (to: number): string => {
    const share = 1 - (to / size) * 0.999;
    return `lighter by ${Math.ceil(massG * share)} g at the same place, or its centre ${Math.ceil(lever * share)} mm nearer the neck joint`;
  };
  // Out of a stop the way leads past the caution too: both are told.
  const lowest = HEAD_LIMITS.cautionNcm;
  const further = limit > lowest ? `; to come under ${lowest} N cm: ${change(lowest)}` : "";
  return {
    fix: `Enough to come under ${limit} N cm: ${change(limit)}${further}. Neck pain, headache or tingling: take it off.`,
  };
}

function massFinding({ massG }: HeadMoment): Finding {
  const over = massG > HEAD_LIMITS.massG;
  return {
    subject: "head load",
    level: over ? "caution" : "note",
    what: over ? "Heavy on the head over a long day." : "Light enough on the head for a long day.",
    figure: Math.round(massG),
    limit: HEAD_LIMITS.massG,
    unit: "g",
    source: "judgement; discomfort grew from the second hour in a review of helmet trials (D. J. White)",
    ...(over ? { fix: `Lighter by ${roundUp(massG - HEAD_LIMITS.massG)} g, or breaks without it.` } : {}),
  };
}

function balanceFinding({ sideNcm, massG }: HeadMoment): Finding {
  const size = Math.abs(sideNcm);
  const limit = HEAD_LIMITS.noteNcm / 3;
  const off = massG > 0 ? (size * 1e4) / (STANDARD_GRAVITY * massG) : 0;
  const over = size > limit;
  return {
    subject: "balance",
    level: size >= HEAD_LIMITS.noteNcm ? "caution" : "note",
    what: over ? "The head is pulled to one side." : "Left and right of the head balance within the limit.",
    figure: tenth(size),
    limit,
    unit: "N cm",
    source: "judgement: a third of the forward level, as no sideways limit was found",
    ...(over
      ? {
          fix: `Shift the load by ${roundUp(off - (limit * 1e4) / (STANDARD_GRAVITY * massG))} mm toward the middle, or make both sides from one pattern and weigh them.`,
        }
      : {}),
  };
}

function bandFindings(head: HeadCase): Finding[] {
  if (head.band === "none") return [];
  if (!head.band)
    return [cannotJudge("band", "whether the band stays put", "Give the band's girth and width.")];
  const band = needObject(head.band, "head.band");
  const girth = needNumber(band.girthMm, "head.band.girthMm", 300, 900);
  const width = needNumber(band.widthMm, "head.band.widthMm", 1, 200);
  const friction = needNumber(band.friction ?? HEAD_LIMITS.friction, "head.band.friction", 0.02, 2);
  // Turning of the loads about the left-right axis through the middle of the band, held by friction all round.
  const pivot = head.pivot ?? PIVOT;
  const onBand = head.loads.map((load) => ({
    ...load,
    fromPivot: load.fromPivot
      ? (load.fromPivot.map((value, k) => value + pivot[k]!) as [number, number, number])
      : load.centre!,
  }));
  const signed = headMoment(onBand).noddingNcm;
  const turning = Math.abs(signed);
  const radius = girth / (2 * Math.PI);
  const grip = (turning * 10) / (friction * radius);
  const pressure = (1000 * grip) / (girth * width);
  const { pressureKPa, clampN, bandMm } = HEAD_LIMITS;
  const enough = Math.ceil((1000 * grip) / (girth * pressureKPa));
  const over = pressure > pressureKPa;
  const findings: Finding[] = [
    {
      subject: "band",
      level: over && !band.strap ? "caution" : "note",
      what: over
        ? `Held by friction alone, the band slides ${signed < 0 ? "back when the wearer looks up" : "forward when the head nods"}: it would have to press with ${tenth(pressure)} kPa${band.strap ? "; the strap takes it" : ""}.`
        : `To stay put by friction when nodding, the band has to press with ${tenth(pressure)} kPa (${tenth(grip)} N in all).`,
      figure: tenth(pressure),
      limit: pressureKPa,
      unit: "kPa",
      source: `friction ${friction} and limit: judgement; statics derived here. A limit of 4 kPa is not borne out by comfort data (Berger & Mitchell 1989)`,
      ...(over
        ? {
            fix: `A band ${Math.max(1, Math.ceil(enough - width))} mm wider (${enough} mm), a chin strap, a cap, or ${Math.ceil(100 * (1 - pressureKPa / pressure))} % less mass.`,
          }
        : {}),
    },
  ];
  const narrow = width < bandMm;
  findings.push({
    subject: "band",
    level: narrow ? "caution" : "note",
    what: narrow ? "A narrow band cuts in." : "The band is wide enough not to cut in.",
    figure: width,
    limit: bandMm,
    unit: "mm",
    source: "judgement",
    ...(narrow ? { fix: `Make it ${roundUp(bandMm - width)} mm wider.` } : {}),
  });
  if (band.clampN !== undefined) {
    const clamp = needNumber(band.clampN, "head.band.clampN", 0, 200);
    findings.push({
      subject: "band",
      level: clamp > clampN ? "caution" : "note",
      what:
        clamp > clampN
          ? "The band squeezes harder than ear muffs gain from."
          : "The clamp is within what ear muffs use.",
      figure: clamp,
      limit: clampN,
      unit: "N",
      source: "Williams, Seeto & Dillon 2012, Noise Control Eng. J. 60:29",
      ...(clamp > clampN
        ? { fix: `Open it by bending until it squeezes ${roundUp(clamp - clampN)} N less.` }
        : {}),
    });
  }
  return findings;
}

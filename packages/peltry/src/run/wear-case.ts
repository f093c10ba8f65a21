import type { MadeHalfMask, MadeHeadband, MadeHood } from "@peltry/forms";
import type { CompletedBody } from "@peltry/measure";
import { checkWear, type Finding, type HeadCase, type WearCase } from "@peltry/wear";
import type { ReadProject } from "../project/read-project";
import { asMm } from "./lay-out-panels";
import { located } from "./located";
import { girthOf } from "./girth-of";
import type { MadePart } from "./made-part";

export interface WearInput {
  readonly read: ReadProject;
  readonly body?: CompletedBody;
  readonly parts: readonly MadePart[];
}

/** Eyes under the top of the head, mm, the lowest angle that bare eyes see and the whole width. From memory. */
const EYE_UNDER_TOP_MM = 115;
const BARE_LOWEST_DEG = 75;
const BARE_WIDTH_DEG = 200;
/** What a shoe adds to the foot's length, mm: as boot covers take it. Judgement. */
const SHOE_MM = 24;

/** Checks the whole costume: what the parts tell by themselves, and what the project says under wearing. */
export function checkCostume(input: WearInput): Finding[] {
  return located(input.read, ["wearing"], () => checkWear(wearCase(input)));
}

/** The case that the checks judge. */
export function wearCase(input: WearInput): WearCase {
  const { read, parts, body } = input;
  const day = read.project.wearing ?? {};
  const age = read.project.wearer?.age;
  const stature = body?.measures.stature?.value;
  const heel = heelMm(input);
  return {
    head: headCase(parts),
    heat: {
      ...pick(day, ["airC", "globeC", "wetBulbC", "wbgtC", "humidityPercent", "sun", "activity"]),
      ...(day.usedToHeat === undefined ? {} : { acclimatised: day.usedToHeat }),
      cover: day.cover ?? coverOf(parts),
    },
    ...(stature === undefined
      ? {}
      : {
          sight: {
            eyeHeightMm: stature - EYE_UNDER_TOP_MM + (heel ?? 0),
            ...sightOf(parts),
            ...(day.lowestSeenDeg === undefined ? {} : { lowestDeg: day.lowestSeenDeg }),
            ...(day.widthSeenDeg === undefined ? {} : { widthDeg: day.widthSeenDeg }),
          },
        }),
    footing: footingCase(input, heel),
    ...movementCase(input),
    ...(day.pressing
      ? {
          pressure: day.pressing.map((band) => ({
            name: band.name,
            tension: band.tensionNPerCm,
            girth: asMm(band.girthMm),
            ...(band.widthMm === undefined ? {} : { bandWidth: asMm(band.widthMm) }),
            ...(band.overJoint === undefined ? {} : { overJoint: band.overJoint }),
          })),
        }
      : {}),
    ...(age === undefined
      ? {}
      : {
          children: {
            age,
            ...pick(day, ["stage", "smallParts"]),
            ...(day.cords
              ? {
                  cords: day.cords.map(({ freeEndMm, loopMm, ...cord }) => ({
                    ...cord,
                    freeEndMm: asMm(freeEndMm),
                    ...(loopMm === undefined ? {} : { loopMm: asMm(loopMm) }),
                  })),
                }
              : {}),
          },
        }),
    flame: { ...day.flame, fibres: fibresOf(parts) },
    ...(day.dressing
      ? {
          dressing: {
            ...pick(day.dressing, ["helper", "onMinutes", "offMinutes", "closuresAtBack"]),
            ...(day.dressing.outSeconds === undefined ? {} : { escapeSeconds: day.dressing.outSeconds }),
          },
        }
      : {}),
    ...(day.toilet ? { toilet: pick(day.toilet, ["minutes", "alone"]) as { minutes: number } } : {}),
  };
}

/** What the windows of a mask let see; of several, the least. Bare eyes without one. */
function sightOf(parts: readonly MadePart[]): { lowestDeg: number; widthDeg?: number } {
  const masks = parts
    .filter(({ part }) => part.kind === "half-mask")
    .map(({ built }) => built as MadeHalfMask);
  if (masks.length === 0) {
    // A hood may stand in the way at the sides: how far, nobody told.
    const isHooded = parts.some(({ part }) => part.kind === "hood");
    return { lowestDeg: BARE_LOWEST_DEG, ...(isHooded ? {} : { widthDeg: BARE_WIDTH_DEG }) };
  }
  return {
    lowestDeg: Math.min(...masks.map((mask) => mask.lowestSeenDeg)),
    widthDeg: Math.min(...masks.map((mask) => mask.widthSeenDeg)),
  };
}

/** The given keys of an object, as far as it has them. */
function pick<T extends object, K extends keyof T>(from: T, keys: readonly K[]): Partial<Pick<T, K>> {
  return Object.fromEntries(
    keys.flatMap((key) => (from[key] === undefined ? [] : [[key, from[key]]])),
  ) as Partial<Pick<T, K>>;
}

function headCase(parts: readonly MadePart[]): HeadCase | "none" {
  const bands = parts.filter(({ part }) => part.kind === "headband");
  const covers = parts.filter(({ part }) => part.kind === "hood" || part.kind === "half-mask");
  if (bands.length + covers.length === 0) return "none";
  const loads = [
    ...bands.map(({ part: { name }, built }) => ({ name, ...(built as MadeHeadband).load })),
    ...covers.map(({ part: { name }, built }) => ({
      name,
      massG: built!.massG,
      centre: (built as MadeHood | MadeHalfMask).centreOnHead,
    })),
  ];
  const [first] = bands;
  if (!first) return { loads, band: "none" };
  const made = first.built as MadeHeadband;
  const part = first.part as Extract<MadePart["part"], { kind: "headband" }>;
  return {
    loads,
    bases: made.bases,
    band: { girthMm: made.girth, widthMm: made.width, ...pick(part, ["friction", "strap"]) },
  };
}

/** Fibres of all cloth that is worn, as the catalogue has them. */
function fibresOf(parts: readonly MadePart[]): string[] {
  const found = parts.flatMap(({ worn }) =>
    worn.flatMap(({ cloth }) => (cloth?.entry.fibres ?? []).map(({ fibre }) => fibre)),
  );
  return [...new Set(found)].sort();
}

function coverOf(parts: readonly MadePart[]): "cloth" | "legs" {
  return parts.some(({ part }) => part.kind === "leg" || part.kind === "scan") ? "legs" : "cloth";
}

function heelMm({ read, parts }: WearInput): number | undefined {
  const told = read.project.wearing?.shoes?.heelMm;
  if (told !== undefined) return asMm(told);
  for (const { part } of parts)
    if (part.kind === "boot-cover" && part.heelMm !== undefined) return asMm(part.heelMm);
  return undefined;
}

function footingCase({ read, parts, body }: WearInput, heel: number | undefined): WearCase["footing"] {
  const day = read.project.wearing;
  const boot = parts.find(({ part }) => part.kind === "boot-cover");
  if (!boot && !day?.shoes) return "none";
  const shoes = day?.shoes ?? {};
  const ownSole = boot?.part.kind === "boot-cover" && boot.part.fabrics["sole"] !== undefined;
  const foot = body?.measures.footLength?.value;
  const shoe =
    shoes.lengthMm === undefined ? (foot === undefined ? undefined : foot + SHOE_MM) : asMm(shoes.lengthMm);
  const cover = boot && extent(boot, 2);
  const whole = cover ?? shoe;
  return {
    ...(heel === undefined ? {} : { heelHeightMm: heel }),
    ...(shoes.heelBaseMm === undefined ? {} : { heelWidthMm: asMm(shoes.heelBaseMm) }),
    ...pick(shoes, ["tread", "softSole", "friction"]),
    // A sole sewn under the shoe takes its grip away, unless its own is told.
    ...(ownSole && shoes.tread === undefined && shoes.friction === undefined ? { coversOutsole: true } : {}),
    ...(whole === undefined ? {} : { footLengthMm: Math.round(whole) }),
    ...(cover === undefined || shoe === undefined
      ? {}
      : { overhangMm: Math.max(0, Math.round(cover - shoe)) }),
    ...(day?.stairTreadMm === undefined ? {} : { treadMm: asMm(day.stairTreadMm) }),
  };
}

function extent({ worn }: MadePart, axis: 0 | 1 | 2): number {
  let [low, high] = [Infinity, -Infinity];
  for (const { mesh } of worn)
    for (let i = axis; i < mesh.positions.length; i += 3) {
      low = Math.min(low, mesh.positions[i]);
      high = Math.max(high, mesh.positions[i]);
    }
  return high - low;
}

function movementCase({ read, parts, body }: WearInput): Pick<WearCase, "movement"> {
  const leg = parts.find(({ part }) => part.kind === "leg");
  if (!leg) return parts.some(({ part }) => part.kind === "scan") ? {} : { movement: "none" };
  const { hip, hipBreadth, kneeHeight } = body?.measures ?? {};
  const day = read.project.wearing;
  const isHigh = leg.part.kind === "leg" && (leg.part.top ?? "upperThigh") !== "upperThigh";
  const cloth = leg.worn.reduce((a, b) => (b.flat.length > a.flat.length ? b : a)).cloth;
  const knee =
    day?.kneeGirthMm === undefined ? kneeHeight && girthOf(leg, kneeHeight.value) : asMm(day.kneeGirthMm);
  if (!hip || !hipBreadth || !knee || !cloth) return {};
  const ease = day?.ease;
  return {
    movement: {
      kneeGirth: knee,
      hip: hip.value,
      hipBreadth: hipBreadth.value,
      // A leg that ends below the seat leaves seat and back rise alone.
      ...(isHigh ? {} : { covers: ["knee front"] as const }),
      stretch: { along: cloth.behaviour.along.max, across: cloth.behaviour.across.max },
      ease: {
        ...(ease?.kneeMm === undefined ? {} : { kneeFront: asMm(ease.kneeMm) }),
        ...(ease?.seatMm === undefined ? {} : { seat: asMm(ease.seatMm) }),
        ...(ease?.backRiseMm === undefined ? {} : { backRise: asMm(ease.backRiseMm) }),
      },
    },
  };
}

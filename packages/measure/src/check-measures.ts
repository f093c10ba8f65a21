import type { Issue } from "@peltry/issues";
import { MEASURES, type MeasureKey } from "./keys";
import { observe } from "./internal/gaussian";
import { lookFor } from "./internal/looks";
import type { Scale, Sex } from "./internal/models";
import { posterior } from "./internal/posterior";
import type { TakenMeasure } from "./known-measures";
import { isOutside, surveyRange } from "./survey-range";

/** The first is never smaller than the second on a standing body. */
const NEVER_SMALLER: readonly (readonly [MeasureKey, MeasureKey])[] = [
  ["hip", "upperThigh"],
  ["upperThigh", "midThigh"],
  ["midThigh", "lowerThigh"],
  ["upperThigh", "lowerThigh"],
  ["upperThigh", "knee"],
  ["upperThigh", "calf"],
  ["calf", "ankleNarrow"],
  ["knee", "ankleNarrow"],
  ["lowerThigh", "ankleNarrow"],
  ["heelAnkle", "ankleNarrow"],
  ["ankleBones", "ankleNarrow"],
  ["calf", "lowerKnee"],
  ["footLength", "footBreadth"],
  ["chest", "neckGirth"],
  ["headGirth", "neckGirth"],
  ["headLength", "headBreadth"],
  ["upperArm", "wrist"],
  ["handGirth", "wrist"],
  ["stature", "waistNaturalHeight"],
  ["stature", "waistNavelHeight"],
  ["waistNaturalHeight", "hipHeight"],
  ["waistNavelHeight", "insideLeg"],
  ["waistNaturalHeight", "insideLeg"],
  ["trochanterHeight", "kneeHeight"],
  ["hipHeight", "glutealFoldHeight"],
  ["insideLeg", "kneeHeight"],
  ["glutealFoldHeight", "kneeHeight"],
  ["kneeHeight", "calfHeight"],
  ["calfHeight", "ankleBoneHeight"],
  ["crotchLengthNatural", "backCrotchLengthNatural"],
  ["crotchLengthNavel", "backCrotchLengthNavel"],
  ["trunkGirth", "crotchLengthNavel"],
];

/** Standard errors away from what the other measures let expect before a reading is doubted: a judgement. */
const DOUBT = 4;

/** Readings of one measure that differ more than two careful readings do. */
export function spreadReadings(taken: readonly TakenMeasure[]): Issue[] {
  return taken
    .filter((each) => each.spread > MEASURES[each.key].observerError)
    .map((each) => ({
      code: "measure/readings-differ",
      severity: "warning" as const,
      message: `Readings of ${MEASURES[each.key].name.toLowerCase()} differ by ${round(each.spread)} ${unit(each.key)}.`,
      at: { path: [each.key] },
      found: round(each.spread),
      limit: MEASURES[each.key].observerError,
      fix: `Take it again: ${MEASURES[each.key].how}.`,
      source: "observer error, from memory after Gordon et al. 1989",
    }));
}

/** Values outside the middle 98 of 100 people surveyed. */
export function outsideSurvey(taken: readonly TakenMeasure[], sex?: Sex): Issue[] {
  return taken
    .filter((each) => isOutside(each, sex))
    .map((each) => {
      const { low, high, source } = surveyRange(each.key, sex)!;
      return {
        code: "measure/outside-survey",
        severity: "warning" as const,
        message: `${MEASURES[each.key].name} of ${round(each.value)} ${unit(each.key)} is outside the middle 98 of 100 people surveyed: estimates are less sure.`,
        at: { path: [each.key] },
        found: round(each.value),
        limit: `${low} to ${high}`,
        fix: "Take more of the measures yourself.",
        source,
      };
    });
}

/** Measures that cannot both be right, and the one of them to take again. */
export function contradictions(
  taken: readonly TakenMeasure[],
  sex: Sex | undefined,
  scale: Scale,
): { issues: Issue[]; retake: MeasureKey[] } {
  const issues: Issue[] = [];
  const retake: MeasureKey[] = [];
  const byKey = new Map(taken.map((each) => [each.key, each]));
  const doubt = (key: MeasureKey, without: MeasureKey): number =>
    misfit(
      byKey.get(key)!,
      taken.filter((each) => each.key !== without),
      sex,
      scale,
    );

  for (const [big, small] of NEVER_SMALLER) {
    const a = byKey.get(big);
    const b = byKey.get(small);
    if (!a || !b || a.value >= b.value) continue;
    const suspect = doubt(big, small) >= doubt(small, big) ? big : small;
    if (!retake.includes(suspect)) retake.push(suspect);
    issues.push({
      code: MEASURES[big].kind === "height" ? "measure/heights-cross" : "measure/contradiction",
      severity: "warning",
      message: `${MEASURES[small].name} (${round(b.value)} mm) is more than ${MEASURES[big].name.toLowerCase()} (${round(a.value)} mm).`,
      at: { path: [suspect] },
      found: round(b.value),
      limit: round(a.value),
      fix: `Take ${MEASURES[suspect].name.toLowerCase()} again: ${MEASURES[suspect].how}.`,
    });
  }
  // Drop the least likely reading until the rest agree, so that one slip does not accuse its neighbours.
  let rest = taken.filter((each) => !retake.includes(each.key));
  while (rest.length > 1) {
    const scores = rest.map((each) => misfit(each, rest, sex, scale));
    const worst = scores.reduce((best, score, i) => (score > scores[best] ? i : best), 0);
    if (scores[worst] <= DOUBT) break;
    const { key, value } = rest[worst];
    retake.push(key);
    issues.push({
      code: "measure/unlikely",
      severity: "warning",
      message: `${MEASURES[key].name} of ${round(value)} ${unit(key)} does not go with the other measures.`,
      at: { path: [key] },
      found: round(scores[worst]),
      limit: DOUBT,
      fix: `Take it again: ${MEASURES[key].how}.`,
      source: "standard errors from the survey regressions (Gordon et al. 2014, 1989); limit a judgement",
    });
    rest = rest.filter((_, i) => i !== worst);
  }
  return { issues, retake };
}

/** Standard errors between a reading and what the others let expect. */
function misfit(one: TakenMeasure, all: readonly TakenMeasure[], sex: Sex | undefined, scale: Scale): number {
  const others = all.filter((each) => each.key !== one.key);
  const model = posterior("joined", others, sex, scale);
  const look = lookFor(model.model, one.key);
  if (!look) return 0;
  const { predicted, variance } = observe(model, look);
  return Math.abs(one.value - predicted) / Math.sqrt(variance + MEASURES[one.key].observerError ** 2);
}

function unit(key: MeasureKey): string {
  return MEASURES[key].kind === "mass" ? "kg" : "mm";
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}

import { SURVEY_1988 } from "./data/survey-1988";
import { SURVEY_2012 } from "./data/survey-2012";
import { readSex } from "./check-sex";
import type { MeasureKey } from "./keys";
import type { Sex } from "./internal/models";

/** 1st to 99th percentile of a measure, mm or kg. */
export interface SurveyRange {
  readonly low: number;
  readonly high: number;
  readonly source: string;
}

/**
 * The middle 98 of 100 people surveyed; without a sex, the wider of both. Undefined for a measure that no survey holds.
 *
 * @throws measure/bad-sex
 * @source Gordon et al. 2014, NATICK/TR-15/007; 1989, NATICK/TR-89/044
 */
export function surveyRange(key: MeasureKey, sex?: Sex): SurveyRange | undefined {
  const one = readSex(sex);
  for (const survey of [SURVEY_2012, SURVEY_1988]) {
    const i = (survey.variables as readonly MeasureKey[]).indexOf(key);
    if (i < 0) continue;
    const sexes = one ? [survey[one]] : [survey.male, survey.female];
    return {
      low: Math.min(...sexes.map((each) => each.p1[i])),
      high: Math.max(...sexes.map((each) => each.p99[i])),
      source:
        survey === SURVEY_2012
          ? "Gordon et al. 2014, NATICK/TR-15/007"
          : "Gordon et al. 1989, NATICK/TR-89/044",
    };
  }
  return undefined;
}

/** Whether a value lies outside the middle 98 of 100. */
export function isOutside(known: { readonly key: MeasureKey; readonly value: number }, sex?: Sex): boolean {
  const range = surveyRange(known.key, sex);
  return range !== undefined && (known.value < range.low || known.value > range.high);
}

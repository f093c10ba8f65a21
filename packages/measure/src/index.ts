export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export {
  MEASURE_KEYS,
  MEASURES,
  measureKey,
  UNCLEAR_NAMES,
  type BaseKey,
  type MeasureDefinition,
  type MeasureKey,
} from "./keys";
export { parseLength, parseMass } from "./parse-length";
export { readMeasures, type KnownMeasures, type Reading, type TakenMeasure } from "./known-measures";
export {
  completeMeasures,
  type CompletedBody,
  type CompletedMeasures,
  type CompleteMeasuresOptions,
  type Measure,
} from "./complete-measures";
export { LEG_TARGETS, type NextMeasure } from "./next-measure";
export { surveyRange, type SurveyRange } from "./survey-range";

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
export {
  negativeEase,
  readStretchTest,
  reductionFromStrain,
  strainFromReduction,
  stretchClass,
  stretchedGirth,
  wornStrain,
  type NegativeEase,
  type StretchClass,
  type StretchTest,
} from "./stretch";
export {
  allowedWaistPressure,
  bandagePressure,
  checkPressure,
  PRESSURE_LEVELS,
  PRESSURE_LIMITS,
  pressureFromMmHg,
  tensionForPressure,
  tubePressure,
  type Pressure,
  type PressureCheck,
} from "./pressure";
export {
  checkOpening,
  foamStripLength,
  paddedGirth,
  paddingThickness,
  SITTING_HIP_GROWTH,
  sittingHipGirth,
  WEARING_EASE,
  wearingEase,
  type EaseRegion,
  type Opening,
  type OpeningCheck,
  type WearingEase,
} from "./ease";
export {
  backRiseExtra,
  checkMovement,
  hemGirthForStep,
  jointFrontExtra,
  POSES,
  type MovementCase,
  type MovementNeed,
  type Pose,
} from "./movement";
export { ellipseGirth, superellipseExponent, superellipseGirth } from "./section-girth";
export type { Scale, Sex } from "./internal/models";

import { fail, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import { shown } from "./check-number";
import { readSex } from "./check-sex";
import { MEASURE_KEYS, MEASURES, type MeasureKey } from "./keys";
import { observe } from "./internal/gaussian";
import { isDerived, lookFor } from "./internal/looks";
import type { Scale, Sex } from "./internal/models";
import { isInNewerSurvey, posterior, type KnownValue } from "./internal/posterior";
import { readMeasures, type KnownMeasures, type TakenMeasure } from "./known-measures";
import { contradictions, outsideSurvey, spreadReadings } from "./check-measures";
import { nextMeasure, type NextMeasure } from "./next-measure";
import { isOutside } from "./survey-range";

/** One measure of the body. */
export interface Measure {
  /** mm; kg for the body mass. */
  readonly value: number;
  /** One standard error, same unit. */
  readonly standardError: number;
  readonly origin: "taken" | "estimated";
  /**
   * Range to plan with. Estimates: 1.5 standard errors each way, since definitions and the difference between a survey
   * and the person at hand cost as much again as the regression.
   */
  readonly range: readonly [number, number];
}

/** Measures that no survey holds are there only when taken. */
export type CompletedMeasures = Readonly<
  Record<Exclude<MeasureKey, "lowerKnee" | "ankleBones">, Measure> &
    Partial<Record<"lowerKnee" | "ankleBones", Measure>>
>;

/** Sex and age of the wearer, and which measures matter most. */
export interface CompleteMeasuresOptions extends WorkOptions {
  /** Left out: both surveys count, weighed by how well each explains what is known. */
  readonly sex?: Sex | undefined;
  /** Years. Under 17 the survey has nothing to say and the call is refused. */
  readonly age?: number | undefined;
  /** Measures that matter for the job; decides which measure is suggested next. */
  readonly targets?: readonly MeasureKey[] | undefined;
}

/** All measures with their errors, what contradicts, what to take again and what to take next. */
export interface CompletedBody {
  readonly measures: CompletedMeasures;
  /** Readings to repeat, contradictions, values outside the survey. */
  readonly issues: readonly Issue[];
  /** Measures to take again, most suspect first. */
  readonly retake: readonly MeasureKey[];
  /** The one further measure that would help most; undefined when all are taken. */
  readonly next?: NextMeasure;
  /** Share of the men's survey in the estimates, 0 to 1. */
  readonly maleShare: number;
  /** `log`: outside the surveyed range, where a power law goes wrong less than a straight line. */
  readonly scale: Scale;
}

/** Survey minimum. */
const MIN_AGE = 17;

/** A difference of two readings with error σ each has a mean of 2σ/√π: half that root turns it back. Derived here. */
const ERROR_OF_READING = Math.sqrt(Math.PI) / 2;

/**
 * Every measure from those that were taken: value, standard error and origin.
 *
 * @param known taken measures by key (see {@link MEASURES}), mm and kg, text with unit, or several readings; may be empty
 * @param options sex, age, targets
 * @returns measures, remarks, and the measure worth taking next
 * @throws measure/under-17 for anyone younger than the survey
 * @throws measure/bad-age, measure/bad-sex, measure/bad-targets for an option that is none
 * @throws measure/unknown-key, measure/unclear-key, measure/implausible and others of {@link readMeasures}
 * @remarks Conditional mean and deviation of a multivariate normal: the 2012 survey, and for what only the 1988 survey
 * holds (knee and belt-waist girths, heights of calf and seat fold, bare head) that one alone. Under a millisecond once
 * the models are built. Estimates are those of soldiers: adults in training, few large bodies.
 * @source Gordon et al. 2014, NATICK/TR-15/007; Gordon et al. 1989, NATICK/TR-89/044
 */
export function completeMeasures(known: KnownMeasures, options: CompleteMeasuresOptions = {}): CompletedBody {
  throwIfCancelled(options.signal);
  checkAge(options.age ?? (known as { age?: unknown } | null)?.age);
  const sex = readSex(options.sex);
  const taken = readMeasures(known);
  const scale: Scale = taken.some(
    (each) => (each.key === "stature" || each.key === "weightKg") && isOutside(each, sex),
  )
    ? "log"
    : "linear";
  const joined = posterior("joined", taken, sex, scale);
  const then = posterior("then", taken, sex, scale);

  const byKey = new Map(taken.map((each) => [each.key, each]));
  const measures: Partial<Record<MeasureKey, Measure>> = {};
  for (const key of MEASURE_KEYS) {
    const mine = byKey.get(key);
    if (mine) {
      measures[key] = takenMeasure(mine);
      continue;
    }
    const older = !isInNewerSurvey(key) && !isFromNewer(key);
    const from = older ? then : joined;
    const look = lookFor(from.model, key);
    if (!look) continue;
    const { predicted, variance } = observe(from, look);
    const standardError = Math.sqrt(variance);
    measures[key] = {
      value: predicted,
      standardError,
      origin: "estimated",
      range: [predicted - 1.5 * standardError, predicted + 1.5 * standardError],
    };
  }
  const { issues: clashes, retake } = contradictions(taken, sex, scale);
  const next = nextMeasure(joined, byKey, readTargets(options.targets));
  return {
    measures: measures as CompletedMeasures,
    issues: [...spreadReadings(taken), ...clashes, ...outsideSurvey(taken, sex)],
    retake: [...new Set([...retake, ...taken.filter(isSpread).map((each) => each.key)])],
    ...(next ? { next } : {}),
    maleShare: joined.maleShare,
    scale,
  };
}

/** Put together from measures of the newer survey alone. */
function isFromNewer(key: MeasureKey): boolean {
  return isDerived(key) && key !== "bodyRiseNatural" && key !== "waistMid";
}

function takenMeasure(taken: TakenMeasure): Measure {
  const standardError =
    (ERROR_OF_READING * MEASURES[taken.key].observerError) / Math.sqrt(taken.readings.length);
  return {
    value: taken.value,
    standardError,
    origin: "taken",
    range: [taken.value - standardError, taken.value + standardError],
  };
}

/** Whether two readings of one measure differ by more than two careful readings do. */
export function isSpread(taken: TakenMeasure): boolean {
  return taken.spread > MEASURES[taken.key].observerError;
}

function checkAge(age: unknown): void {
  if (age === undefined) return;
  if (typeof age !== "number" || !Number.isFinite(age) || age < 0) {
    fail(
      "measure/bad-age",
      "The age is not a number of years.",
      { path: ["age"] },
      { found: shown(age), fix: "Give years, or leave it out." },
    );
  }
  if (age < MIN_AGE) {
    fail(
      "measure/under-17",
      `The survey holds nobody under ${MIN_AGE}: nothing can be estimated for a child of ${age}.`,
      { path: ["age"] },
      {
        found: age,
        limit: MIN_AGE,
        fix: "Take every measure on the child instead.",
        source: "Gordon et al. 2014, NATICK/TR-15/007 (minimum age)",
      },
    );
  }
}

function readTargets(targets: unknown): readonly MeasureKey[] | undefined {
  if (targets === undefined || targets === null) return undefined;
  if (Array.isArray(targets) && targets.every((key) => MEASURE_KEYS.includes(key as MeasureKey)))
    return targets as readonly MeasureKey[];
  fail(
    "measure/bad-targets",
    "The targets are no list of measures.",
    { path: ["targets"] },
    { found: shown(targets), fix: "Give keys of MEASURES, such as calf and knee." },
  );
}

export type { KnownValue };

import { SURVEY_1988 } from "../data/survey-1988";
import { SURVEY_2012 } from "../data/survey-2012";
import type { MeasureKey } from "../keys";
import { condition, type Conditioned, type Gaussian, type LinearLook } from "./gaussian";
import { isDerived, lookFor } from "./looks";
import { joinedModel, surveyModel, type BodyModel, type Scale, type Sex } from "./models";

/** `joined`: the 2012 survey with the measures added that only the 1988 one holds; `then`: the 1988 one alone. */
export type ModelName = "joined" | "then";

export interface KnownValue {
  readonly key: MeasureKey;
  /** mm, or kg for the body mass. */
  readonly value: number;
}

/** Bodies that fit the known values: in mm and kg whatever the scale of the model. */
export interface Posterior extends Gaussian {
  readonly model: BodyModel;
  /** Share of the male model in the mix; 1 or 0 where the sex was given. */
  readonly maleShare: number;
}

const SEXES: readonly Sex[] = ["male", "female"];
const cache = new Map<string, BodyModel>();

/** Models are plain functions of the survey tables: building one again gives the same numbers. */
export function bodyModel(name: ModelName, sex: Sex, scale: Scale): BodyModel {
  const id = `${name} ${sex} ${scale}`;
  let model = cache.get(id);
  if (!model) {
    model = name === "then" ? surveyModel(SURVEY_1988, sex, scale) : joinedModel(sex, scale);
    cache.set(id, model);
  }
  return model;
}

/** Whether a measure is a column of the newer survey. */
export function isInNewerSurvey(key: MeasureKey): boolean {
  return (SURVEY_2012.variables as readonly MeasureKey[]).includes(key);
}

/**
 * What the known values let expect. Without a sex, both models are mixed by how well each explains the known values,
 * starting from even odds.
 */
export function posterior(
  name: ModelName,
  known: readonly KnownValue[],
  sex: Sex | undefined,
  scale: Scale,
): Posterior {
  if (sex !== undefined) {
    const model = bodyModel(name, sex, scale);
    const { mean, covariance } = conditioned(model, known, scale);
    return { model, mean, covariance, maleShare: sex === "male" ? 1 : 0 };
  }
  const parts = SEXES.map((each) => conditioned(bodyModel(name, each, scale), known, scale));
  const maleShare = 1 / (1 + Math.exp(Math.min(700, parts[1].logDensity - parts[0].logDensity)));
  return { model: bodyModel(name, "male", scale), ...mix(parts[0], parts[1], maleShare), maleShare };
}

function conditioned(model: BodyModel, known: readonly KnownValue[], scale: Scale): Conditioned {
  const simple: { look: LinearLook; value: number }[] = [];
  const derived: { look: LinearLook; value: number }[] = [];
  for (const { key, value } of known) {
    const look = lookFor(model, key);
    if (!look) continue;
    if (isDerived(key)) derived.push({ look, value });
    else simple.push({ look, value: scale === "log" ? Math.log(value) : value });
  }
  const first = condition(model, simple);
  const plain = scale === "log" ? fromLogs(first) : first;
  const second = condition(plain, derived);
  return { ...second, logDensity: first.logDensity + second.logDensity };
}

/** Medians and first-order covariance in mm of a model in logs. */
function fromLogs(model: Gaussian): Gaussian {
  const n = model.mean.length;
  const mean = model.mean.map((x) => Math.exp(x));
  const covariance = model.covariance.map((c, k) => c * mean[Math.floor(k / n)] * mean[k % n]);
  return { mean, covariance };
}

function mix(a: Gaussian, b: Gaussian, share: number): Gaussian {
  const n = a.mean.length;
  const mean = a.mean.map((x, i) => share * x + (1 - share) * b.mean[i]);
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const k = i * n + j;
      const between = share * (1 - share) * (a.mean[i] - b.mean[i]) * (a.mean[j] - b.mean[j]);
      covariance[k] = share * a.covariance[k] + (1 - share) * b.covariance[k] + between;
    }
  }
  return { mean, covariance };
}

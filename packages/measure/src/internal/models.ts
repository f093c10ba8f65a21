import { SURVEY_1988 } from "../data/survey-1988";
import { SURVEY_2012 } from "../data/survey-2012";
import type { Survey } from "../data/survey";
import type { BaseKey } from "../keys";
import { condition, type Gaussian, type LinearLook } from "./gaussian";

/** Which of the two surveys to estimate from. */
export type Sex = "male" | "female";
/** Whether a model works in plain numbers or in logarithms. */
export type Scale = "linear" | "log";

/** A normal model over named variables. In the log scale every variable is a natural logarithm. */
export interface BodyModel extends Gaussian {
  readonly variables: readonly BaseKey[];
  readonly index: ReadonlyMap<BaseKey, number>;
}

/** One survey as it stands. */
export function surveyModel(survey: Survey, sex: Sex, scale: Scale): BodyModel {
  const figures = survey[sex];
  const mean = Float64Array.from(scale === "log" ? figures.logMean : figures.mean);
  const sd = scale === "log" ? figures.logSd : figures.sd;
  const correlation = scale === "log" ? figures.logCorrelation : figures.correlation;
  const n = mean.length;
  const covariance = new Float64Array(n * n);
  for (let i = 0, k = 0; i < n; i++) {
    covariance[i * n + i] = sd[i] * sd[i];
    for (let j = 0; j < i; j++, k++) {
      covariance[i * n + j] = covariance[j * n + i] = (correlation[k] / 1e4) * sd[i] * sd[j];
    }
  }
  return { variables: survey.variables, index: indexOf(survey.variables), mean, covariance };
}

function indexOf(variables: readonly BaseKey[]): Map<BaseKey, number> {
  return new Map(variables.map((key, i) => [key, i]));
}

/**
 * The 2012 survey with the measures added that only the 1988 one holds.
 *
 * An added measure is the 1988 regression on all shared measures plus its own scatter. Landmarks moved between the
 * surveys (the crotch by 11 to 13 mm, the kneecap by 10 to 16), so a shared measure enters as its difference from what
 * stature and body mass let expect in each survey: only the scatter is carried over, never the level.
 */
export function joinedModel(sex: Sex, scale: Scale): BodyModel {
  const now = surveyModel(SURVEY_2012, sex, scale);
  const then = surveyModel(SURVEY_1988, sex, scale);
  const shared = then.variables.filter((key) => now.index.has(key));
  const added = then.variables.filter((key) => !now.index.has(key));
  const { slopes, rest } = regress(then, added, shared);

  // What each survey lets expect at the mean body of the newer one.
  const at: BaseKey[] = ["stature", "weightKg"];
  const thenAtMean = condition(
    then,
    at.map((key) => ({ look: lookAt(then, key), value: now.mean[now.index.get(key)!] })),
  ).mean;

  const n = now.variables.length;
  const total = n + added.length;
  const mean = new Float64Array(total);
  mean.set(now.mean);
  const covariance = new Float64Array(total * total);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) covariance[i * total + j] = now.covariance[i * n + j];
  const sharedNow = shared.map((key) => now.index.get(key)!);
  for (let a = 0; a < added.length; a++) {
    mean[n + a] = thenAtMean[then.index.get(added[a])!];
    for (let j = 0; j < n; j++) {
      let sum = 0;
      for (let s = 0; s < shared.length; s++) sum += slopes[a][s] * now.covariance[sharedNow[s] * n + j];
      covariance[(n + a) * total + j] = covariance[j * total + n + a] = sum;
    }
  }
  for (let a = 0; a < added.length; a++) {
    for (let b = 0; b < added.length; b++) {
      let sum = rest[a][b];
      for (let s = 0; s < shared.length; s++)
        sum += slopes[b][s] * covariance[(n + a) * total + sharedNow[s]];
      covariance[(n + a) * total + n + b] = sum;
    }
  }
  const variables = [...now.variables, ...added];
  return { variables, index: indexOf(variables), mean, covariance };
}

/** The plain look at one variable. */
export function lookAt(model: BodyModel, key: BaseKey): LinearLook {
  return { terms: [[model.index.get(key)!, 1]], offset: 0, noise: 0 };
}

/** Slopes of `targets` on `given`, and the covariance that remains. */
function regress(
  model: BodyModel,
  targets: readonly BaseKey[],
  given: readonly BaseKey[],
): { slopes: number[][]; rest: number[][] } {
  const n = model.mean.length;
  const at = (a: BaseKey, b: BaseKey): number =>
    model.covariance[model.index.get(a)! * n + model.index.get(b)!];
  const factor = cholesky(given.map((a) => given.map((b) => at(a, b))));
  const slopes = targets.map((t) =>
    solve(
      factor,
      given.map((g) => at(t, g)),
    ),
  );
  const rest = targets.map((a, i) =>
    targets.map((b) => at(a, b) - slopes[i].reduce((sum, slope, k) => sum + slope * at(given[k], b), 0)),
  );
  return { slopes, rest };
}

function cholesky(matrix: readonly (readonly number[])[]): number[][] {
  const lower: number[][] = [];
  for (let i = 0; i < matrix.length; i++) {
    lower.push(new Array<number>(i + 1).fill(0));
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k++) sum -= lower[i][k] * lower[j][k];
      lower[i][j] = i === j ? Math.sqrt(sum) : sum / lower[j][j];
    }
  }
  return lower;
}

function solve(lower: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = right.length;
  const x = [...right];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i][k] * x[k];
    x[i] /= lower[i][i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= lower[k][i] * x[k];
    x[i] /= lower[i][i];
  }
  return x;
}

/** A multivariate normal: row-major covariance. */
export interface Gaussian {
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
}

/** A linear look at the variables: Σ weight·x + offset, with extra variance of its own. */
export interface LinearLook {
  readonly terms: readonly (readonly [index: number, weight: number])[];
  readonly offset: number;
  readonly noise: number;
}

/** What is left after some looks have been given values. */
export interface Conditioned extends Gaussian {
  /** Log density of the values given, up to a constant shared by all models with as many looks. */
  readonly logDensity: number;
}

/**
 * Conditional mean and covariance after exact looks, one at a time (rank-one updates: for a handful of looks at some
 * forty variables cheaper and steadier than inverting a block).
 */
export function condition(
  prior: Gaussian,
  looks: readonly { readonly look: LinearLook; readonly value: number }[],
): Conditioned {
  const n = prior.mean.length;
  const mean = Float64Array.from(prior.mean);
  const covariance = Float64Array.from(prior.covariance);
  let logDensity = 0;
  const before = new Float64Array(n);
  const gain = new Float64Array(n);
  for (const { look, value } of looks) {
    const { predicted, variance } = observe({ mean, covariance }, look, gain);
    // A look that only repeats earlier ones tells nothing new: under a thousandth of its own scatter.
    if (variance < 1e-6 * observe(prior, look, before).variance) continue;
    const miss = value - predicted;
    logDensity -= 0.5 * (Math.log(variance) + (miss * miss) / variance);
    for (let i = 0; i < n; i++) mean[i] += (gain[i] * miss) / variance;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        covariance[i * n + j] -= (gain[i] * gain[j]) / variance;
        covariance[j * n + i] = covariance[i * n + j];
      }
    }
  }
  return { mean, covariance, logDensity };
}

/** Value that a look is expected to show and its variance; fills `gain` with its covariance to each variable. */
export function observe(
  model: Gaussian,
  look: LinearLook,
  gain = new Float64Array(model.mean.length),
): { predicted: number; variance: number; gain: Float64Array } {
  const n = model.mean.length;
  let predicted = look.offset;
  gain.fill(0);
  for (const [index, weight] of look.terms) {
    predicted += weight * model.mean[index];
    for (let i = 0; i < n; i++) gain[i] += weight * model.covariance[i * n + index];
  }
  let variance = look.noise;
  for (const [index, weight] of look.terms) variance += weight * gain[index];
  return { predicted, variance: Math.max(0, variance), gain };
}

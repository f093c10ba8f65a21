import { MEASURE_KEYS, MEASURES, type MeasureKey } from "./keys";
import { observe } from "./internal/gaussian";
import { lookFor } from "./internal/looks";
import type { Posterior } from "./internal/posterior";

/** A measure worth taking. */
export interface NextMeasure {
  readonly measure: MeasureKey;
  /** Root mean square standard error of the targets now, mm. */
  readonly errorNow: number;
  /** The same once it is taken, mm. */
  readonly errorThen: number;
}

/** Error of one reading as a share of the observer error, √π/2: see complete-measures. */
const READING = Math.sqrt(Math.PI) / 2;

/** What a padded leg and its boot cover are built from. */
export const LEG_TARGETS: readonly MeasureKey[] = [
  "upperThigh",
  "lowerThigh",
  "knee",
  "calf",
  "ankleNarrow",
  "heelAnkle",
  "ballGirth",
  "footLength",
  "insideLeg",
  "glutealFoldHeight",
  "kneeHeight",
  "calfHeight",
];

/**
 * The untaken measure that a tape can take and that lowers the summed squared error of the targets most. Its own
 * reading error counts.
 */
export function nextMeasure(
  body: Posterior,
  taken: ReadonlyMap<MeasureKey, unknown>,
  targets: readonly MeasureKey[] = LEG_TARGETS,
): NextMeasure | undefined {
  const looks = targets
    .filter((key) => !taken.has(key))
    .map((key) => lookFor(body.model, key))
    .filter((look) => look !== undefined);
  if (looks.length === 0) return undefined;
  const now = looks.reduce((sum, look) => sum + observe(body, look).variance, 0);
  let best: { key: MeasureKey; left: number } | undefined;
  for (const key of MEASURE_KEYS) {
    if (taken.has(key) || !MEASURES[key].byTape) continue;
    const candidate = lookFor(body.model, key);
    if (!candidate) continue;
    const { gain, variance } = observe(body, candidate);
    const reading = variance + (READING * MEASURES[key].observerError) ** 2;
    let saved = 0;
    for (const look of looks) {
      const shared = look.terms.reduce((sum, [index, weight]) => sum + weight * gain[index], 0);
      saved += (shared * shared) / reading;
    }
    const left = now - saved;
    if (!best || left < best.left - 1e-9) best = { key, left };
  }
  if (!best) return undefined;
  const mean = (sum: number): number => Math.sqrt(Math.max(0, sum) / looks.length);
  return { measure: best.key, errorNow: mean(now), errorThen: mean(best.left) };
}

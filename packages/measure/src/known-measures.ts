import { fail } from "@peltry/issues";
import { shown } from "./check-number";
import { MEASURES, measureKey, UNCLEAR_NAMES, type MeasureKey } from "./keys";
import { SURVEY_1988 } from "./data/survey-1988";
import { SURVEY_2012 } from "./data/survey-2012";
import { parseLength, parseMass } from "./parse-length";

/** One reading: mm (kg for the body mass), or text with its unit such as `34 1/2 in`. */
export type Reading = number | string;

/** Measures by key, each one reading or several readings of the same measure. */
export type KnownMeasures = Readonly<Record<string, Reading | readonly Reading[] | undefined>>;

/** A measure as taken. */
export interface TakenMeasure {
  readonly key: MeasureKey;
  /** Mean of two readings, median of more; mm or kg. */
  readonly value: number;
  /** Every reading, in the order given. */
  readonly readings: readonly number[];
  /** Largest difference between two readings. */
  readonly spread: number;
}

/**
 * Reads taken measures: names to keys, text to mm, readings to one value. Accepts every name that {@link measureKey}
 * knows. An entry that is undefined counts as not taken.
 *
 * @throws measure/unknown-key a name that no measure has
 * @throws measure/unclear-key a name that does not say which one is meant, such as `waist`
 * @throws measure/duplicate-key two names for one measure
 * @throws measure/not-a-number, measure/not-positive, measure/implausible a value that no body has
 * @throws measure/unknown-unit, measure/not-a-length a text that is no length
 */
export function readMeasures(known: KnownMeasures): readonly TakenMeasure[] {
  if (typeof known !== "object" || known === null || Array.isArray(known)) {
    fail(
      "measure/not-measures",
      "Measures are given as an object of keys and values.",
      {},
      { fix: "Give { stature: 1780 }." },
    );
  }
  const seen = new Map<MeasureKey, string>();
  const taken: TakenMeasure[] = [];
  for (const [name, given] of Object.entries(known)) {
    if (given === undefined || given === null || name === "age") continue;
    const key = keyOf(name);
    const other = seen.get(key);
    if (other !== undefined) {
      fail(
        "measure/duplicate-key",
        `“${name}” and “${other}” are both ${MEASURES[key].name.toLowerCase()}.`,
        { path: [name] },
        {
          fix: "Keep one; two readings of one measure go into one list.",
        },
      );
    }
    seen.set(key, name);
    const list = Array.isArray(given) ? (given as readonly Reading[]) : [given as Reading];
    if (list.length === 0) continue;
    const readings = list.map((reading, i) => readOne(reading, key, list.length > 1 ? [name, i] : [name]));
    taken.push({
      key,
      value: middle(readings),
      readings,
      spread: Math.max(...readings) - Math.min(...readings),
    });
  }
  return taken;
}

function keyOf(name: string): MeasureKey {
  const key = measureKey(name);
  if (key) return key;
  const bare = name
    .replace(/[_-]([a-z])/g, (_, letter: string) => letter.toUpperCase())
    .replace(/(?:Girth)?(?:Mm)?$/, "");
  const choices = Object.hasOwn(UNCLEAR_NAMES, bare) ? UNCLEAR_NAMES[bare] : undefined;
  if (choices) {
    fail(
      "measure/unclear-key",
      `“${name}” does not say which one is meant.`,
      { path: [name] },
      {
        found: name,
        fix: `Use ${choices.map((each) => `${each} (${MEASURES[each].how})`).join(" or ")}.`,
      },
    );
  }
  fail(
    "measure/unknown-key",
    `No measure is called “${name.slice(0, 60)}”.`,
    { path: [name] },
    {
      found: name.slice(0, 60),
      fix: "Use a key of MEASURES, such as insideLeg or calf.",
    },
  );
}

function readOne(reading: Reading, key: MeasureKey, path: readonly (string | number)[]): number {
  const { kind, name } = MEASURES[key];
  const isMass = kind === "mass";
  const value =
    typeof reading === "string"
      ? isMass
        ? parseMass(reading, { path }) / 1000
        : parseLength(reading, { path })
      : reading;
  if (typeof value !== "number" || !Number.isFinite(value)) {
    fail(
      "measure/not-a-number",
      `${name} is not a number.`,
      { path },
      { found: shown(reading, 60), fix: isMass ? "Give kg." : "Give mm, or text with a unit." },
    );
  }
  if (value <= 0)
    fail(
      "measure/not-positive",
      `${name} is ${value}.`,
      { path },
      { found: value, limit: "> 0", fix: "Take the measure again." },
    );
  checkPlausible(value, key, path);
  return value;
}

/** A third to three times the mean holds every adult body and no wrong unit. */
function checkPlausible(value: number, key: MeasureKey, path: readonly (string | number)[]): void {
  const mean = meanOf(key);
  if (mean === undefined) return;
  const isMass = MEASURES[key].kind === "mass";
  const [low, high] = isMass ? [0.25 * mean, 5 * mean] : [0.35 * mean, 3 * mean];
  if (value >= low && value <= high) return;
  const units: readonly (readonly [string, number])[] = isMass
    ? [["grams", 0.001]]
    : [
        ["centimetres", 10],
        ["inches", 25.4],
        ["metres", 1000],
      ];
  const guess = units.find(([, factor]) => value * factor > 0.6 * mean && value * factor < 1.6 * mean);
  fail(
    "measure/implausible",
    `${MEASURES[key].name} of ${value} ${isMass ? "kg" : "mm"} fits no adult.`,
    { path },
    {
      found: value,
      limit: `${Math.round(low)} to ${Math.round(high)}`,
      fix: guess
        ? `It looks like ${guess[0]}: give ${isMass ? "kg" : "mm"}, or text with its unit.`
        : "Take the measure again.",
    },
  );
}

function meanOf(key: MeasureKey): number | undefined {
  for (const survey of [SURVEY_2012, SURVEY_1988]) {
    const i = (survey.variables as readonly MeasureKey[]).indexOf(key);
    if (i >= 0) return (survey.male.mean[i] + survey.female.mean[i]) / 2;
  }
  return undefined;
}

function middle(readings: readonly number[]): number {
  const sorted = [...readings].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

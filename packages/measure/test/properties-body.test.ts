import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  completeMeasures,
  ellipseGirth,
  measureKey,
  MEASURE_KEYS,
  MEASURES,
  parseLength,
  parseMass,
  readMeasures,
  superellipseExponent,
  superellipseGirth,
  surveyRange,
  type CompleteMeasuresOptions,
  type KnownMeasures,
  type MeasureKey,
} from "@peltry/measure";
import { codeOf, near, odd, within } from "./properties-helpers";

describe("sections", () => {
  const half = within(0.01, 1000);

  it("ellipseGirth › symmetric, scales, and lies between the girths of the circles of its geometric and its quadratic mean radius [oracle: symmetry, known bounds of the perimeter]", () => {
    fc.assert(
      fc.property(half, half, within(0.01, 100), (a, b, k) => {
        const girth = ellipseGirth(a, b);
        expect(ellipseGirth(b, a)).toBe(girth);
        near(ellipseGirth(k * a, k * b), k * girth);
        const circle = (radius: number) => 2 * Math.PI * radius;
        expect(girth).toBeGreaterThanOrEqual(circle(Math.sqrt(a * b)) * (1 - 1e-12));
        expect(girth).toBeLessThanOrEqual(circle(Math.sqrt((a * a + b * b) / 2)) * (1 + 1e-12));
        expect(girth).toBeGreaterThanOrEqual(4 * Math.hypot(a, b) * (1 - 1e-12));
        near(ellipseGirth(a, a), circle(a));
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it("ellipseGirth › agrees with the sum of its arc by the trapezoid rule [oracle: quadrature, exact for periodic functions]", () => {
    fc.assert(
      fc.property(within(0.1, 1), (ratio) => {
        const steps = 600;
        let sum = 0;
        for (let i = 0; i < steps; i++) {
          const angle = (2 * Math.PI * i) / steps;
          sum += Math.hypot(Math.sin(angle), ratio * Math.cos(angle));
        }
        near(ellipseGirth(1, ratio), (2 * Math.PI * sum) / steps, 1e-10);
      }),
      { seed: 2, numRuns: 100 },
    );
  });

  it("superellipseGirth, superellipseExponent › power 2 is the ellipse, more is longer up to the box, and the exponent is found again [oracle: inverse, monotony]", () => {
    fc.assert(
      fc.property(
        within(0.2, 5),
        within(2.05, 12),
        within(0.1, 3),
        within(1, 400),
        (ratio, power, more, size) => {
          const girth = superellipseGirth(1, ratio, power);
          expect(superellipseGirth(1, ratio, power + more)).toBeGreaterThan(girth);
          expect(girth).toBeLessThan(4 * (1 + ratio));
          near(superellipseGirth(size, ratio * size, power), size * girth, 1e-9);
          near(superellipseGirth(ratio, 1, power), girth, 1e-5);
          near(superellipseGirth(1, ratio, 2), ellipseGirth(1, ratio), 1e-6);
          near(superellipseExponent(ratio, girth / ellipseGirth(1, ratio)), power, 1e-3);
        },
      ),
      { seed: 3, numRuns: 3 },
    );
  });

  it("ellipseGirth, superellipseGirth, superellipseExponent › whatever they are given, a girth or one typed error [oracle: hostile input]", () => {
    const codes = ["none", "measure/bad-number", "measure/no-exponent"];
    fc.assert(
      fc.property(odd, odd, (a, b) => {
        const [x, y] = [a as number, b as number];
        const answers: number[] = [];
        const run = [
          () => answers.push(ellipseGirth(x, y)),
          () => answers.push(superellipseGirth(x, y, Number.NaN)),
          () => answers.push(superellipseExponent(x, 1.9)),
          () => answers.push(superellipseExponent(1, y)),
        ];
        for (const one of run) expect(codes).toContain(codeOf(one));
        expect(answers.some(Number.isNaN)).toBe(false);
      }),
      { seed: 4, numRuns: 40 },
    );
  });
});

const anyKey = fc.constantFrom(...MEASURE_KEYS);
const meanOf = (key: MeasureKey) => {
  const { low, high } = surveyRange(key)!;
  return (low + high) / 2;
};

describe("names and readings", () => {
  it("measureKey › the key, its aliases, snake_case and a unit at the end all name one measure [oracle: the table of names]", () => {
    fc.assert(
      fc.property(
        anyKey,
        fc.nat(),
        fc.constantFrom("plain", "snake", "unit", "snakeUnit", "spaces"),
        (key, which, way) => {
          expect(measureKey(key)).toBe(key);
          const names = [key, ...(MEASURES[key].aliases ?? [])];
          const name = names[which % names.length].replace(/Kg$/, "");
          const snake = name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
          const unit = MEASURES[key].kind === "mass" ? "Kg" : "Mm";
          const written = {
            plain: name,
            snake,
            unit: name + unit,
            snakeUnit: `${snake}_${unit.toLowerCase()}`,
            spaces: snake.replaceAll("_", " "),
          }[way];
          expect(measureKey(written), written).toBe(key);
        },
      ),
      { seed: 1, numRuns: 400 },
    );
  });

  it("measureKey › a name of nothing has no key, whatever it is [oracle: hostile input]", () => {
    fc.assert(
      fc.property(fc.oneof(odd, fc.string()), (name) => {
        const key = measureKey(name as string);
        if (key !== undefined) expect(MEASURE_KEYS).toContain(key);
        if (typeof name !== "string") expect(key).toBeUndefined();
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  it("parseLength, parseMass › a sum of units is the sum of its parts, and a unit is its factor [oracle: 1 in = 25.4 mm, 1 lb = 453.59237 g by definition]", () => {
    const whole = fc.integer({ min: 0, max: 40 });
    fc.assert(
      fc.property(
        whole,
        fc.integer({ min: 0, max: 11 }),
        fc.integer({ min: 0, max: 7 }),
        within(0.001, 900),
        (feet, inches, eighths, amount) => {
          near(
            parseLength(`${feet} ft ${inches} ${eighths}/8 in`),
            (feet * 12 + inches + eighths / 8) * 25.4,
          );
          near(parseLength(`${feet}'${inches}"`), parseLength(`${feet * 12 + inches} inches`));
          const text = amount.toFixed(6);
          near(parseLength(`${text} cm`), 10 * Number(text));
          near(parseLength(`${text}m`), 1000 * parseLength(`${text} mm`));
          near(parseMass(`${feet} st ${inches} lb`), (feet * 14 + inches) * 453.59237);
          near(parseMass(`${text} kg`), 1000 * parseMass(`${text} g`));
          near(16 * parseMass(`${text} oz`), parseMass(`${text} lbs`));
        },
      ),
      { seed: 3, numRuns: 150 },
    );
  });

  it("parseLength, parseMass › whatever the text, a length that is no less than nothing or one typed error [oracle: hostile input]", () => {
    const words = fc.string({ unit: fc.constantFrom(..."0123456789./ -,½'\"cmftinkglb"), maxLength: 14 });
    fc.assert(
      fc.property(fc.oneof(words, odd), (text) => {
        for (const [parse, what] of [
          [parseLength, "length"],
          [parseMass, "mass"],
        ] as const) {
          const code = codeOf(() => expect(parse(text as string)).toBeGreaterThanOrEqual(0));
          const codes = [
            `measure/not-a-${what}`,
            "measure/no-unit",
            "measure/unknown-unit",
            "measure/decimal-comma",
          ];
          expect(["none", ...codes]).toContain(code);
        }
      }),
      { seed: 4, numRuns: 400 },
    );
  });

  it("readMeasures › a measure in mm, cm, inches or as its own mean twice is the same; the order of readings does not matter [oracle: units, permutation]", () => {
    const held = MEASURE_KEYS.filter(
      (key) => surveyRange(key) !== undefined && MEASURES[key].kind !== "mass",
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...held),
        fc.array(within(0.8, 1.3), { minLength: 1, maxLength: 6 }),
        (key, shares) => {
          const readings = shares.map((share) => share * meanOf(key));
          const [taken] = readMeasures({ [key]: readings });
          for (const other of [
            [...readings].reverse(),
            readings.map((mm) => `${(mm / 10).toFixed(12)} cm`),
            readings.map((mm) => `${(mm / 25.4).toFixed(12)} in`),
          ])
            near(readMeasures({ [key]: other })[0].value, taken.value, 1e-9);
          expect(taken.value).toBeGreaterThanOrEqual(Math.min(...readings));
          expect(taken.value).toBeLessThanOrEqual(Math.max(...readings));
          expect(taken.spread).toBe(Math.max(...readings) - Math.min(...readings));
          // The median: no more than half of the readings on either side.
          expect(readings.filter((mm) => mm < taken.value).length).toBeLessThanOrEqual(readings.length / 2);
          expect(readings.filter((mm) => mm > taken.value).length).toBeLessThanOrEqual(readings.length / 2);
        },
      ),
      { seed: 5, numRuns: 150 },
    );
  });

  it("readMeasures, completeMeasures › whatever is told, measures or one typed error, and what was told stays as it was [oracle: hostile input]", () => {
    const told = fc.oneof(
      odd,
      fc.dictionary(fc.oneof(anyKey, fc.string()), fc.oneof(odd, fc.array(odd), fc.constant("1.2 m"))),
      fc.record({ stature: odd }),
      fc.constant({ stature: 1750, hip: 990 }),
      fc.record({ age: odd, weightKg: fc.constant(70) }),
    );
    const options = fc.record(
      { sex: odd, age: odd, targets: fc.oneof(odd, fc.array(odd)) },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(told, fc.oneof(fc.constant(undefined), options), (known, given) => {
        const keys = () => (typeof known === "object" && known !== null ? Reflect.ownKeys(known) : []);
        const before = keys();
        const codes = [
          codeOf(() => readMeasures(known as KnownMeasures)),
          codeOf(() => {
            const body = completeMeasures(known as KnownMeasures, given as CompleteMeasuresOptions);
            for (const { value, standardError } of Object.values(body.measures))
              expect(Number.isFinite(value) && standardError > 0).toBe(true);
          }),
        ];
        for (const code of codes) expect(code).toMatch(/^(none|measure\/[a-z0-9-]+)$/);
        expect(keys()).toEqual(before);
      }),
      { seed: 6, numRuns: 120 },
    );
  });

  it("completeMeasures › a sex, an age or targets that are none are one typed error each [oracle: hostile input]", () => {
    const isAge = (age: unknown) =>
      age === undefined || age === null || (typeof age === "number" && age >= 17 && age < Infinity);
    const isList = (list: unknown) =>
      list === undefined ||
      list === null ||
      (Array.isArray(list) && list.every((key) => (MEASURE_KEYS as readonly unknown[]).includes(key)));
    fc.assert(
      fc.property(odd, fc.oneof(odd, fc.array(fc.oneof(odd, anyKey))), (age, targets) => {
        const ask = (options: object) => codeOf(() => completeMeasures({ stature: 1750 }, options));
        expect(["measure/bad-age", "measure/under-17", "none"]).toContain(ask({ age }));
        expect(ask({ age }) === "none").toBe(isAge(age));
        expect(ask({ targets })).toBe(isList(targets) ? "none" : "measure/bad-targets");
      }),
      { seed: 7, numRuns: 60 },
    );
  });
});

describe("survey", () => {
  const sex = fc.constantFrom("male", "female");

  it("surveyRange › without a sex it is the wider of both; a measure outside it is told, one inside is not [oracle: second path]", () => {
    const held = MEASURE_KEYS.filter((key) => surveyRange(key) !== undefined);
    fc.assert(
      fc.property(fc.constantFrom(...held), sex, within(-0.2, 1.2), (key, one, share) => {
        const [both, male, female] = [
          surveyRange(key)!,
          surveyRange(key, "male")!,
          surveyRange(key, "female")!,
        ];
        expect(both.low).toBe(Math.min(male.low, female.low));
        expect(both.high).toBe(Math.max(male.high, female.high));
        const { low, high } = surveyRange(key, one)!;
        const value = low + share * (high - low);
        const told = completeMeasures({ [key]: value }, { sex: one }).issues.map(({ code }) => code);
        expect(told.includes("measure/outside-survey")).toBe(value < low || value > high);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("surveyRange › a name or a sex that no survey holds has no range or is one typed error [oracle: hostile input]", () => {
    fc.assert(
      fc.property(odd, odd, (key, one) => {
        if (!(MEASURE_KEYS as readonly unknown[]).includes(key))
          expect(surveyRange(key as MeasureKey)).toBeUndefined();
        const code = codeOf(() => surveyRange("stature", one as "male"));
        const fair = one === undefined || one === null;
        expect(code).toBe(fair ? "none" : "measure/bad-sex");
      }),
      { seed: 2, numRuns: 100 },
    );
  });

  /** Some measures near the middle of the survey. */
  const some = fc.uniqueArray(
    fc.tuple(
      fc.constantFrom("stature", "weightKg", "hip", "waistNavel", "insideLeg", "calf", "footLength"),
      within(0.95, 1.05),
    ),
    { selector: ([key]) => key, minLength: 1, maxLength: 4 },
  );
  const known = (list: readonly (readonly [string, number])[]): Record<string, number> =>
    Object.fromEntries(list.map(([key, share]) => [key, share * meanOf(key as MeasureKey)]));
  /** Measures of the newer survey: they are estimated from one model. */
  const newer = MEASURE_KEYS.filter((key) => surveyRange(key)?.source.includes("2014"));

  it("completeMeasures › what was taken comes back, in any order, and the shares of the surveys lie between nothing and all [oracle: permutation]", () => {
    fc.assert(
      fc.property(some, (list) => {
        const [one, other] = [completeMeasures(known(list)), completeMeasures(known([...list].reverse()))];
        expect(one.maleShare).toBeGreaterThanOrEqual(0);
        expect(one.maleShare).toBeLessThanOrEqual(1);
        for (const [key, value] of Object.entries(known(list)))
          expect(one.measures[key as "hip"]).toMatchObject({ value, origin: "taken" });
        for (const key of newer) near(other.measures[key]!.value, one.measures[key]!.value, 1e-7);
        for (const { value, range } of Object.values(one.measures)) {
          expect(range[0]).toBeLessThan(value);
          expect(range[1]).toBeGreaterThan(value);
        }
      }),
      { seed: 3, numRuns: 25 },
    );
  });

  it("completeMeasures › taking exactly what was expected moves no estimate, and makes none less sure [oracle: law of the conditional mean of a normal]", () => {
    fc.assert(
      fc.property(some, sex, fc.nat(), (list, one, which) => {
        const before = completeMeasures(known(list), { sex: one });
        const open = newer.filter((key) => before.measures[key]!.origin === "estimated");
        const next = open[which % open.length];
        const more = { ...known(list), [next]: before.measures[next]!.value };
        const after = completeMeasures(more, { sex: one });
        if (after.scale !== before.scale) return;
        for (const key of open) {
          near(after.measures[key]!.value, before.measures[key]!.value, 1e-7);
          if (key === next) continue;
          const error = before.measures[key]!.standardError;
          expect(after.measures[key]!.standardError).toBeLessThanOrEqual(error * (1 + 1e-9));
        }
      }),
      { seed: 4, numRuns: 30 },
    );
  });
});

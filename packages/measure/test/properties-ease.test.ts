import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  allowedWaistPressure,
  backRiseExtra,
  bandagePressure,
  checkMovement,
  checkOpening,
  checkPressure,
  foamStripLength,
  hemGirthForStep,
  jointFrontExtra,
  negativeEase,
  paddedGirth,
  paddingThickness,
  POSES,
  pressureFromMmHg,
  PRESSURE_LIMITS,
  readStretchTest,
  reductionFromStrain,
  sittingHipGirth,
  strainFromReduction,
  stretchClass,
  stretchedGirth,
  tensionForPressure,
  tubePressure,
  WEARING_EASE,
  wearingEase,
  wornStrain,
  type EaseRegion,
  type MovementCase,
  type Opening,
  type Pose,
  type PressureCheck,
} from "@peltry/measure";
import { codeOf, near, odd, within } from "./properties-helpers";

const mm = within(1, 3000);
const strain = within(0, 3);
const factor = within(0.1, 10);
const isLength = (value: unknown) => typeof value === "number" && value >= 0 && value < Infinity;

describe("stretch", () => {
  it("reductionFromStrain, strainFromReduction › each takes the other back, and grows with its argument [oracle: inverse]", () => {
    fc.assert(
      fc.property(within(0, 5), within(1e-6, 1), (e, more) => {
        near(strainFromReduction(reductionFromStrain(e)), e, 1e-9);
        expect(reductionFromStrain(Math.min(5, e + more))).toBeGreaterThanOrEqual(reductionFromStrain(e));
        expect(reductionFromStrain(e)).toBeLessThan(1);
        // The product of cut and worn share is 1.
        near((1 - reductionFromStrain(e)) * (1 + e), 1);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("negativeEase, stretchedGirth, wornStrain › what is cut smaller is worn at the girth and strain it was cut for [oracle: inverse, scaling]", () => {
    fc.assert(
      fc.property(mm, strain, factor, (girth, e, k) => {
        const { cutGirth, ease, reduction } = negativeEase(girth, e);
        near(stretchedGirth(cutGirth, e), girth);
        expect(wornStrain(cutGirth, girth)).toBeCloseTo(e, 9);
        near(cutGirth * k, negativeEase(girth * k, e).cutGirth);
        expect(ease).toBeLessThanOrEqual(0);
        expect(-ease / girth).toBeCloseTo(reduction, 9);
      }),
      { seed: 2, numRuns: 200 },
    );
  });

  it("readStretchTest › growth is the stretch that did not recover, in any unit of length [oracle: closed form, scaling]", () => {
    fc.assert(
      fc.property(mm, within(0.01, 2), within(0, 1), factor, (before, e, share, k) => {
        const stretched = before * (1 + e);
        const after = before + share * (stretched - before);
        const test = readStretchTest(before, stretched, after);
        expect(test.growth).toBeCloseTo(test.stretch * (1 - test.recovery), 9);
        expect(test.recovery).toBeCloseTo(1 - share, 6);
        const inches = readStretchTest(before * k, stretched * k, after * k);
        expect(inches.stretch).toBeCloseTo(test.stretch, 9);
        expect(inches.recovery).toBeCloseTo(test.recovery, 6);
        expect(codeOf(() => readStretchTest(stretched, before, after))).toBe("measure/bad-stretch-test");
      }),
      { seed: 3, numRuns: 200 },
    );
  });

  it("stretchClass › a cloth that gives more is never of a firmer class [oracle: monotony]", () => {
    const classes = ["firm", "stable", "moderate", "stretchy", "super-stretch"];
    fc.assert(
      fc.property(within(0, 1.2), within(0, 1), (e, more) => {
        const [less, stretchier] = [e, e + more].map((value) => classes.indexOf(stretchClass(value)));
        expect(less).toBeGreaterThanOrEqual(0);
        expect(stretchier).toBeGreaterThanOrEqual(less);
      }),
      { seed: 4, numRuns: 200 },
    );
  });
});

describe("pressure", () => {
  it("tubePressure, tensionForPressure, pressureFromMmHg › each takes the other back, and all units tell one pressure [oracle: inverse; 1 mmHg = 133.322 Pa, 1 gf = 9.80665 mN]", () => {
    fc.assert(
      fc.property(within(0.001, 20), mm, (tension, girth) => {
        const pressure = tubePressure(tension, girth);
        near(tensionForPressure(pressure.mmHg, girth), tension);
        near(pressureFromMmHg(pressure.mmHg).kPa, pressure.kPa);
        near(pressure.kPa * 1000, pressure.gfPerCm2 * 98.0665);
        expect(pressure.kPa / pressure.mmHg).toBeCloseTo(0.133322387415, 9);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("tubePressure, bandagePressure › twice the pull or the layers is twice the pressure, twice the girth half of it; K = 4621.65 [oracle: Laplace, scaling]", () => {
    fc.assert(
      fc.property(
        within(0.01, 5),
        fc.integer({ min: 1, max: 6 }),
        within(10, 100),
        within(1, 30),
        factor,
        (pull, layers, girth, width, k) => {
          const one = bandagePressure(pull, layers, girth, width);
          near(one.mmHg, (4621.65435133 * pull * layers) / (girth * width), 1e-9);
          near(tubePressure(pull, girth * 10, layers).kPa, layers * tubePressure(pull, girth * 10).kPa);
          near(tubePressure(pull * k, girth * k).kPa, tubePressure(pull, girth).kPa);
          near(bandagePressure(pull * k, layers, girth, width * k).mmHg, one.mmHg, 1e-9);
        },
      ),
      { seed: 2, numRuns: 200 },
    );
  });

  it("checkPressure › more pull, a tighter girth, a narrower band or a joint below it never makes the answer milder [oracle: monotony]", () => {
    const rank = (part: PressureCheck) =>
      Math.max(0, ...checkPressure(part).issues.map(({ severity }) => (severity === "error" ? 2 : 1)));
    fc.assert(
      fc.property(
        within(0, 3),
        within(150, 1200),
        within(5, 100),
        fc.boolean(),
        within(1, 3),
        (tension, girth, bandWidth, overJoint, k) => {
          const part = { tension, girth, bandWidth, overJoint };
          const level = rank(part);
          expect(rank({ ...part, tension: tension * k })).toBeGreaterThanOrEqual(level);
          expect(rank({ ...part, girth: girth / k })).toBeGreaterThanOrEqual(level);
          expect(rank({ ...part, bandWidth: bandWidth / k })).toBeGreaterThanOrEqual(level);
          expect(rank({ ...part, overJoint: true })).toBeGreaterThanOrEqual(level);
          const { bent } = checkPressure(part);
          const share = bandWidth < PRESSURE_LIMITS.narrowBandMm ? 0.5 : 1;
          const limits = [PRESSURE_LIMITS.allDay, PRESSURE_LIMITS.most];
          expect(level).toBe(limits.filter((limit) => bent.mmHg > limit * share).length);
        },
      ),
      { seed: 3, numRuns: 300 },
    );
  });

  it("checkPressure › a width that is none never counts as a wide band [oracle: hostile input]", () => {
    fc.assert(
      fc.property(odd, (bandWidth) => {
        const code = codeOf(() => checkPressure({ tension: 1, girth: 300, bandWidth: bandWidth as number }));
        expect(code).toBe(bandWidth === undefined || isLength(bandWidth) ? "none" : "measure/bad-number");
      }),
      { seed: 5, numRuns: 100 },
    );
  });

  it("allowedWaistPressure › falls by the same for every year of age, and is there for the ages studied alone [oracle: linear, 19 to 87 years]", () => {
    fc.assert(
      fc.property(within(-50, 150), within(19, 87), (age, other) => {
        if (age < 19 || age > 87) {
          expect(codeOf(() => allowedWaistPressure(age))).toBe("measure/bad-number");
          return;
        }
        const fall = allowedWaistPressure(other) - allowedWaistPressure(age);
        expect(fall).toBeCloseTo(0.287 * (age - other), 9);
        expect(allowedWaistPressure((age + other) / 2)).toBeCloseTo(allowedWaistPressure(age) + fall / 2, 9);
      }),
      { seed: 4, numRuns: 150 },
    );
  });
});

describe("ease", () => {
  it("paddedGirth, paddingThickness, foamStripLength › padding laid on comes off again; its strip is as long as the middle of the layer [oracle: inverse, Steiner]", () => {
    fc.assert(
      fc.property(mm, within(0, 300), within(0, 300), (girth, first, second) => {
        const padded = paddedGirth(girth, first);
        expect(paddingThickness(girth, padded)).toBeCloseTo(first, 9);
        near(paddedGirth(padded, second), paddedGirth(girth, first + second));
        near(foamStripLength(girth, first), (girth + padded) / 2);
        near(foamStripLength(girth, first), paddedGirth(girth, first / 2));
        // Of a circle the layer is a ring: area = length of the strip × thickness.
        const area = (radius: number) => Math.PI * radius * radius;
        const [inner, outer] = [girth / (2 * Math.PI), padded / (2 * Math.PI)];
        expect(area(outer) - area(inner)).toBeCloseTo(foamStripLength(girth, first) * first, 5);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("sittingHipGirth › is never less than standing, scales with the body, and without a sex takes the wider growth [oracle: scaling, bounds]", () => {
    fc.assert(
      fc.property(mm, within(1, 800), factor, (hip, breadth, k) => {
        const of = (sex?: "male" | "female") => sittingHipGirth(hip, breadth, sex);
        expect(of()).toBe(Math.max(of("male"), of("female")));
        expect(of("male")).toBeGreaterThan(hip);
        near(sittingHipGirth(hip * k, breadth * k), of() * k);
        // Breadth and depth both at most as large as half the growth of a box allow.
        expect(of()).toBeLessThan(hip + 2 * breadth);
      }),
      { seed: 2, numRuns: 150 },
    );
  });

  it("wearingEase › known by the regions of the table alone, each with its least below its most [oracle: brute force, hostile input]", () => {
    const regions = Object.keys(WEARING_EASE) as EaseRegion[];
    fc.assert(
      fc.property(fc.oneof(fc.constantFrom(...regions), odd), (region) => {
        if (!(regions as unknown[]).includes(region)) {
          expect(codeOf(() => wearingEase(region as EaseRegion))).toBe("measure/unknown-region");
          return;
        }
        const { low, high } = wearingEase(region as EaseRegion);
        expect(low).toBeGreaterThanOrEqual(0);
        if (high !== undefined) expect(high).toBeGreaterThan(low);
      }),
      { seed: 3, numRuns: 150 },
    );
  });

  const passes = fc.array(
    fc.record({ name: fc.constantFrom("heel", "hip", "head"), girth: within(0, 1500) }),
    {
      minLength: 1,
      maxLength: 4,
    },
  );

  it("checkOpening › fits exactly when each thing fits alone; more stretch, vent or girth never hurts; the vent it asks for is enough [oracle: brute force, the check run again]", () => {
    fc.assert(
      fc.property(
        passes,
        within(1, 1500),
        within(0, 2),
        within(0, 300),
        within(0, 100),
        (list, girth, stretch, vent, more) => {
          const opening: Opening = { girth, stretch, vent, passes: list };
          const check = checkOpening(opening);
          expect(check.fits).toBe(list.every((one) => checkOpening({ ...opening, passes: [one] }).fits));
          expect(checkOpening({ ...opening, passes: [...list].reverse() }).needed).toBe(check.needed);
          expect(check.issues.length).toBe(check.fits ? 0 : 1);
          if (check.fits) {
            expect(checkOpening({ ...opening, stretch: stretch + more / 100 }).fits).toBe(true);
            expect(checkOpening({ ...opening, girth: girth + more }).fits).toBe(true);
          }
          const slit = 2 * check.ventLength * (1 + 1e-12);
          expect(checkOpening({ ...opening, vent: vent + slit }).fits).toBe(true);
          if (check.ventLength > 1)
            expect(checkOpening({ ...opening, vent: vent + slit - 0.5 }).fits).toBe(false);
          if (check.fits) expect(check.strain).toBeLessThanOrEqual(stretch + 1e-9);
        },
      ),
      { seed: 4, numRuns: 200 },
    );
  });

  it("checkOpening › a girth that is none is refused wherever it stands in the list [oracle: hostile input]", () => {
    fc.assert(
      fc.property(passes, fc.nat(4), odd, (list, at, girth) => {
        const fair = isLength(girth);
        const all = list.toSpliced(at % (list.length + 1), 0, { name: "head", girth: girth as number });
        expect(codeOf(() => checkOpening({ girth: 100, passes: all }))).toBe(
          fair ? "none" : "measure/bad-number",
        );
      }),
      { seed: 5, numRuns: 200 },
    );
  });
});

describe("movement", () => {
  const pose = fc.constantFrom(...(Object.keys(POSES) as Pose[]));
  const share = within(0, 1);
  const body: fc.Arbitrary<MovementCase> = fc.record(
    {
      pose,
      kneeGirth: within(200, 1200),
      hip: within(600, 1600),
      hipBreadth: within(250, 600),
      hipDepth: within(150, 500),
      stretch: fc.record({ along: share, across: share }),
      ease: fc.record(
        { kneeFront: within(0, 100), seat: within(0, 100), backRise: within(0, 100) },
        { requiredKeys: [] },
      ),
      kneeShare: within(0, 600),
      backShare: within(0, 600),
      sex: fc.constantFrom("male", "female"),
    },
    { requiredKeys: ["pose", "kneeGirth", "hip", "hipBreadth", "stretch"] },
  );

  it("jointFrontExtra, backRiseExtra › bends add up, and scale with the body; a whole half turn of a tube is half its girth [oracle: closed form, arc of a circle]", () => {
    fc.assert(
      fc.property(mm, within(0, 85), within(0, 85), factor, (size, a, b, k) => {
        for (const extra of [jointFrontExtra, backRiseExtra]) {
          near(extra(size, a + b), extra(size, a) + extra(size, b), 1e-9);
          near(extra(size * k, a), k * extra(size, a), 1e-9);
        }
        near(jointFrontExtra(size, 90), size / 4);
        near(backRiseExtra(size, 90), (Math.PI * size) / 4);
        // A round hip: its depth is its girth over π, and both laws are one.
        near(backRiseExtra(size / Math.PI, a), jointFrontExtra(size, a), 1e-9);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("hemGirthForStep › is the leg alone at the hip and two steps more at the floor, and in a straight line between [oracle: linear]", () => {
    fc.assert(
      fc.property(
        within(0, 1500),
        within(300, 1200),
        within(100, 900),
        share,
        (step, hipHeight, legGirth, t) => {
          const at = (hemHeight: number) => hemGirthForStep({ step, hemHeight, hipHeight, legGirth });
          near(at(hipHeight), legGirth);
          near(at(0), 2 * step + legGirth);
          near(at(t * hipHeight), t * legGirth + (1 - t) * (2 * step + legGirth), 1e-9);
          expect(codeOf(() => at(hipHeight * 1.01))).toBe("measure/bad-number");
        },
      ),
      { seed: 2, numRuns: 150 },
    );
  });

  it("checkMovement › the ease it asks for is enough, and stretch or ease never make it shorter [oracle: the check run again, monotony]", () => {
    const keys = { "knee front": "kneeFront", seat: "seat", "back rise": "backRise" } as const;
    fc.assert(
      fc.property(body, within(0, 1), (given, more) => {
        const { needs, issues } = checkMovement(given);
        expect(issues.length).toBe(needs.filter(({ short }) => short > 0.5).length);
        const mended = Object.fromEntries(
          needs.map(({ place, short, fromEase }) => [keys[place], fromEase + Math.ceil(short)]),
        );
        expect(checkMovement({ ...given, ease: mended }).issues).toEqual([]);
        const { along, across } = given.stretch;
        const softer = checkMovement({ ...given, stretch: { along: along + more, across: across + more } });
        softer.needs.forEach(({ short }, at) => expect(short).toBeLessThanOrEqual(needs[at].short));
        const [knee, , back] = needs;
        expect(knee.needed).toBe(jointFrontExtra(given.kneeGirth, POSES[given.pose].knee));
        if (given.hipDepth !== undefined)
          expect(back.needed).toBe(backRiseExtra(given.hipDepth, POSES[given.pose].hip));
      }),
      { seed: 3, numRuns: 200 },
    );
  });

  it("checkMovement › a case with one part that is none is one typed error, never a pass [oracle: hostile input]", () => {
    const part = fc.constantFrom(
      "pose",
      "kneeGirth",
      "hip",
      "hipBreadth",
      "hipDepth",
      "kneeShare",
      "backShare",
      "stretch",
      "sex",
      "ease",
    );
    fc.assert(
      fc.property(body, part, odd, (given, key, value) => {
        const code = codeOf(() => {
          const { needs } = checkMovement({ ...given, [key]: value });
          for (const { needed, short } of needs) expect([needed, short].some(Number.isNaN)).toBe(false);
        });
        expect(["none", "measure/bad-number", "measure/unknown-pose", "measure/bad-sex"]).toContain(code);
        if (typeof value !== "number" && ["kneeGirth", "hip", "hipBreadth"].includes(key))
          expect(code).toBe("measure/bad-number");
      }),
      { seed: 4, numRuns: 300 },
    );
  });
});

describe("numbers from outside", () => {
  const functions: Readonly<Record<string, (...values: never[]) => unknown>> = {
    paddedGirth,
    paddingThickness,
    foamStripLength,
    sittingHipGirth,
    jointFrontExtra,
    backRiseExtra,
    negativeEase,
    stretchedGirth,
    wornStrain,
    reductionFromStrain,
    strainFromReduction,
    readStretchTest,
    stretchClass,
    tubePressure,
    bandagePressure,
    tensionForPressure,
    pressureFromMmHg,
    allowedWaistPressure,
  };
  it.each(Object.keys(functions))(
    "%s › whatever it is given, a number or one typed error [oracle: hostile input]",
    (name) => {
      fc.assert(
        fc.property(fc.array(fc.oneof(odd, within(0, 100)), { minLength: 1, maxLength: 4 }), (given) => {
          const code = codeOf(() => {
            const answer = functions[name](...(given as never[]));
            const parts: unknown[] = typeof answer === "object" ? Object.values(answer!) : [answer];
            expect(parts.some(Number.isNaN)).toBe(false);
          });
          expect(["none", "measure/bad-number", "measure/bad-stretch-test", "measure/bad-sex"]).toContain(
            code,
          );
        }),
        { seed: 1, numRuns: 80 },
      );
    },
  );
});

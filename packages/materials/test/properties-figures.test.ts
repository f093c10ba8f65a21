import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  catalogue,
  CLO,
  clothingAreaFactor,
  clothingFlammabilityClass,
  draperyTestMethod,
  duckMassPerArea,
  ensembleInsulation,
  GSM_PER_OZ_YD2,
  hansenDistance,
  insulationBand,
  isCasNumber,
  massAndWarmth,
  ppmToMgPerM3,
  requireHeatModelRange,
  substance,
  substances,
  totalInsulation,
  vapourScreen,
  type Estimate,
} from "../src/index";
import { casCheckDigit } from "../src/lint";
import { anyEntry, codeOr, measured, oddName, shuffled, within, withValues } from "./properties-helpers";

const figuresOf = ({ value, min, max }: Estimate) => [value, min, max];

describe("warmth", () => {
  const clo = within(0, 5);

  it("ensembleInsulation › in any order the same; garments worn together add but for the constant counted twice [oracle: ISO 9920, the summation is linear]", () => {
    const garments = fc.array(clo, { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(
        garments.chain((list) => fc.tuple(fc.constant(list), shuffled(list))),
        garments,
        ([a, turned], b) => {
          expect(ensembleInsulation(turned)).toBeCloseTo(ensembleInsulation(a), 12);
          const [ours, theirs] = [ensembleInsulation(a), ensembleInsulation(b)];
          expect(ensembleInsulation([...a, ...b])).toBeCloseTo(ours + theirs - 0.161, 10);
          expect(ensembleInsulation([...a, 0])).toBeCloseTo(ours, 12);
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it("clothingAreaFactor, totalInsulation › more clothes enlarge the surface, and the air around them is worth less, but never nothing [oracle: monotony, ISO 9920 bounds]", () => {
    fc.assert(
      fc.property(clo, within(1e-6, 3), (icl, more) => {
        const air = (value: number) => totalInsulation(value) - value;
        expect(clothingAreaFactor(icl + more)).toBeGreaterThan(clothingAreaFactor(icl));
        expect(clothingAreaFactor(icl)).toBeGreaterThanOrEqual(1);
        expect(air(icl + more)).toBeLessThan(air(icl));
        expect(air(icl)).toBeLessThanOrEqual(0.7);
        expect(air(icl) * clothingAreaFactor(icl)).toBeCloseTo(0.7, 12);
        expect(totalInsulation(icl + more)).toBeGreaterThan(totalInsulation(icl));
      }),
      { seed: 2, numRuns: 200 },
    );
  });

  it("insulationBand, requireHeatModelRange › more clothes are never of a lighter band; the heat model takes light and indoor clothes alone [oracle: monotony, ISO 7933 Annex A]", () => {
    const bands = ["light", "indoor", "warm", "outside the equations"];
    fc.assert(
      fc.property(fc.oneof(within(0, 3), fc.double()), within(0, 2), (icl, more) => {
        const [one, other] = [insulationBand(icl), insulationBand(icl + more)];
        expect(bands.indexOf(other)).toBeGreaterThanOrEqual(bands.indexOf(one));
        const answer = codeOr(() => requireHeatModelRange(icl));
        if (icl >= 0.1 && ["light", "indoor"].includes(one)) expect(answer).toBe(icl);
        else expect(answer).toEqual({ code: "materials/outside-heat-model" });
      }),
      { seed: 3, numRuns: 300 },
    );
  });

  it("massAndWarmth › mass grows with the area, warmth does not, and clo is the same resistance [oracle: scaling]", () => {
    fc.assert(
      fc.property(
        anyEntry,
        within(0.01, 5),
        within(0.1, 100),
        within(0.5, 50),
        (entry, areaM2, factor, mm) => {
          const one = massAndWarmth(entry, { areaM2, thicknessMm: mm });
          const many = massAndWarmth(entry, { areaM2: areaM2 * factor, thicknessMm: mm });
          if (one.massG) {
            const wanted = figuresOf(one.massG).map((figure) => figure * factor);
            figuresOf(many.massG!).forEach((figure, at) => expect(figure / wanted[at]!).toBeCloseTo(1, 9));
            expect(one.massG.min).toBeLessThanOrEqual(one.massG.value);
            expect(one.massG.max).toBeGreaterThanOrEqual(one.massG.value);
          }
          expect(many.insulation).toEqual(one.insulation);
          if (one.insulation) expect(one.clo! * CLO).toBeCloseTo(one.insulation.value, 12);
          expect(many.issues).toEqual(one.issues);
        },
      ),
      { seed: 4, numRuns: 250 },
    );
  });

  it("massAndWarmth › a foam of density ρ weighs ρ·A·d and insulates d/λ [oracle: closed form]", () => {
    const foam = catalogue.find(({ id }) => id === "pu-foam-seat")!;
    fc.assert(
      fc.property(
        within(5, 500),
        within(0.02, 1),
        within(0.01, 10),
        within(0.5, 200),
        (density, lambda, areaM2, mm) => {
          const own = withValues(foam, {
            density: [measured({ typical: density, grade: "B" })],
            thermalConductivity: [measured({ typical: lambda, grade: "B" })],
            massPerArea: [],
            insulation: [],
          });
          const { massG, insulation } = massAndWarmth(own, { areaM2, thicknessMm: mm });
          expect(massG!.value / (density * 1000 * areaM2 * (mm / 1000))).toBeCloseTo(1, 12);
          expect(insulation!.value / (mm / 1000 / lambda)).toBeCloseTo(1, 12);
        },
      ),
      { seed: 5, numRuns: 100 },
    );
  });
});

describe("burning", () => {
  it("clothingFlammabilityClass › burning longer, or without the base, is never a worse class; class 3 is below 4 s [oracle: 16 CFR 1610.4, monotony]", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("plain", "raised"),
        within(0, 20),
        within(0, 20),
        fc.boolean(),
        (surface, burnTimeS, more, baseBurn) => {
          const of = (time: number, base: boolean) =>
            clothingFlammabilityClass({ surface, burnTimeS: time, baseBurn: base });
          expect(of(burnTimeS + more, baseBurn)).toBeLessThanOrEqual(of(burnTimeS, baseBurn));
          expect(of(burnTimeS, false)).toBeLessThanOrEqual(of(burnTimeS, true));
          if (of(burnTimeS, baseBurn) === 3) expect(burnTimeS).toBeLessThan(4);
          if (burnTimeS > 7) expect(of(burnTimeS, baseBurn)).toBe(1);
          if (surface === "plain") expect(of(burnTimeS, baseBurn)).not.toBe(2);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  it("draperyTestMethod › heavier cloth or a coating never goes to the test for light cloth [oracle: NFPA 701 (2010), monotony]", () => {
    fc.assert(
      fc.property(within(0, 2000), within(0, 500), fc.boolean(), (mass, more, coated) => {
        expect(draperyTestMethod(mass + more, coated)).toBeGreaterThanOrEqual(
          draperyTestMethod(mass, coated),
        );
        expect(draperyTestMethod(mass, true)).toBe(2);
        expect(draperyTestMethod(mass) === 1).toBe(mass <= 700);
      }),
      { seed: 2, numRuns: 200 },
    );
  });
});

describe("units", () => {
  it("duckMassPerArea › a number less is an ounce more on a piece of 36 × 22 in [oracle: avoirdupois ounce and inch]", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 12 }), fc.integer({ min: 0, max: 12 }), (a, b) => {
        const pieceM2 = 36 * 0.0254 * 22 * 0.0254;
        const ounces = (duckMassPerArea(a) * pieceM2) / 28.349523125;
        expect(ounces).toBeCloseTo(19 - a, 9);
        expect(duckMassPerArea(a) - duckMassPerArea(b)).toBeCloseTo(((b - a) * 18 * GSM_PER_OZ_YD2) / 11, 9);
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  it("hansenDistance › is a metric: symmetric, zero on the spot, never longer by a detour; a dispersion step counts double [oracle: metric laws]", () => {
    const part = within(0, 30);
    const point = fc.record({ dD: part, dP: part, dH: part });
    fc.assert(
      fc.property(point, point, point, part, (a, b, c, step) => {
        const direct = hansenDistance(a, b);
        expect(hansenDistance(b, a)).toBe(direct);
        expect(hansenDistance(a, a)).toBe(0);
        expect(direct).toBeLessThanOrEqual(hansenDistance(a, c) + hansenDistance(c, b) + 1e-9);
        expect(hansenDistance(a, { ...a, dD: a.dD + step })).toBeCloseTo(2 * step, 9);
        expect(hansenDistance(a, { ...a, dH: a.dH + step })).toBeCloseTo(step, 9);
      }),
      { seed: 2, numRuns: 200 },
    );
  });

  it("substance › found by number and by name; anything else is one typed error [oracle: brute force, hostile input]", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...substances),
        fc.oneof(oddName, fc.anything({ withNullPrototype: true })),
        (own, odd) => {
          expect(substance(own.cas)).toBe(own);
          expect(substance(own.name)).toBe(own);
          expect(codeOr(() => substance(odd as string))).toEqual({ code: "materials/unknown-substance" });
        },
      ),
      { seed: 3, numRuns: 150 },
    );
  });

  it("vapourScreen, ppmToMgPerM3 › the share in the air turned back into a mass is all that evaporated [oracle: inverse, mass balance]", () => {
    const weighed = substances.filter(({ molarMass }) => molarMass !== undefined);
    fc.assert(
      fc.property(
        fc.constantFrom(...weighed),
        within(0.01, 5000),
        within(1, 500),
        within(1, 20),
        (own, grams, room, k) => {
          const { ppm, issues } = vapourScreen(own.cas, grams, room);
          expect((ppmToMgPerM3(ppm, own.molarMass!) * room) / 1000 / grams).toBeCloseTo(1, 9);
          const more = vapourScreen(own.cas, grams * k, room);
          expect(more.ppm / ppm / k).toBeCloseTo(1, 9);
          expect(vapourScreen(own.cas, grams, room * k).ppm).toBeLessThanOrEqual(ppm);
          if (issues.length > 0) expect(more.issues.length).toBeGreaterThan(0);
        },
      ),
      { seed: 4, numRuns: 200 },
    );
  });

  it("vapourScreen › an amount or a room that is none is one typed error [oracle: hostile input]", () => {
    fc.assert(
      fc.property(fc.constantFrom(...substances), fc.anything(), fc.anything(), ({ cas }, grams, room) => {
        const fair = (value: unknown, low: number) =>
          typeof value === "number" && value >= low && value <= 100_000;
        const answer = codeOr(() => vapourScreen(cas, grams as number, room as number));
        if (fair(grams, 0) && fair(room, 0.1)) expect(answer).toHaveProperty("ppm");
        else expect(answer).toEqual({ code: "materials/bad-measure" });
      }),
      { seed: 5, numRuns: 200 },
    );
  });
});

describe("CAS numbers", () => {
  const body = fc.tuple(fc.integer({ min: 10, max: 9_999_999 }), fc.integer({ min: 0, max: 99 }));
  const digitSum = (whole: number) => [...String(whole)].reduce((sum, digit) => sum + Number(digit), 0);

  it("casCheckDigit, isCasNumber › of the ten endings exactly the check digit passes [oracle: digit sums of n, n/10, n/100, … add to the weighted sum]", () => {
    fc.assert(
      fc.property(body, ([long, short]) => {
        const text = (digit: number) => `${long}-${String(short).padStart(2, "0")}-${digit}`;
        let sum = 0;
        for (let rest = long * 100 + short; rest > 0; rest = Math.floor(rest / 10)) sum += digitSum(rest);
        const passing = Array.from({ length: 10 }, (_, digit) => digit).filter((digit) =>
          isCasNumber(text(digit)),
        );
        expect(passing).toEqual([sum % 10]);
        expect(casCheckDigit(text(0))).toBe(sum % 10);
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it("casCheckDigit, isCasNumber › a text of another form has none [oracle: hostile input]", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          body.map(([a, b]) => `${a}-${b}-`),
          body.map(([a]) => `${a}`),
        ),
        (text) => {
          if (/^\d{2,7}-\d\d-\d$/.test(text)) return;
          expect(casCheckDigit(text)).toBeUndefined();
          expect(isCasNumber(text)).toBe(false);
        },
      ),
      { seed: 2, numRuns: 200 },
    );
  });

  it("isCasNumber › every number of the tables passes [oracle: CAS registry numbers of the data]", () => {
    const numbers = catalogue.flatMap(({ components }) => (components ?? []).map(({ cas }) => cas));
    fc.assert(
      fc.property(fc.constantFrom(...numbers), fc.integer({ min: 1, max: 9 }), (cas, by) => {
        expect(isCasNumber(cas)).toBe(true);
        const wrong = (Number(cas.at(-1)) + by) % 10;
        expect(isCasNumber(cas.slice(0, -1) + wrong)).toBe(false);
      }),
      { seed: 3, numRuns: 100 },
    );
  });
});

import { describe, expect, it } from "vitest";
import {
  allowedWaistPressure,
  backRiseExtra,
  bandagePressure,
  checkMovement,
  checkOpening,
  checkPressure,
  ellipseGirth,
  foamStripLength,
  hemGirthForStep,
  isPeltryError,
  jointFrontExtra,
  negativeEase,
  paddedGirth,
  paddingThickness,
  pressureFromMmHg,
  readStretchTest,
  reductionFromStrain,
  sittingHipGirth,
  strainFromReduction,
  stretchClass,
  stretchedGirth,
  superellipseExponent,
  superellipseGirth,
  tensionForPressure,
  tubePressure,
  wearingEase,
  wornStrain,
} from "@peltry/measure";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};

describe("tubePressure", () => {
  it.each([
    [0.5, 600, 523.598775598, 3.92731322736, 5.33922160573],
    [1, 390, 1611.07315569, 12.0840406996, 16.4283741715],
    [1, 225, 2792.52680319, 20.9456705459, 28.4758485639],
    [2, 225, 5585.05360638, 41.8913410919, 56.9516971278],
  ])("of %d N/cm round %d mm [oracle: Laplace, P = 2πT/G]", (tension, girth, pascal, mmHg, gf) => {
    const pressure = tubePressure(tension, girth);
    expect(pressure.kPa).toBeCloseTo(pascal / 1000, 9);
    expect(pressure.mmHg).toBeCloseTo(mmHg, 8);
    expect(pressure.gfPerCm2).toBeCloseTo(gf, 8);
    expect(tensionForPressure(pressure.mmHg, girth)).toBeCloseTo(tension, 12);
  });
  it("doubles with a second layer [oracle: metamorphic]", () => {
    expect(tubePressure(1, 390, 2).kPa).toBeCloseTo(2 * tubePressure(1, 390).kPa, 12);
  });
  it("agrees with the bandage formula, K = 4620 to 4622 [oracle: Thomas 2003, World Wide Wounds]", () => {
    expect(bandagePressure(1, 1, 1, 1).mmHg).toBeCloseTo(4621.65435133, 6);
    expect(Math.abs(bandagePressure(0.5, 2, 24, 10).mmHg / ((4620 * 0.5 * 2) / (24 * 10)) - 1)).toBeLessThan(
      0.0004,
    );
  });
  it("converts units [oracle: definitions of mmHg and gf]", () => {
    expect(pressureFromMmHg(32).kPa).toBeCloseTo(4.26631639728, 9);
    expect(pressureFromMmHg(14.7111827055).gfPerCm2).toBeCloseTo(20, 8);
  });
  it("agrees with the kPa printed beside the medical classes [oracle: RAL-GZ 387]", () => {
    for (const [mmHg, kPa] of [
      [18, 2.4],
      [21, 2.8],
      [23, 3.1],
      [32, 4.3],
      [34, 4.5],
      [46, 6.1],
      [49, 6.5],
    ]) {
      expect(Math.abs(pressureFromMmHg(mmHg).kPa - kPa)).toBeLessThan(0.06);
    }
  });
  it("refuses a girth of nothing", () => {
    expect(codeOf(() => tubePressure(1, 0))).toBe("measure/bad-number");
    expect(codeOf(() => tubePressure(NaN, 300))).toBe("measure/bad-number");
  });
});

describe("checkPressure", () => {
  const codes = (part: Parameters<typeof checkPressure>[0]) =>
    checkPressure(part).issues.map((issue) => issue.code);
  it("warns above 10 mmHg and stops above 18 [oracle: RAL-GZ 387 class I from 18]", () => {
    const at = (mmHg: number) => ({ tension: tensionForPressure(mmHg, 390), girth: 390 });
    expect(codes(at(9.9))).toEqual([]);
    expect(codes(at(10.1))).toEqual(["measure/pressure-all-day"]);
    expect(codes(at(18.1))).toEqual(["measure/pressure-too-high"]);
    expect(codes({ ...at(9.5), overJoint: true })).toEqual(["measure/pressure-too-high"]);
    expect(codes({ ...at(6), bandWidth: 20 })).toEqual(["measure/pressure-all-day"]);
  });
  it("does not warn of what wearers of ordinary waistbands have [oracle: J. Japan Soc. Physiol. Anthropol. 12(1):12]", () => {
    for (const kPa of [0.74, 1.18])
      expect(codes({ tension: tensionForPressure((kPa * 1000) / 133.322, 800), girth: 800 })).toEqual([]);
  });
  it("knows what wearers allow themselves by age [oracle: 26.6 mmHg at 20, 9.4 at 80 as published]", () => {
    expect(allowedWaistPressure(20)).toBeCloseTo(26.6, 1);
    expect(allowedWaistPressure(80)).toBeCloseTo(9.4, 1);
    expect(codeOf(() => allowedWaistPressure(8))).toBe("measure/bad-number");
  });
});

describe("negativeEase", () => {
  it.each([
    [0.05, 4.7619047619, 952.380952381],
    [0.1, 9.09090909091, 909.090909091],
    [0.2, 16.6666666667, 833.333333333],
    [0.25, 20, 800],
    [0.4, 28.5714285714, 714.285714286],
    [0.6, 37.5, 625],
  ])("for a strain of %d [oracle: cut = G/(1+e)]", (strain, reduction, cut) => {
    const ease = negativeEase(1000, strain);
    expect(ease.cutGirth).toBeCloseTo(cut, 8);
    expect(100 * ease.reduction).toBeCloseTo(reduction, 9);
    expect(ease.ease).toBeCloseTo(cut - 1000, 8);
    expect(stretchedGirth(ease.cutGirth, strain)).toBeCloseTo(1000, 9);
    expect(wornStrain(ease.cutGirth, 1000)).toBeCloseTo(strain, 12);
  });
  it.each([
    [0.05, 5.26315789474],
    [0.1, 11.1111111111],
    [0.15, 17.6470588235],
    [0.2, 25],
  ])("a reduction of %d is a strain of %d %% [oracle: e = r/(1−r)]", (reduction, percent) => {
    expect(100 * strainFromReduction(reduction)).toBeCloseTo(percent, 9);
    expect(reductionFromStrain(percent / 100)).toBeCloseTo(reduction, 12);
  });
  it("refuses numbers that are none", () => {
    expect(codeOf(() => negativeEase(NaN, 0.1))).toBe("measure/bad-number");
    expect(codeOf(() => strainFromReduction(1))).toBe("measure/bad-number");
    expect(codeOf(() => reductionFromStrain(-1))).toBe("measure/bad-number");
    expect(codeOf(() => stretchedGirth(-1, 0))).toBe("measure/bad-number");
    expect(codeOf(() => wornStrain(0, 5))).toBe("measure/bad-number");
  });
});

describe("readStretchTest", () => {
  it("gives stretch, recovery and growth [oracle: terms of ASTM D2594]", () => {
    const test = readStretchTest(100, 150, 104);
    expect(test.stretch).toBeCloseTo(0.5, 12);
    expect(test.recovery).toBeCloseTo(0.92, 12);
    expect(test.growth).toBeCloseTo(0.04, 12);
  });
  it("refuses a strip that does not stretch", () => {
    expect(codeOf(() => readStretchTest(100, 100, 100))).toBe("measure/bad-stretch-test");
  });
  it("classes knits as taught [oracle: common practice, no source]", () => {
    expect([0.1, 0.2, 0.27, 0.45, 0.8].map(stretchClass)).toEqual([
      "firm",
      "stable",
      "moderate",
      "stretchy",
      "super-stretch",
    ]);
    expect(codeOf(() => stretchClass(-1))).toBe("measure/bad-number");
  });
});

describe("ease", () => {
  it("is in whole inches of the source [oracle: Central Washington University costume text ch. 16]", () => {
    expect(wearingEase("seat")).toMatchObject({ low: Math.round(1.5 * 25.4), high: Math.round(2 * 25.4) });
    expect(wearingEase("waist").low).toBe(Math.round(0.75 * 25.4));
    expect(wearingEase("thigh").low).toBe(Math.round(25.4));
    expect(codeOf(() => wearingEase("tail" as never))).toBe("measure/unknown-region");
  });
  it.each([
    [600, 900, 47.7464829276, 750],
    [390, 620, 36.6056369111, 505],
    [225, 360, 21.4859173174, 292.5],
  ])("of padding from %d to %d [oracle: Steiner]", (girth, target, thickness, strip) => {
    expect(paddingThickness(girth, target)).toBeCloseTo(thickness, 9);
    expect(paddedGirth(girth, thickness)).toBeCloseTo(target, 8);
    expect(foamStripLength(girth, thickness)).toBeCloseTo(strip, 8);
  });
  it("refuses padding that takes away", () => {
    expect(codeOf(() => paddingThickness(600, 500))).toBe("measure/bad-number");
    expect(codeOf(() => paddedGirth(600, -1))).toBe("measure/bad-number");
    expect(codeOf(() => foamStripLength(NaN, 1))).toBe("measure/bad-number");
  });
  it("of a sitting hip: both sides grow with the breadth [oracle: data of Gordon et al. 2014]", () => {
    expect(sittingHipGirth(1020, 354, "female")).toBeCloseTo(1020 + 2 * 354 * 0.128, 9);
    expect(codeOf(() => sittingHipGirth(-1, 300))).toBe("measure/bad-number");
  });
});

describe("checkOpening", () => {
  it("wants a zip where the heel does not pass [oracle: a slit of v adds 2v]", () => {
    const tight = checkOpening({ girth: 230, stretch: 0.25, passes: [{ name: "the heel", girth: 343 }] });
    expect(tight.fits).toBe(false);
    expect(tight.reach).toBeCloseTo(287.5, 9);
    expect(tight.issues[0].code).toBe("measure/opening-too-small");
    const mended = checkOpening({
      girth: 230,
      stretch: 0.25,
      vent: 2 * tight.ventLength,
      passes: [{ name: "the heel", girth: 343 }],
    });
    expect(mended).toMatchObject({ fits: true, issues: [] });
  });
  it("needs half as much again as the ankle at the heel [oracle: heel over ankle 1.50, data of Gordon et al. 2014]", () => {
    const check = checkOpening({
      girth: 229.3,
      passes: [
        { name: "heel", girth: 343.5 },
        { name: "ball", girth: 252 },
      ],
    });
    expect(check.needed).toBe(343.5);
    expect(check.strain).toBeCloseTo(0.5, 2);
  });
  it("refuses an opening that nothing passes", () => {
    expect(codeOf(() => checkOpening({ girth: 230, passes: [] }))).toBe("measure/nothing-passes");
    // The first thing in the list was once not looked at.
    const first = [{ name: "the heel", girth: NaN }];
    expect(codeOf(() => checkOpening({ girth: 230, passes: first }))).toBe("measure/bad-number");
  });
});

describe("movement", () => {
  it.each([
    [386, 90, 96.5],
    [386, 120, 128.666666667],
    [365, 120, 121.666666667],
  ])("a joint of %d mm bent by %d° needs %d mm more in front [oracle: rθ]", (girth, bend, extra) => {
    expect(jointFrontExtra(girth, bend)).toBeCloseTo(extra, 8);
  });
  it("at the knee is near the skin strain measured there [oracle: Kirk & Ibrahim 1966, from memory: 35 to 45 %]", () => {
    const strain = jointFrontExtra(386, 120) / 300;
    expect(strain).toBeGreaterThan(0.35);
    expect(strain).toBeLessThan(0.45);
  });
  it("wants a hem for a step [oracle: 2 s (H − h)/H + leg]", () => {
    expect(hemGirthForStep({ step: 700, hemHeight: 100, hipHeight: 900, legGirth: 225 })).toBeCloseTo(
      1469.444444,
      5,
    );
    expect(codeOf(() => hemGirthForStep({ step: 700, hemHeight: 950, hipHeight: 900, legGirth: 225 }))).toBe(
      "measure/bad-number",
    );
  });
  it("of firm cloth is short in a crouch, of stretch cloth with ease it is not [oracle: metamorphic]", () => {
    const base = { pose: "crouch", kneeGirth: 440, hip: 1010, hipBreadth: 350 } as const;
    const firm = checkMovement({ ...base, stretch: { along: 0.02, across: 0.05 } });
    expect(firm.issues.map((issue) => issue.at.path![0])).toEqual(["knee front", "seat", "back rise"]);
    const needs = Object.fromEntries(firm.needs.map((need) => [need.place, need.short]));
    const eased = checkMovement({
      ...base,
      stretch: { along: 0.02, across: 0.05 },
      ease: { kneeFront: needs["knee front"], seat: needs.seat, backRise: needs["back rise"] },
    });
    expect(eased.issues).toEqual([]);
    expect(checkMovement({ ...base, pose: "stride", stretch: { along: 0.3, across: 0.3 } }).issues).toEqual(
      [],
    );
  });
  it("refuses shares that are no length: they once passed for enough", () => {
    const stretch = { along: 0.3, across: 0.3 };
    const given = { pose: "crouch", kneeGirth: 386, hip: 1000, hipBreadth: 350, stretch } as const;
    expect(codeOf(() => checkMovement({ ...given, kneeShare: NaN }))).toBe("measure/bad-number");
    expect(codeOf(() => checkMovement({ ...given, backShare: NaN }))).toBe("measure/bad-number");
    expect(codeOf(() => checkMovement({ ...given, sex: "x" as never }))).toBe("measure/bad-sex");
  });
  it("up the back is a quarter turn of half the hip's depth on sitting [oracle: arc length]", () => {
    expect(backRiseExtra(240, 90)).toBeCloseTo((Math.PI / 2) * 120, 9);
    expect(codeOf(() => backRiseExtra(240, 400))).toBe("measure/bad-number");
    expect(codeOf(() => jointFrontExtra(-1, 10))).toBe("measure/bad-number");
    expect(
      codeOf(() =>
        checkMovement({
          pose: "fly" as never,
          kneeGirth: 1,
          hip: 1,
          hipBreadth: 1,
          stretch: { along: 0, across: 0 },
        }),
      ),
    ).toBe("measure/unknown-pose");
  });
});

describe("section girths", () => {
  it.each([
    [100, 100, 628.318530718],
    [100, 77.4, 559.582113611],
    [163.2, 118.9, 891.715554361],
    [100, 50, 484.422411027],
    [100, 20, 420.200890794],
    [100, 0, 400],
  ])("ellipse %d by %d [oracle: 4aE(m)]", (a, b, girth) => {
    expect(ellipseGirth(a, b)).toBeCloseTo(girth, 8);
    expect(ellipseGirth(b, a)).toBeCloseTo(girth, 8);
  });
  it("ellipse against a series [oracle: Ramanujan II, 1914]", () => {
    const [a, b] = [163.2, 118.9];
    const h = ((a - b) / (a + b)) ** 2;
    expect(ellipseGirth(a, b)).toBeCloseTo(
      Math.PI * (a + b) * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h))),
      8,
    );
  });
  it.each([
    [2, 538.236898145],
    [2.5, 559.768303161],
    [3, 576.0545],
    [4, 598.5364],
  ])(
    "superellipse 100 by 70, exponent %d [oracle: independent computation by 200,000 chords]",
    (power, girth) => {
      expect(Math.abs(superellipseGirth(100, 70, power) / girth - 1)).toBeLessThan(2e-6);
    },
  );
  it.each([
    ["waist, men", 0.7269, 1.0544, 2.71295739842],
    ["waist, women", 0.7095, 1.061, 2.82858632106],
    ["hip, men", 0.7105, 1.0895, 3.39552650262],
    ["hip, women", 0.6583, 1.0966, 3.6136827329],
    ["head, men", 0.7744, 1.0291, 2.34018410611],
    ["head, women", 0.7794, 1.054, 2.69417017675],
  ])(
    "exponent of the mean %s [oracle: independent computation on Gordon et al. 2014]",
    (_what, depth, ratio, exponent) => {
      expect(superellipseExponent(depth, ratio)).toBeCloseTo(exponent, 4);
    },
  );
  it("refuses what no superellipse has", () => {
    expect(codeOf(() => superellipseExponent(0.7, 1.9))).toBe("measure/no-exponent");
    expect(codeOf(() => superellipseGirth(1, 1, 0.5))).toBe("measure/bad-number");
    expect(codeOf(() => ellipseGirth(-1, 1))).toBe("measure/bad-number");
  });
});

import { describe, expect, it } from "vitest";
import { completeMeasures, isPeltryError, LEG_TARGETS, surveyRange, type MeasureKey } from "@peltry/measure";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};

// Ordinary least squares on the raw public data, a separate computation: intercept, then mm or kg slopes, and the
// standard error of the estimate. Gordon et al. 2014, NATICK/TR-15/007 (II) and 1989, NATICK/TR-89/044 (I).
const REGRESSIONS: readonly (readonly [
  string,
  "male" | "female",
  MeasureKey,
  number,
  Partial<Record<MeasureKey, number>>,
  number,
])[] = [
  [
    "II",
    "male",
    "upperThigh",
    276.79,
    { stature: -0.16041, weightKg: 2.1693, waistNavel: -0.12377, hip: 0.55023 },
    17.2,
  ],
  [
    "II",
    "female",
    "upperThigh",
    261.65,
    { stature: -0.15115, weightKg: 2.6135, waistNavel: -0.096194, hip: 0.49583 },
    17.0,
  ],
  ["II", "male", "calf", 350.96, { stature: -0.068447, weightKg: 1.8884 }, 16.1],
  [
    "II",
    "female",
    "calf",
    461.49,
    { stature: -0.12397, weightKg: 3.6238, waistNavel: -0.15411, hip: 0.00077264 },
    15.3,
  ],
  ["II", "male", "ankleNarrow", 153.09, { stature: 0.0079111, weightKg: 0.72914 }, 10.1],
  ["II", "female", "footLength", 37.855, { stature: 0.11804, weightKg: 0.23932 }, 8.3],
  ["II", "male", "insideLeg", -209.57, { stature: 0.61999, weightKg: -0.38981 }, 23.4],
  [
    "II",
    "female",
    "kneeHeight",
    -16.122,
    { stature: 0.063027, weightKg: 0.14897, waistNavel: 0.015464, hip: -0.010396, insideLeg: 0.44706 },
    9.2,
  ],
  [
    "I",
    "male",
    "knee",
    194.53,
    { stature: -0.0030609, weightKg: 1.3355, waistNavel: -0.039322, hip: 0.1284 },
    10.5,
  ],
  [
    "I",
    "female",
    "knee",
    269.39,
    { stature: -0.043441, weightKg: 2.6506, waistNavel: -0.071794, hip: 0.061057 },
    12.3,
  ],
  ["I", "female", "calfHeight", -89.079, { stature: 0.24204, weightKg: 0.17478 }, 17.7],
  [
    "I",
    "male",
    "glutealFoldHeight",
    69.721,
    { stature: 0.051762, weightKg: 0.81724, waistNavel: 0.041104, hip: -0.15323, insideLeg: 0.84206 },
    13.3,
  ],
];

describe("completeMeasures › estimates", () => {
  it.each(REGRESSIONS)(
    "agree with a regression on the raw data: %s %s %s [oracle: independent computation, Gordon et al. 2014 and 1989]",
    (_survey, sex, target, intercept, slopes, error) => {
      const known =
        sex === "male"
          ? { stature: 1780, weightKg: 80, waistNavel: 860, hip: 1000, insideLeg: 850 }
          : { stature: 1650, weightKg: 65, waistNavel: 780, hip: 990, insideLeg: 790 };
      const given = Object.fromEntries(
        Object.keys(slopes).map((key) => [key, known[key as keyof typeof known]]),
      );
      const expected = Object.entries(slopes).reduce(
        (sum, [key, slope]) => sum + slope! * known[key as keyof typeof known],
        intercept,
      );
      const measure = completeMeasures(given, { sex }).measures[target]!;
      expect(measure.origin).toBe("estimated");
      expect(Math.abs(measure.value - expected)).toBeLessThan(0.5);
      expect(Math.abs(measure.standardError - error)).toBeLessThan(0.3);
    },
  );

  it("give the figures of a solve in another language [oracle: independent computation, Gordon et al. 2014]", () => {
    const { measures } = completeMeasures(
      { stature: 1780, weightKg: 80, waistNavel: 860, hip: 1000 },
      { sex: "male" },
    );
    const expected: [MeasureKey, number, number][] = [
      ["upperThigh", 608.6, 17.2],
      ["calf", 383.7, 15.3],
      ["ankleNarrow", 227.7, 9.6],
      ["insideLeg", 863.9, 23.0],
      ["kneeHeight", 496.1, 15.5],
    ];
    for (const [key, value, error] of expected) {
      expect(measures[key]!.value).toBeCloseTo(value, 0);
      expect(measures[key]!.standardError).toBeCloseTo(error, 0);
    }
  });

  it("of a median body are the published medians within half a standard error [oracle: percentiles, Gordon et al. 2014]", () => {
    // P50 of men and women.
    const published: [MeasureKey, number, number][] = [
      ["upperThigh", 624, 613],
      ["lowerThigh", 408, 398],
      ["calf", 392, 372],
      ["ankleNarrow", 228, 215],
      ["heelAnkle", 343, 310],
      ["footLength", 271, 246],
      ["insideLeg", 845, 780],
      ["kneeHeight", 487, 448],
      ["hip", 1017, 1018],
    ];
    const men = completeMeasures({ stature: 1755, weightKg: 84.6 }, { sex: "male" }).measures;
    const women = completeMeasures({ stature: 1626, weightKg: 66.8 }, { sex: "female" }).measures;
    for (const [key, man, woman] of published) {
      expect(Math.abs(men[key]!.value - man)).toBeLessThan(0.5 * men[key]!.standardError);
      expect(Math.abs(women[key]!.value - woman)).toBeLessThan(0.5 * women[key]!.standardError);
    }
  });

  it("stay near a regression of both sexes together when none is given [oracle: independent computation]", () => {
    const [stature, weightKg, waistNavel, hip] = [1700, 72, 850, 1000];
    const { measures } = completeMeasures({ stature, weightKg, waistNavel, hip });
    const thigh = 241.25 - 0.14782 * stature + 2.1071 * weightKg - 0.10321 * waistNavel + 0.54982 * hip;
    const calf = 401.85 - 0.11138 * stature + 2.5509 * weightKg - 0.13019 * waistNavel + 0.089344 * hip;
    expect(Math.abs(measures.upperThigh.value - thigh)).toBeLessThan(8);
    expect(Math.abs(measures.calf.value - calf)).toBeLessThan(8);
  });

  it("follow a power of the body mass outside the survey [oracle: power law fitted apart on the same data]", () => {
    const at = (weightKg: number) => completeMeasures({ stature: 1755, weightKg }, { sex: "male" });
    const heavy = at(150);
    expect(heavy.scale).toBe("log");
    // Thigh = 2727.9 H^-0.5382 W^0.5733, men.
    expect(
      Math.abs(heavy.measures.upperThigh.value / (2727.9 * 1755 ** -0.5382 * 150 ** 0.5733) - 1),
    ).toBeLessThan(0.01);
    expect(at(85).scale).toBe("linear");
  });

  it("know a measure better the more is known [oracle: invariant]", () => {
    const sets = [
      {},
      { stature: 1700 },
      { stature: 1700, weightKg: 70 },
      { stature: 1700, weightKg: 70, insideLeg: 800 },
    ];
    const errors = sets.map(
      (known) => completeMeasures(known, { sex: "female" }).measures.kneeHeight.standardError,
    );
    for (let i = 1; i < errors.length; i++) expect(errors[i]).toBeLessThanOrEqual(errors[i - 1] + 1e-9);
    expect(errors[3]).toBeLessThan(10);
  });

  it("do not depend on the order of what is known [oracle: metamorphic]", () => {
    const known = { stature: 1660, weightKg: 61, knee: 350, waistNatural: 700, footLength: 240 };
    const turned = Object.fromEntries(Object.entries(known).reverse());
    const [a, b] = [completeMeasures(known).measures, completeMeasures(turned).measures];
    for (const key of Object.keys(a) as MeasureKey[]) expect(b[key]!.value).toBeCloseTo(a[key]!.value, 6);
  });

  it("take what only the older survey holds into account [oracle: invariant]", () => {
    const base = { stature: 1660, weightKg: 61 };
    const plain = completeMeasures(base, { sex: "female" }).measures;
    const wide = completeMeasures({ ...base, knee: 400 }, { sex: "female" }).measures;
    expect(wide.lowerThigh.value).toBeGreaterThan(plain.lowerThigh.value);
    expect(wide.lowerThigh.standardError).toBeLessThan(plain.lowerThigh.standardError);
  });

  it("are the body rise for waist height less inside leg [oracle: definition]", () => {
    const { measures } = completeMeasures({ waistNaturalHeight: 1050, insideLeg: 780 }, { sex: "female" });
    expect(measures.bodyRiseNatural.value).toBeCloseTo(270, 6);
    expect(measures.bodyRiseNatural.standardError).toBeLessThan(1e-3);
  });
});

describe("completeMeasures › taken measures", () => {
  it("pass through with their reading error [oracle: definition]", () => {
    const { measures } = completeMeasures({ calf: 372, ankleBones: 250 });
    expect(measures.calf).toMatchObject({ value: 372, origin: "taken" });
    expect(measures.calf.standardError).toBeGreaterThan(0);
    expect(measures.calf.standardError).toBeLessThan(5);
    expect(measures.ankleBones!.value).toBe(250);
    expect(measures.lowerKnee).toBeUndefined();
  });

  it("ask again for readings that differ by more than the observer error [oracle: Gordon et al. 1989, from memory]", () => {
    const apart = completeMeasures({ calf: [370, 377], upperThigh: [560, 565] });
    expect(apart.issues.map((issue) => issue.code)).toEqual(["measure/readings-differ"]);
    expect(apart.retake).toEqual(["calf"]);
    expect(apart.measures.calf.value).toBe(373.5);
  });

  it("are doubted where a calf is wider than the thigh [oracle: anatomy]", () => {
    const { issues, retake } = completeMeasures(
      { stature: 1700, weightKg: 70, upperThigh: 590, calf: 620 },
      { sex: "female" },
    );
    expect(issues.map((issue) => issue.code)).toContain("measure/contradiction");
    expect(retake[0]).toBe("calf");
  });

  it("are doubted where two heights cross [oracle: anatomy]", () => {
    const { issues, retake } = completeMeasures({ stature: 1700, insideLeg: 780, kneeHeight: 800 });
    expect(issues.map((issue) => issue.code)).toContain("measure/heights-cross");
    expect(retake[0]).toBe("kneeHeight");
  });

  it("are doubted one at a time: one slip does not accuse its neighbours [oracle: invariant]", () => {
    const honest = {
      stature: 1700,
      weightKg: 70,
      hip: 1010,
      upperThigh: 610,
      knee: 380,
      calf: 378,
      insideLeg: 815,
    };
    expect(completeMeasures(honest, { sex: "female" }).retake).toEqual([]);
    expect(completeMeasures({ ...honest, knee: 480 }, { sex: "female" }).retake).toEqual(["knee"]);
  });

  it("outside the 1st to 99th percentile are pointed out [oracle: percentiles, Gordon et al. 2014]", () => {
    const range = surveyRange("stature", "male")!;
    expect([Math.round(range.low), Math.round(range.high)]).toEqual([1602, 1927]);
    const codes = (stature: number) =>
      completeMeasures({ stature }, { sex: "male" }).issues.map((issue) => issue.code);
    expect(codes(1930)).toEqual(["measure/outside-survey"]);
    expect(codes(1925)).toEqual([]);
  });
});

describe("completeMeasures › next measure", () => {
  it("is the inside leg once height, weight, waist and hip are known [oracle: its own error model, by trying it]", () => {
    for (const sex of ["male", "female"] as const) {
      const known = { stature: 1690, weightKg: 72, waistNavel: 850, hip: 1000 };
      const { next, measures } = completeMeasures(known, { sex });
      expect(next!.measure).toBe("insideLeg");
      // Brute force: pretend to take each candidate at its expected value and add the errors up.
      const total = (key?: MeasureKey): number => {
        const more = key ? { [key]: measures[key]!.value } : {};
        const after = completeMeasures({ ...known, ...more }, { sex }).measures;
        return LEG_TARGETS.reduce(
          (sum, target) => sum + (target === key ? 0 : after[target]!.standardError ** 2),
          0,
        );
      };
      const best = total("insideLeg");
      for (const other of ["calf", "footLength", "lowerThigh", "upperThigh"] as MeasureKey[])
        expect(total(other)).toBeGreaterThan(best);
      expect(next!.errorThen).toBeLessThan(next!.errorNow);
    }
  });

  it("is none when every target is taken [oracle: definition]", () => {
    expect(completeMeasures({ calf: 370 }, { targets: ["calf"] }).next).toBeUndefined();
  });
});

describe("completeMeasures › refuses", () => {
  it.each([
    ["anyone under 17", () => completeMeasures({ stature: 1500 }, { age: 16 }), "measure/under-17"],
    [
      "an age in the measures under 17",
      () => completeMeasures({ stature: 1500, age: 12 }),
      "measure/under-17",
    ],
    ["an age that is no number", () => completeMeasures({}, { age: NaN }), "measure/bad-age"],
    ["a sex that names no survey", () => completeMeasures({}, { sex: "x" as "male" }), "measure/bad-sex"],
    ["centimetres", () => completeMeasures({ stature: 178 }), "measure/implausible"],
    ["inches", () => completeMeasures({ insideLeg: 31 }), "measure/implausible"],
    ["a number that is none", () => completeMeasures({ calf: NaN }), "measure/not-a-number"],
    ["a negative girth", () => completeMeasures({ calf: -370 }), "measure/not-positive"],
    ["a name nobody knows", () => completeMeasures({ tailGirth: 300 }), "measure/unknown-key"],
    ["a waist that could be any of three", () => completeMeasures({ waist: 800 }), "measure/unclear-key"],
    ["an ankle that could be either", () => completeMeasures({ ankle: 220 }), "measure/unclear-key"],
    [
      "two names for one measure",
      () => completeMeasures({ thigh: 600, upperThigh: 600 }),
      "measure/duplicate-key",
    ],
    ["a list in place of measures", () => completeMeasures([] as never), "measure/not-measures"],
    [
      "names of the object prototype",
      () => completeMeasures(JSON.parse('{"__proto__": 5}')),
      "measure/unknown-key",
    ],
    ["work that was cancelled", () => completeMeasures({}, { signal: { aborted: true } }), "work/cancelled"],
  ] as const)("%s", (_what, run, code) => {
    expect(codeOf(run)).toBe(code);
  });

  it("nobody of 17 or more [oracle: survey minimum age]", () => {
    expect(codeOf(() => completeMeasures({ stature: 1700 }, { age: 17 }))).toBe("none");
  });
});

describe("completeMeasures › result", () => {
  it("is plain data and the same each time [oracle: invariant]", () => {
    const known = { stature: "5 ft 7 in", weight: "64 kg", waist_natural: 720, hipMm: 970 };
    const a = completeMeasures(known);
    expect(structuredClone(a)).toEqual(a);
    expect(JSON.stringify(completeMeasures(known))).toBe(JSON.stringify(a));
    expect(a.measures.stature.value).toBeCloseTo(1701.8, 9);
    expect(known).toEqual({ stature: "5 ft 7 in", weight: "64 kg", waist_natural: 720, hipMm: 970 });
  });
});

import { describe, expect, it } from "vitest";
import {
  clothingAreaFactor,
  clothingFlammabilityClass,
  CLO,
  draperyTestMethod,
  duckMassPerArea,
  ensembleInsulation,
  GSM_PER_OZ_YD2,
  hansenDistance,
  insulationBand,
  isPeltryError,
  KG_M3_PER_LB_FT3,
  KPA_PER_PSI,
  massAndWarmth,
  material,
  N_CM_PER_LBF_IN,
  N_PER_LBF,
  ppmToMgPerM3,
  requireHeatModelRange,
  resolveValue,
  substance,
  substances,
  TOG,
  totalInsulation,
  vapourScreen,
} from "../src/index";

const codeOf = (work: () => unknown) => {
  try {
    work();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
  }
  return "nothing thrown";
};

describe("units", () => {
  it("unit factors › 10 oz/yd², 1.8 lb/ft³, 36 lbf, 1 lbf/in, 1 psi [oracle: independent computation: UCUM libraries and mathjs]", () => {
    expect(10 * GSM_PER_OZ_YD2).toBeCloseTo(339.05747, 4);
    expect(1.8 * KG_M3_PER_LB_FT3).toBeCloseTo(28.8332, 4);
    expect(36 * N_PER_LBF).toBeCloseTo(160.136, 3);
    expect(N_CM_PER_LBF_IN).toBeCloseTo(1.75127, 5);
    expect(KPA_PER_PSI).toBeCloseTo(6.89476, 5);
    // 36 lbf on the 323 cm² indentor of ASTM D3574.
    expect(((36 * N_PER_LBF) / 323) * 10).toBeCloseTo(4.96, 2);
  });

  it("duckMassPerArea › numbers 1 to 12 [oracle: published value: sizes.com, duck]", () => {
    const ounces = { 1: 29.45, 4: 24.55, 6: 21.27, 8: 18.0, 10: 14.73, 12: 11.45 };
    for (const [number, oz] of Object.entries(ounces))
      expect(duckMassPerArea(Number(number)) / GSM_PER_OZ_YD2).toBeCloseTo(oz, 2);
    for (const n of [8, 10, 12])
      expect(resolveValue(material(`cotton-duck-${n}`), "massPerArea")!.value).toBe(
        Math.round(duckMassPerArea(n)),
      );
  });

  it("ppmToMgPerM3 › agrees with the printed pairs within 2 % [oracle: published value: OSHA, NIOSH, ACGIH]", () => {
    const printed: [string, number, number][] = [
      ["toluene", 200, 750],
      ["n-hexane", 50, 176],
      ["acetone", 250, 590],
      ["methyl ethyl ketone", 200, 590],
      ["ethyl 2-cyanoacrylate", 0.2, 1.02],
    ];
    for (const [name, ppm, mg] of printed) {
      const value = ppmToMgPerM3(ppm, substance(name).molarMass!);
      expect(Math.abs(value / mg - 1)).toBeLessThan(0.02);
    }
    // OSHA rounds 1032.6 to 1050.
    expect(ppmToMgPerM3(300, substance("cyclohexane").molarMass!)).toBeCloseTo(1032.6, 0);
  });

  it("hansenDistance › toluene is near polystyrene, acetone far [oracle: published value: Hansen's handbook; polystyrene from memory]", () => {
    const polystyrene = { dD: 18.5, dP: 4.5, dH: 2.9 };
    expect(hansenDistance(substance("toluene").hansen!, polystyrene)).toBeCloseTo(3.38, 2);
    expect(hansenDistance(substance("acetone").hansen!, polystyrene)).toBeCloseTo(9.4, 1);
  });
});

describe("vapour", () => {
  it("substances › 10 % of the lower flammable limit is the IDLH of three solvents [oracle: published value: NIOSH IDLH]", () => {
    for (const [name, idlh] of [
      ["n-hexane", 1100],
      ["cyclohexane", 1300],
      ["acetone", 2500],
    ] as const) {
      const { lowerFlammablePercent, limits } = substance(name);
      expect(limits.find(({ kind }) => kind === "IDLH")!.value).toBe(idlh);
      expect(lowerFlammablePercent!.max * 1000).toBeCloseTo(idlh, 6);
    }
  });

  it("substances › every limit names its body and year [oracle: invariant]", () => {
    for (const { limits } of substances)
      for (const limit of limits) {
        expect(limit.body).toBeTruthy();
        expect(limit.year).toBeTruthy();
      }
  });

  it("vapourScreen › 10 g into 30 m³ [oracle: closed form]", () => {
    const ppm = { toluene: 88.5, "n-hexane": 94.6, cyclohexane: 96.8, acetone: 140.3 };
    for (const [name, wanted] of Object.entries(ppm))
      expect(vapourScreen(name, 10, 30).ppm).toBeCloseTo(wanted, 0);
    expect(vapourScreen("toluene", 10, 30).issues).toHaveLength(1);
    expect(vapourScreen("110-54-3", 10, 30).issues).toHaveLength(1);
    expect(vapourScreen("acetone", 10, 30).issues).toHaveLength(0);
    // Nothing recorded is a warning, never a pass.
    expect(vapourScreen("nickel", 10, 30).issues).toHaveLength(1);
    expect(codeOf(() => vapourScreen("moonshine", 1, 1))).toBe("materials/unknown-substance");
    expect(codeOf(() => vapourScreen("acetone", -1, 1))).toBe("materials/bad-measure");
  });
});

describe("warmth", () => {
  it("ensembleInsulation › pelt coverall with four light pieces [oracle: published value: ISO 9920 summation]", () => {
    const icl = ensembleInsulation([1.13, 0.08, 0.04, 0.1, 0.06]);
    expect(icl).toBeCloseTo(1.33835, 5);
    expect(icl * CLO).toBeCloseTo(0.20744, 5);
    expect(clothingAreaFactor(icl)).toBeCloseTo(1.374738, 6);
    expect(totalInsulation(icl)).toBeCloseTo(1.84754, 5);
    expect(insulationBand(icl)).toBe("warm");
    expect(codeOf(() => ensembleInsulation([9]))).toBe("materials/bad-measure");
  });

  it("requireHeatModelRange › pile suits lie outside [oracle: published value: ISO 7933 Annex A]", () => {
    expect(requireHeatModelRange(0.5)).toBe(0.5);
    expect(codeOf(() => requireHeatModelRange(1.338))).toBe("materials/outside-heat-model");
  });

  it("TOG › 1 tog is 0.645 clo [oracle: definition]", () => {
    expect(TOG / CLO).toBeCloseTo(0.64516, 5);
  });

  it("massAndWarmth › 20 mm of the 33 kg/m³ foam [oracle: closed form]", () => {
    const found = massAndWarmth("xpe-foam-33", { areaM2: 0.5, thicknessMm: 20 });
    expect(found.massG!.value).toBeCloseTo(330, 6);
    expect(found.insulation!.value).toBeCloseTo(0.5, 9);
    expect(found.issues).toEqual([]);
  });

  it("massAndWarmth › what is unknown stays unknown and warns [oracle: invariant]", () => {
    const found = massAndWarmth("tulle", { areaM2: 1 });
    expect(found.massG).toBeUndefined();
    expect(found.insulation).toBeUndefined();
    expect(found.issues.map(({ code }) => code)).toEqual([
      "materials/mass-unknown",
      "materials/warmth-unknown",
    ]);
    expect(codeOf(() => massAndWarmth("tulle", { areaM2: NaN }))).toBe("materials/bad-measure");
  });
});

describe("foam and flame", () => {
  it("compression of the 33 kg/m³ foam rises with strain [oracle: published value: data sheet, EN ISO 3386-1]", () => {
    const points = material("xpe-foam-33").values.compressionStress!.map(({ conditions, typical }) => [
      conditions!.strainPercent,
      typical,
    ]);
    expect(points).toEqual([
      [25, 40],
      [40, 75],
      [50, 115],
      [60, 175],
    ]);
  });

  it("clothingFlammabilityClass › the borders of the rule [oracle: published value: 16 CFR 1610.4]", () => {
    const plain = (burnTimeS: number) => clothingFlammabilityClass({ surface: "plain", burnTimeS });
    const raised = (burnTimeS: number, baseBurn: boolean) =>
      clothingFlammabilityClass({ surface: "raised", burnTimeS, baseBurn });
    expect([plain(3.5), plain(3.4)]).toEqual([1, 3]);
    expect([
      raised(7.1, true),
      raised(7, true),
      raised(4, true),
      raised(3.9, true),
      raised(2, false),
    ]).toEqual([1, 2, 2, 3, 1]);
    for (let s = 0; s < 20; s += 0.1) expect(plain(s)).not.toBe(2);
  });

  it("draperyTestMethod › 700 g/m² and blackout linings [oracle: published value: NFPA 701 (2010) scope]", () => {
    expect([draperyTestMethod(700), draperyTestMethod(701), draperyTestMethod(200, true)]).toEqual([1, 2, 2]);
  });
});

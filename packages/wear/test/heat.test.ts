import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { checkHeat, isPeltryError, wbgt, wetBulb, workShare, type WorkClass } from "@peltry/wear";

const codeOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};

describe("workShare", () => {
  it("reads the published table [oracle: NIOSH 2016-106 / ACGIH screening table as reproduced by OSHA]", () => {
    expect(workShare(28, "light")).toBe("75-100");
    expect(workShare(28.1, "light")).toBe("50-75");
    expect(workShare(30.1, "light")).toBe("none");
    expect(workShare(25, "moderate")).toBe("75-100");
    expect(workShare(29, "moderate")).toBe("0-25");
    expect(workShare(20, "heavy")).toBe("50-75");
    expect(workShare(27.6, "heavy", true)).toBe("25-50");
    expect(workShare(20, "very heavy")).toBe("25-50");
    expect(workShare(30, "very heavy", true)).toBe("0-25");
    expect(workShare(31, "light", true)).toBe("75-100");
  });
  it("never lets more be worked when hotter, harder or less used to heat [oracle: invariant]", () => {
    const order = ["75-100", "50-75", "25-50", "0-25", "none"];
    const classes: WorkClass[] = ["light", "moderate", "heavy", "very heavy"];
    fc.assert(
      fc.property(
        fc.double({ min: 10, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        fc.integer({ min: 0, max: 2 }),
        (t, more, k) => {
          const rank = (...given: Parameters<typeof workShare>): number => order.indexOf(workShare(...given));
          expect(rank(t + more, classes[k]!)).toBeGreaterThanOrEqual(rank(t, classes[k]!));
          expect(rank(t, classes[k + 1]!)).toBeGreaterThanOrEqual(rank(t, classes[k]!));
          expect(rank(t, classes[k]!, false)).toBeGreaterThanOrEqual(rank(t, classes[k]!, true));
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
  it("refuses a temperature that is no number and work that is none", () => {
    expect(codeOf(() => workShare(Number.NaN, "light"))).toBe("wear/bad-number");
    expect(codeOf(() => workShare(25, "lazy" as WorkClass))).toBe("wear/unknown-word");
  });
});

describe("wbgt", () => {
  it("weighs the temperatures as the standard does [oracle: ISO 7243, from memory]", () => {
    expect(wbgt(20, 30)).toBeCloseTo(23, 12);
    expect(wbgt(20, 40, 30)).toBeCloseTo(25, 12);
    expect(wbgt(22, 22)).toBeCloseTo(22, 12);
  });
});

describe("wetBulb", () => {
  it("is 13.7 °C at 20 °C and 50 % [oracle: Stull 2011, J. Appl. Meteorol. Climatol. 50:2267, from memory]", () => {
    expect(wetBulb(20, 50)).toBeCloseTo(13.7, 1);
  });
  it("agrees with the psychrometer equation to a degree [oracle: independent computation]", () => {
    // Magnus vapour pressure (hPa) and the ventilated psychrometer constant 6.62e-4 at 1013 hPa, from memory.
    const vapour = (t: number): number => 6.112 * Math.exp((17.62 * t) / (243.12 + t));
    for (const [t, h] of [
      [15, 60],
      [25, 40],
      [30, 70],
      [35, 50],
    ] as const) {
      let [low, high]: [number, number] = [-20, t];
      for (let k = 0; k < 60; k++) {
        const half = (low + high) / 2;
        const e = vapour(half) - 6.62e-4 * 1013.25 * (t - half);
        if (e < (vapour(t) * h) / 100) low = half;
        else high = half;
      }
      expect(Math.abs(wetBulb(t, h) - high)).toBeLessThan(1);
    }
  });
  it("refuses what lies outside its range", () => {
    expect(codeOf(() => wetBulb(60, 50))).toBe("wear/bad-number");
    expect(codeOf(() => wetBulb(20, 2))).toBe("wear/bad-number");
  });
});

describe("checkHeat", () => {
  it("gives a range from the clothing adjustment [oracle: double layer +3, vapour barrier +11 of NIOSH / ACGIH]", () => {
    const [finding] = checkHeat({ wbgtC: 20, cover: "body", activity: "moderate" });
    expect(finding).toMatchObject({ figure: 31, level: "caution", limit: 26 });
    expect(finding!.what).toContain("26 to 31");
    expect(checkHeat({ wbgtC: 30, cover: "body", activity: "moderate" })[0]!.level).toBe("stop");
    expect(checkHeat({ wbgtC: 12, cover: "legs", activity: "moderate" })[0]!.level).toBe("note");
  });
  it("gives a fix that is enough [oracle: the check run again]", () => {
    const [first] = checkHeat({ wbgtC: 24, cover: "legs", activity: "moderate" });
    const cooler = Number(/^([\d.]+) °C cooler/.exec(first!.fix!)![1]);
    expect(checkHeat({ wbgtC: 24 - cooler, cover: "legs", activity: "moderate" })[0]!.level).toBe("note");
  });
  it("says so where it cannot judge: no sun globe, no cover, air outside the formula", () => {
    for (const heat of [
      { airC: 28, sun: true, cover: "legs" },
      { airC: 28 },
      { airC: 55, cover: "legs" },
      { cover: "legs" },
    ] as const)
      expect(checkHeat(heat)[0]!.what).toMatch(/^Cannot judge/);
  });
  it("adds that a closed head lies outside the table", () => {
    expect(checkHeat({ wbgtC: 15, cover: "body and head" }).map((one) => one.level)).toContain("caution");
  });
});

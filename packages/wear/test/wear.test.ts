import { describe, expect, it } from "vitest";
import fc from "fast-check";
import {
  checkChildren,
  checkFlame,
  checkFooting,
  checkSight,
  checkWear,
  checkDressing,
  checkToilet,
  estimateThread,
  estimateWork,
  fitsSmallParts,
  isPeltryError,
  nearestFloor,
  threadRatio,
  WEAR_CAUTION,
  type WearCase,
} from "@peltry/wear";

const codeOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};

const whole: WearCase = {
  head: {
    loads: [{ name: "horns", massG: 300, centre: [0, 80, 45] }],
    band: { girthMm: 620, widthMm: 25 },
  },
  heat: { airC: 24, humidityPercent: 60, cover: "legs", activity: "moderate" },
  sight: { eyeHeightMm: 1600, lowestDeg: 30, widthDeg: 100 },
  footing: { heelHeightMm: 80, heelWidthMm: 30, tread: "along", overhangMm: 40, footLengthMm: 330 },
  movement: {
    kneeGirth: 520,
    hip: 1000,
    hipBreadth: 350,
    stretch: { along: 0.1, across: 0.1 },
  },
  pressure: [{ tension: 2, girth: 225, name: "The ankle band" }],
  children: { age: 5, cords: [{ name: "tie", zone: "hood or neck", freeEndMm: 100 }], smallParts: [] },
  flame: { spreadMmPerS: 20, hotParts: [{ name: "fan", surfaceC: 50 }] },
  dressing: { closuresAtBack: 1, escapeSeconds: 90, onMinutes: 40 },
  toilet: { minutes: 15 },
};

describe("checkWear", () => {
  it("never passes silently what it was not told [oracle: invariant]", () => {
    const found = checkWear({});
    const subjects = new Set(found.map((one) => one.subject));
    for (const subject of [
      "head load",
      "heat",
      "sight",
      "footing",
      "movement",
      "pressure",
      "children",
      "flame",
      "dressing",
      "toilet",
    ])
      expect(subjects).toContain(subject);
    expect(found.every((one) => one.level === "note")).toBe(true);
    expect(found.filter((one) => one.what.startsWith("Cannot judge")).length).toBeGreaterThanOrEqual(10);
  });
  it("gives every finding a source, cautions and stops a mend, and ends with the usual caution", () => {
    const found = checkWear(whole);
    for (const one of found) {
      expect(one.source.length).toBeGreaterThan(3);
      if (one.level !== "note") expect(one.fix?.length ?? 0).toBeGreaterThan(10);
    }
    expect(found[found.length - 1]!.what).toBe(WEAR_CAUTION);
    expect(WEAR_CAUTION).toMatch(/[Ll]abels.*venue.*local codes.*licensed practice/);
  });
  it("never says safe, compliant or the like", () => {
    const words = JSON.stringify([checkWear(whole), checkWear({}), checkWear({ head: "none" })]);
    expect(words).not.toMatch(/\bsafe(ly)?\b|complian|fireproof|non-toxic/i);
  });
  it("puts stops before cautions before notes", () => {
    const rank = { stop: 0, caution: 1, note: 2 };
    const ranks = checkWear(whole).map((one) => rank[one.level]);
    expect(ranks).toEqual([...ranks].sort((p, q) => p - q));
  });
  it("judges pressure by Laplace against medical compression [oracle: 2 N/cm round 225 mm is 41.9 mmHg; RAL-GZ 387 class I from 18]", () => {
    const one = checkWear(whole).find((each) => each.subject === "pressure")!;
    expect(one).toMatchObject({ level: "stop", figure: 41.9, limit: 18, unit: "mmHg" });
  });
  it("gives plain data and leaves its input alone [oracle: invariant]", () => {
    const given = structuredClone(whole);
    const found = checkWear(given);
    expect(given).toEqual(whole);
    expect(structuredClone(found)).toEqual(found);
    expect(checkWear(given)).toEqual(found);
  });
  it("names a key that it does not know, and refuses what is no costume", () => {
    const stray = { hed: "none" } as WearCase;
    expect(checkWear(stray).some((one) => one.what.includes("hed"))).toBe(true);
    for (const wrong of [null, 3, "costume", []])
      expect(codeOf(() => checkWear(wrong as never))).toBe("wear/not-a-costume");
  });
});

describe("sight and footing", () => {
  it("sees the floor at eye height over the tangent [oracle: closed form]", () => {
    expect(nearestFloor(1600, 45)).toBeCloseTo(1600, 9);
    expect(nearestFloor(1600, 30)).toBeCloseTo(1600 * Math.sqrt(3), 9);
  });
  it("asks for a window that is then low enough [oracle: the check run again]", () => {
    const [first] = checkSight({ eyeHeightMm: 1650, lowestDeg: 25 });
    const needed = Number(/down to (\d+)°/.exec(first!.fix!)![1]);
    expect(checkSight({ eyeHeightMm: 1650, lowestDeg: needed })[0]!.level).toBe("note");
    expect(checkSight({ eyeHeightMm: 1650, lowestDeg: needed - 2 })[0]!.level).toBe("caution");
  });
  it("prefers grooves across the foot [oracle: Liu et al. 2013, PLOS ONE 0068989]", () => {
    const grip = (tread: "across" | "along" | "smooth") =>
      checkFooting({ tread }).filter((one) => one.level === "caution").length;
    expect([grip("across"), grip("along"), grip("smooth")]).toEqual([0, 1, 1]);
  });
  it("stops a cover that wraps the outsole, and refuses a negative heel", () => {
    expect(checkFooting({ coversOutsole: true }).map((one) => one.level)).toContain("stop");
    expect(checkFooting({}).every((one) => one.what.startsWith("Cannot judge"))).toBe(true);
    expect(codeOf(() => checkFooting({ heelHeightMm: -5 }))).toBe("wear/bad-number");
  });
});

describe("children, flame, dressing, toilet", () => {
  it("lets no cord hang at a young neck [oracle: EN 14682 as summarised by the Finnish safety authority]", () => {
    const at = (age: number, freeEndMm: number) =>
      checkChildren({ age, cords: [{ name: "tie", zone: "hood or neck", freeEndMm }], smallParts: [] })[0]!
        .level;
    expect([at(5, 0), at(5, 50), at(10, 50), at(10, 0), at(30, 50)]).toEqual([
      "stop",
      "stop",
      "stop",
      "note",
      "note",
    ]);
  });
  it("knows the small-parts cylinder [oracle: 16 CFR 1501, 31.7 mm by 25.4 to 57.1 mm, from memory]", () => {
    expect(fitsSmallParts([20, 20, 20])).toBe("yes");
    expect(fitsSmallParts([20, 40, 20])).toBe("maybe");
    expect(fitsSmallParts([20, 20, 58])).toBe("no");
    expect(fitsSmallParts([25, 25, 25])).toBe("no");
    expect(codeOf(() => fitsSmallParts([1, -1, 1]))).toBe("wear/bad-number");
  });
  it("fits the same whichever way the sizes are told [oracle: metamorphic]", () => {
    const side = fc.double({ min: 0, max: 80, noNaN: true });
    fc.assert(
      fc.property(side, side, side, (a, b, c) => {
        expect(fitsSmallParts([c, a, b])).toBe(fitsSmallParts([a, b, c]));
      }),
      { seed: 1, numRuns: 200 },
    );
  });
  it("says of fire what the fibres that are there do, and of no others", () => {
    const last = (fibres?: string[]): string => checkFlame(fibres ? { fibres } : {}).at(-1)!.what;
    expect(last(["acrylic", "modacrylic", "polyester"])).toMatch(/Acrylic.*Polyester/);
    expect(last(["polyester", "elastane"])).not.toMatch(/acrylic/i);
    expect(last(["wool"])).toMatch(/^Wool/);
    expect(last()).not.toMatch(/acrylic|fur/i);
    expect(checkFlame({ flameNear: true, fibres: ["cotton"] }).at(-1)).toMatchObject({ level: "stop" });
  });
  it("holds the spread of flame against 10 and 30 mm/s [oracle: EN 71-2 as quoted by test houses]", () => {
    const level = (spreadMmPerS: number) => checkFlame({ spreadMmPerS })[0]!.level;
    expect([level(9), level(20), level(31)]).toEqual(["note", "caution", "stop"]);
  });
  it("classes the 45° test [oracle: 16 CFR 1610, from memory]", () => {
    const words = (burnTimeS: number, surface: "plain" | "raised") =>
      checkFlame({ burnTimeS, surface, baseBurns: true })[0]!.what;
    expect(words(8, "raised")).toContain("class 1");
    expect(words(5, "raised")).toContain("class 2");
    expect(words(3, "raised")).toContain("class 3");
    expect(words(3.5, "plain")).toContain("class 1");
    expect(words(3, "plain")).toContain("class 3");
  });
  it("wants a helper for a back closing and time for a break; refuses minutes below nothing", () => {
    expect(checkDressing({ closuresAtBack: 2 })[0]!.level).toBe("caution");
    expect(checkDressing({ closuresAtBack: 2, helper: true, escapeSeconds: 30 })[0]!.level).toBe("note");
    expect(checkToilet({ minutes: 5 })[0]!.level).toBe("note");
    expect(codeOf(() => checkToilet({ minutes: -1 }))).toBe("wear/bad-number");
    const dressing = { onMinutes: 10, offMinutes: Number.NaN };
    expect(codeOf(() => checkWear({ dressing }))).toBe("wear/bad-number");
  });
});

describe("threadRatio", () => {
  const ratio = (...[seam]: Parameters<typeof threadRatio>): number => threadRatio(seam).ratio[0];
  it("follows the published formulas [oracle: 301 is 2 + 2TS, 401 is 4 + 2TS, textile teaching pages]", () => {
    expect(ratio({ stitch: "301", stitchMm: 3, thicknessMm: 2 })).toBeCloseTo(10 / 3, 12);
    expect(ratio({ stitch: "301", stitchMm: 2.5, thicknessMm: 6 })).toBeCloseTo(6.8, 12);
    expect(ratio({ stitch: "301", stitchMm: 4, thicknessMm: 10 })).toBeCloseTo(7, 12);
    // Handbook: 301 about 2.5 on thin cloth, 401 measured 5.4.
    expect(ratio({ stitch: "301", stitchMm: 2.5, thicknessMm: 0.6 })).toBeCloseTo(2.5, 1);
    expect(ratio({ stitch: "401", stitchMm: 2.5, thicknessMm: 1.75 })).toBeCloseTo(5.4, 1);
  });
  it("lays zigzag and hand stitches as long as their path [oracle: closed form]", () => {
    expect(ratio({ stitch: "304", stitchMm: 2.5, widthMm: 3, thicknessMm: 2 })).toBeCloseTo(4.72409987036, 9);
    expect(ratio({ stitch: "304", stitchMm: 1.5, widthMm: 4, thicknessMm: 2 })).toBeCloseTo(8.36266916355, 9);
    expect(ratio({ stitch: "304", stitchMm: 3, widthMm: 0, thicknessMm: 2 })).toBeCloseTo(
      ratio({ stitch: "301", stitchMm: 3, thicknessMm: 2 }),
      12,
    );
    expect(ratio({ stitch: "whip", stitchMm: 5, widthMm: 4, thicknessMm: 3 })).toBeCloseTo(3.01660919472, 9);
    expect(ratio({ stitch: "ladder", stitchMm: 4, gapMm: 1, thicknessMm: 2 })).toBeCloseTo(1.25, 12);
    expect(ratio({ stitch: "back", stitchMm: 5, thicknessMm: 6 })).toBeCloseTo(5.4, 12);
    expect(ratio({ stitch: "running", stitchMm: 5, thicknessMm: 6 })).toBeCloseTo(2.2, 12);
  });
  it("refuses a stitch it does not know and one of no length", () => {
    expect(codeOf(() => threadRatio({ stitch: "999" as never, stitchMm: 3, thicknessMm: 1 }))).toBe(
      "wear/unknown-word",
    );
    expect(codeOf(() => threadRatio({ stitch: "301", stitchMm: 0, thicknessMm: 1 }))).toBe("wear/bad-number");
  });
});

describe("estimateThread", () => {
  it("sums by stitch with 10 to 15 % waste [oracle: closed form]", () => {
    const seam = { stitch: "301", stitchMm: 3, thicknessMm: 2 } as const;
    const { totalMm, byStitch } = estimateThread([
      { ...seam, lengthMm: 600 },
      { ...seam, lengthMm: 400 },
      { stitch: "ladder", stitchMm: 4, gapMm: 1, thicknessMm: 2, lengthMm: 100 },
    ]);
    expect(byStitch.map((one) => one.stitch)).toEqual(["301", "ladder"]);
    expect(totalMm[0]).toBeCloseTo((1000 * (10 / 3) + 125) * 1.1, 6);
    expect(totalMm[1]).toBeCloseTo((1000 * (10 / 3) + 125) * 1.15, 6);
  });
});

describe("estimateWork", () => {
  it("divides lengths by rates and adds prices [oracle: closed form]", () => {
    const work = estimateWork({
      handMm: 12_000,
      machineMm: 54_000,
      rates: { handMPerHour: [3, 6] },
      materials: [
        { name: "fur", amount: 2, price: [15, 30] },
        { name: "thread", amount: 3, price: [2, 2.5] },
      ],
    });
    expect(work.hours[0]).toBeCloseTo(12 / 6 + 54 / 54, 12);
    expect(work.hours[1]).toBeCloseTo(12 / 3 + 54 / 21, 12);
    expect(work.cost).toEqual([36, 67.5]);
    expect(work.evenings).toEqual([2, 3]);
    expect(work.lines.find((line) => line.name === "hand sewing")!.rate).toContain("as stated");
  });
  it("refuses a range that runs backward", () => {
    expect(codeOf(() => estimateWork({ rates: { handMPerHour: [6, 3] } }))).toBe("wear/bad-number");
  });
});

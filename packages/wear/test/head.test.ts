import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { checkHead, checkWear, HEAD_LIMITS, headMoment, isPeltryError, type HeadLoad } from "@peltry/wear";

const at = (massG: number, forward: number, up = 0, side = 0): HeadLoad => ({
  name: "load",
  massG,
  fromPivot: [side, up, forward],
});
const codeOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};
/** Grams and millimetres in a finding's fix. */
const numberBefore = (text: string, unit: string): number =>
  Number(new RegExp(`(\\d+) ${unit}`).exec(text)?.[1]);

describe("headMoment", () => {
  it("is m g d about the neck joint [oracle: closed form]", () => {
    expect(headMoment([at(300, 60)]).forwardNcm).toBeCloseTo(17.65197, 6);
    expect(headMoment([at(500, 100)]).forwardNcm).toBeCloseTo(49.03325, 6);
    expect(headMoment([at(200, 150)]).forwardNcm).toBeCloseTo(29.41995, 6);
  });
  it("adds the height times the sine when pitched [oracle: closed form]", () => {
    const { noddingNcm } = headMoment([at(300, 60, 150)]);
    const lever = 60 * Math.cos(Math.PI / 6) + 150 * Math.sin(Math.PI / 6);
    expect(noddingNcm).toBeCloseTo((0.3 * 9.80665 * lever) / 10, 9);
  });
  it("does not change when a load is split in two at one place [oracle: invariant]", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 2000, noNaN: true }),
        fc.double({ min: -300, max: 300, noNaN: true }),
        fc.double({ min: 0.1, max: 0.9, noNaN: true }),
        (mass, z, share) => {
          const one = headMoment([at(mass, z, 40, 12)]);
          const two = headMoment([at(mass * share, z, 40, 12), at(mass * (1 - share), z, 40, 12)]);
          expect(two.forwardNcm).toBeCloseTo(one.forwardNcm, 8);
          expect(two.sideNcm).toBeCloseTo(one.sideNcm, 8);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
  });
  it("turns its side moment over for a mirrored load and cancels for a pair [oracle: symmetry]", () => {
    const right = at(120, 20, 80, 65);
    const left = at(120, 20, 80, -65);
    expect(headMoment([right]).sideNcm).toBeCloseTo(-headMoment([left]).sideNcm, 12);
    expect(headMoment([right, left]).sideNcm).toBeCloseTo(0, 12);
  });
});

describe("checkHead", () => {
  it("stops before the published 134 N cm and warns at 80 [oracle: Madison et al. 2023, Mil. Med. 188(S6):520]", () => {
    const level = (Ncm: number): string =>
      checkHead({ loads: [at((Ncm * 1e4) / (9.80665 * 100), 100)] })[0]!.level;
    expect(HEAD_LIMITS.stopNcm).toBeLessThan(HEAD_LIMITS.publishedNcm);
    expect([29, 79, 81, 129, 134].map(level)).toEqual(["note", "note", "caution", "caution", "stop"]);
  });
  it("says how much lighter and how much nearer is enough, and no more [oracle: the check run again]", () => {
    const load = at(1100, 110);
    const [finding] = checkHead({ loads: [load] });
    const [lighter, nearer] = [numberBefore(finding!.fix!, "g"), numberBefore(finding!.fix!, "mm")];
    const size = (one: HeadLoad): number => headMoment([one]).forwardNcm;
    const limit = finding!.limit as number;
    expect(size(at(1100 - lighter, 110))).toBeLessThan(limit);
    expect(size(at(1100 - lighter + 5, 110))).toBeGreaterThan(limit);
    expect(size(at(1100, 110 - nearer))).toBeLessThan(limit);
    expect(size(at(1100, 110 - nearer + 2))).toBeGreaterThan(limit);
  });
  it("asks for a wider band that then holds [oracle: the check run again]", () => {
    const head = (widthMm: number) => ({
      loads: [{ name: "tall horns", massG: 450, centre: [0, 260, 40] as const }],
      band: { girthMm: 600, widthMm },
    });
    const first = checkHead(head(8)).find((one) => one.unit === "kPa")!;
    expect(first.level).toBe("caution");
    const more = numberBefore(first.fix!, "mm wider");
    expect(checkHead(head(8 + more)).find((one) => one.unit === "kPa")!.level).toBe("note");
  });
  it("cautions on a load to one side and on a hard clamp [oracle: Williams, Seeto & Dillon 2012: 11 N]", () => {
    const found = checkHead({
      loads: [at(400, 0, 60, 90)],
      band: { girthMm: 600, widthMm: 30, clampN: 15 },
    });
    expect(found.find((one) => one.subject === "balance")!.level).toBe("caution");
    expect(found.find((one) => one.unit === "N")).toMatchObject({ level: "caution", limit: 11 });
  });
  it("refuses a mass that is no number", () => {
    expect(codeOf(() => checkWear({ head: { loads: [at(Number.NaN, 10)] } }))).toBe("wear/bad-number");
    const half = { name: "half a place", massG: 5, centre: [0, 0] as never };
    expect(codeOf(() => checkWear({ head: { loads: [half] } }))).toBe("wear/bad-number");
    for (const loads of [null, [null], "horns"])
      expect(codeOf(() => checkWear({ head: { loads: loads as never } }))).toBe("wear/not-a-costume");
  });
});

import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { buildBootCover, makeTufts, TUFT_ROOT } from "@peltry/forms";
import { signedArea } from "@peltry/geometry";
import { panelOutline } from "@peltry/pattern";
import { codeOf, wearer } from "./build-helpers";

const grooves = { lengths: [60, 62, 60], top: 55 };

describe("makeTufts", () => {
  it("is half an ellipse: area π/4 × width × length, mass by area [oracle: closed form]", () => {
    const made = makeTufts(grooves, { perGroove: 2, length: 40, width: 20, fabricGsm: 800 });
    const area = signedArea(panelOutline(made.panel));
    expect(area / ((Math.PI / 4) * 20 * 40)).toBeCloseTo(1, 2);
    expect(made.panel.count).toBe(6);
    expect(made.massG).toBeCloseTo(6 * area * 800e-6, 9);
    expect(made.panel.pile).toBe(-90);
    expect(made.panel.edges[0]!.id).toBe(TUFT_ROOT);
  });
  it("weighs by the square of its size and keeps its roots apart and on the groove [property]", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 4 }),
        fc.double({ min: 8, max: 70, noNaN: true }),
        fc.double({ min: 5, max: 30, noNaN: true }),
        (perGroove, length, width) => {
          const [one, two] = [1, 2].map((s) =>
            makeTufts(
              { lengths: grooves.lengths.map((each) => s * each), top: 55 * s },
              { perGroove, length: length * s, width: width * s },
            ),
          );
          expect(two!.massG / one!.massG).toBeCloseTo(4, 9);
          let last = 0;
          for (const [from, to] of one!.roots) {
            expect(from).toBeGreaterThanOrEqual(last - 1e-9);
            expect(to).toBeGreaterThan(from);
            last = to;
          }
          expect(last).toBeLessThanOrEqual(60);
        },
      ),
      { seed: 4, numRuns: 60 },
    );
  });
  it("tells of tufts that crowd or drag, and by how much less is enough [oracle: made again]", () => {
    const crowded = makeTufts(grooves, { perGroove: 3, width: 30, length: 10 }).issues[0]!;
    expect(crowded.code).toBe("forms/tufts-crowded");
    const narrower = Number(/(\d+) mm narrower/.exec(crowded.fix!)![1]);
    expect(makeTufts(grooves, { perGroove: 3, width: 30 - narrower, length: 10 }).issues).toEqual([]);
    const long = makeTufts(grooves, { length: 70 }).issues[0]!;
    expect(long.code).toBe("forms/tufts-on-floor");
    const shorter = Number(/(\d+) mm shorter/.exec(long.fix!)![1]);
    expect(makeTufts(grooves, { length: 70 - shorter }).issues).toEqual([]);
  });
  it("refuses sizes that are none", () => {
    for (const wrong of [{ perGroove: 0 }, { length: Number.NaN }, { width: -3 }, { width: 1e9 }])
      expect(codeOf(() => makeTufts(grooves, wrong))).toBe("forms/bad-part");
  });
});

describe("buildBootCover with tufts", () => {
  const measures = wearer();
  it("has as many as grooves times tufts [oracle: four toes have three grooves]", () => {
    const boot = buildBootCover({ measures, tufts: { perGroove: 2, width: 12, length: 18 } });
    expect(boot.tufts!.panel.count).toBe(6);
    expect(boot.issues.filter(({ code }) => code.startsWith("forms/tufts"))).toEqual([]);
    expect(buildBootCover({ measures }).tufts).toBeUndefined();
    const flat = boot.curves.find(({ id }) => id === "groove-1")!;
    expect(flat.path.length).toBeGreaterThan(3);
  });
  it("refuses tufts where there are no grooves", () => {
    expect(codeOf(() => buildBootCover({ measures, style: "hoof", tufts: {} }))).toBe("forms/bad-boot");
    expect(codeOf(() => buildBootCover({ measures, toes: { depth: 0 }, tufts: {} }))).toBe("forms/bad-boot");
  });
});

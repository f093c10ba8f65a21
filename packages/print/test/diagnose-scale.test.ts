import { describe, expect, it } from "vitest";
import { diagnoseScale, isPeltryError, SCALE_CAUSES } from "../src/index";

describe("diagnoseScale", () => {
  it("diagnoseScale › accepts ±0.5 mm on 100 mm and no more [oracle: general practice, from memory]", () => {
    for (const mm of [99.5, 100, 100.5]) expect(diagnoseScale(mm).verdict).toBe("right");
    for (const mm of [99.4, 100.6]) expect(diagnoseScale(mm).verdict).toBe("wrong");
    expect(diagnoseScale(101.6, { nominal: 101.6 }).verdict).toBe("right");
  });

  it("diagnoseScale › names units and papers by their ratio [oracle: CSS Values 3, ISO 216, ANSI Y14.1]", () => {
    const first = (mm: number): string | undefined => diagnoseScale(mm).causes[0]?.id;
    expect(first(75)).toBe("72-for-96");
    expect(first(133.3)).toBe("96-for-72");
    expect(first(96.2)).toBe("fit-to-margins");
    expect(first(94.07)).toBe("a4-on-letter");
    expect(first(97.27)).toBe("letter-on-a4");
    expect(first(70.7)).toBe("a3-on-a4");
    expect(first(141.4)).toBe("a4-on-a3");
    expect(first(101.6)).toBe("other-square");
    expect(first(50)).toBe("four-pages-a-sheet");
    expect(diagnoseScale(76.2, { nominal: 101.6 }).causes[0]?.id).toBe("72-for-96");
    expect(diagnoseScale(100, { nominal: 101.6 }).causes[0]?.id).toBe("other-square");
  });

  it("diagnoseScale › the ratios of the table are those of its sources [oracle: arithmetic]", () => {
    const ratio = new Map(SCALE_CAUSES.map((one) => [one.id, one.ratio]));
    expect(ratio.get("a4-on-letter")).toBeCloseTo(0.9407, 4);
    expect(ratio.get("letter-on-a4")).toBeCloseTo(0.9727, 4);
    expect(ratio.get("fit-to-margins")).toBeCloseTo(0.9619, 4);
  });

  it("diagnoseScale › errors grow with the panel: 0.5 % is 5 mm on a metre [oracle: arithmetic]", () => {
    const found = diagnoseScale(99.5);
    expect(found.errorPercent).toBeCloseTo(-0.5, 9);
    expect(found.errorPerMetre).toBeCloseTo(-5, 9);
  });

  it("diagnoseScale › a stretched page is told from a wrong scale; an unknown ratio says so", () => {
    expect(diagnoseScale(100, { other: 97 }).verdict).toBe("stretched");
    const odd = diagnoseScale(88);
    expect(odd.causes).toEqual([]);
    expect(odd.fix).toContain("113.6 %");
  });

  it("diagnoseScale › refuses what is no length", () => {
    for (const run of [
      () => diagnoseScale(0),
      () => diagnoseScale(NaN),
      () => diagnoseScale(100, { nominal: -1 }),
    ]) {
      let code = "";
      try {
        run();
      } catch (error) {
        if (isPeltryError(error)) code = error.code;
      }
      expect(code).toBe("print/bad-length");
    }
  });
});

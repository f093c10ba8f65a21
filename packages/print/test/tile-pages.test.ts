import { describe, expect, it } from "vitest";
import { PAPERS, isPeltryError, tileCount, tilePages } from "../src/index";
import { pattern, rectangle } from "./fixtures";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "no error";
};

describe("tileCount", () => {
  it("tileCount › max(1, ⌈(W − o)/(w − o)⌉) at its borders [oracle: closed form]", () => {
    expect(tileCount(370, 190, 10)).toBe(2);
    expect(tileCount(371, 190, 10)).toBe(3);
    expect(tileCount(370.001, 190, 10)).toBe(3);
    expect(tileCount(190, 190, 10)).toBe(1);
    expect(tileCount(5, 190, 10)).toBe(1);
    expect(tileCount(800, 190, 10)).toBe(5);
    expect(tileCount(1200, 277, 10)).toBe(5);
  });

  it("tileCount › n tiles reach the length and n − 1 do not [oracle: invariant]", () => {
    for (let length = 1; length < 2000; length += 7.3) {
      const n = tileCount(length, 187.4, 12.5);
      expect(n * 187.4 - (n - 1) * 12.5).toBeGreaterThanOrEqual(length - 1e-6);
      if (n > 1) expect((n - 1) * 187.4 - (n - 2) * 12.5).toBeLessThan(length);
    }
  });

  it("tileCount › refuses an overlap as wide as the tile", () => {
    expect(codeOf(() => tileCount(500, 190, 190))).toBe("print/overlap-too-big");
  });
});

describe("tilePages", () => {
  const page = {
    size: "A4",
    margins: 10,
    overlap: 10,
    orientation: "portrait",
    arrange: "as-drawn",
  } as const;

  it("tilePages › 370 × 277 takes 2 × 1 pages of 190 × 277, 371 takes 3 [oracle: closed form]", () => {
    expect(tilePages(pattern([rectangle("a", 370, 277)]), page).pages.length).toBe(2);
    expect(tilePages(pattern([rectangle("a", 371, 277)]), page).pages.length).toBe(3);
    expect(tilePages(pattern([rectangle("a", 800, 1200)]), page).pages.length).toBe(25);
  });

  it("tilePages › every format's printable part is the sheet less its margins [oracle: ISO 216, ANSI Y14.1 sizes]", () => {
    for (const [name, [width, height]] of Object.entries(PAPERS)) {
      const { frame } = tilePages(pattern([rectangle("a", 20, 20)]), { size: name, orientation: "portrait" });
      expect(frame.tileWidth).toBeCloseTo(width - 20, 9);
      expect(frame.tileHeight).toBeCloseTo(height - 23, 9);
    }
  });

  it("tilePages › refuses broken pages with a code each", () => {
    const p = pattern([rectangle("a", 100, 100)]);
    expect(codeOf(() => tilePages(p, { size: { width: 20, height: 200 } }))).toBe("print/page-too-small");
    expect(codeOf(() => tilePages(p, { overlap: 300 }))).toBe("print/overlap-too-big");
    expect(codeOf(() => tilePages(p, { overlap: NaN }))).toBe("print/bad-length");
    expect(codeOf(() => tilePages(p, { margins: -1 }))).toBe("print/bad-length");
    expect(codeOf(() => tilePages(p, "A99"))).toBe("print/unknown-paper");
    expect(codeOf(() => tilePages(pattern([])))).toBe("print/empty-pattern");
  });
});

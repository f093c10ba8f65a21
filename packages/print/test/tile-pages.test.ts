import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boundingBox, signedArea, type Point } from "@peltry/geometry";
import { PAPERS, isPeltryError, tileCount, tilePages } from "../src/index";
import { outlinePanel, pattern, rectangle } from "./fixtures";

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

  it("tilePages › packs eight panels of 90 × 130 on two A4 pages instead of eight [oracle: closed form]", () => {
    const panels = Array.from({ length: 8 }, (_, i) => rectangle(`p${i}`, 90, 130));
    const tiling = tilePages(pattern(panels), "A4");
    expect(tiling.pages.length).toBe(2);
    expect(tiling.pagesUnpacked).toBe(8);
    expect(tiling.pagesSaved).toBe(6);
  });

  it("tilePages › turns the paper when that needs fewer pages [oracle: closed form]", () => {
    const free = { margins: 10, arrange: "as-drawn" } as const;
    // 500 wide: 3 upright pages of 190, 2 sideways ones of 277.
    const wide = tilePages(pattern([rectangle("a", 500, 100)]), free);
    expect([wide.frame.orientation, wide.pages.length]).toEqual(["landscape", 2]);
    const tall = tilePages(pattern([rectangle("a", 100, 500)]), free);
    expect([tall.frame.orientation, tall.pages.length]).toEqual(["portrait", 2]);
  });

  it("tilePages › leaves out the blank page beside an L, and one that only repeats an overlap [oracle: closed form]", () => {
    const corners: Point[] = [
      [0, 0],
      [370, 0],
      [370, 100],
      [100, 100],
      [100, 538],
      [0, 538],
    ];
    const tiling = tilePages(pattern([outlinePanel("l", corners)]), {
      ...page,
      margins: { left: 10, right: 10, top: 13, trailing: 10 },
    });
    expect([tiling.rows, tiling.columns, tiling.blankPages]).toEqual([2, 2, 1]);
    expect(tiling.pages.map((one) => one.name)).toEqual(["R1C1", "R2C1", "R2C2"]);
    // 185 wide: the last 5 mm lie in the overlap, which the first page shows as well.
    const narrow = tilePages(pattern([rectangle("a", 185, 100), rectangle("b", 370, 100, 0, 300)]), page);
    expect(narrow.pages.map((one) => one.name)).toEqual(["R1C1", "R1C2", "R2C1"]);
  });

  it("tilePages › boxes never overlap, panels keep their shape, each panel is on its pages [oracle: invariant, property]", () => {
    const radius = fc.double({ min: 8, max: 260, noNaN: true });
    const shape = fc.array(radius, { minLength: 3, maxLength: 9 });
    fc.assert(
      fc.property(
        fc.array(shape, { minLength: 1, maxLength: 9 }),
        fc.constantFrom("A4", "A5", "A3", "Tabloid"),
        fc.constantFrom("free" as const, "quarter" as const, "none" as const),
        fc.integer({ min: 0, max: 25 }),
        (shapes, size, turn, overlap) => {
          const panels = shapes.map((radii, i) =>
            outlinePanel(
              `p${i}`,
              radii.map((r, k): Point => [
                r * Math.cos((2 * Math.PI * k) / radii.length),
                r * Math.sin((2 * Math.PI * k) / radii.length),
              ]),
            ),
          );
          const tiling = tilePages(pattern(panels), { size, turn, overlap, gap: 3 });
          const boxes = tiling.outlines.map(boundingBox);
          boxes.forEach((a, i) => {
            expect(a.minX).toBeGreaterThan(-1e-6);
            expect(a.minY).toBeGreaterThan(-1e-6);
            expect(a.maxX).toBeLessThan(tiling.width + 1e-6);
            expect(a.maxY).toBeLessThan(tiling.height + 1e-6);
            for (const b of boxes.slice(i + 1)) {
              const across = Math.max(a.minX - b.maxX, b.minX - a.maxX);
              const along = Math.max(a.minY - b.maxY, b.minY - a.maxY);
              expect(Math.max(across, along)).toBeGreaterThan(3 - 1e-6);
            }
            const drawn = panels[i]!.edges[0]!.points.slice(0, -1);
            expect(signedArea(tiling.outlines[i]!)).toBeCloseTo(signedArea(drawn), 3);
            // Every corner shows on a printed page that lists the panel.
            for (const [x, y] of tiling.outlines[i]!) {
              const on = tiling.pages.filter(
                (one) =>
                  one.panels.includes(`p${i}`) &&
                  x > one.x - 1e-3 &&
                  x < one.x + one.width + 1e-3 &&
                  y > one.y - 1e-3 &&
                  y < one.y + one.height + 1e-3,
              );
              expect(on.length).toBeGreaterThan(0);
            }
          });
          expect(tiling.pages.length).toBeLessThanOrEqual(tiling.pagesUnpacked);
          expect(tiling.pages.length + tiling.blankPages).toBe(tiling.rows * tiling.columns);
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });

  it("tilePages › keeps panels whole on large sheets, and rolls are cut to length [oracle: invariant]", () => {
    const panels = Array.from({ length: 14 }, (_, i) => rectangle(`p${i}`, 300 + 10 * i, 380));
    const whole = tilePages(pattern(panels), { size: "A1", whole: true, overlap: 0 });
    for (const one of panels)
      expect(whole.pages.filter((sheet) => sheet.panels.includes(one.id)).length).toBe(1);
    const roll = tilePages(pattern(panels), { size: { roll: 914.4 } });
    expect(roll.pages.length).toBe(1);
    const [sheet] = roll.pages;
    expect(sheet!.height).toBeCloseTo(
      Math.max(...roll.outlines.flat().map(([, y]) => y)) -
        Math.min(...roll.outlines.flat().map(([, y]) => y)),
      6,
    );
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

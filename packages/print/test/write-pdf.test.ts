import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Panel } from "@peltry/pattern";
import { distanceToSegment, resamplePolyline, type Point } from "@peltry/geometry";
import {
  isPeltryError,
  PAPERS,
  tilePages,
  writePdf,
  type Issue,
  type PdfOptions,
  type Tiling,
} from "../src/index";
import { cutLinesOf, hare, outlinePanel, panel, pattern, edge, rectangle } from "./fixtures";
import { boxOf, clipSegment, openPdf, readPdf, type ReadPage } from "./read-pdf";

const given = hare();
const cutLines = cutLinesOf(given);

const codeOf = async (run: () => Promise<unknown>): Promise<string> => {
  try {
    await run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "no error";
};

/** All segments that show on a page in one layer, moved to where the page lies on the sheet. */
function sheetSegments(tiling: Tiling, pages: readonly ReadPage[], layer: string): [Point, Point][][] {
  return tiling.pages.map((tile, i) => {
    const dx = tile.x - tiling.frame.left;
    const dy = tile.y - tiling.frame.bottom;
    const move = ([x, y]: Point): Point => [x + dx, y + dy];
    return pages[i]!.paths.filter((path) => path.layer === layer && !path.filled).flatMap((path) => {
      const n = path.points.length;
      return Array.from({ length: path.closed ? n : n - 1 }, (_, k) =>
        clipSegment(path.points[k]!, path.points[(k + 1) % n]!, path.clip!),
      ).flatMap((part) => (part ? [[move(part[0]), move(part[1])] as [Point, Point]] : []));
    });
  });
}

/** Farthest that any point of the outlines lies from what the pages show together. */
function worstGap(tiling: Tiling, segments: readonly (readonly [Point, Point][])[]): number {
  let worst = 0;
  for (const outline of tiling.outlines) {
    for (const p of resamplePolyline([...outline, outline[0]!], 17)) {
      const near = tiling.pages.flatMap((tile, i) =>
        p[0] >= tile.x - 0.1 &&
        p[0] <= tile.x + tile.width + 0.1 &&
        p[1] >= tile.y - 0.1 &&
        p[1] <= tile.y + tile.height + 0.1
          ? segments[i]!
          : [],
      );
      worst = Math.max(worst, Math.min(Infinity, ...near.map(([a, b]) => distanceToSegment(p, a, b))));
    }
  }
  return worst;
}

async function rejoinError(tiling: Tiling, layer: string): Promise<number> {
  const pages = await readPdf(await writePdf(tiling, { cover: false }));
  return worstGap(tiling, sheetSegments(tiling, pages, layer));
}

describe("writePdf", () => {
  it("writePdf › pages re-joined show every cut line [oracle: independent reader]", async () => {
    for (const page of [
      "A4",
      "A5",
      { size: "Letter", overlap: 0 },
      { size: "A3", overlap: 15, margins: 7 },
    ] as const) {
      const tiling = tilePages(given, page, { cutLines });
      expect(await rejoinError(tiling, "Cut line")).toBeLessThan(0.1);
    }
  });

  it("writePdf › pages re-joined show random outlines [oracle: independent reader, property]", async () => {
    const shape = fc.array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 3, maxLength: 14 });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(shape, fc.double({ min: 15, max: 380, noNaN: true })), {
          minLength: 1,
          maxLength: 5,
        }),
        fc.constantFrom("A4", "A5", "Legal"),
        fc.integer({ min: 0, max: 20 }),
        async (shapes, size, overlap) => {
          const panels = shapes.map(([radii, scale], i) => {
            const outline = radii.map((r, k): Point => {
              const turn = (2 * Math.PI * k) / radii.length;
              return [scale * r * Math.cos(turn) + 40 * i, scale * r * Math.sin(turn)];
            });
            return outlinePanel(`p${i}`, outline);
          });
          const tiling = tilePages(pattern(panels), { size, overlap });
          expect(await rejoinError(tiling, "Sew line")).toBeLessThan(0.1);
        },
      ),
      { seed: 1, numRuns: 12 },
    );
  });

  it("writePdf › nothing that is drawn as cut line lies off the outlines [oracle: independent reader]", async () => {
    const tiling = tilePages(given, "A4", { cutLines });
    const pages = await readPdf(await writePdf(tiling, { cover: false }));
    for (const [a, b] of sheetSegments(tiling, pages, "Cut line").flat()) {
      for (const p of [a, b]) {
        const gap = Math.min(
          ...tiling.outlines.flatMap((outline) =>
            outline.map((q, i) => distanceToSegment(p, q, outline[(i + 1) % outline.length]!)),
          ),
        );
        expect(gap).toBeLessThan(0.03);
      }
    }
  });

  it("writePdf › the check squares measure 100 mm and 4 in both ways [oracle: independent reader]", async () => {
    for (const page of ["A4", "A5", "A0"] as const) {
      const [first] = await readPdf(await writePdf(given, { page }));
      const squares = first!.paths
        .filter((path) => path.layer === "Guides" && path.closed)
        .map((path) => boxOf(path.points))
        .map((box) => [box.maxX - box.minX, box.maxY - box.minY] as const);
      for (const side of [100, 101.6]) {
        expect(squares.some(([w, h]) => Math.abs(w - side) < 0.001 && Math.abs(h - side) < 0.001)).toBe(true);
      }
      expect(first!.texts.map((text) => text.text).join(" ")).toMatch(/100 mm.*4 in/);
    }
  });

  it("writePdf › every tile page carries rulers of 10 mm along its whole width and height [oracle: independent reader]", async () => {
    const tiling = tilePages(given, "A4", { cutLines });
    const pages = await readPdf(await writePdf(tiling, { cover: false }));
    for (const page of pages) {
      const ticks = page.paths.filter((path) => path.layer === "Guides" && path.points.length === 2);
      const left = tiling.frame.left;
      const bottom = tiling.frame.bottom;
      for (let at = 10; at < tiling.frame.tileWidth - 2; at += 10) {
        expect(
          ticks.some(
            ({ points: [a, b] }) =>
              Math.abs(a![0] - left - at) < 0.001 &&
              Math.abs(b![0] - left - at) < 0.001 &&
              Math.abs(a![1] - bottom) < 0.001,
          ),
        ).toBe(true);
      }
      const frame = page.paths.find(
        (path) => path.layer === "Guides" && path.closed && path.points.length === 4,
      );
      const box = boxOf(frame!.points);
      expect(box.maxX - box.minX).toBeCloseTo(tiling.frame.tileWidth, 3);
    }
  });

  it("writePdf › pages are exactly as large as the paper [oracle: ISO 216, ANSI Y14.1 sizes]", async () => {
    for (const name of ["A5", "A4", "A3", "A2", "A1", "A0", "Letter", "Legal", "Tabloid"] as const) {
      const pages = await readPdf(
        await writePdf(pattern([rectangle("a", 50, 60)]), { page: { size: name, orientation: "portrait" } }),
      );
      for (const page of pages) {
        expect(page.width).toBeCloseTo(PAPERS[name][0], 4);
        expect(page.height).toBeCloseTo(PAPERS[name][1], 4);
      }
    }
  });

  it("writePdf › layers are listed and can be switched [oracle: independent reader]", async () => {
    const document = await openPdf(await writePdf(given, { cutLines }));
    const config = await document.getOptionalContentConfig();
    const groups = Object.entries(config.getGroups() as Record<string, { name: string }>);
    expect(groups.map(([, group]) => group.name).sort()).toEqual([
      "Cut line",
      "Guides",
      "Markings",
      "Sew line",
      "Text",
    ]);
    for (const [id] of groups) {
      expect(config.isVisible({ type: "OCG", id })).toBe(true);
      config.setVisibility(id, false);
      expect(config.isVisible({ type: "OCG", id })).toBe(false);
    }
    const pages = await readPdf(await writePdf(given, { cutLines }));
    for (const page of pages) for (const path of page.paths) expect(path.layer).toBeDefined();
  });

  it("writePdf › sew and cut line differ by dash and width, not colour alone [oracle: independent reader]", async () => {
    const pages = await readPdf(await writePdf(given, { cutLines, cover: false }));
    const of = (layer: string) => pages.flatMap((page) => page.paths.filter((path) => path.layer === layer));
    for (const cut of of("Cut line")) {
      expect(cut.dash).toEqual([]);
      expect(cut.width).toBeGreaterThan(0.5);
    }
    const sew = of("Sew line").filter((path) => path.width < 0.4);
    expect(sew.length).toBeGreaterThan(10);
    for (const path of sew) expect(path.dash.length).toBe(2);
  });

  it("writePdf › every panel says its name, count, fabric, seam letters and arrows [oracle: independent reader]", async () => {
    const pages = await readPdf(await writePdf(given, { cutLines, cover: false, page: "A0" }));
    const texts = pages.flatMap((page) => page.texts.map((text) => text.text));
    for (const wanted of [
      "1 · Haunch, outer",
      "cut 1 + 1 mirrored",
      "cut 1 + 1 mirrored on the fold",
      "cut 3",
      "Winter hare fur, 30 mm pile",
      "Cream plush",
      "place on the fold",
      "pile lies this way",
      "stretch",
      "grain",
      "Spot",
      "Trim the pile back in the allowance",
      "A",
      "D",
    ]) {
      expect(texts).toContain(wanted);
    }
  });

  it("writePdf › title, language, tags and print scaling are set [oracle: independent reader]", async () => {
    const document = await openPdf(await writePdf(given, { language: "pl", title: "Zając" }));
    const { info } = (await document.getMetadata()) as unknown as { info: Record<string, unknown> };
    expect(info["Title"]).toBe("Zając");
    expect(info["Language"]).toBe("pl");
    const preferences = (await document.getViewerPreferences()) as unknown as Record<string, unknown>;
    expect(preferences["PrintScaling"]).toBe("None");
    expect(preferences["DisplayDocTitle"]).toBe(true);
    expect((await document.getMarkInfo())?.Marked).toBe(true);
    expect((await document.getPageLabels())!.slice(0, 2)).toEqual(["Start", "R1C1"]);
    const tree = JSON.stringify(await (await document.getPage(2)).getStructTree());
    expect(tree).toContain('"role":"Figure"');
    expect(tree).toContain("Row 1, column 1 of the pattern at true scale");
    expect(tree).toContain('"role":"P"');
  });

  it("writePdf › Polish, Greek and Cyrillic names come back from the bundled font [oracle: independent reader]", async () => {
    const names = ["Łapa zająca: świerk", "Λαγός του βάλτου", "Болотный заяц", "Größe ½ – „Hase“"];
    const panels = names.map((name, i) => ({ ...rectangle(`p${i}`, 150, 90, 160 * i), name }));
    const issues: Issue[] = [];
    const pages = await readPdf(
      await writePdf(pattern(panels, [], names.join(" ")), {
        page: "A1",
        onIssue: (issue) => issues.push(issue),
      }),
    );
    const all = pages.flatMap((page) => page.texts.map((text) => text.text)).join("\n");
    for (const name of names) expect(all).toContain(name);
    expect(issues).toEqual([]);
  });

  it("writePdf › a font of one's own is embedded, and what it lacks is replaced and reported", async () => {
    const file = createRequire(import.meta.url).resolve("dejavu-fonts-ttf/ttf/DejaVuSans.ttf");
    const font = new Uint8Array(readFileSync(file));
    const panels = [{ ...rectangle("a", 150, 90), name: "ᚠᛒ ⚑ 兎" }];
    const issues: Issue[] = [];
    const pages = await readPdf(
      await writePdf(pattern(panels), { font, cover: false, onIssue: (issue) => issues.push(issue) }),
    );
    const all = pages.flatMap((page) => page.texts.map((text) => text.text)).join("\n");
    expect(all).toContain("⚑");
    expect(issues.map((issue) => issue.code)).toEqual(["print/missing-letters"]);
    expect(issues[0]!.message).toContain("兎");
    expect(await codeOf(() => writePdf(given, { font: Uint8Array.of(1, 2, 3, 4) }))).toBe("print/bad-font");
  });

  it("writePdf › same input, same bytes; inputs are left as they were", async () => {
    const before = JSON.stringify([given, cutLines]);
    const options: PdfOptions = { cutLines, page: "A4" };
    const first = await writePdf(given, options);
    const second = await writePdf(structuredClone(given), structuredClone(options));
    expect(Buffer.from(first).equals(Buffer.from(second))).toBe(true);
    expect(JSON.stringify([given, cutLines])).toBe(before);
  });

  it("writePdf › copy-shop: one A0 page with check squares and every panel whole [oracle: independent reader]", async () => {
    const pages = await readPdf(await writePdf(given, { cutLines, output: "copy-shop" }));
    expect(pages.length).toBe(1);
    expect([pages[0]!.width, pages[0]!.height].sort((a, b) => a - b).map((mm) => Math.round(mm))).toEqual([
      841, 1189,
    ]);
    const cuts = pages[0]!.paths.filter((path) => path.layer === "Cut line" && path.closed);
    expect(cuts.length).toBe(given.panels.length);
    const boxes = [...cuts, ...pages[0]!.paths.filter((path) => path.layer === "Guides" && path.closed)].map(
      (path) => boxOf(path.points),
    );
    expect(boxes.some((box) => Math.abs(box.maxX - box.minX - 100) < 0.001)).toBe(true);
  });

  it("writePdf › copy-shop roll: as long as it needs to be, panels apart [oracle: independent reader]", async () => {
    const [page, ...more] = await readPdf(
      await writePdf(given, { cutLines, output: "copy-shop", page: { size: { roll: 609.6 } } }),
    );
    expect(more).toEqual([]);
    expect(page!.width).toBeCloseTo(609.6, 3);
    expect(page!.height).toBeLessThan(1400);
    const boxes = page!.paths
      .filter((path) => path.layer === "Cut line" && path.closed)
      .map((path) => boxOf(path.points));
    boxes.forEach((a, i) => {
      for (const b of boxes.slice(i + 1)) {
        const apart = a.maxX < b.minX || b.maxX < a.minX || a.maxY < b.minY || b.maxY < a.minY;
        expect(apart).toBe(true);
      }
      expect(a.minX).toBeGreaterThanOrEqual(10 - 1e-6);
      expect(a.maxX).toBeLessThanOrEqual(599.6 + 1e-6);
    });
  });

  it("writePdf › projector: a set-up grid, then one panel a page in lines of 1 mm and more [oracle: independent reader]", async () => {
    const pages = await readPdf(await writePdf(given, { cutLines, output: "projector" }));
    expect(pages.length).toBe(given.panels.length + 1);
    for (const page of pages) {
      expect(page.width).toBeCloseTo(900, 3);
      expect(page.height).toBeCloseTo(600, 3);
      const grid = page.paths.filter((path) => path.layer === "Guides" && path.points.length === 2);
      const xs = grid
        .filter(({ points: [a, b] }) => a![0] === b![0])
        .map(({ points }) => Math.round(points[0]![0]));
      expect(xs).toEqual([0, 100, 200, 300, 400, 500, 600, 700, 800, 900]);
    }
    for (const page of pages.slice(1)) {
      const cut = page.paths.filter((path) => path.layer === "Cut line");
      expect(cut.length).toBe(1);
      expect(cut[0]!.width).toBeGreaterThanOrEqual(1);
    }
  });

  it("writePdf › takes what is odd but drawable without a fault [oracle: independent reader]", async () => {
    const odd = [
      rectangle("tiny", 0.5, 0.5),
      outlinePanel("flat", [
        [0, 0],
        [10, 0],
        [20, 0],
        [5, 0],
      ]),
      outlinePanel("crossed", [
        [0, 0],
        [100, 100],
        [100, 0],
        [0, 100],
      ]),
      { ...rectangle("__proto__", 60, 60), name: "", fabric: "__proto__" },
      { ...rectangle("long", 60, 60), name: "x".repeat(3000) },
      { ...rectangle("wide", 2000, 3), darts: undefined as never, markings: undefined as never },
    ];
    for (const output of ["tiles", "copy-shop", "projector"] as const) {
      const pages = await readPdf(await writePdf(pattern(odd, [], ""), { output }));
      const sewn = pages.flatMap((page) => page.paths.filter((path) => path.layer === "Sew line"));
      expect(sewn.length).toBeGreaterThanOrEqual(odd.length);
    }
  });

  it("writePdf › lists every panel once, in order, over as many first pages as it takes [oracle: independent reader]", async () => {
    const many = Array.from({ length: 70 }, (_, i) => ({
      ...rectangle(`p${i}`, 60, 40),
      name: `Panel no. ${i + 1}`,
    }));
    const tiling = tilePages(pattern(many), "A5");
    const pages = (await readPdf(await writePdf(tiling))).slice(0, -tiling.pages.length);
    expect(pages.length).toBeGreaterThan(1);
    const listed = pages.flatMap((page) => {
      const rows = page.texts.filter(({ text }) => text.includes("cut 1"));
      const heights = rows.map(({ at }) => at[1]);
      // From the top down, each row below the one before.
      for (let i = 1; i < heights.length; i++) expect(heights[i - 1]! - heights[i]!).toBeGreaterThan(2);
      return rows.map(({ text }) => text.split(" · ")[1]);
    });
    expect(listed).toEqual(many.map(({ name }) => name));
  });

  it("writePdf › tells of a crossing outline, an edge of no length and a seam that is not there", async () => {
    const issues: Issue[] = [];
    const crossed = outlinePanel("crossed", [
      [0, 0],
      [100, 100],
      [100, 0],
      [0, 100],
    ]);
    const loose = rectangle("loose", 60, 60);
    const lost = { ...loose, edges: loose.edges.map((one, i) => (i === 1 ? { ...one, seam: "gone" } : one)) };
    await writePdf(pattern([crossed, lost]), { onIssue: (issue) => issues.push(issue) });
    expect(issues.map(({ code, at }) => [code, at.panel])).toEqual([
      ["pattern/crossing-outline", "crossed"],
      ["pattern/missing-seam-partner", "loose"],
    ]);
  });

  it("writePdf › tells of panels that a copy-shop sheet cannot hold, and of letters from right to left", async () => {
    const told = async (given: Panel, size: string): Promise<(string | undefined)[][]> => {
      const issues: Issue[] = [];
      await writePdf(pattern([given]), {
        ...{ output: "copy-shop", page: { size } },
        onIssue: (issue) => issues.push(issue),
      });
      return issues.map(({ code, at }) => [code, at.panel]);
    };
    expect(await told(rectangle("long", 900, 900), "A0")).toEqual([["print/panel-tiled", "long"]]);
    expect(await told(rectangle("fits", 600, 900), "A0")).toEqual([]);
    const font = await told({ ...rectangle("ear", 60, 60), name: "אוזן" }, "A4");
    expect(font.map(([code]) => code)).toContain("print/right-to-left");
  });

  it("writePdf › tells what is of another kind than it must be, from plain JavaScript too", async () => {
    const square = rectangle("a", 100, 100);
    const odd = (change: object): unknown => pattern([{ ...square, ...change }]);
    for (const given of [
      odd({ edges: [null] }),
      odd({ edges: [{ ...square.edges[0], points: 5 }] }),
      odd({ markings: [null] }),
      odd({ holes: 5 }),
      odd({ name: 5 }),
      { ...pattern([square]), seams: [null] },
      { ...pattern([square]), fabrics: 5 },
    ])
      expect(await codeOf(() => writePdf(given as never))).toBe("pattern/bad-form");
    for (const cut of [null, {}, { cutLine: [[0, 0]], holes: 5 }, { cutLine: [], notches: [5] }])
      expect(await codeOf(() => writePdf(pattern([square]), { cutLines: { a: cut as never } }))).toMatch(
        /^print\/(bad-cut-line|open-outline)$/,
      );
    expect(await codeOf(() => writePdf(pattern([square]), null as never))).toBe("print/bad-options");
    expect(await codeOf(() => writePdf(pattern([square]), { page: 5 as never }))).toBe("print/unknown-paper");
  });

  it("writePdf › refuses broken input with a code each", async () => {
    const square = rectangle("a", 100, 100);
    const open = panel("a", "A", [
      edge("a", [
        [0, 0],
        [10, 0],
      ]),
      edge("b", [
        [10, 0],
        [10, 10],
      ]),
      edge("c", [
        [10, 10],
        [0, 1],
      ]),
    ]);
    const bad = panel("a", "A", [
      edge("a", [
        [0, 0],
        [NaN, 0],
        [5, 5],
        [0, 0],
      ]),
    ]);
    expect(await codeOf(() => writePdf(pattern([])))).toBe("print/empty-pattern");
    expect(await codeOf(() => writePdf(pattern([square, square])))).toBe("print/repeated-panel");
    expect(await codeOf(() => writePdf(pattern([open])))).toBe("print/open-outline");
    expect(await codeOf(() => writePdf(pattern([bad])))).toBe("print/not-finite");
    // Found by fuzzing: a panel of 10,000 km filled the memory with edge texts.
    const huge = panel("a", "A", [
      edge("a", [
        [0, 0],
        [1e10, 0],
        [5, 1e10],
        [0, 0],
      ]),
    ]);
    expect(await codeOf(() => writePdf(pattern([huge])))).toBe("print/too-large");
    expect(await codeOf(() => writePdf(pattern([{ ...square, count: 0 }])))).toBe("print/bad-count");
    expect(await codeOf(() => writePdf(pattern([square]), { cutLines: { b: [] } }))).toBe(
      "print/unknown-panel",
    );
    expect(await codeOf(() => writePdf(pattern([square]), { cutLines: { a: [[0, 0]] } }))).toBe(
      "print/open-outline",
    );
    expect(await codeOf(() => writePdf(pattern([square]), { page: { margins: 150 } }))).toBe(
      "print/page-too-small",
    );
    expect(await codeOf(() => writePdf(pattern([null as never])))).toBe("print/not-a-pattern");
    expect(await codeOf(() => writePdf(pattern([{ ...square, edges: undefined as never }])))).toBe(
      "print/open-outline",
    );
    expect(await codeOf(() => writePdf(null as never))).toBe("print/not-a-pattern");
    expect(await codeOf(() => writePdf(pattern([square]), { signal: { aborted: true } }))).toBe(
      "work/cancelled",
    );
    expect(await codeOf(() => writePdf(pattern([square]), { output: "poster" as never }))).toBe(
      "print/bad-output",
    );
  });
});

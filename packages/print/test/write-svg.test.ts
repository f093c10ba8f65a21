import fc from "fast-check";
import { SaxesParser } from "saxes";
import { SVGPathData } from "svg-pathdata";
import { describe, expect, it } from "vitest";
import { boundingBox, type Point } from "@peltry/geometry";
import { addDart } from "@peltry/pattern";
import { isPeltryError, writeSvg } from "../src/index";
import { cutLinesOf, hare, outlinePanel, pattern, rectangle } from "./fixtures";

interface Tag {
  readonly name: string;
  readonly attributes: Record<string, string>;
  readonly groups: string[];
  text: string;
}

/** Every element as an independent XML reader sees it, with the ids of the groups round it. */
function readSvg(bytes: Uint8Array): Tag[] {
  const parser = new SaxesParser();
  const tags: Tag[] = [];
  const open: Tag[] = [];
  parser.on("error", (error) => {
    throw error;
  });
  parser.on("opentag", (tag) => {
    const groups = open.flatMap((one) => (one.name === "g" ? [one.attributes["id"]!] : []));
    const one = { name: tag.name, attributes: tag.attributes as Record<string, string>, groups, text: "" };
    tags.push(one);
    open.push(one);
  });
  parser.on("text", (text) => {
    const top = open.at(-1);
    if (top) top.text += text;
  });
  parser.on("closetag", () => open.pop());
  parser.write(new TextDecoder("utf-8", { fatal: true }).decode(bytes)).close();
  return tags;
}

/** The points of a path, by an independent path reader. */
function pathPoints(d: string): Point[] {
  return new SVGPathData(d)
    .toAbs()
    .commands.flatMap((c) => ("x" in c && "y" in c ? [[c.x, c.y] as Point] : []));
}

function outlines(tags: readonly Tag[], kind: string, panel: string): Point[][] {
  const own = tags.filter(
    (tag) => tag.attributes["class"] === kind && tag.groups.some((id) => id.endsWith(`--${panel}`)),
  );
  return own.map((tag) => pathPoints(tag.attributes["d"]!));
}

/** Largest distance between two runs of points when the second is flipped and moved onto the first by their boxes. */
function flippedGap(written: readonly Point[], given: readonly Point[]): number {
  const a = boundingBox(written);
  const b = boundingBox(given);
  return Math.max(
    ...written.map(([x, y], i) =>
      Math.hypot(x - a.minX - (given[i]![0] - b.minX), y - a.minY - (b.maxY - given[i]![1])),
    ),
  );
}

describe("writeSvg", () => {
  it("writeSvg › width and height in mm are those of the viewBox [oracle: W3C SVG 2]", () => {
    const [svg] = readSvg(writeSvg(pattern([rectangle("a", 120, 80)]), { margin: 10 }));
    expect(svg!.attributes["width"]).toBe("140mm");
    expect(svg!.attributes["height"]).toBe("100mm");
    expect(svg!.attributes["viewBox"]).toBe("0 0 140 100");
  });

  it("writeSvg › cut and sew lines read back to 0.01 mm, flipped once [oracle: independent parsers]", () => {
    const given = hare();
    const cutLines = cutLinesOf(given);
    const tags = readSvg(writeSvg(given, { cutLines }));
    for (const panel of given.panels) {
      const sew = panel.edges.flatMap((edge) => edge.points.slice(0, -1));
      const [cut] = outlines(tags, "cut-line", panel.id);
      const [sewn] = outlines(tags, "sew-line", panel.id);
      expect(cut!.length).toBe(cutLines[panel.id]!.length);
      expect(flippedGap(cut!, cutLines[panel.id]!)).toBeLessThan(0.01);
      expect(flippedGap(sewn!, sew)).toBeLessThan(0.01);
    }
  });

  it("writeSvg › punches a folded dart short of its tip, as far as asked [closed form, independent parsers]", () => {
    const square = rectangle("seat", 200, 150);
    const top = square.edges.find(({ points }) => points.every(([, y]) => y === 150))!;
    const dart = { id: "d", at: 100, intake: 30, length: 90 };
    const tip = Math.sqrt(90 ** 2 - 15 ** 2);
    for (const [dartDrillMm, wanted] of [
      [undefined, 10],
      [0, 0],
      [25, 25],
    ] as const) {
      const given = pattern([addDart(square, top.id, dart)]);
      const tags = readSvg(writeSvg(given, { arrange: "as-drawn", margin: 0, dartDrillMm }));
      const ring = tags.find((tag) => tag.attributes["class"] === "dart-drill")!;
      const { minX, maxX, minY, maxY } = boundingBox(pathPoints(ring.attributes["d"]!));
      expect((minX + maxX) / 2).toBeCloseTo(100, 2);
      // From the top of the drawing, where the mouth is.
      expect((minY + maxY) / 2).toBeCloseTo(tip - wanted, 2);
    }
    for (const dartDrillMm of [-1, Number.NaN, "3" as never])
      expect(() => writeSvg(pattern([square]), { dartDrillMm })).toThrow("short of their tips");
  });

  it("writeSvg › random outlines read back to 0.01 mm [oracle: independent parsers, property]", () => {
    const coordinate = fc.double({ min: -2000, max: 2000, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 3, maxLength: 40 }), (points) => {
        const tags = readSvg(writeSvg(pattern([outlinePanel("a", points)]), { arrange: "as-drawn" }));
        const [sewn] = outlines(tags, "sew-line", "a");
        return flippedGap(sewn!, points) < 0.01;
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("writeSvg › one named group a layer, one a panel in it, and a title and description [oracle: independent parser]", () => {
    const tags = readSvg(writeSvg(hare(), { cutLines: cutLinesOf(hare()) }));
    const layers = tags
      .filter((tag) => tag.name === "g" && tag.groups.length === 0)
      .map((tag) => tag.attributes["id"]);
    expect(layers).toEqual(["sew-line", "cut-line", "markings", "text"]);
    expect(tags.find((tag) => tag.name === "title")!.text).toBe("Moor hare");
    expect(tags.find((tag) => tag.name === "desc")!.text).toContain("One unit is one millimetre");
    for (const path of tags.filter((tag) => tag.name === "path")) expect(path.groups.length).toBe(2);
    const ids = tags.flatMap((tag) => tag.attributes["id"] ?? []);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it("writeSvg › any name is well-formed XML and comes back [oracle: independent parser]", () => {
    const name = `Ear <left> & "right" ]]> 兎 \u0001\ud800`;
    const tags = readSvg(writeSvg(pattern([{ ...rectangle("a b/ü", 200, 100), name }], [], name)));
    expect(tags.find((tag) => tag.name === "title")!.text).toBe(`Ear <left> & "right" ]]> 兎 \ufffd`);
    expect(tags.some((tag) => tag.attributes["data-panel"] === "a b/ü")).toBe(true);
  });

  it("writeSvg › one panel alone keeps to its own box; an unknown one is refused", () => {
    const given = hare();
    const [svg] = readSvg(writeSvg(given, { panel: "ear", margin: 0 }));
    const box = boundingBox(
      given.panels.find((one) => one.id === "ear")!.edges.flatMap((edge) => edge.points),
    );
    expect(Number.parseFloat(svg!.attributes["width"]!)).toBeCloseTo(box.maxX - box.minX, 1);
    try {
      writeSvg(given, { panel: "nose" });
      expect.unreachable();
    } catch (error) {
      expect(isPeltryError(error) && error.code).toBe("print/unknown-panel");
    }
  });
});

import fc from "fast-check";
import DxfParser from "dxf-parser";
import { describe, expect, it } from "vitest";
import type { Point } from "@peltry/geometry";
import { addDart } from "@peltry/pattern";
import { isPeltryError, writeDxf } from "../src/index";
import { cutLinesOf, hare, outlinePanel, pattern, rectangle } from "./fixtures";

interface Entity {
  readonly type: string;
  readonly layer: string;
  readonly vertices?: { x: number; y: number }[];
  readonly position?: { x: number; y: number };
  readonly shape?: boolean;
  readonly text?: string;
  readonly name?: string;
}

interface Drawing {
  readonly header: Record<string, unknown>;
  readonly entities: Entity[];
  readonly blocks: Record<string, { entities: Entity[] }>;
  readonly tables: { layer: { layers: Record<string, unknown> } };
}

// The package's types give its default export no construct signature; at run time it is the class.
const Parser = DxfParser as unknown as new () => { parseSync: (text: string) => Drawing };

const read = (bytes: Uint8Array): Drawing => new Parser().parseSync(new TextDecoder("ascii").decode(bytes));

const points = (entity: Entity | undefined): Point[] => (entity?.vertices ?? []).map(({ x, y }) => [x, y]);

const gap = (a: readonly Point[], b: readonly Point[]): number =>
  a.length === b.length
    ? Math.max(...a.map((p, i) => Math.hypot(p[0] - b[i]![0], p[1] - b[i]![1])))
    : Infinity;

describe("writeDxf", () => {
  const given = hare();
  const cutLines = cutLinesOf(given);
  const drawing = read(writeDxf(given, { cutLines }));

  it("writeDxf › one block a piece, each inserted once [oracle: ASTM D6673, independent parser]", () => {
    const names = Object.keys(drawing.blocks);
    expect(names.length).toBe(given.panels.length);
    const inserted = drawing.entities
      .filter((entity) => entity.type === "INSERT")
      .map((entity) => entity.name);
    expect(inserted.sort()).toEqual(names.sort());
  });

  it("writeDxf › boundary on layer 1, sew line on 14, to 0.01 mm [oracle: ASTM D6673-10 layers, independent parser]", () => {
    for (const panel of given.panels) {
      const { entities } = drawing.blocks[panel.id.toUpperCase().replace(/-/g, "_")]!;
      const of = (layer: string, type: string) =>
        entities.filter((one) => one.layer === layer && one.type === type);
      const boundary = of("1", "POLYLINE");
      expect(boundary.length).toBe(1);
      expect(boundary[0]!.shape).toBe(true);
      expect(gap(points(boundary[0]), cutLines[panel.id]!)).toBeLessThan(0.01);
      const sew = panel.edges.flatMap((edge) => edge.points.slice(0, -1));
      expect(gap(points(of("14", "POLYLINE")[0]), sew)).toBeLessThan(0.01);
      expect(of("2", "POINT").length + of("3", "POINT").length).toBe(cutLines[panel.id]!.length);
      const texts = of("1", "TEXT").map((one) => one.text);
      expect(texts).toContain(`Piece Name: ${panel.name}`);
    }
  });

  it("writeDxf › notches, fold, grain, internal lines, drill points and letters on their layers [oracle: ASTM D6673-10 layers]", () => {
    const has = (panel: string, layer: string) =>
      drawing.blocks[panel]!.entities.filter((one) => one.layer === layer).length;
    // Four notches on three edges, one of them double.
    expect(has("HAUNCH", "4")).toBe(5);
    expect(has("SHIN", "6")).toBe(1);
    expect(has("STRIP", "7")).toBe(1);
    expect(has("HAUNCH", "8")).toBe(2);
    expect(has("HAUNCH", "13")).toBe(2);
    const letters = drawing.blocks["HAUNCH"]!.entities.filter((one) => one.layer === "15").map(
      (one) => one.text,
    );
    expect(letters).toContain("B");
    expect(Object.keys(drawing.tables.layer.layers).sort((a, b) => Number(a) - Number(b))).toEqual([
      "1",
      "2",
      "3",
      "4",
      "6",
      "7",
      "8",
      "11",
      "13",
      "14",
      "15",
    ]);
    expect(drawing.header["$INSUNITS"]).toBe(4);
    expect(drawing.header["$ACADVER"]).toBe("AC1009");
  });

  it("writeDxf › punches a folded dart on the drill layer, 10 mm short of its tip [closed form, independent parser]", () => {
    const square = rectangle("seat", 200, 150);
    const top = square.edges.find(({ points: line }) => line.every(([, y]) => y === 150))!;
    const sewn = addDart(square, top.id, { id: "d", at: 100, intake: 30, length: 90 });
    const drills = read(writeDxf(pattern([sewn]))).blocks["SEAT"]!.entities.filter(
      ({ layer }) => layer === "13",
    );
    expect(drills).toHaveLength(1);
    expect(drills[0]!.position!.x).toBeCloseTo(100, 3);
    expect(drills[0]!.position!.y).toBeCloseTo(150 - Math.sqrt(90 ** 2 - 15 ** 2) + 10, 3);
  });

  it("writeDxf › random outlines read back to 0.01 mm [oracle: independent parser, property]", () => {
    const coordinate = fc.double({ min: -3000, max: 3000, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 3, maxLength: 60 }), (outline) => {
        const { entities } = read(writeDxf(pattern([outlinePanel("a", outline)]))).blocks["A"]!;
        return gap(points(entities.find((one) => one.layer === "1")), outline) < 0.01;
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("writeDxf › is ASCII whatever the names, and block names stay apart", () => {
    const panels = ["żółw", "żołw", "a\nb"].map((id) => ({
      ...rectangle(id, 10, 10),
      name: `Łapa\r\n${id}`,
    }));
    const bytes = writeDxf(pattern(panels));
    expect(bytes.every((byte) => byte < 128)).toBe(true);
    expect(Object.keys(read(bytes).blocks).length).toBe(3);
    expect(new TextDecoder().decode(bytes)).toContain("\\U+0141apa");
  });

  it("writeDxf › refuses an empty pattern", () => {
    try {
      writeDxf(pattern([]));
      expect.unreachable();
    } catch (error) {
      expect(isPeltryError(error) && error.code).toBe("print/empty-pattern");
    }
  });
});

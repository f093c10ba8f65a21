import { describe, expect, it } from "vitest";
import { pointInOutline, signedArea } from "@peltry/geometry";
import { checkPattern, panelOutline } from "@peltry/pattern";
import { makeCostume, readProject, type MadeCostume } from "../src/index";

/** A straight cone of a tail stands on its base like a hat: a surface that unrolls, so that a spot keeps its area. */
const CONE = (spots: string): string => `peltry: 1
name: Spotted
fabrics:
  long: { name: Long, material: faux-fur-long, pileLengthMm: 40, pieces: [{ id: a, widthMm: 1500, lengthMm: 1000 }] }
  mid: { name: Mid, material: faux-fur-medium, pileLengthMm: 28, pieces: [{ id: b, widthMm: 500, lengthMm: 500 }] }
  low: { name: Low, material: faux-fur-short, pileLengthMm: 6, pieces: [{ id: c, widthMm: 500, lengthMm: 500 }] }
  knit: { name: Knit, material: scuba-knit, pieces: [{ id: d, widthMm: 1500, lengthMm: 1000 }] }
parts:
  - id: tail
    name: Tail
    kind: tail
    style: cone
    lengthMm: 500
    baseGirthMm: 900
    fabrics: { coat: long }
    spots:
      - ${spots}
`;
const make = (text: string): MadeCostume => makeCostume(readProject(text, "s.yaml"), () => new Uint8Array());
const spot = (fabric: string, more = ""): string =>
  `{ id: dot, up: 0.3, aroundDeg: 20, widthMm: 60, heightMm: 80, fabric: ${fabric}${more} }`;
const panel = (made: MadeCostume, id: string) => made.pattern.panels.find((each) => each.id === id);

describe("spots on a part", () => {
  it.each([
    ["mid", "let-in"],
    ["low", "shaved"],
  ])("of %s fur on long fur are %s [oracle: the rule of both pile heights]", (fabric, method) => {
    const made = make(CONE(spot(fabric)));
    expect(panel(made, "tail-tail-dot")!.fabric).toBe(fabric);
    expect(checkPattern(made.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
    const tail = panel(made, "tail-tail")!;
    if (method === "let-in") {
      expect(tail.holes).toHaveLength(1);
      expect(made.pattern.seams.some((seam) => seam.a.panel === "tail-tail-dot")).toBe(true);
      expect(made.sewing.steps.some((step) => step.kind === "let-in")).toBe(true);
    } else {
      expect(tail.markings[0]).toMatchObject({ method, fabric });
      expect(panel(made, "tail-tail-dot")!.notes![0]).toMatch(/shave the ground of Long to 6 mm/);
    }
  });
  it("are sewn on top of smooth cloth", () => {
    const made = make(CONE(spot("low")).replace("{ coat: long }", "{ coat: knit }"));
    expect(panel(made, "tail-tail")!.markings[0]!.method).toBe("applied");
  });
  it("keep their area on a surface that unrolls [oracle: π a b, a polygon of 32 sides]", () => {
    const made = make(CONE(spot("mid", ", method: applied")));
    const [marking] = panel(made, "tail-tail")!.markings;
    const polygon = 16 * Math.sin(Math.PI / 16) * 30 * 40;
    expect(Math.abs(signedArea(marking!.points) / polygon - 1)).toBeLessThan(0.01);
    const outline = panelOutline(panel(made, "tail-tail")!);
    expect(marking!.points.every((p) => pointInOutline(p, outline) === "inside")).toBe(true);
  });
  it("move round the part with their angle: twice as far turned, twice as far on the sector [oracle: arc of a cone]", () => {
    const centre = (deg: number): number => {
      const made = make(CONE(spot("mid", ", method: applied").replace("aroundDeg: 20", `aroundDeg: ${deg}`)));
      const { points } = panel(made, "tail-tail")!.markings[0]!;
      const [x, y] = [0, 1].map((k) => points.reduce((sum, p) => sum + p[k as 0 | 1], 0) / points.length);
      return (Math.atan2(y!, x!) * 180) / Math.PI + 90;
    };
    expect(centre(40) / centre(20)).toBeCloseTo(2, 1);
    // The sector's share of a circle is base girth over 2 π times the side.
    expect(centre(40) / 40).toBeCloseTo(900 / (2 * Math.PI * 500), 2);
  });
  it("say so where they run over an edge, and refuse a cloth that is not there", () => {
    const over = make(CONE(spot("mid").replace("aroundDeg: 20", "aroundDeg: 179")));
    expect(over.issues.map((issue) => issue.code)).toContain("run/spot-over-the-edge");
    expect(() => make(CONE(spot("velvet")))).toThrow(/no fabric "velvet"/);
  });
});

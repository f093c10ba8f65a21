import { describe, expect, it } from "vitest";
import { distanceToSegment, pointInOutline, polylineLength, type Point } from "@peltry/geometry";
import { checkPattern, findEdge, findPanel, panelOutline, type Panel } from "@peltry/pattern";
import type { Stretch } from "../src/run/fitted-closure";
import { makeCostume, readProject, type MadeCostume } from "../src/index";

const PROJECT = (part: string): string => `peltry: 1
name: Closed
wearer: { measures: { stature: 1700, hip: 1000, headGirth: 570 } }
fabrics:
  knit: { name: Knit, material: scuba-knit, stretchAlongPercent: 30, stretchAcrossPercent: 45, pieces: [{ id: roll, widthMm: 1500, costPerMetre: 9 }] }
parts:
  - ${part}
`;
const LEG = (closure: string): string =>
  `{ id: leg, name: Leg, kind: leg, triangles: 1500, fabrics: { coat: knit }, seams: { lines: [inner-seam, back-line] }, closures: [${closure}] }`;
const make = (part: string): MadeCostume =>
  makeCostume(readProject(PROJECT(part), "c.yaml"), () => new Uint8Array());
const edge = (panel: Panel, id: string) => panel.edges.find((each) => each.id === id)!;

const distanceToPath = (p: Point, path: readonly Point[]): number =>
  Math.min(...path.slice(1).map((q, i) => distanceToSegment(p, path[i]!, q)));

describe("closures of a part", () => {
  it.each(["top", "bottom"])(
    "snaps from the %s: seam open so far, marks on both banks [oracle: lengths]",
    (from) => {
      const made = make(
        LEG(`{ id: back, kind: snap, along: back-line, from: ${from}, lengthMm: 212, spacingMm: 50 }`),
      );
      const [closure] = made.parts[0]!.closures!;
      // Snaps 12 mm from both ends, none further than 50 apart: 188 mm in four gaps of 47.
      expect(closure!.at.map((at) => Math.round(1e6 * at) / 1e6)).toEqual([12, 59, 106, 153, 200]);
      expect(closure!.need).toEqual({ amount: 5, unit: "pieces" });
      expect(closure!.overlap).toBe(22);
      for (const bank of [closure!.stretches[0]!.upper, closure!.stretches[0]!.under]) {
        const panel = findPanel(made.pattern, bank.panel)!;
        const open = edge(panel, bank.edge);
        expect(open.role).toBe("opening");
        expect(Math.abs(polylineLength(open.points) - 212)).toBeLessThan(0.2);
        // The open end is the one that was asked for: the mark nearest to the rim comes first.
        const rims = panel.edges.filter(
          (each) => each.role === "hem" && each.name === (from === "top" ? "Thigh rim" : "Ankle rim"),
        );
        const side = bank === closure!.stretches[0]!.under ? "back-under-" : "back-upper-";
        const marks = panel.markings.filter(({ id }) => id.startsWith(side));
        expect(marks).toHaveLength(5);
        const far = marks.map(({ points }) =>
          Math.min(
            ...rims.flatMap((rim) =>
              rim.points.map((p) => Math.hypot(p[0] - points[0]![0], p[1] - points[0]![1])),
            ),
          ),
        );
        expect(far).toEqual([...far].sort((a, b) => a - b));
        for (const { points } of marks)
          expect(points.every((p) => pointInOutline(p, panelOutline(panel)) === "inside")).toBe(true);
        // Half the overlap inside the sew line of the upper bank; the under one is cut wider by the overlap and a turn-in.
        const isUnder = bank === closure!.stretches[0]!.under;
        if (!isUnder)
          for (const { points } of marks) expect(distanceToPath(points[0]!, open.points)).toBeCloseTo(11, 0);
        const { widths } = made.allowances.get(panel.id)!;
        expect(widths.find((each) => each.edge === bank.edge)!.width).toBe(isUnder ? 32 : 18);
      }
      expect(checkPattern(made.pattern).filter(({ severity }) => severity === "error")).toEqual([]);
      expect(made.sewing.steps.some(({ text }) => /closure/i.test(text))).toBe(true);
    },
  );
  it("a zip has its ends marked on the sew line and no overlap; a whole seam may be left open", () => {
    const made = make(LEG("{ id: in, kind: zip, along: inner-seam }"));
    const [closure] = made.parts[0]!.closures!;
    expect(closure).toMatchObject({ kind: "zip", overlap: 0, extension: 0 });
    expect(closure!.need.amount).toBeCloseTo(closure!.length - 24, 6);
    expect(
      made.pattern.seams.some(
        (seam) => findEdge(findPanel(made.pattern, seam.a.panel)!, seam.a.edge)!.name === "Inner seam",
      ),
    ).toBe(false);
  });
  it("the zip of a boot cover opens its back seam from the rim [oracle: zipMm]", () => {
    const made = make(
      "{ id: paw, name: Paw, kind: boot-cover, triangles: 1200, zipMm: 90, fabrics: { coat: knit, wall: knit } }",
    );
    const { stretches, length, from } = made.parts[0]!.closures![0]!;
    const [{ upper }] = stretches as [Stretch];
    expect([length, from]).toEqual([expect.closeTo(90, 6), "upper end"]);
    expect(polylineLength(edge(findPanel(made.pattern, upper.panel)!, upper.edge).points)).toBeCloseTo(90, 6);
  });
  it("goes on past a seam that crosses it [oracle: lengths]", () => {
    const made = make(
      "{ id: paw, name: Paw, kind: boot-cover, triangles: 1200, zipMm: 130, fabrics: { coat: knit, wall: knit } }",
    );
    const { stretches, length } = made.parts[0]!.closures![0]!;
    expect(length).toBeCloseTo(130, 6);
    expect(stretches.map(({ upper }) => upper.panel)).toEqual(["paw-coat", "paw-wall"]);
    const sums = (["upper", "under"] as const).map((bank) =>
      stretches.reduce(
        (sum, each) =>
          sum + polylineLength(edge(findPanel(made.pattern, each[bank].panel)!, each[bank].edge).points),
        0,
      ),
    );
    for (const sum of sums) expect(Math.abs(sum - 130)).toBeLessThan(0.2);
    expect(checkPattern(made.pattern).filter(({ severity }) => severity === "error")).toEqual([]);
  });
  it("the ends of a band lie on each other [oracle: overlap of the tape]", () => {
    const made = make(
      "{ id: band, name: Band, kind: headband, widthMm: 40, overlapMm: 45, fabrics: { band: knit, lining: knit }, closures: [{ id: back, kind: hook-and-loop, along: band/right, to: band/left, endMm: 4 }] }",
    );
    const [closure] = made.parts[0]!.closures!;
    expect(closure).toMatchObject({
      length: 40,
      overlap: 35,
      extension: 0,
      need: { amount: 32, unit: "mm" },
    });
    const tapes = findPanel(made.pattern, "band-band")!.markings.filter(({ id }) => id.startsWith("back-"));
    expect(tapes.map(({ points }) => points.map(([, y]) => y))).toEqual([
      [4, 20, 36].map((y) => expect.closeTo(y, 6)),
      [4, 20, 36].map((y) => expect.closeTo(y, 6)),
    ]);
  });
  it("lie on opposite halves of a band folded lengthwise, face to face when worn [oracle: folding by hand]", () => {
    const made = make(
      "{ id: tail, name: Tail, kind: tail, style: puff, lengthMm: 160, band: { widthMm: 40, overlapMm: 60 }, closures: [{ id: side, kind: hook-and-loop, along: band/right, to: band/left, lengthMm: 40, endMm: 4 }], fabrics: { coat: knit, band: knit } }",
    );
    const band = findPanel(made.pattern, "tail-band")!;
    const at = (bank: string) =>
      band.markings.filter(({ id }) => id.startsWith(`side-${bank}-`)).flatMap(({ points }) => points);
    expect(
      at("under")
        .map(([, y]) => y)
        .sort((a, b) => a - b),
    ).toEqual([4, 20, 36].map((y) => expect.closeTo(y, 6)));
    // Folded along y = 40, the upper tape comes to lie behind y = 4 to 36 too, on the other face.
    const folded = at("upper").map(([, y]) => 80 - y);
    expect(folded.sort((a, b) => a - b)).toEqual([4, 20, 36].map((y) => expect.closeTo(y, 6)));
    expect(at("upper").every(([, y]) => y > 40)).toBe(true);
    expect(band.notes!.join(" ")).toMatch(/half beyond the fold/);
  });
  it("refuses a line that is no seam, a length past the seam and an edge that is closed", () => {
    expect(() => make(LEG("{ id: x, kind: snap, along: front-line }"))).toThrow(/no seam here/);
    expect(() => make(LEG("{ id: x, kind: snap, along: back-line, lengthMm: 5000 }"))).toThrow(
      /5000 mm long/,
    );
    expect(() =>
      make(
        "{ id: band, name: Band, kind: headband, fabrics: { band: knit, lining: knit }, closures: [{ id: x, kind: snap, along: band/top }] }",
      ),
    ).toThrow(/no open edge/);
  });
});

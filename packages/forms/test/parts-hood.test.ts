import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { polylineLength } from "@peltry/geometry";
import { checkPattern } from "@peltry/pattern";
import { closureMarkings, makeHood, placeClosure } from "@peltry/forms";
import { codeOf } from "./build-helpers";

/** Perimeter of an ellipse by Ramanujan's second formula: within 1e-6 here. */
function ellipse(a: number, b: number): number {
  const h = ((a - b) / (a + b)) ** 2;
  return Math.PI * (a + b) * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));
}

describe("makeHood", () => {
  const size = { headGirth: 570, height: 320, depth: 240, width: 170, faceHeight: 230 };
  const hood = makeHood(size);

  it("has a strip as long as the crown of its sides [oracle: two quarters of an ellipse and a straight line]", () => {
    const wanted = ellipse(240 * 0.48, 90) / 4 + ellipse(240 * 0.52, 160) / 4 + Math.hypot(0.12 * 240, 160);
    expect(hood.crownLength / wanted).toBeCloseTo(1, 3);
    const edge = (panel: string, id: string): number =>
      polylineLength(
        hood.pattern.panels.find((one) => one.id === panel)!.edges.find((one) => one.id === id)!.points,
      );
    expect(edge("strip", "left")).toBeCloseTo(edge("side-left", "crown"), 9);
    expect(edge("strip", "right")).toBeCloseTo(edge("side-right", "crown"), 9);
    expect(hood.faceOpening).toBe(170 + 2 * 230);
  });
  it("gives a pattern without a fault, its centre in the middle plane and on the head [invariant]", () => {
    expect(checkPattern(hood.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
    expect(hood.centreOfMass[0]).toBe(0);
    expect(hood.centreOfMass[1]).toBeGreaterThan(0.4 * 320);
    expect(hood.centreOfMass[1]).toBeLessThan(0.8 * 320);
    expect(Math.abs(hood.centreOnHead[2])).toBeLessThan(60);
  });
  it("weighs the square of its size [oracle: scaling law of a sheet]", () => {
    const small = makeHood({ headGirth: 570, height: 160, depth: 120, width: 85, faceHeight: 115 });
    expect(hood.massG / small.massG).toBeCloseTo(4, 6);
  });
  it("goes over a wig by 2 π of its thickness [oracle: Steiner]", () => {
    const over = makeHood({ headGirth: 570, wigThickness: 10 });
    const wide = makeHood({ headGirth: 570 + 20 * Math.PI });
    expect(over.crownLength).toBeCloseTo(wide.crownLength, 9);
  });
  it("refuses a head that is none", () => {
    expect(codeOf(() => makeHood({ headGirth: 80 }))).toBe("forms/bad-part");
    expect(codeOf(() => makeHood({ headGirth: 570, height: 200, faceHeight: 199 }))).toBe("forms/bad-part");
  });
});

describe("placeClosure", () => {
  it("spreads snaps evenly, both ends kept [oracle: counted by hand]", () => {
    const { at, overlap, need } = placeClosure({ kind: "snap", length: 224, end: 12, spacing: 45 });
    expect(at).toEqual([12, 52, 92, 132, 172, 212]);
    expect(overlap).toBe(22);
    expect(need).toEqual({ amount: 6, unit: "pieces" });
  });
  it("never sets them further apart than asked, nor one more than needed [property]", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 1500, noNaN: true }),
        fc.double({ min: 10, max: 120, noNaN: true }),
        (length, spacing) => {
          const { at } = placeClosure({ kind: "hook-and-eye", length, spacing, end: 10 });
          const gap = at[1]! - at[0]!;
          expect(gap).toBeLessThanOrEqual(spacing * (1 + 1e-9));
          expect(at.at(-1)).toBeCloseTo(length - 10, 6);
          if (at.length > 2) expect((length - 20) / (at.length - 2)).toBeGreaterThan(spacing * (1 - 1e-6));
        },
      ),
      { seed: 3, numRuns: 200 },
    );
  });
  it("takes tape and zip from stop to stop, a zip without overlap", () => {
    expect(placeClosure({ kind: "zip", length: 300, end: 10 })).toMatchObject({
      overlap: 0,
      need: { amount: 280 },
    });
    expect(placeClosure({ kind: "hook-and-loop", length: 100, end: 0 }).overlap).toBe(35);
  });
  it("marks them along an edge", () => {
    const snaps = placeClosure({ kind: "snap", length: 100, end: 0, spacing: 50 });
    expect(closureMarkings(snaps, [0, 0], [0, 100]).map((one) => one.points[0])).toEqual([
      [0, 0],
      [0, 50],
      [0, 100],
    ]);
  });
  it("refuses what does not close", () => {
    expect(codeOf(() => placeClosure({ kind: "glue" as never, length: 100 }))).toBe("forms/bad-part");
    expect(codeOf(() => placeClosure({ kind: "snap", length: Number.NaN }))).toBe("forms/bad-part");
  });
});

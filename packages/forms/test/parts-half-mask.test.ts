import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { meshTopology } from "@peltry/geometry";
import { checkPattern } from "@peltry/pattern";
import { makeHalfMask, type WornPiece } from "@peltry/forms";
import { codeOf } from "./build-helpers";

const flatArea = ({ mesh, flat }: WornPiece): number => {
  let sum = 0;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => 2 * mesh.triangles[t + k]) as [number, number, number];
    const twice =
      (flat[b] - flat[a]) * (flat[c + 1] - flat[a + 1]) - (flat[c] - flat[a]) * (flat[b + 1] - flat[a + 1]);
    expect(twice).toBeGreaterThan(0);
    sum += twice / 2;
  }
  return sum;
};

/** Largest change of a side between the flat and the worn piece, as a fraction. */
function worstSide({ mesh, flat }: WornPiece): number {
  let worst = 0;
  const p = mesh.positions;
  for (let h = 0; h < mesh.triangles.length; h++) {
    const [a, b] = [mesh.triangles[h], mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]];
    const long = Math.hypot(flat[2 * b] - flat[2 * a], flat[2 * b + 1] - flat[2 * a + 1]);
    const worn = Math.hypot(p[3 * b] - p[3 * a], p[3 * b + 1] - p[3 * a + 1], p[3 * b + 2] - p[3 * a + 2]);
    worst = Math.max(worst, Math.abs(worn / long - 1));
  }
  return worst;
}

describe("makeHalfMask", () => {
  const size = {
    headGirth: 570,
    height: 100,
    wrapDeg: 60,
    eyeHeight: 60,
    nose: { bridge: 48, width: 34, out: 20 },
  };
  const mask = makeHalfMask(size);
  // Flat front of 34 mm, then 60° of a circle: 0.136 × 570 + 6 − 17 = 66.52 mm.
  const across = 34 + (2 * 66.52 * Math.PI) / 3;

  it("is as wide as its flat front and two arcs [oracle: arc length]", () => {
    expect(mask.across).toBeCloseTo(across, 9);
  });
  it("has the area of a rectangle less nose and windows, and of two triangles [oracle: ellipse, Heron]", () => {
    const shell = across * 100 - 17 * 48 - 2 * (Math.PI / 4) * 46 * 32;
    const [p, q, r] = [Math.hypot(17, 20), Math.hypot(48, 17), Math.hypot(48, 20)];
    const s = (p + q + r) / 2;
    const nose = 2 * Math.sqrt(s * (s - p) * (s - q) * (s - r));
    const cloth = mask.needs.find((each) => each.layer === "cloth")!;
    // The windows are polygons of 48 sides: 0.3 % of their area.
    expect(Math.abs(cloth.amount - shell - nose)).toBeLessThan(0.004 * Math.PI * 23 * 16 * 2);
    const [left, right, wornNose] = mask.worn;
    expect(flatArea(wornNose)).toBeCloseTo(nose, 6);
    expect(Math.abs((flatArea(left) + flatArea(right)) / shell - 1)).toBeLessThan(0.003);
  });
  it("unrolls: no side changes its length, and each half has its window [oracle: developable surface]", () => {
    const [left, right, nose] = mask.worn;
    expect(worstSide(nose)).toBeLessThan(1e-12);
    for (const half of [left, right]) {
      expect(worstSide(half)).toBeLessThan(0.004);
      expect(meshTopology(half.mesh).loops).toHaveLength(2);
    }
  });
  it("gives a pattern without a fault: all seams of one length on both sides [invariant]", () => {
    for (const fixing of ["elastic", "hood"] as const)
      expect(checkPattern(makeHalfMask({ ...size, fixing }).pattern)).toEqual([]);
    expect(mask.pattern.seams).toHaveLength(14);
  });
  it("sees down by half the window over the distance of the eye, never more than bare eyes [oracle: tangent]", () => {
    const seen = (height: number, eyeRelief: number): number =>
      makeHalfMask({ ...size, eyeRelief, window: { height } }).lowestSeenDeg;
    expect(seen(36, 18)).toBeCloseTo(45, 9);
    expect(seen(36, 18 / Math.sqrt(3))).toBeCloseTo(60, 9);
    expect(seen(40, 5)).toBe(75);
  });
  it("is held by an elastic as long as the rest of the girth, let down by its stretch [oracle: Steiner]", () => {
    const { fixingLength } = makeHalfMask({ ...size, wigThickness: 10, elasticStrain: 0.25 });
    expect(fixingLength).toBeCloseTo((570 + 20 * Math.PI - across) / 1.25 + 30, 9);
  });
  it("keeps its centre in the middle plane, before the band and under it", () => {
    const [x, y, z] = mask.centreOnHead;
    expect(x).toBe(0);
    expect(y).toBeLessThan(0);
    expect(z).toBeGreaterThan(50);
  });
  it("refuses windows that leave no cloth, and takes every other head [property]", () => {
    expect(codeOf(() => makeHalfMask({ ...size, window: { width: 60 } }))).toBe("forms/bad-part");
    expect(codeOf(() => makeHalfMask({ ...size, window: { height: 95 } }))).toBe("forms/bad-part");
    expect(codeOf(() => makeHalfMask({ ...size, eyeHeight: 0 }))).toBe("forms/bad-part");
    expect(codeOf(() => makeHalfMask({ headGirth: Number.NaN }))).toBe("forms/bad-part");
    fc.assert(
      fc.property(
        fc.double({ min: 400, max: 700, noNaN: true }),
        fc.double({ min: 5, max: 60, noNaN: true }),
        (headGirth, out) => {
          const small = headGirth < 480 ? { width: 34, height: 24 } : {};
          const { worn, pattern } = makeHalfMask({ headGirth, nose: { out }, window: small });
          expect(checkPattern(pattern)).toEqual([]);
          for (const piece of worn) flatArea(piece);
        },
      ),
      { seed: 5, numRuns: 40 },
    );
  });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { coneBand, hornCup, paddedLeg, sphericalCap } from "../../../test-fixtures/src/shapes";
import { checkFlat, flattenPlain, type PlainOptions } from "../src/core";
import { flatten } from "../src/index";

describe("flattenPlain", () => {
  it.each<PlainOptions>([
    {},
    { mode: "flip-free" },
    { pileAngle: 30, targetStretch: { along: 0.05, across: 0.1 } },
    { pile: [1, 0, 0], tolerance: 1e-3, maxIterations: 40 },
  ])("gives the very panel of flatten: %j [equivalence]", (options) => {
    for (const mesh of [
      paddedLeg({ triangles: 800, jitter: 0.2 }),
      sphericalCap(100, 85, { triangles: 600 }),
    ]) {
      const [plain, whole] = [flattenPlain(mesh, options), flatten(mesh, options)];
      expect(plain.positions).toEqual(whole.positions);
      expect(plain.certificate).toEqual(whole.certificate);
      expect(plain.issues).toEqual(whole.issues);
    }
  });
  it("a cone's band comes out as its sector [oracle: closed form, corner distances from the apex, 0.01 mm]", () => {
    const [from, to, half] = [100, 300, 20];
    const mesh = coneBand(half, from, to, { triangles: 400 });
    const { positions: x } = flattenPlain(mesh);
    // Every vertex keeps its distance from the apex: all on two circles round one centre.
    const ends = [from, to].map((far) =>
      [...Array(mesh.positions.length / 3).keys()].filter(
        (v) => Math.abs(Math.hypot(...mesh.positions.subarray(3 * v, 3 * v + 3)) - far) < 1e-6,
      ),
    );
    expect(Math.min(ends[0].length, ends[1].length)).toBeGreaterThan(5);
    const [a, b, c] = [ends[1][0], ends[1][Math.floor(ends[1].length / 2)], ends[1][ends[1].length - 1]];
    const [ax, ay, bx, by, cx, cy] = [a, b, c].flatMap((v) => [x[2 * v], x[2 * v + 1]]);
    // Circle through three points of the outer rim.
    const d = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by));
    const [aa, bb, cc] = [ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy];
    const ux = (aa * (by - cy) + bb * (cy - ay) + cc * (ay - by)) / d;
    const uy = (aa * (cx - bx) + bb * (ax - cx) + cc * (bx - ax)) / d;
    ends.forEach((ring, k) => {
      for (const v of ring)
        expect(Math.abs(Math.hypot(x[2 * v] - ux, x[2 * v + 1] - uy) - [from, to][k])).toBeLessThan(0.01);
    });
  });
  it("opens what curls up or would overlap, without a turned triangle or a crossing [guarantee]", () => {
    for (const mesh of [
      hornCup(250, 40, { triangles: 600 }),
      hornCup(800, 20, { triangles: 1500 }),
      sphericalCap(100, 165, { triangles: 500 }),
    ]) {
      const panel = flattenPlain(mesh);
      expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
      expect(panel.issues.filter(({ severity }) => severity === "error")).toEqual([]);
    }
  });
  it("whatever the cap, the same guarantee and the same bytes twice [guarantee]", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.integer({ min: 20, max: 200 }),
        fc.double({ min: 10, max: 160, noNaN: true }),
        fc.constantFrom<PlainOptions["mode"]>(undefined, "shape-preserving", "flip-free"),
        (seed, triangles, degrees, mode) => {
          const mesh = sphericalCap(100, degrees, { triangles, jitter: 0.3, seed });
          const panel = flattenPlain(mesh, { mode });
          expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
          expect(flattenPlain(mesh, { mode }).positions).toEqual(panel.positions);
        },
      ),
      { seed: 1, numRuns: 25 },
    );
  });
  it.each(["fabric", "anyDirection", "edgeLengthWeight", "constraints", "holes"])(
    "refuses the option %s, which it would have to pass over",
    (name) => {
      const mesh = sphericalCap(100, 40, { triangles: 60 });
      expect(() => flattenPlain(mesh, { [name]: {} } as PlainOptions)).toThrow(
        new RegExp(`Option ${name} .*left to`),
      );
    },
  );
  it("refuses what flatten refuses: a tube, a mode it does not know, NaN", () => {
    const cap = sphericalCap(100, 40, { triangles: 60 });
    const tube = {
      positions: Float64Array.from([0, 0, 0, 9, 0, 0, 4, 0, 8, 0, 5, 0, 9, 5, 0, 4, 5, 8]),
      triangles: Uint32Array.from([0, 1, 4, 0, 4, 3, 1, 2, 5, 1, 5, 4, 2, 0, 3, 2, 3, 5]),
    };
    expect(() => flattenPlain(tube)).toThrow(/2 border loops/);
    expect(() => flattenPlain(cap, { mode: "strain-limited" as "flip-free" })).toThrow(/Option mode/);
    expect(() => flattenPlain(cap, { tolerance: Number.NaN })).toThrow(/Option tolerance/);
    const broken = { ...cap, positions: cap.positions.map((v, i) => (i === 4 ? Number.NaN : v)) };
    expect(() => flattenPlain(broken)).toThrow(/Coordinate y of vertex 1/);
  });
});

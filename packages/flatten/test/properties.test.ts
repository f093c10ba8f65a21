import { createRandom, type TriangleMesh } from "@peltry/geometry";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { gridSurface, sphericalCap } from "../../../test-fixtures/src/shapes";
import {
  checkFlat,
  createFlattener,
  flatten,
  flattenTogether,
  measureStrain,
  rampColour,
  strainColours,
  type FlattenMode,
} from "../src/index";

const RUNS = { seed: 1, numRuns: 25 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** A bumpy patch; some are caps that close up nearly. */
const patch = fc
  .tuple(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 20, max: 160 }), number(10, 150), number(0, 12))
  .map(([seed, triangles, degrees, bumps]): TriangleMesh => {
    const mesh = sphericalCap(100, degrees, { triangles, jitter: 0.2, seed });
    const random = createRandom(seed);
    return { ...mesh, positions: mesh.positions.map((x) => x + bumps * (random() - 0.5)) };
  });
const mode = fc.constantFrom<FlattenMode>("shape-preserving", "flip-free");
const KNIT = {
  along: { max: 0.1, min: -0.03 },
  across: { max: 0.2, min: -0.03 },
  shear: { max: 0.21, min: -0.21 },
};

describe("properties of flattening", () => {
  it("whatever the patch and the mode, nothing is turned over and no outline meets itself; twice gives the same bytes [guarantee]", () => {
    fc.assert(
      fc.property(patch, fc.option(mode, { nil: undefined }), (mesh, chosen) => {
        const options = chosen ? { mode: chosen } : { fabric: KNIT };
        const panel = flatten(mesh, options);
        expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
        expect(panel.certificate).toMatchObject({ flips: 0, overlaps: 0 });
        expect(flatten(mesh, options).positions).toEqual(panel.positions);
        const strain = measureStrain(mesh, panel.positions);
        expect(panel.certificate.maxStrain).toBeCloseTo(
          Math.max(...strain.major.map(Math.abs), ...strain.minor.map(Math.abs)),
          6,
        );
      }),
      RUNS,
    );
  });
  it("a flattener kept gives what flatten gives, and after a move what the moved mesh gives [equivalence]", () => {
    fc.assert(
      fc.property(patch, number(0.9, 1.1), (mesh, scale) => {
        const kept = createFlattener(mesh);
        expect(kept.flatten().positions).toEqual(flatten(mesh).positions);
        const moved = mesh.positions.map((x) => scale * x);
        const fresh = flatten({ ...mesh, positions: moved });
        const again = kept.flatten({ moved });
        expect(again.certificate.energy).toBeCloseTo(fresh.certificate.energy, 4);
        expect(again.certificate).toMatchObject({ flips: 0, overlaps: 0 });
      }),
      RUNS,
    );
  });
  it("two patches flattened together agree along their seam, edge by edge [0.2 mm]", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), number(5, 40), (seed, depth) => {
        const half = (side: number): TriangleMesh =>
          gridSurface((u, v) => [side * 80 * u, 120 * v, depth * Math.sin(3 * v) * (1 - u)], 80 / 120, {
            triangles: 80,
            seed,
          });
        const one = half(1);
        const mirrored = half(-1);
        const two = {
          ...mirrored,
          triangles: mirrored.triangles.map(
            (_, i, all) => all[i % 3 === 0 ? i : i % 3 === 1 ? i + 1 : i - 1],
          ),
        };
        // The shared side: vertices with u = 0, by height.
        const side = ({ positions: p }: TriangleMesh): number[] =>
          Array.from({ length: p.length / 3 }, (_, v) => v)
            .filter((v) => Math.abs(p[3 * v]) < 1e-9)
            .sort((a, b) => p[3 * a + 1] - p[3 * b + 1]);
        const path = [side(one), side(two)];
        const { panels, seams } = flattenTogether(
          [
            { id: "one", mesh: one },
            { id: "two", mesh: two },
          ],
          [{ id: "s", a: { patch: "one", path: path[0] }, b: { patch: "two", path: path[1] } }],
        );
        expect(seams[0].mismatch).toBeLessThanOrEqual(0.2);
        for (let i = 1; i < path[0].length; i++) {
          const [a, b] = panels.map(({ positions: x }, k) =>
            Math.hypot(
              x[2 * path[k][i]] - x[2 * path[k][i - 1]],
              x[2 * path[k][i] + 1] - x[2 * path[k][i - 1] + 1],
            ),
          );
          expect(Math.abs(a - b)).toBeLessThan(0.2);
        }
        for (const panel of panels) expect(panel.certificate).toMatchObject({ flips: 0, overlaps: 0 });
      }),
      RUNS,
    );
  });
});

describe("properties of strain colours", () => {
  it("the ramp stays in the cube, is held at its ends and has no jumps [continuity]", () => {
    fc.assert(
      fc.property(number(-2, 2), number(0, 0.01), (at, step) => {
        const [a, b] = [rampColour(at), rampColour(at + step)];
        a.forEach((x, k) => {
          expect(x >= 0 && x <= 1).toBe(true);
          expect(Math.abs(x - b[k])).toBeLessThanOrEqual(2 * step + 1e-12);
        });
        if (at >= 1) expect(a).toEqual(rampColour(1));
        if (at <= -1) expect(a).toEqual(rampColour(-1));
      }),
      { seed: 1, numRuns: 200 },
    );
  });
  it("strainColours is the ramp at value over limit, three numbers a triangle [definition]", () => {
    fc.assert(
      fc.property(fc.array(number(-0.5, 0.5), { maxLength: 20 }), number(0.01, 0.3), (values, limit) => {
        const colours = strainColours(Float64Array.from(values), limit);
        expect([...colours]).toEqual([
          ...Float32Array.from(values.flatMap((value) => [...rampColour(value / limit)])),
        ]);
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});

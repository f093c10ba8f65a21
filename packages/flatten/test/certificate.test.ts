import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { TriangleMesh } from "@peltry/geometry";
import { checkFlat, measureStrain } from "../src/index";
import { weightedQuantile } from "../src/measure-strain";

type Spot = readonly [number, number];

/** A fan round one inner vertex; its border runs through the spots in turn. */
function fan(spots: readonly Spot[], centre: Spot): { mesh: TriangleMesh; flat: Float64Array } {
  const n = spots.length;
  const flat = Float64Array.from([...spots, centre].flat());
  const triangles = Uint32Array.from(spots.flatMap((_, i) => [i, (i + 1) % n, n]));
  const positions = new Float64Array(3 * (n + 1));
  for (let v = 0; v <= n; v++) positions.set([flat[2 * v], flat[2 * v + 1], 0], 3 * v);
  return { mesh: { positions, triangles }, flat };
}

const turn = (a: Spot, b: Spot, c: Spot) => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
const lies = (p: Spot, a: Spot, b: Spot) =>
  turn(a, b, p) === 0 &&
  Math.min(a[0], b[0]) <= p[0] &&
  p[0] <= Math.max(a[0], b[0]) &&
  Math.min(a[1], b[1]) <= p[1] &&
  p[1] <= Math.max(a[1], b[1]);

/** Whether two sides of whole-numbered corners share more than the corner that joins them. All sums are exact. */
function meet(a: Spot, b: Spot, c: Spot, d: Spot, joined: "bc" | "da" | undefined): boolean {
  if (joined === "bc") return lies(a, c, d) || lies(d, a, b);
  if (joined === "da") return lies(b, c, d) || lies(c, a, b);
  if ([lies(a, c, d), lies(b, c, d), lies(c, a, b), lies(d, a, b)].some(Boolean)) return true;
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

const spot = fc.tuple(fc.integer({ min: 0, max: 5 }), fc.integer({ min: 0, max: 5 }));

describe("the certificate of a panel", () => {
  it("checkFlat › finds each pair of border sides that meet, and no other [oracle: brute force in whole numbers]", () => {
    let crossed = 0;
    let clean = 0;
    fc.assert(
      fc.property(fc.array(spot, { minLength: 4, maxLength: 9 }), spot, (spots, centre) => {
        const n = spots.length;
        fc.pre(spots.every((p, i) => p[0] !== spots[(i + 1) % n][0] || p[1] !== spots[(i + 1) % n][1]));
        const { mesh, flat } = fan(spots, centre);
        const loop = spots.map((_, i) => i);
        const expected: string[] = [];
        for (let i = 0; i < n; i++)
          for (let j = i + 1; j < n; j++) {
            const [a, b, c, d] = [spots[i], spots[(i + 1) % n], spots[j], spots[(j + 1) % n]];
            const joined = j === i + 1 ? "bc" : (j + 1) % n === i ? "da" : undefined;
            if (meet(a, b, c, d, joined)) expected.push(`${i} ${(i + 1) % n} ${j} ${(j + 1) % n}`);
          }
        const check = checkFlat(mesh, flat, [loop]);
        expect(check.crossings.map((pair) => pair.join(" ")).sort()).toEqual(expected.sort());
        expect(check.overlaps).toBe(expected.length);
        const turned = loop.filter((i) => turn(spots[i], spots[(i + 1) % n], centre) <= 0);
        expect(check.flippedTriangles).toEqual(turned);
        expect(check.flips).toBe(turned.length);
        if (expected.length > 0) crossed++;
        else clean++;
      }),
      { seed: 11, numRuns: 4000 },
    );
    // Both kinds were seen.
    expect(Math.min(crossed, clean)).toBeGreaterThan(50);
  });

  it("checkFlat › takes the border from the mesh where no loops are given, and sides of several loops [oracle: by construction]", () => {
    const { mesh, flat } = fan(
      [
        [0, 0],
        [4, 0],
        [4, 4],
        [0, 4],
      ],
      [1, 2],
    );
    expect(checkFlat(mesh, flat)).toEqual({ flips: 0, overlaps: 0, flippedTriangles: [], crossings: [] });
    const moved = Float64Array.of(0, 0, 4, 0, 4, 4, 0, 4, NaN, 2);
    expect(checkFlat(mesh, moved).flips).toBe(4);
    const two = Float64Array.of(0, 0, 4, 0, 0, 4, 1, 1, 5, 1, 1, 5);
    const apart: TriangleMesh = {
      positions: new Float64Array(18),
      triangles: Uint32Array.of(0, 1, 2, 3, 4, 5),
    };
    const loops = [
      [0, 1, 2],
      [3, 4, 5],
    ];
    expect(checkFlat(apart, two, loops).crossings).toEqual([
      [1, 2, 3, 4],
      [1, 2, 5, 3],
    ]);
  });

  it("measureStrain › worn as stretched by a known map [oracle: singular values of a 2 × 2 matrix in closed form]", () => {
    const number = fc.integer({ min: -30, max: 30 }).map((tenths) => tenths / 10);
    fc.assert(
      fc.property(
        number,
        number,
        number,
        number,
        fc.integer({ min: -180, max: 180 }),
        (a, b, c, d, grain) => {
          const det = a * d - b * c;
          fc.pre(Math.abs(det) > 0.05);
          const flat = Float64Array.of(1, 2, 5, 3, 2, 7);
          const worn = new Float64Array(9);
          for (let v = 0; v < 3; v++) {
            const [x, y] = [flat[2 * v], flat[2 * v + 1]];
            // Worn in a slanting plane: an orthonormal pair of directions in space.
            const [u, w] = [a * x + b * y, c * x + d * y];
            worn.set([0.6 * u + 1, 0.8 * u - 2, w], 3 * v);
          }
          const strain = measureStrain({ positions: worn, triangles: Uint32Array.of(0, 1, 2) }, flat, grain);
          const [gx, gy] = [Math.cos((grain * Math.PI) / 180), Math.sin((grain * Math.PI) / 180)];
          expect(strain.along[0]).toBeCloseTo(Math.hypot(a * gx + b * gy, c * gx + d * gy) - 1, 8);
          expect(strain.across[0]).toBeCloseTo(Math.hypot(-a * gy + b * gx, -c * gy + d * gx) - 1, 8);
          const half = Math.hypot(a + d, c - b) / 2;
          const other = Math.hypot(a - d, c + b) / 2;
          expect(strain.major[0]).toBeCloseTo(half + other - 1, 7);
          expect(strain.minor[0]).toBeCloseTo(Math.abs(half - other) - 1, 7);
          // The angle between the worn images of across (grain turned right by a quarter is −across) and grain.
          const alongX = a * gx + b * gy;
          const alongY = c * gx + d * gy;
          const acrossX = -a * gy + b * gx;
          const acrossY = -c * gy + d * gx;
          const angle = Math.acos(
            Math.max(
              -1,
              Math.min(
                1,
                (alongX * acrossX + alongY * acrossY) /
                  (Math.hypot(alongX, alongY) * Math.hypot(acrossX, acrossY)),
              ),
            ),
          );
          expect(Math.abs(Math.cos(strain.shear[0] + Math.PI / 2))).toBeCloseTo(Math.abs(Math.cos(angle)), 6);
        },
      ),
      { seed: 5, numRuns: 400 },
    );
  });

  it("measureStrain › the grain runs to −y unless said, shear closes the right angle [oracle: by construction]", () => {
    const flat = Float64Array.of(0, 0, 1, 0, 0, 1);
    const triangles = Uint32Array.of(0, 1, 2);
    const worn = (x: Spot, y: Spot) => Float64Array.of(0, 0, 0, x[0], x[1], 0, y[0], y[1], 0);
    const tall = measureStrain({ positions: worn([1, 0], [0, 1.5]), triangles }, flat);
    expect([tall.along[0], tall.across[0]].map((x) => Math.round(1000 * x))).toEqual([500, 0]);
    const leaning = measureStrain({ positions: worn([1, 0], [1, 1]), triangles }, flat);
    // The grain, worn down and to the left, has closed up to 45 degrees on what lies left of it.
    expect(leaning.shear[0]).toBeCloseTo(Math.PI / 4, 12);
    const other = measureStrain({ positions: worn([1, 0], [-1, 1]), triangles }, flat);
    expect(other.shear[0]).toBeCloseTo(-leaning.shear[0], 12);
  });

  it("measureStrain › a flat triangle without area has no strain to tell [oracle: failing input]", () => {
    const mesh = {
      positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0),
      triangles: Uint32Array.of(0, 1, 2),
    };
    const strain = measureStrain(mesh, Float64Array.of(0, 0, 1, 0, 2, 0));
    for (const key of ["along", "across", "major", "minor"] as const) expect(strain[key][0]).toBe(Infinity);
    expect(strain.shear[0]).toBeCloseTo(Math.PI / 2, 12);
    const crushed = measureStrain(
      { ...mesh, positions: Float64Array.of(0, 0, 0, 1, 0, 0, 2, 0, 0) },
      Float64Array.of(0, 0, 1, 0, 0, 1),
    );
    expect(crushed.minor[0]).toBeCloseTo(-1, 12);
    expect(crushed.major[0]).toBeCloseTo(Math.sqrt(5) - 1, 12);
  });

  it("weightedQuantile › agrees with sorting, changes nothing [oracle: brute force]", () => {
    const entry = fc.tuple(fc.integer({ min: -4, max: 4 }), fc.integer({ min: 0, max: 5 }));
    fc.assert(
      fc.property(
        fc.array(entry, { minLength: 1, maxLength: 30 }),
        fc.integer({ min: 0, max: 100 }),
        (list, percent) => {
          const values = Float64Array.from(list, ([value]) => value);
          const weights = Float64Array.from(list, ([, weight]) => weight);
          const total = weights.reduce((sum, w) => sum + w, 0);
          fc.pre(total > 0);
          const wanted = (total * percent) / 100;
          const sorted = [...list].sort(([a], [b]) => a - b);
          let sum = 0;
          let expected = sorted[0][0];
          for (const [value, weight] of sorted) {
            sum += weight;
            expected = value;
            if (sum >= wanted - 1e-12) break;
          }
          const before = [values.slice(), weights.slice()];
          expect(weightedQuantile(values, weights, wanted / total)).toBe(expected);
          expect([values, weights]).toEqual(before);
        },
      ),
      { seed: 3, numRuns: 2000 },
    );
    expect(weightedQuantile(new Float64Array(0), new Float64Array(0), 0.5)).toBe(0);
    expect(weightedQuantile(Float64Array.of(7), Float64Array.of(1), 1)).toBe(7);
  });
});

import fc from "fast-check";
import { createRandom, type Point, type TriangleMesh } from "../src/index";
import { sphericalCap } from "../../../test-fixtures/src/shapes";

/** Points on a grid of whole millimetres: coincident ones, straight runs and crossings all happen. */
export const gridPoint = fc.tuple(
  fc.integer({ min: -50, max: 50 }),
  fc.integer({ min: -50, max: 50 }),
) as fc.Arbitrary<Point>;

/** Points anywhere. */
export const anyPoint = fc.tuple(
  fc.double({ min: -1e3, max: 1e3, noNaN: true }),
  fc.double({ min: -1e3, max: 1e3, noNaN: true }),
) as fc.Arbitrary<Point>;

export const line = fc.array(gridPoint, { minLength: 2, maxLength: 12 });
export const outline = fc.array(gridPoint, { minLength: 3, maxLength: 12 });

/** A star round the middle: simple whatever its numbers. */
export const starOutline = fc
  .array(fc.double({ min: 5, max: 100, noNaN: true }), { minLength: 3, maxLength: 20 })
  .map((radii) =>
    radii.map((r, i): Point => {
      const angle = (2 * Math.PI * i) / radii.length;
      return [r * Math.cos(angle), r * Math.sin(angle)];
    }),
  );

/** Any list of triangles over few vertices: fans on fans, flaps, doubled triangles. */
export const tangle = fc
  .array(fc.uniqueArray(fc.integer({ min: 0, max: 7 }), { minLength: 3, maxLength: 3 }), {
    minLength: 1,
    maxLength: 14,
  })
  .map((triples): TriangleMesh => {
    const random = createRandom(triples.length);
    return {
      positions: Float64Array.from({ length: 24 }, () => 100 * random()),
      triangles: Uint32Array.from(triples.flat()),
    };
  });

/** A bumpy disk in space. */
export const disk = fc
  .tuple(
    fc.integer({ min: 1, max: 1e6 }),
    fc.integer({ min: 20, max: 160 }),
    fc.integer({ min: 20, max: 150 }),
  )
  .map(([seed, triangles, degrees]) => {
    const mesh = sphericalCap(100, degrees, { triangles, jitter: 0.2, seed });
    const random = createRandom(seed);
    return { ...mesh, positions: mesh.positions.map((x) => x + 3 * (random() - 0.5)) };
  });

/** A mesh, and a number that seeds choices on it. */
export const diskAndSeed = fc.tuple(disk, fc.integer({ min: 1, max: 1e6 }));

/** Edges as pairs of vertices, from the triangles alone. */
export function edgesByHand({ triangles }: TriangleMesh): Map<string, number[]> {
  const uses = new Map<string, number[]>();
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h];
    const b = triangles[3 * Math.floor(h / 3) + ((h + 1) % 3)];
    const key = `${Math.min(a, b)}-${Math.max(a, b)}`;
    uses.set(key, [...(uses.get(key) ?? []), h]);
  }
  return uses;
}

import fc from "fast-check";
import { expect } from "vitest";
import { isPeltryError, type Form } from "@peltry/forms";
import type { TriangleMesh } from "@peltry/geometry";
import { tube } from "./mesh-bytes";

/** A finite number within bounds, never -0. */
export const within = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);

/** Anything that may come from outside. */
export const odd: fc.Arbitrary<unknown> = fc.oneof(
  fc.anything({ withNullPrototype: true }),
  fc.double(),
  fc.constantFrom(NaN, Infinity, -1, 0, "constructor", "__proto__", null, undefined),
);

/** Equal but for rounding, at any size. */
export function near(found: number, wanted: number, share = 1e-9): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(share * Math.max(1e-6, Math.abs(wanted)));
}

/** The code that the work ends in, which must be one of this package, or none; any other throw goes through. */
export function codeOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    expect(error.code).toMatch(/^(forms|measure|work)\/[a-z0-9-]+$/);
    return error.code;
  }
  return "none";
}

/** A form without regions, lines or landmarks of its own. */
export function plainForm(mesh: TriangleMesh): Form {
  return {
    name: "plain",
    mesh,
    regions: [{ id: "main", name: "main" }],
    regionOf: new Int32Array(mesh.triangles.length / 3),
    curves: [],
    landmarks: [],
  };
}

/** A round limb as a form, mm. */
export function limb(radius: number, height: number, around = 24, along = 12): Form {
  const { positions, triangles } = tube(radius, height, around, along);
  return plainForm({ positions: positions.map((x) => x + 0), triangles });
}

/** Numbers of a mesh, for comparing. */
export const numbersOf = ({ positions, triangles }: TriangleMesh): readonly number[][] => [
  [...positions],
  [...triangles],
];

/** Area, mm², and six times the signed volume against the origin. */
export function sizes({ positions: p, triangles }: TriangleMesh): { area: number; volume: number } {
  let [area, volume] = [0, 0];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => [...p.slice(3 * triangles[t + k], 3 * triangles[t + k] + 3)]);
    const [u, v] = [b.map((x, k) => x - a[k]), c.map((x, k) => x - a[k])];
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    area += Math.hypot(...n) / 2;
    volume += (a[0] * n[0] + a[1] * n[1] + a[2] * n[2]) / 6;
  }
  return { area, volume };
}

import { fail } from "@peltry/issues";
import {
  outlineCrossings,
  polylineLength,
  power,
  resamplePolyline,
  signedArea,
  type Point,
} from "@peltry/geometry";
import { createProfile } from "./profile";
import { QUARTER, SAMPLES } from "./section";

/** Half breadth along the foot over the half breadth at the ball, heel to toe: a judgement after plain shoe lasts. */
const HALF_BREADTH = [
  [0, 0.7],
  [0.18, 0.72],
  [0.42, 0.7],
  [0.7, 1],
  [0.88, 0.93],
  [1, 0.82],
] as const;

/**
 * Outline of a shoe sole as points x (outer side +), z (toe +), heel in the origin, inner side first.
 *
 * @param length and breadth of the sole, mm
 */
export function plainSole(length: number, breadth: number): Point[] {
  const share = createProfile(HALF_BREADTH);
  const side = (along: number, sign: 1 | -1): Point => {
    // Round ends: the breadth closes like a superellipse at heel and toe.
    const t = Math.abs(2 * along - 1);
    const close = power(1 - t * t * t * t, 1 / 2.4);
    // The inner side runs straighter than the outer one.
    const lean = sign === -1 ? 0.94 : 1.06;
    return [sign * lean * (breadth / 2) * share(along) * close, length * along];
  };
  const steps = 96;
  const along = (k: number): number => 0.5 - 0.5 * Math.cos((Math.PI * k) / steps);
  const points: Point[] = [];
  for (let k = 0; k < steps; k++) points.push(side(along(k), -1));
  for (let k = steps; k > 0; k--) points.push(side(along(k), 1));
  return points;
}

/**
 * A traced sole checked and laid out as the run of a section: inner, toe, outer, heel, inner.
 *
 * @throws forms/bad-outline fewer than 8 points, not finite, crossing itself, or no sole's size
 */
export function soleRun(outline: readonly Point[]): Float64Array {
  if (!Array.isArray(outline) || outline.length < 8) {
    fail(
      "forms/bad-outline",
      "The traced sole has fewer than 8 points.",
      { path: ["outline"] },
      { found: outline?.length ?? 0, limit: 8, fix: "Trace the shoe with more points." },
    );
  }
  outline.forEach((point, i) => {
    if (!Number.isFinite(point?.[0]) || !Number.isFinite(point[1])) {
      fail(
        "forms/bad-outline",
        `Point ${i} of the traced sole is not finite.`,
        { path: ["outline"], index: i },
        { fix: "Give x and z in mm." },
      );
    }
  });
  // From inner to toe to outer: clockwise in x, z with x to the right.
  const ring = signedArea(outline) > 0 ? [...outline].reverse() : [...outline];
  const zs = ring.map((point) => point[1]);
  const length = Math.max(...zs) - Math.min(...zs);
  if (length < 100 || length > 500) {
    fail(
      "forms/bad-outline",
      `The traced sole is ${Math.round(length)} mm long.`,
      { path: ["outline"] },
      {
        found: Math.round(length),
        limit: "100 to 500",
        fix: "Give mm, heel to toe along the second coordinate.",
      },
    );
  }
  if (outlineCrossings(ring).length > 0) {
    fail(
      "forms/bad-outline",
      "The traced sole crosses itself.",
      { path: ["outline"] },
      { fix: "Trace it once round." },
    );
  }
  const extreme = (better: (a: Point, b: Point) => boolean): number =>
    ring.reduce((best, point, i) => (better(point, ring[best]) ? i : best), 0);
  const marks = [
    extreme((a, b) => a[0] < b[0]),
    extreme((a, b) => a[1] > b[1]),
    extreme((a, b) => a[0] > b[0]),
    extreme((a, b) => a[1] < b[1]),
  ];
  const run = new Float64Array(2 * SAMPLES);
  for (let quarter = 0; quarter < 4; quarter++) {
    const from = marks[quarter];
    const to = marks[(quarter + 1) % 4];
    const part: Point[] = [];
    for (let i = from; ; i = (i + 1) % ring.length) {
      part.push(ring[i]);
      if (i === to) break;
    }
    const even =
      part.length > 1 && polylineLength(part) > 0
        ? resamplePolyline(part, polylineLength(part) / QUARTER)
        : [part[0]];
    for (let k = 0; k <= QUARTER; k++) {
      const [x, z] = even[Math.min(k, even.length - 1)];
      run[2 * (quarter * QUARTER + k)] = x;
      run[2 * (quarter * QUARTER + k) + 1] = z;
    }
  }
  return run;
}

import { power } from "@peltry/geometry";

/**
 * One level section of a limb, or of the trunk: four superellipse quarters that share their axis points. x runs outward
 * from the plane between the legs, z forward. The inner end of a trunk lies beyond that plane, where the other half
 * takes over: only the part with x ≥ 0 is ours, and where it crosses the plane the form is open.
 */
export interface SectionShape {
  /** x of the innermost point. */
  readonly inner: number;
  /** x of the front and back axis points. */
  readonly centre: number;
  /** x of the outermost point. */
  readonly outer: number;
  /** z of the inner and outer axis points. */
  readonly middle: number;
  /** z of the foremost and hindmost points. */
  readonly front: number;
  readonly back: number;
  /** Superellipse exponents, 2 for an ellipse. */
  readonly innerPower: number;
  readonly outerPower: number;
}

/** Samples of one quarter. */
export const QUARTER = 32;
/** Samples of a section; first and last are the inner end. */
export const SAMPLES = 4 * QUARTER + 1;

/** Points of a section in the order inner, front, outer, back, inner: x and z in turn. */
export function sectionPoints(shape: SectionShape, out = new Float64Array(2 * SAMPLES)): Float64Array {
  const { inner, centre, outer, middle, front, back } = shape;
  const inwards = 2 / shape.innerPower;
  const outwards = 2 / shape.outerPower;
  for (let k = 0; k <= QUARTER; k++) {
    const angle = (0.5 * Math.PI * k) / QUARTER;
    const cosine = k === QUARTER ? 0 : Math.cos(angle);
    const sine = Math.sin(angle);
    const c = power(cosine, inwards);
    const s = power(sine, inwards);
    const C = power(cosine, outwards);
    const S = power(sine, outwards);
    put(out, k, centre - (centre - inner) * c, middle + (front - middle) * s);
    put(out, 2 * QUARTER - k, centre + (outer - centre) * C, middle + (front - middle) * S);
    put(out, 2 * QUARTER + k, centre + (outer - centre) * C, middle + (back - middle) * S);
    put(out, 4 * QUARTER - k, centre - (centre - inner) * c, middle + (back - middle) * s);
  }
  return out;
}

function put(out: Float64Array, k: number, x: number, z: number): void {
  out[2 * k] = x;
  out[2 * k + 1] = z;
}

/** Length of the run of points, mm. */
export function runLength(points: Float64Array): number {
  let sum = 0;
  for (let k = 2; k < points.length; k += 2)
    sum += Math.hypot(points[k] - points[k - 2], points[k + 1] - points[k - 1]);
  return sum;
}

/** Length of a tape pulled round points x, z in turn: the perimeter of their convex hull, mm. */
export function tapeLength(points: ArrayLike<number>): number {
  const order: number[] = [];
  for (let k = 0; k < points.length / 2; k++) order.push(k);
  order.sort((a, b) => points[2 * a] - points[2 * b] || points[2 * a + 1] - points[2 * b + 1]);
  const turn = (a: number, b: number, c: number): number =>
    (points[2 * b] - points[2 * a]) * (points[2 * c + 1] - points[2 * a + 1]) -
    (points[2 * b + 1] - points[2 * a + 1]) * (points[2 * c] - points[2 * a]);
  let sum = 0;
  for (const list of [order, [...order].reverse()]) {
    const hull: number[] = [];
    for (const k of list) {
      while (hull.length > 1 && turn(hull[hull.length - 2], hull[hull.length - 1], k) <= 0) hull.pop();
      hull.push(k);
    }
    for (let i = 1; i < hull.length; i++) {
      sum += Math.hypot(
        points[2 * hull[i]] - points[2 * hull[i - 1]],
        points[2 * hull[i] + 1] - points[2 * hull[i - 1] + 1],
      );
    }
  }
  return sum;
}

/** Tape round the part of a section beyond the plane x = 0 and its mirror image, mm. */
export function tapeBothHalves(points: Float64Array): number {
  const both: number[] = [];
  const add = (x: number, z: number): void => void both.push(x, z, -x, z);
  for (let k = 0; k < points.length; k += 2) {
    const [x, z] = [points[k], points[k + 1]];
    if (x >= 0) add(x, z);
    if (k > 0 && x * points[k - 2] < 0) {
      const t = points[k - 2] / (points[k - 2] - x);
      add(0, points[k - 1] + t * (z - points[k - 1]));
    }
  }
  return tapeLength(both);
}

/** Outward unit normals of a closed section, x and z in turn. */
export function sectionNormals(points: Float64Array, out = new Float64Array(points.length)): Float64Array {
  const last = points.length / 2 - 1;
  for (let k = 0; k <= last; k++) {
    const before = k > 0 ? k - 1 : last - 1;
    const after = k < last ? k + 1 : 1;
    const dx = points[2 * after] - points[2 * before];
    const dz = points[2 * after + 1] - points[2 * before + 1];
    const length = Math.hypot(dx, dz) || 1;
    // The run goes inner, front, outer, back: outside lies to its left in the x, z plane.
    put(out, k, -dz / length, dx / length);
  }
  return out;
}

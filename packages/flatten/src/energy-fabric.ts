import type { Energy } from "./energy";
import type { FabricLimits } from "./fabric-limits";
import type { Sheet } from "./sheet";
import { addSlope, readMap } from "./triangle-map";

/**
 * How far each triangle is beyond the fabric's box, squared and summed over area, plus a little of the shape-preserving
 * energy; gradient added to `gradient`. Infinite at a flip. With G the map from flat to worn: along and across are the
 * lengths of G's columns, shear is what their angle lacks of a right angle. Since a shear cannot pass a right angle, a
 * hopeless triangle would become an endless sliver: what the box implies for the smallest stretch in any direction counts
 * too, and ease-in is measured as flat over worn, which has no bound.
 *
 * @source derived here; clamping each triangle's stretch in cloth axes follows Wang, Smith and Yuen, Surface Flattening
 * Based on Energy Model, 2002, in purpose
 */
export function fabricEnergy(
  sheet: Sheet,
  x: Float64Array,
  gradient: Float64Array | null,
  limits: FabricLimits,
): number {
  const { triangleCount } = sheet;
  const { frames, area } = sheet.rest;
  const { pull, targetAcross, targetAlong } = limits;
  const least = (1e-4 * area) / triangleCount;
  const map = new Float64Array(4);
  const slope = new Float64Array(4);
  let sum = 0;
  for (let t = 0; t < triangleCount; t++) {
    readMap(sheet, x, t, map);
    const a = map[0];
    const b = map[1];
    const c = map[2];
    const d = map[3];
    const h = Math.sqrt((a + d) * (a + d) + (c - b) * (c - b));
    const weight = frames[4 * t + 3] + least;
    // The panel itself is smaller than the solver's plane by the stretch wanted.
    map[0] /= targetAcross;
    map[1] /= targetAcross;
    map[2] /= targetAlong;
    map[3] /= targetAlong;
    const off = excessOf(map, limits, slope);
    if (off === Infinity) return Infinity;
    sum += weight * (off + pull * (a * a + b * b + c * c + d * d - 2 * h + 2));
    if (gradient === null) continue;
    const k = 2 * pull;
    slope[0] = weight * (slope[0] / targetAcross + k * (a - (a + d) / h));
    slope[1] = weight * (slope[1] / targetAcross + k * (b + (c - b) / h));
    slope[2] = weight * (slope[2] / targetAlong + k * (c - (c - b) / h));
    slope[3] = weight * (slope[3] / targetAlong + k * (d - (a + d) / h));
    addSlope(sheet, t, slope, gradient);
  }
  return sum;
}

/** Squares of what the map (a b; c d) passes its limits by; fills `slope`. */
function excessOf(map: Float64Array, limits: FabricLimits, slope: Float64Array): number {
  const a = map[0];
  const b = map[1];
  const c = map[2];
  const d = map[3];
  const det = a * d - b * c;
  if (!(det > 0)) return Infinity;
  slope[0] = slope[1] = slope[2] = slope[3] = 0;
  let sum = 0;
  const ab = a * a + b * b;
  const cd = c * c + d * d;
  // Slope by the logarithm of det, which all measures but the last are divided by.
  let byDet = 0;
  const across = Math.sqrt(cd) / det;
  let over = beyond(across, limits.acrossMin, limits.acrossMax);
  if (over !== 0) {
    sum += limits.acrossWeight * over * over;
    const k = limits.acrossWeight * over * rate(across, limits.acrossMin) * across;
    byDet -= 2 * k;
    slope[2] += (2 * k * c) / cd;
    slope[3] += (2 * k * d) / cd;
  }
  const along = Math.sqrt(ab) / det;
  over = beyond(along, limits.alongMin, limits.alongMax);
  if (over !== 0) {
    sum += limits.alongWeight * over * over;
    const k = limits.alongWeight * over * rate(along, limits.alongMin) * along;
    byDet -= 2 * k;
    slope[0] += (2 * k * a) / ab;
    slope[1] += (2 * k * b) / ab;
  }
  const shear = -(a * c + b * d) / det;
  if (shear > limits.shearMax || shear < limits.shearMin) {
    over = Math.atan(shear) - Math.atan(shear > limits.shearMax ? limits.shearMax : limits.shearMin);
    sum += 0.5 * limits.shearWeight * over * over;
    const k = (limits.shearWeight * over) / (1 + shear * shear);
    byDet -= k * shear;
    slope[0] -= (k * c) / det;
    slope[1] -= (k * d) / det;
    slope[2] -= (k * a) / det;
    slope[3] -= (k * b) / det;
  }
  // Stretches of the map: the larger one (h + m) / 2, the smaller one det over that.
  const h = Math.sqrt((a + d) * (a + d) + (c - b) * (c - b));
  const m = Math.sqrt((a - d) * (a - d) + (b + c) * (b + c));
  const big = 0.5 * (h + m);
  const most = big / det;
  over = beyond(most, limits.anyMin, limits.anyMax);
  if (over !== 0) {
    sum += over * over;
    const k = 2 * over * rate(most, limits.anyMin) * most;
    byDet -= k;
    addStretch(a, b, c, d, h, m, k / big, slope);
  }
  const fewest = 1 / big;
  over = beyond(fewest, limits.anyMin, limits.anyMax);
  if (over !== 0) {
    sum += over * over;
    addStretch(a, b, c, d, h, m, -2 * over * rate(fewest, limits.anyMin) * fewest * fewest, slope);
  }
  if (byDet !== 0) {
    const k = byDet / det;
    slope[0] += k * d;
    slope[1] -= k * c;
    slope[2] -= k * b;
    slope[3] += k * a;
  }
  return sum;
}

/** Adds k times the slope of the larger stretch of the map. */
function addStretch(
  a: number,
  b: number,
  c: number,
  d: number,
  h: number,
  m: number,
  k: number,
  slope: Float64Array,
): void {
  const p = (0.5 * k) / h;
  const q = m > 0 ? (0.5 * k) / m : 0;
  slope[0] += p * (a + d) + q * (a - d);
  slope[1] += p * (b - c) + q * (b + c);
  slope[2] += p * (c - b) + q * (b + c);
  slope[3] += p * (a + d) - q * (a - d);
}

/** How far a stretch lies beyond its limits, negative when eased in too much; slope one at both. */
function beyond(worn: number, min: number, max: number): number {
  return worn > max ? worn - max : worn < min ? min - (min * min) / worn : 0;
}

/** Slope of {@link beyond} by the stretch, outside the limits. */
function rate(worn: number, min: number): number {
  return worn < min ? (min * min) / (worn * worn) : 1;
}

/** The energy that keeps a part inside a fabric's box. */
export function withinFabric(limits: FabricLimits): Energy {
  return {
    at: (sheet, x, gradient) => fabricEnergy(sheet, x, gradient, limits),
    addCurvature(system, { triangleCount, rest }) {
      const matrix = new Float64Array(16);
      for (let t = 0; t < triangleCount; t++) {
        // What is over a limit jumps from step to step; the curvature of the nearest point in the box lies above it.
        matrix[0] = matrix[5] = matrix[10] = matrix[15] = 2 * rest.frames[4 * t + 3];
        system.addTriangle(t, matrix);
      }
    },
    stiffness: 1,
    guarded: true,
  };
}

import { addStretchCurvature, type StretchCurvature } from "./curvature";
import type { Energy } from "./energy";
import type { Sheet } from "./sheet";
import { addSlope, readMap } from "./triangle-map";

/** Below this smallest stretch (flat over worn) the barrier of the shape-preserving energy begins. */
export const BARRIER_BEGIN = 0.25;
/** Strength of that barrier: small, since it should only forbid flips and not change the shape. */
export const BARRIER_WEIGHT = 0.02;

/**
 * As-rigid-as-possible energy Σ A |J − R|², R the rotation nearest to the triangle's map J from rest to flat;
 * gradient 2 A (J − R), added to `gradient`. With `barrier` a term is added that is infinite when a triangle flips.
 *
 * @returns the sum in mm²
 * @source Liu, Zhang, Xu, Gotsman and Gortler, A Local/Global Approach to Mesh Parameterization, 2008
 */
export function arapEnergy(
  sheet: Sheet,
  x: Float64Array,
  gradient: Float64Array | null,
  barrier: boolean,
): number {
  const { triangleCount } = sheet;
  const { frames, area } = sheet.rest;
  const least = (1e-3 * area) / triangleCount;
  const map = new Float64Array(4);
  const slope = new Float64Array(4);
  let sum = 0;
  for (let t = 0; t < triangleCount; t++) {
    readMap(sheet, x, t, map);
    const a = map[0];
    const b = map[1];
    const c = map[2];
    const d = map[3];
    const weight = frames[4 * t + 3];
    const h1 = a + d;
    const h2 = c - b;
    const h = Math.sqrt(h1 * h1 + h2 * h2);
    sum += weight * (a * a + b * b + c * c + d * d - 2 * h + 2);
    const cos = h > 0 ? h1 / h : 1;
    const sin = h > 0 ? h2 / h : 0;
    slope[0] = 2 * weight * (a - cos);
    slope[1] = 2 * weight * (b + sin);
    slope[2] = 2 * weight * (c - sin);
    slope[3] = 2 * weight * (d - cos);
    if (barrier) {
      const m = Math.sqrt((a - d) * (a - d) + (b + c) * (b + c));
      const s = 0.5 * (h - m);
      if (s < BARRIER_BEGIN) {
        if (!(s > 0)) return Infinity;
        const over = BARRIER_BEGIN / s - 1;
        sum += BARRIER_WEIGHT * (weight + least) * over * over;
        const push = (-BARRIER_WEIGHT * (weight + least) * over * BARRIER_BEGIN) / (s * s);
        const k1 = m > 0 ? (a - d) / m : 0;
        const k2 = m > 0 ? (b + c) / m : 0;
        slope[0] += push * (cos - k1);
        slope[1] += push * (-sin - k2);
        slope[2] += push * (sin - k2);
        slope[3] += push * (cos + k1);
      }
    }
    if (gradient !== null) addSlope(sheet, t, slope, gradient);
  }
  return sum;
}

/** The shape-preserving energy, blind to triangles that turn over. */
export const arap: Energy = {
  at: (sheet, x, gradient) => arapEnergy(sheet, x, gradient, false),
  addCurvature: (system, sheet, x) => addStretchCurvature(system, sheet, x, rigidCurvature),
  stiffness: 1,
  guarded: false,
};

/** The shape-preserving energy with its barrier against flips. */
export const arapBarrier: Energy = {
  at: (sheet, x, gradient) => arapEnergy(sheet, x, gradient, true),
  addCurvature: (system, sheet, x) => addStretchCurvature(system, sheet, x, barrierCurvature),
  stiffness: 1,
  guarded: true,
};

function rigidCurvature(s1: number, s2: number, area: number, _thin: number, out: StretchCurvature): void {
  out.f1 = 2 * area * (s1 - 1);
  out.f2 = 2 * area * (s2 - 1);
  out.f11 = 2 * area;
  out.f22 = 2 * area;
  out.f12 = 0;
}

function barrierCurvature(s1: number, s2: number, area: number, thin: number, out: StretchCurvature): void {
  rigidCurvature(s1, s2, area, thin, out);
  if (!(s2 < BARRIER_BEGIN)) return;
  const k = 2 * BARRIER_WEIGHT * (area + thin);
  const over = BARRIER_BEGIN / s2 - 1;
  out.f2 -= (k * over * BARRIER_BEGIN) / (s2 * s2);
  out.f22 += (k * BARRIER_BEGIN * (BARRIER_BEGIN / s2 + 2 * over)) / (s2 * s2 * s2);
}

import type { Sheet } from "./sheet";

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
  const { triangles, triangleCount } = sheet;
  const { frames, area } = sheet.rest;
  const least = (1e-3 * area) / triangleCount;
  let sum = 0;
  for (let t = 0, f = 0, i = 0; t < triangleCount; t++, f += 4, i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const p = frames[f];
    const q = frames[f + 1];
    const r = frames[f + 2];
    const weight = frames[f + 3];
    const ux = x[v1] - x[v0];
    const uy = x[v1 + 1] - x[v0 + 1];
    const a = ux * p;
    const c = uy * p;
    const b = ux * q + (x[v2] - x[v0]) * r;
    const d = uy * q + (x[v2 + 1] - x[v0 + 1]) * r;
    const h1 = a + d;
    const h2 = c - b;
    const h = Math.sqrt(h1 * h1 + h2 * h2);
    sum += weight * (a * a + b * b + c * c + d * d - 2 * h + 2);
    let push = 0;
    if (barrier) {
      const m = Math.sqrt((a - d) * (a - d) + (b + c) * (b + c));
      const s = 0.5 * (h - m);
      if (s < BARRIER_BEGIN) {
        if (!(s > 0)) return Infinity;
        const over = BARRIER_BEGIN / s - 1;
        sum += BARRIER_WEIGHT * (weight + least) * over * over;
        push = (-2 * BARRIER_WEIGHT * (weight + least) * over * BARRIER_BEGIN) / (s * s);
      }
    }
    if (gradient === null) continue;
    const hInverse = h > 0 ? 1 / h : 0;
    const cos = h > 0 ? h1 * hInverse : 1;
    const sin = h2 * hInverse;
    let ga = 2 * weight * (a - cos);
    let gb = 2 * weight * (b + sin);
    let gc = 2 * weight * (c - sin);
    let gd = 2 * weight * (d - cos);
    if (push !== 0) {
      const m = Math.sqrt((a - d) * (a - d) + (b + c) * (b + c));
      const k1 = m > 0 ? (a - d) / m : 0;
      const k2 = m > 0 ? (b + c) / m : 0;
      ga += 0.5 * push * (cos - k1);
      gd += 0.5 * push * (cos + k1);
      gc += 0.5 * push * (sin - k2);
      gb += 0.5 * push * (-sin - k2);
    }
    const g1x = ga * p + gb * q;
    const g1y = gc * p + gd * q;
    const g2x = gb * r;
    const g2y = gd * r;
    gradient[v1] += g1x;
    gradient[v1 + 1] += g1y;
    gradient[v2] += g2x;
    gradient[v2 + 1] += g2y;
    gradient[v0] -= g1x + g2x;
    gradient[v0 + 1] -= g1y + g2y;
  }
  return sum;
}

import type { FabricBehaviour, StrainRange } from "@peltry/pattern";
import type { Sheet } from "./sheet";

/** What the strain-limited energy needs: the box in the solver's axes (x across, y along the grain). */
export interface FabricLimits {
  /** Smallest and largest stretch ratio across and along, and shear angle, with their weights. */
  readonly acrossMin: number;
  readonly acrossMax: number;
  readonly acrossWeight: number;
  readonly alongMin: number;
  readonly alongMax: number;
  readonly alongWeight: number;
  readonly shearMin: number;
  readonly shearMax: number;
  readonly shearWeight: number;
  /** Limits in any direction. */
  readonly anyMin: number;
  readonly anyMax: number;
  /** Worn over flat of the solver's own coordinates: the stretch wanted everywhere. */
  readonly targetAcross: number;
  readonly targetAlong: number;
  /** Share of the shape-preserving energy mixed in, so that the free part of the shape stays calm. */
  readonly pull: number;
}

/** Share of each range left as a margin, so that an iteration's rest lies inside the true limit. */
const MARGIN = 0.02;

/** The box of a fabric for the solver. Missing parts do not limit. */
export function fabricLimits(
  fabric: FabricBehaviour | undefined,
  anyDirection: StrainRange | undefined,
  target: { along: number; across: number },
  pull: number,
): FabricLimits {
  const free: StrainRange = { min: -Infinity, max: Infinity };
  const narrow = ({ min, max }: StrainRange) => {
    const margin = Number.isFinite(max - min) ? MARGIN * 0.5 * (max - min) : 0;
    return [min + margin, max - margin];
  };
  const [acrossMin, acrossMax] = narrow(fabric?.across ?? free);
  const [alongMin, alongMax] = narrow(fabric?.along ?? free);
  const [shearMin, shearMax] = narrow(fabric?.shear ?? free);
  const [anyMin, anyMax] = narrow(anyDirection ?? free);
  const weights = [fabric?.across, fabric?.along, fabric?.shear].map((range) => range?.stiffness ?? 1);
  const mean = (weights[0] + weights[1] + weights[2]) / 3;
  const share = weights.map((w) => Math.min(4, Math.max(0.25, w / mean)));
  return {
    acrossMin: 1 + acrossMin,
    acrossMax: 1 + acrossMax,
    acrossWeight: share[0],
    alongMin: 1 + alongMin,
    alongMax: 1 + alongMax,
    alongWeight: share[1],
    shearMin,
    shearMax,
    shearWeight: share[2],
    anyMin: 1 + anyMin,
    anyMax: 1 + anyMax,
    targetAcross: 1 + target.across,
    targetAlong: 1 + target.along,
    pull,
  };
}

/**
 * How far each triangle is beyond the fabric's box, squared and summed over area, plus a little of the shape-preserving
 * energy; gradient added to `gradient`. Infinite at a flip. With G the map from flat to worn: along and across are the
 * lengths of G's columns, shear is what their angle lacks of a right angle.
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
  const { triangles, triangleCount } = sheet;
  const { frames } = sheet.rest;
  const { targetAcross, targetAlong, pull, anyMin, anyMax } = limits;
  const anyLimit = anyMin > -Infinity || anyMax < Infinity;
  const least = (1e-4 * sheet.rest.area) / triangleCount;
  let sum = 0;
  for (let t = 0, f = 0, i = 0; t < triangleCount; t++, f += 4, i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const p = frames[f];
    const q = frames[f + 1];
    const r = frames[f + 2];
    const weight = frames[f + 3] + least;
    const ux = x[v1] - x[v0];
    const uy = x[v1 + 1] - x[v0 + 1];
    const a = ux * p;
    const c = uy * p;
    const b = ux * q + (x[v2] - x[v0]) * r;
    const d = uy * q + (x[v2 + 1] - x[v0 + 1]) * r;
    const det = a * d - b * c;
    if (!(det > 0)) return Infinity;
    const inverse = 1 / det;
    // Columns of G = J⁻¹.
    const xx = d * inverse;
    const xy = -c * inverse;
    const yx = -b * inverse;
    const yy = a * inverse;
    const across = Math.sqrt(xx * xx + xy * xy);
    const along = Math.sqrt(yx * yx + yy * yy);
    const shear = Math.atan2(xx * yx + xy * yy, xx * yy - xy * yx);
    const worn = across * targetAcross;
    const wornAlong = along * targetAlong;
    const overX =
      worn > limits.acrossMax
        ? worn - limits.acrossMax
        : worn < limits.acrossMin
          ? worn - limits.acrossMin
          : 0;
    const overY =
      wornAlong > limits.alongMax
        ? wornAlong - limits.alongMax
        : wornAlong < limits.alongMin
          ? wornAlong - limits.alongMin
          : 0;
    const overS =
      shear > limits.shearMax
        ? shear - limits.shearMax
        : shear < limits.shearMin
          ? shear - limits.shearMin
          : 0;
    const h1 = a + d;
    const h2 = c - b;
    const h = Math.sqrt(h1 * h1 + h2 * h2);
    sum +=
      weight *
      (limits.acrossWeight * overX * overX +
        limits.alongWeight * overY * overY +
        0.5 * limits.shearWeight * overS * overS +
        pull * (a * a + b * b + c * c + d * d - 2 * h + 2));
    let ga = 0;
    let gb = 0;
    let gc = 0;
    let gd = 0;
    if (gradient !== null) {
      const cos = h > 0 ? h1 / h : 1;
      const sin = h > 0 ? h2 / h : 0;
      const k = 2 * pull * weight;
      ga = k * (a - cos);
      gb = k * (b + sin);
      gc = k * (c - sin);
      gd = k * (d - cos);
      if (overX !== 0 || overY !== 0 || overS !== 0) {
        const kx = (2 * weight * limits.acrossWeight * overX * targetAcross) / across;
        const ky = (2 * weight * limits.alongWeight * overY * targetAlong) / along;
        const ks = weight * limits.shearWeight * overS;
        const sx = ks / (across * across);
        const sy = ks / (along * along);
        slopeByMap(
          xx,
          xy,
          yx,
          yy,
          kx * xx - sx * xy,
          kx * xy + sx * xx,
          ky * yx + sy * yy,
          ky * yy - sy * yx,
        );
        ga += slope[0];
        gb += slope[1];
        gc += slope[2];
        gd += slope[3];
      }
    }
    if (anyLimit) {
      const m1 = a - d;
      const m2 = b + c;
      const m = Math.sqrt(m1 * m1 + m2 * m2);
      const big = 0.5 * (h + m);
      const small = det / big;
      const major = 1 / small;
      const minor = 1 / big;
      const over1 = major > anyMax ? major - anyMax : major < anyMin ? major - anyMin : 0;
      const over2 = minor > anyMax ? minor - anyMax : minor < anyMin ? minor - anyMin : 0;
      if (over1 !== 0 || over2 !== 0) {
        sum += weight * (over1 * over1 + over2 * over2);
        if (gradient !== null) {
          const e1 = -2 * weight * over1 * major * major;
          const e2 = -2 * weight * over2 * minor * minor;
          const eh = 0.5 * (e1 + e2);
          const em = m > 0 ? (0.5 * (e2 - e1)) / m : 0;
          const eh1 = h > 0 ? (eh * h1) / h : 0;
          const eh2 = h > 0 ? (eh * h2) / h : 0;
          ga += eh1 + em * m1;
          gd += eh1 - em * m1;
          gc += eh2 + em * m2;
          gb += -eh2 + em * m2;
        }
      }
    }
    if (gradient === null) continue;
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

/**
 * Adds the curvature of what is over the box along, across and in shear (Gauss–Newton: the squares of its slopes) to a
 * triangle's 4 × 4 matrix over a, b, c, d.
 */
export function boxCurvature(
  a: number,
  b: number,
  c: number,
  d: number,
  weight: number,
  limits: FabricLimits,
  out: Float64Array,
): void {
  const inverse = 1 / (a * d - b * c);
  const xx = d * inverse;
  const xy = -c * inverse;
  const yx = -b * inverse;
  const yy = a * inverse;
  const across = Math.sqrt(xx * xx + xy * xy);
  const along = Math.sqrt(yx * yx + yy * yy);
  const shear = Math.atan2(xx * yx + xy * yy, xx * yy - xy * yx);
  const worn = across * limits.targetAcross;
  const wornAlong = along * limits.targetAlong;
  if (worn > limits.acrossMax || worn < limits.acrossMin) {
    const k = limits.targetAcross / across;
    slopeByMap(xx, xy, yx, yy, k * xx, k * xy, 0, 0);
    addSquare(2 * weight * limits.acrossWeight, out);
  }
  if (wornAlong > limits.alongMax || wornAlong < limits.alongMin) {
    const k = limits.targetAlong / along;
    slopeByMap(xx, xy, yx, yy, 0, 0, k * yx, k * yy);
    addSquare(2 * weight * limits.alongWeight, out);
  }
  if (shear > limits.shearMax || shear < limits.shearMin) {
    const sx = 1 / (across * across);
    const sy = 1 / (along * along);
    slopeByMap(xx, xy, yx, yy, -sx * xy, sx * xx, sy * yy, -sy * yx);
    addSquare(weight * limits.shearWeight, out);
  }
}

const slope = new Float64Array(4);

/** From a slope F by the columns of G = J⁻¹ to that by J: −Gᵀ F Gᵀ, in `slope`. */
function slopeByMap(
  xx: number,
  xy: number,
  yx: number,
  yy: number,
  fxx: number,
  fxy: number,
  fyx: number,
  fyy: number,
): void {
  const m00 = xx * fxx + xy * fxy;
  const m01 = xx * fyx + xy * fyy;
  const m10 = yx * fxx + yy * fxy;
  const m11 = yx * fyx + yy * fyy;
  slope[0] = -(m00 * xx + m01 * yx);
  slope[1] = -(m00 * xy + m01 * yy);
  slope[2] = -(m10 * xx + m11 * yx);
  slope[3] = -(m10 * xy + m11 * yy);
}

function addSquare(k: number, out: Float64Array): void {
  for (let i = 0; i < 4; i++) for (let j = 0; j < 4; j++) out[4 * i + j] += k * slope[i] * slope[j];
}

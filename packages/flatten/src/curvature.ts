import type { BlockSystem } from "./block-system";
import type { Sheet } from "./sheet";
import { readMap } from "./triangle-map";

/** Slopes and curvatures of an energy in the two stretches s1 ≥ s2 (flat over worn; s2 < 0 when turned over). */
export interface StretchCurvature {
  f1: number;
  f2: number;
  f11: number;
  f12: number;
  f22: number;
}

/** Least curvature in any direction, against that of the energy at rest. */
const LEAST = 1e-3;

/** Fills `out` for a triangle of the given area; `thin` is a thousandth of the mean area. */
export type StretchSlopes = (
  s1: number,
  s2: number,
  area: number,
  thin: number,
  out: StretchCurvature,
) => void;

/**
 * Adds the second derivative of an energy of the stretches, made positive semidefinite triangle by triangle, to a block
 * system.
 *
 * @source eigensystems of energies of the stretches: Smith, de Goes and Kim, Analytic Eigensystems for Isotropic
 * Distortion Energies, 2019; in the plane as derived here
 */
export function addStretchCurvature(
  system: BlockSystem,
  sheet: Sheet,
  x: Float64Array,
  slopesOf: StretchSlopes,
): void {
  const { triangleCount } = sheet;
  const { frames, area } = sheet.rest;
  const slopes: StretchCurvature = { f1: 0, f2: 0, f11: 0, f12: 0, f22: 0 };
  const map = new Float64Array(4);
  const matrix = new Float64Array(16);
  const thin = (1e-3 * area) / triangleCount;
  for (let t = 0; t < triangleCount; t++) {
    const weight = frames[4 * t + 3];
    readMap(sheet, x, t, map);
    const a = map[0];
    const b = map[1];
    const c = map[2];
    const d = map[3];
    const h = Math.sqrt((a + d) * (a + d) + (c - b) * (c - b));
    const m = Math.sqrt((a - d) * (a - d) + (c + b) * (c + b));
    const det = a * d - b * c;
    const big = 0.5 * (h + m);
    const small = big > 0 ? det / big : 0;
    slopesOf(big, small, weight, thin, slopes);
    const cos = h > 0 ? (a + d) / h : 1;
    const sin = h > 0 ? (c - b) / h : 0;
    const mirrorCos = m > 0 ? (a - d) / m : 1;
    const mirrorSin = m > 0 ? (c + b) / m : 0;
    isotropicMatrix(slopes, h, m, cos, sin, mirrorCos, mirrorSin, 2 * LEAST * weight, matrix);
    system.addTriangle(t, matrix);
  }
}

// Work of isotropicMatrix: the rotation, the mirror, and their quarter turns.
const P = new Float64Array(4);
const Q = new Float64Array(4);
const T = new Float64Array(4);
const F = new Float64Array(4);

/** The second derivative by a, b, c, d with its negative directions levelled. */
function isotropicMatrix(
  slopes: StretchCurvature,
  h: number,
  m: number,
  cos: number,
  sin: number,
  mirrorCos: number,
  mirrorSin: number,
  least: number,
  out: Float64Array,
): void {
  const { f1, f2, f11, f12, f22 } = slopes;
  const twist = Math.max(least, h > 1e-9 ? (f1 + f2) / h : 0);
  const flip = Math.max(least, m > 1e-6 ? (f1 - f2) / m : Math.min(f11, f22) - f12);
  // The stretches themselves: a 2 × 2 matrix, levelled by its eigenvalues.
  const mean = 0.5 * (f11 + f22);
  const half = 0.5 * (f11 - f22);
  const spread = Math.sqrt(half * half + f12 * f12);
  const high = Math.max(least, mean + spread);
  const low = Math.max(least, mean - spread);
  const c = spread > 0 ? half / spread : 1;
  const s = spread > 0 ? f12 / spread : 0;
  const k11 = 0.5 * (high + low) + 0.5 * (high - low) * c;
  const k22 = 0.5 * (high + low) - 0.5 * (high - low) * c;
  const k12 = 0.5 * (high - low) * s;
  // Turned to P = rotation, Q = mirror: the stretches are (P + Q)/2 and (P − Q)/2.
  const pp = 0.25 * (k11 + k22 + 2 * k12);
  const qq = 0.25 * (k11 + k22 - 2 * k12);
  const pq = 0.25 * (k11 - k22);
  P[0] = P[3] = cos;
  P[1] = -sin;
  P[2] = sin;
  Q[0] = mirrorCos;
  Q[1] = Q[2] = mirrorSin;
  Q[3] = -mirrorCos;
  T[0] = T[3] = -sin;
  T[1] = -cos;
  T[2] = cos;
  F[0] = -mirrorSin;
  F[1] = F[2] = mirrorCos;
  F[3] = mirrorSin;
  for (let i = 0; i < 4; i++) {
    for (let j = i; j < 4; j++) {
      const value =
        pp * P[i] * P[j] +
        qq * Q[i] * Q[j] +
        pq * (P[i] * Q[j] + Q[i] * P[j]) +
        0.5 * (twist * T[i] * T[j] + flip * F[i] * F[j]);
      out[4 * i + j] = value;
      out[4 * j + i] = value;
    }
  }
}

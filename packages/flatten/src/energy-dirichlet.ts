import { addStretchCurvature, type StretchCurvature } from "./curvature";
import type { Energy } from "./energy";
import type { Sheet } from "./sheet";
import { addSlope, readMap } from "./triangle-map";

/**
 * Symmetric Dirichlet energy Σ A |J|² (1 + 1/det² J), 4 A for an unstrained triangle and infinite at a flip; gradient
 * added to `gradient`.
 *
 * @source Smith and Schaefer, Bijective Parameterization with Free Boundaries, 2015, section 3
 */
export function dirichletEnergy(sheet: Sheet, x: Float64Array, gradient: Float64Array | null): number {
  return regularisedDirichlet(sheet, x, gradient, 0);
}

/**
 * {@link dirichletEnergy} with det J replaced by ½ (det + √(det² + ε²)): finite for turned-over triangles too, so that
 * lowering it with ever smaller ε turns them back.
 *
 * @param epsilon - 0 for the true energy, which is then Infinity where det ≤ 0
 * @source the replacement after Garanzha, Kaporin, Kudryavtseva, Protais, Ray and Sokolov, Foldover-Free Maps in 50
 * Lines of Code, 2021
 */
export function regularisedDirichlet(
  sheet: Sheet,
  x: Float64Array,
  gradient: Float64Array | null,
  epsilon: number,
): number {
  const { frames } = sheet.rest;
  const map = new Float64Array(4);
  const slopes = new Float64Array(4);
  let sum = 0;
  for (let t = 0; t < sheet.triangleCount; t++) {
    readMap(sheet, x, t, map);
    const a = map[0];
    const b = map[1];
    const c = map[2];
    const d = map[3];
    const weight = frames[4 * t + 3];
    const det = a * d - b * c;
    let size = det;
    let slope = 1;
    if (epsilon > 0) {
      const root = Math.sqrt(det * det + epsilon * epsilon);
      size = det > 0 ? 0.5 * (det + root) : (0.5 * epsilon * epsilon) / (root - det);
      slope = size / root;
    } else if (!(det > 0)) return Infinity;
    const square = a * a + b * b + c * c + d * d;
    const inverse = 1 / (size * size);
    sum += weight * square * (1 + inverse);
    if (gradient === null) continue;
    const k = 2 * weight * (1 + inverse);
    const e = (-2 * weight * square * inverse * slope) / size;
    slopes[0] = k * a + e * d;
    slopes[1] = k * b - e * c;
    slopes[2] = k * c - e * b;
    slopes[3] = k * d + e * a;
    addSlope(sheet, t, slopes, gradient);
  }
  return sum;
}

/** Largest multiple of the direction that turns no triangle over (Infinity when none ever turns). */
export function stepBeforeFlip(sheet: Sheet, x: Float64Array, direction: Float64Array): number {
  const { triangles } = sheet;
  let reach = Infinity;
  for (let i = 0; i < triangles.length; i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const ux = x[v1] - x[v0];
    const uy = x[v1 + 1] - x[v0 + 1];
    const vx = x[v2] - x[v0];
    const vy = x[v2 + 1] - x[v0 + 1];
    const dux = direction[v1] - direction[v0];
    const duy = direction[v1 + 1] - direction[v0 + 1];
    const dvx = direction[v2] - direction[v0];
    const dvy = direction[v2 + 1] - direction[v0 + 1];
    const c = ux * vy - uy * vx;
    const b = ux * dvy - uy * dvx + dux * vy - duy * vx;
    const a = dux * dvy - duy * dvx;
    // Smallest positive root of a s² + b s + c, c > 0, without cancellation.
    const disc = b * b - 4 * a * c;
    if (disc < 0 || (b > 0 && a >= 0)) continue;
    const s = b > 0 ? (-b - Math.sqrt(disc)) / (2 * a) : (2 * c) / (-b + Math.sqrt(disc));
    if (s < reach) reach = s;
  }
  return reach;
}

/** The symmetric Dirichlet energy. */
export const dirichlet: Energy = { ...untangling(0), guarded: true };

/** The symmetric Dirichlet energy that turns triangles back; see {@link regularisedDirichlet}. */
export function untangling(epsilon: number): Energy {
  return {
    at: (sheet, x, gradient) => regularisedDirichlet(sheet, x, gradient, epsilon),
    addCurvature: (system, sheet, x) =>
      addStretchCurvature(system, sheet, x, (s1, s2, area, _thin, out) =>
        dirichletCurvature(s1, s2, area, epsilon, out),
      ),
    stiffness: 4,
    guarded: false,
  };
}

function dirichletCurvature(
  s1: number,
  s2: number,
  weight: number,
  epsilon: number,
  out: StretchCurvature,
): void {
  const det = s1 * s2;
  let size = det;
  let slope = 1;
  let bend = 0;
  if (epsilon > 0) {
    const root = Math.sqrt(det * det + epsilon * epsilon);
    size = det > 0 ? 0.5 * (det + root) : (0.5 * epsilon * epsilon) / (root - det);
    slope = size / root;
    bend = (0.5 * epsilon * epsilon) / (root * root * root);
  }
  const square = s1 * s1 + s2 * s2;
  const inverse = 1 / (size * size);
  // First and second derivative of 1/size² by det.
  const first = (-2 * inverse * slope) / size;
  const second = (6 * slope * slope * inverse) / (size * size) - (2 * inverse * bend) / size;
  out.f1 = weight * (2 * s1 * (1 + inverse) + square * first * s2);
  out.f2 = weight * (2 * s2 * (1 + inverse) + square * first * s1);
  out.f11 = weight * (2 * (1 + inverse) + 4 * s1 * first * s2 + square * second * s2 * s2);
  out.f22 = weight * (2 * (1 + inverse) + 4 * s2 * first * s1 + square * second * s1 * s1);
  out.f12 = weight * (2 * first * square + square * (second * det + first));
}

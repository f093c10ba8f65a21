import type { Point3 } from "@peltry/geometry";
import { partNumber } from "./number";

/**
 * A horn as a section that shrinks along an exponential spiral, by the three shell parameters.
 * `whorl` (W): ratio of the distances from the axis one turn apart, over 1. `distance` (D): inner over outer distance of
 * the section from the axis, 0 up to under 1. `translation` (T): how far it creeps along the axis for each mm that it
 * moves away from it.
 *
 * @source D. M. Raup 1966, Geometric analysis of shell coiling, J. Paleontology 40:1178–1190 (from memory; the form of
 * the parameters seen in open teaching notes)
 */
export interface ShellParameters {
  readonly whorl: number;
  readonly distance: number;
  readonly translation: number;
  readonly turns: number;
}

/** Figures of such a horn, all in closed form. Lengths mm. */
export interface SpiralFigures {
  /** k of r = r0 e^(k t). */
  readonly growth: number;
  /** Distance of the section's middle from the axis at the tip and at the base. */
  readonly tipDistance: number;
  readonly baseDistance: number;
  readonly tipRadius: number;
  readonly baseRadius: number;
  /** Length along the middle of the section. */
  readonly length: number;
  /** Along the axis. */
  readonly height: number;
  /** Skin, mm², first order (exact where the horn is slim against its bend). */
  readonly area: number;
  /** mm³, exact while the section does not reach its own centre of bend. */
  readonly volume: number;
  /** Centre of the solid in the frame of the spiral: axis along z, tip at (tipDistance, 0, 0), turning to +y. */
  readonly centre: Point3;
}

/**
 * Length, height, skin, volume and centre of a solid horn in closed form.
 *
 * @param tipDistance r0: distance of the section's middle from the axis at the tip, mm
 * @throws forms/bad-part
 * @source L = √(1 + k² + T² k²) / k (r1 − r0), k = ln W / 2π; volume and centre by integrating the sections, each
 * centroid moved off the middle by κ a² / 4 on the outer side; derived here
 */
export function spiralFigures(shell: ShellParameters, tipDistance: number): SpiralFigures {
  const { k, turns, T, D } = checkShell(shell);
  const r0 = partNumber(tipDistance, "tipDistance", 1e-6, 1e5);
  const end = 2 * Math.PI * turns;
  const r1 = r0 * Math.exp(k * end);
  const sigma = Math.sqrt(1 + k * k + T * T * k * k);
  const q = (r0 * (1 - D)) / (1 + D);
  const grow = (power: number): number => Math.expm1(power * k * end) / (power * k);
  const volume = Math.PI * q * q * sigma * r0 * grow(3);
  // ∫ e^((4k + i) t) dt as a complex number, times (r0 + (1 − ik) q² / (4 σ² r0)).
  const e = Math.exp(4 * k * end);
  const [nr, ni] = [e * Math.cos(end) - 1, e * Math.sin(end)];
  const size = 16 * k * k + 1;
  const [ir, ii] = [(4 * k * nr + ni) / size, (4 * k * ni - nr) / size];
  const off = (q * q) / (4 * sigma * sigma * r0);
  const [cr, ci] = [r0 + off, -k * off];
  const weight = grow(3);
  return {
    growth: k,
    tipDistance: r0,
    baseDistance: r1,
    tipRadius: q,
    baseRadius: (r1 * (1 - D)) / (1 + D),
    length: (sigma / k) * (r1 - r0),
    height: T * (r1 - r0),
    area: 2 * Math.PI * q * sigma * r0 * grow(2),
    volume,
    centre: [(cr * ir - ci * ii) / weight, (cr * ii + ci * ir) / weight, T * r0 * (grow(4) / weight - 1)],
  };
}

/** Checked parameters with k = ln W / 2π. @throws forms/bad-part */
export function checkShell(shell: ShellParameters): { k: number; turns: number; T: number; D: number } {
  const W = partNumber(shell.whorl, "whorl", 1.001, 1e6);
  return {
    k: Math.log(W) / (2 * Math.PI),
    turns: partNumber(shell.turns, "turns", 0.01, 6),
    T: partNumber(shell.translation, "translation", -50, 50),
    D: partNumber(shell.distance, "distance", 0, 0.98),
  };
}

/**
 * Limits that `checkPattern` works by. Lengths in mm.
 *
 * @source The two seam figures are what a home sewer can ease away unseen (common practice, no source); the others
 * are derived here from what a printed line can show.
 */
export const CHECK_LIMITS = Object.freeze({
  /** Two ends that should be one corner: what a pen line hides. */
  join: 1e-2,
  /** An edge shorter than this is no edge. */
  zeroLength: 1e-3,
  /** Seam sides may differ by this much … */
  seamLengthMm: 1,
  /** … or by this fraction of the longer side, whichever is more. */
  seamLengthFraction: 0.005,
  /** Legs of a dart may differ by this much. */
  dartLegMm: 0.5,
  /** A notch may miss its match point by this much. */
  notchMm: 0.5,
  /** A fold edge may leave its straight line by this much: the width of a fold. */
  foldMm: 0.1,
  /** A marking may stick out of its panel by this much. */
  outsideMm: 0.01,
  /** Shorter or narrower darts are better eased in (common practice, no source). */
  smallDartLengthMm: 20,
  smallDartIntakeMm: 6,
});

/** Millimetres to two decimals, as text. */
export function mm(value: number): string {
  return `${Math.round(value * 100) / 100} mm`;
}

/** How far two seam sides of this length may differ, mm. */
export function seamLengthTolerance(longer: number): number {
  return Math.max(CHECK_LIMITS.seamLengthMm, CHECK_LIMITS.seamLengthFraction * longer);
}

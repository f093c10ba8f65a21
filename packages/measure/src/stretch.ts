import { fail } from "@peltry/issues";
import { needNumber } from "./check-number";

/** A tube cut smaller than what it goes round. */
export interface NegativeEase {
  /** Girth to cut, mm. */
  readonly cutGirth: number;
  /** Ease, mm: negative. */
  readonly ease: number;
  /** Cut smaller by this fraction of the girth: e / (1 + e). */
  readonly reduction: number;
  /** Strain when worn, as given. */
  readonly strain: number;
}

/**
 * Girth to cut so that the cloth is strained by `strain` round `girth`: cut = G / (1 + e).
 *
 * @param girth mm round what is worn
 * @param strain fraction, 0.25 for 25 % longer than cut
 * @throws measure/bad-number
 * @source algebra, derived here
 */
export function negativeEase(girth: number, strain: number): NegativeEase {
  needNumber(girth, "girth", 0);
  needNumber(strain, "strain", 0, 5);
  const cutGirth = girth / (1 + strain);
  return { cutGirth, ease: cutGirth - girth, reduction: reductionFromStrain(strain), strain };
}

/**
 * Girth, mm, that a tube of `cutGirth` has when strained: G (1 + e).
 *
 * @throws measure/bad-number
 */
export function stretchedGirth(cutGirth: number, strain: number): number {
  return needNumber(cutGirth, "cutGirth", 0) * (1 + needNumber(strain, "strain", -0.99, 5));
}

/** Strain of a tube of `cutGirth` worn round `girth`, as a fraction. @throws measure/bad-number */
export function wornStrain(cutGirth: number, girth: number): number {
  return needNumber(girth, "girth", 0) / needNumber(cutGirth, "cutGirth", Number.MIN_VALUE) - 1;
}

/** Reduction r = e / (1 + e) for a strain e, both fractions. @throws measure/bad-number */
export function reductionFromStrain(strain: number): number {
  needNumber(strain, "strain", -0.99, 5);
  return strain / (1 + strain);
}

/** Strain e = r / (1 − r) for a reduction r, both fractions. @throws measure/bad-number */
export function strainFromReduction(reduction: number): number {
  needNumber(reduction, "reduction", 0, 0.95);
  return reduction / (1 - reduction);
}

/** What a stretch test shows, as fractions. */
export interface StretchTest {
  /** (L1 − L0) / L0. */
  readonly stretch: number;
  /** (L1 − L2) / (L1 − L0). */
  readonly recovery: number;
  /** (L2 − L0) / L0: what stays. */
  readonly growth: number;
}

/**
 * Stretch, recovery and growth of a strip.
 *
 * @param before marked length at rest, mm
 * @param stretched length under load, mm
 * @param after length after the load and a rest, mm
 * @throws measure/bad-number, measure/bad-stretch-test where the strip does not get longer under load
 * @source terms as in ASTM D2594; the formula for growth from memory
 */
export function readStretchTest(before: number, stretched: number, after: number): StretchTest {
  needNumber(before, "before", Number.MIN_VALUE);
  needNumber(after, "after", 0);
  if (!(needNumber(stretched, "stretched", 0) > before)) {
    fail(
      "measure/bad-stretch-test",
      "The strip is no longer under load than at rest.",
      { path: ["stretched"] },
      {
        found: stretched,
        limit: `> ${before}`,
        fix: "Measure the three lengths again, in this order: at rest, under load, after a rest.",
      },
    );
  }
  return {
    stretch: (stretched - before) / before,
    recovery: (stretched - after) / (stretched - before),
    growth: (after - before) / before,
  };
}

/** How a cloth is called by its stretch. */
export type StretchClass = "firm" | "stable" | "moderate" | "stretchy" | "super-stretch";

/**
 * Class of a knit by its hand stretch, as a fraction. Catalogue figures are ± 0.05 at best (a judgement: the
 * between-laboratory precision of ASTM D2594 is called poor by the standard itself).
 *
 * @throws measure/bad-number
 * @source class limits as taught: stable 18–25 %, moderate 25–30 %, stretchy to 50 %, super 75–100 %; common practice
 */
export function stretchClass(stretch: number): StretchClass {
  needNumber(stretch, "stretch", 0, 5);
  if (stretch < 0.18) return "firm";
  if (stretch < 0.25) return "stable";
  if (stretch < 0.3) return "moderate";
  return stretch < 0.625 ? "stretchy" : "super-stretch";
}

import { fail } from "@peltry/issues";
import type { Marking } from "./types";

/** A way to make a marking, and why. */
export interface MarkingChoice {
  readonly method: NonNullable<Marking["method"]>;
  readonly reason: string;
}

/** Up to this height a cloth counts as smooth, mm. */
const SMOOTH = 3;
/** Two piles on top of each other stand up as a bump when the lower is longer than this, mm. */
const BUMP = 12;
/** A spot whose pile is at most this part of the base's lies in a hollow. */
const HOLLOW = 0.5;

/**
 * How a spot, stripe or patch of its own fabric is best made.
 *
 * - base smooth: sewn on top, nothing can bury it
 * - spot at least as long as the base: sewn on top while the base is short, else let in
 * - spot a little shorter: let in, so that both surfaces run on level
 * - spot half as long or less: the base is shaved to the spot's height, and the spot laid on the shaved ground
 *
 * @param basePileMm - pile height of the panel, mm, 0 for smooth cloth
 * @param spotPileMm - pile height of the marking, mm
 * @throws PeltryError `pattern/bad-pile` for a height below zero or no number
 * @source judgement from how piles cover each other; common practice, no source
 */
export function markingMethod(basePileMm: number, spotPileMm: number): MarkingChoice {
  for (const [name, value] of [
    ["base", basePileMm],
    ["spot", spotPileMm],
  ] as const) {
    if (Number.isFinite(value) && value >= 0) continue;
    fail(
      "pattern/bad-pile",
      `The pile height of the ${name} is ${value} mm.`,
      {},
      { found: value, limit: "0 or more", fix: "Give mm, 0 for smooth cloth." },
    );
  }
  if (basePileMm <= SMOOTH) {
    return {
      method: "applied",
      reason: `a base of ${basePileMm} mm is smooth enough to sew the spot on top`,
    };
  }
  if (spotPileMm >= basePileMm) {
    return basePileMm <= BUMP
      ? {
          method: "applied",
          reason: `the spot's ${spotPileMm} mm cover the base's ${basePileMm} mm and hide the edge`,
        }
      : { method: "let-in", reason: `on a base of ${basePileMm} mm a spot on top would stand up as a bump` };
  }
  if (spotPileMm > HOLLOW * basePileMm) {
    return {
      method: "let-in",
      reason: `${spotPileMm} mm on top of ${basePileMm} mm would sink in; let in, both run on level`,
    };
  }
  return {
    method: "shaved",
    reason: `${spotPileMm} mm would be buried in ${basePileMm} mm: shave the base to ${spotPileMm} mm there`,
  };
}

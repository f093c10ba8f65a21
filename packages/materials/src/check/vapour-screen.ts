import type { Issue } from "@peltry/issues";
import { fail } from "@peltry/issues";
import type { Substance } from "../entry/shared-types";
import { SUBSTANCES } from "../generated/substances";
import { requireWithin, shownText } from "../query/require";

/** Litres of a mole of gas at 25 °C. */
const MOLAR_VOLUME = 24.45;

/** What the screen finds. */
export interface VapourScreen {
  /** Parts per million if all of it went into the air of the room and nothing left. */
  readonly ppm: number;
  /** Issues only warn; no issue does not mean that the work is without danger. */
  readonly issues: readonly Issue[];
}

/** Substances with limits, flash points and copied codes. */
export const substances: readonly Substance[] = SUBSTANCES;

/** The substance with this CAS number. @throws `materials/unknown-substance` */
export function substance(cas: string): Substance {
  const found = SUBSTANCES.find((one) => one.cas === cas || one.name === cas);
  return (
    found ??
    fail(
      "materials/unknown-substance",
      `No substance has the number "${shownText(cas, 40)}".`,
      {},
      {
        fix: "Read its limits in section 8 of the safety data sheet.",
      },
    )
  );
}

/**
 * A screen for solvent work without ventilation: all of the solvent in the air of a closed room. It can only raise a
 * warning. That it raises none says nothing: near the work the air is far above the mean.
 *
 * @param cas CAS number or name
 * @param grams how much evaporates
 * @param roomM3 volume of the room
 * @throws `materials/unknown-substance`, `materials/bad-measure`
 * @source mass balance: ppm = g/M × 24.45 / m³ × 1000; limits: see the substance's own sources
 */
export function vapourScreen(cas: string, grams: number, roomM3: number): VapourScreen {
  const found = substance(cas);
  requireWithin("grams", grams, 0, 100_000);
  requireWithin("roomM3", roomM3, 0.1, 100_000);
  const at = { material: found.name };
  if (found.molarMass === undefined)
    return {
      ppm: NaN,
      issues: [
        {
          code: "materials/vapour-unknown",
          severity: "warning",
          message: `${found.name}: nothing is known to screen with.`,
          at,
        },
      ],
    };
  const ppm = ((grams / found.molarMass) * MOLAR_VOLUME * 1000) / roomM3;
  const limits = found.limits.filter(({ unit, kind }) => unit === "[ppm]" && kind.startsWith("TWA"));
  if (limits.length === 0)
    return {
      ppm,
      issues: [
        {
          code: "materials/vapour-unknown",
          severity: "warning",
          message: `${found.name}: no limit is recorded here.`,
          at,
          fix: "Read section 8 of the safety data sheet.",
        },
      ],
    };
  const lowest = limits.reduce((a, b) => (b.value < a.value ? b : a));
  if (ppm <= lowest.value) return { ppm, issues: [] };
  return {
    ppm,
    issues: [
      {
        code: "materials/vapour-above-limit",
        severity: "warning",
        message: `${grams} g of ${found.name} in ${roomM3} m³ would be about ${Math.round(ppm)} ppm.`,
        at,
        found: ppm,
        limit: lowest.value,
        fix: "Work outdoors or with extraction, and use less at a time.",
        source: `${lowest.body} ${lowest.name} ${lowest.kind} (${lowest.year}); a limit for workers and measured air, shown for scale`,
      },
    ],
  };
}

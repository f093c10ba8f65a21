import { needNumber, tenth, type Finding } from "./finding";

/** m/s². @source standard gravity, CGPM 1901 */
export const STANDARD_GRAVITY = 9.80665;

/** Something that stands on the band by a round base. */
export interface BandBase {
  readonly name: string;
  readonly massG: number;
  /** Centre of mass from the middle of its base, mm: x to the side, y up, z forward. */
  readonly centre: readonly [number, number, number];
  /** Across its base, mm. */
  readonly diameterMm: number;
}

const PITCH = Math.PI / 6;
/** The pressure that a band may have under it, kPa: as for the band itself. Judgement. */
const PRESS_KPA = 4;

/**
 * Moment that tips a base on the band when the head is bent by 30° in the worst direction, N cm.
 *
 * @source statics: m g (distance out of the middle × cos 30° + height × sin 30°)
 */
export function baseMoment({ massG, centre: [x, y, z] }: Omit<BandBase, "diameterMm">): number {
  const lever = Math.hypot(x, z) * Math.cos(PITCH) + Math.abs(y) * Math.sin(PITCH);
  return (massG * STANDARD_GRAVITY * lever) / 1e4;
}

/**
 * Findings on bases: a round base lies flat all over while its load stays in the middle quarter, so the band has to hold
 * it down with 4 M / π r³ in the mean, or its edge lifts.
 *
 * @throws wear/bad-number
 * @source kern of a circular section, d / 8 each way from the middle (strength of materials)
 */
export function basesOnBand(bases: readonly BandBase[]): Finding[] {
  return bases.map((base, index): Finding => {
    const path = `head.bases.${index}`;
    needNumber(base.massG, `${path}.massG`, 0, 20_000);
    for (const k of [0, 1, 2]) needNumber(base.centre?.[k], `${path}.centre`, -3000, 3000);
    const across = needNumber(base.diameterMm, `${path}.diameterMm`, 1, 500);
    const moment = baseMoment(base);
    // N mm over mm³ is MPa.
    const pressure = (1000 * 32 * moment * 10) / (Math.PI * across * across * across);
    const needed = 2 * Math.cbrt((1000 * 4 * moment * 10) / (Math.PI * PRESS_KPA));
    const over = pressure > PRESS_KPA;
    return {
      subject: "band",
      level: over ? "caution" : "note",
      what: over
        ? `${base.name} tips on the band: to keep its base flat, the band would have to hold it down with ${tenth(pressure)} kPa.`
        : `${base.name} stands flat on the band when the band holds its base down with ${tenth(pressure)} kPa.`,
      figure: tenth(pressure),
      limit: PRESS_KPA,
      unit: "kPa",
      source: "kern of a circular base when bent by 30°, statics; limit of 4 kPa: judgement, as for the band",
      ...(over
        ? {
            fix: `A base ${Math.max(1, Math.ceil(needed - across + 1e-6))} mm wider, ${Math.ceil(100 * (1 - PRESS_KPA / pressure))} % less mass or lean, or a plate inside the band that ties it to the other side.`,
          }
        : {}),
    };
  });
}

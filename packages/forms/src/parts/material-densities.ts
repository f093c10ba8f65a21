import { partNumber } from "./number";

/** Mass of a material in g per mm³, mm² or mm, as a range with its source. */
export interface Density {
  readonly low: number;
  readonly high: number;
  readonly source: string;
}

const volume = (low: number, high: number, source: string): Density => ({
  low: low * 1e-6,
  high: high * 1e-6,
  source: `${low} to ${high} kg/m³, ${source}`,
});
const sheet = (low: number, high: number, source: string): Density => ({
  low: low * 1e-6,
  high: high * 1e-6,
  source: `${low} to ${high} g/m², ${source}`,
});

/**
 * Usual densities where the maker states none. Weigh a known piece of what you own and give that instead.
 *
 * @source soft polyurethane foam 14 to 40 kg/m³: foam makers' tables; all rows that say so are from memory
 */
export const PART_DENSITIES = Object.freeze({
  wadding: volume(8, 20, "polyester wadding, from memory"),
  softFoam: volume(14, 40, "usual flexible polyurethane foam, foam makers' tables"),
  foamSheet: volume(45, 200, "EVA foam sheet, from memory"),
  fur: sheet(400, 1200, "long-pile faux fur, from memory"),
  cloth: sheet(180, 320, "knit to fleece, from memory"),
  felt: sheet(150, 300, "craft felt, from memory"),
  boardDisc: volume(900, 1100, "thermoplastic or plastic board, from memory"),
});

/** g per mm of round wire: π d² ρ / 4, ρ of steel 7850 and aluminium 2700 kg/m³ (handbook values, from memory). */
export function wireDensity(diameterMm: number, metal: "steel" | "aluminium"): Density {
  const rho = metal === "steel" ? 7850 : 2700;
  const perMm = (Math.PI / 4) * diameterMm * diameterMm * rho * 1e-6;
  return { low: perMm, high: perMm, source: `${metal} wire of ${diameterMm} mm, ${rho} kg/m³` };
}

/** A figure that the maker states, or its range from low to high. */
export type Stated = number | readonly [low: number, high: number] | StatedWithSource;

/** A range whose source the caller knows. */
export interface StatedWithSource {
  readonly low: number;
  readonly high: number;
  readonly source: string;
}

/** Mass per mm³, mm² or mm of what the maker states. @throws forms/bad-part */
export function statedDensity(
  value: Stated,
  name: string,
  [least, most]: readonly [number, number],
  unit: "gsm" | "kgPerM3" | "tex",
): Density {
  const factor = 1e-6;
  const [first, last] =
    typeof value === "number" ? [value, value] : "source" in value ? [value.low, value.high] : value;
  const low = partNumber(first, name, least, most);
  const high = partNumber(last, name, low, most);
  const text = low === high ? `${low}` : `${low} to ${high}`;
  const from = typeof value === "object" && "source" in value ? value.source : "as stated";
  return { low: low * factor, high: high * factor, source: `${text} ${UNIT_TEXT[unit]}, ${from}` };
}

const UNIT_TEXT = { gsm: "g/m²", kgPerM3: "kg/m³", tex: "g/km" } as const;

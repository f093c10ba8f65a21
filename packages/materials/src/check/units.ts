/** g/m² of one oz/yd². @source definition: avoirdupois ounce 28.349523125 g, international yard 0.9144 m */
export const GSM_PER_OZ_YD2 = 28.349523125 / 0.9144 ** 2;
/** kg/m³ of one lb/ft³. @source definition: pound 0.45359237 kg, foot 0.3048 m */
export const KG_M3_PER_LB_FT3 = 0.45359237 / (0.3048 * 0.3048 * 0.3048);
/** N of one lbf. @source definition: standard gravity 9.80665 m/s² */
export const N_PER_LBF = 0.45359237 * 9.80665;
/** kPa of one psi. */
export const KPA_PER_PSI = N_PER_LBF / 0.0254 ** 2 / 1000;
/** N/cm of one lbf/in. */
export const N_CM_PER_LBF_IN = N_PER_LBF / 2.54;

/**
 * Mass per area of a numbered cotton duck, g/m²: (19 − n) ounces a linear yard of 22 in.
 *
 * @source sizes.com, duck: number = 19 − ounces of a piece of 36 × 22 in
 */
export function duckMassPerArea(number: number): number {
  return ((19 - number) * 18 * GSM_PER_OZ_YD2) / 11;
}

/** Volume of a mole of gas at 25 °C and 1013 hPa, L. */
const MOLAR_VOLUME = 24.45;

/**
 * mg/m³ of a vapour from its share in air.
 *
 * @param ppm parts per million by volume
 * @param molarMass g/mol
 * @source OSHA, conversion of ppm to mg/m³ at 25 °C: × M / 24.45
 */
export function ppmToMgPerM3(ppm: number, molarMass: number): number {
  return (ppm * molarMass) / MOLAR_VOLUME;
}

/** Distance in the space of Hansen's parameters, MPa^0.5: small means that the solvent attacks the polymer. */
export interface Hansen {
  readonly dD: number;
  readonly dP: number;
  readonly dH: number;
}

/**
 * Hansen distance Ra = √(4 ΔD² + ΔP² + ΔH²).
 *
 * @source Hansen, Hansen Solubility Parameters: A User's Handbook, 2nd ed. 2007, equation 1.9
 */
export function hansenDistance(a: Hansen, b: Hansen): number {
  return Math.hypot(2 * (a.dD - b.dD), a.dP - b.dP, a.dH - b.dH);
}

/** A number with at most `digits` decimals, no trailing zeros, no exponent, no minus zero. */
export function numberText(value: number, digits = 4): string {
  const factor = 10 ** digits;
  const rounded = Math.round(value * factor) / factor;
  if (rounded === 0) return "0";
  // Rounded to so few places, only numbers that no drawing holds would be written with an exponent.
  return Math.abs(rounded) < 1e-6 || Math.abs(rounded) >= 1e21 ? rounded.toFixed(digits) : String(rounded);
}

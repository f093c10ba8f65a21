const FACTORS = [1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];

/** A number with at most `digits` (up to 9) decimals, no trailing zeros, no exponent, no minus zero. */
export function numberText(value: number, digits = 4): string {
  const factor = FACTORS[digits]!;
  const units = Math.round(Math.abs(value) * factor);
  // Past this, whole numbers of units are no longer exact; no drawing is so large.
  if (!(units < 2 ** 53)) return value.toFixed(digits);
  if (units === 0) return "0";
  const whole = Math.floor(units / factor);
  const rest = units - whole * factor;
  const sign = value < 0 ? "-" : "";
  if (rest === 0) return `${sign}${whole}`;
  let decimals = String(rest).padStart(digits, "0");
  while (decimals.endsWith("0")) decimals = decimals.slice(0, -1);
  return `${sign}${whole}.${decimals}`;
}

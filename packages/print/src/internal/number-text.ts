/** A number with at most `digits` decimals, no trailing zeros, no exponent, no minus zero. */
export function numberText(value: number, digits = 4): string {
  const text = value.toFixed(digits);
  const short = text.includes(".") ? text.replace(/\.?0+$/, "") : text;
  return short === "-0" ? "0" : short;
}

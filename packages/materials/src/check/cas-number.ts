/**
 * The check digit that a CAS registry number must end with, or undefined when the text has not the form of one.
 *
 * @source CAS, Check Digit Verification of CAS Registry Numbers: digits from the right, times their place, modulo 10
 */
export function casCheckDigit(cas: string): number | undefined {
  const match = /^(\d{2,7})-(\d{2})-\d$/.exec(cas);
  if (!match) return undefined;
  const digits = [...(match[1]! + match[2]!)].reverse().map(Number);
  return digits.reduce((sum, digit, index) => sum + digit * (index + 1), 0) % 10;
}

/** True for a CAS registry number with the right check digit. */
export function isCasNumber(cas: string): boolean {
  const digit = casCheckDigit(cas);
  return digit !== undefined && cas.endsWith(`-${digit}`);
}

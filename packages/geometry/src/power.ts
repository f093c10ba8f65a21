/**
 * `base` to `exponent`, the same bits on every engine: `**` differs in its last bit between versions of V8, exp and log
 * do not. Whole exponents are multiplied out.
 *
 * @param base - 0 or more where the exponent is no whole number; else the answer is NaN
 * @returns within about |exponent · ln base| units of the last place
 */
export function power(base: number, exponent: number): number {
  if (Number.isInteger(exponent) && Math.abs(exponent) <= 1024) return multiplyOut(base, exponent);
  if (base === 0) return exponent > 0 ? 0 : Infinity;
  return Math.exp(exponent * Math.log(base));
}

function multiplyOut(base: number, exponent: number): number {
  let product = 1;
  let square = base;
  for (let left = Math.abs(exponent); left > 0; left = Math.floor(left / 2)) {
    if (left % 2 === 1) product *= square;
    square *= square;
  }
  return exponent < 0 ? 1 / product : product;
}

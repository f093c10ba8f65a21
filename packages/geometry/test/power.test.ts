import fc from "fast-check";
import { expect, test } from "vitest";
import { power } from "../src/power";

test("power › whole exponents are products, also of negative bases [oracle: exact in binary]", () => {
  expect(power(3, 4)).toBe(81);
  expect(power(-2, 5)).toBe(-32);
  expect(power(2, -3)).toBe(0.125);
  expect(power(0, 0)).toBe(1);
  expect(power(0, -1)).toBe(Infinity);
});

test("power › broken exponents agree with the engine's own power to a few last places [oracle: ECMAScript **]", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
      fc.double({ min: -4, max: 4, noNaN: true }),
      (base, exponent) => {
        const theirs = base ** exponent;
        const places = 2 + Math.abs(exponent * Math.log(base));
        expect(Math.abs(power(base, exponent) - theirs)).toBeLessThanOrEqual(places * 2 ** -52 * theirs);
      },
    ),
    { seed: 8 },
  );
});

test("power › nothing to a broken power is nothing; a negative base has none", () => {
  expect(power(0, 0.5)).toBe(0);
  expect(power(0, -0.5)).toBe(Infinity);
  expect(power(-1, 0.5)).toBeNaN();
  expect(power(NaN, 0.5)).toBeNaN();
});

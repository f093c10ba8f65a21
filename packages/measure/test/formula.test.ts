import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isPeltryError } from "@peltry/measure";
import { evaluateFormula, FORMULA_FUNCTIONS } from "@peltry/measure/formula";

const codeOf = (text: unknown, values: Record<string, number> = {}): string => {
  try {
    evaluateFormula(text as string, values);
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};

describe("evaluateFormula", () => {
  it.each([
    ["0.5 * hip + 25", 525],
    ["max(hip / 4, 20) - 3", 247],
    ["-(2 + 3)^2", -25],
    ["2^3^2", 512],
    ["sqrt(2) * sin(45)", 1],
    ["2 pi * 10", 20 * Math.PI],
    ["round(hip / 3)", 333],
    ["min(1, 2, 3) + abs(-4)", 5],
    ["1.5e2", 150],
  ])("%s = %d [oracle: arithmetic]", (text, value) => {
    expect(evaluateFormula(text, { hip: 1000 })).toBeCloseTo(value, 10);
  });

  it("agrees with the language's own arithmetic on random sums [oracle: independent computation]", () => {
    const number = fc.integer({ min: 1, max: 999 });
    fc.assert(
      fc.property(number, number, number, (a, b, c) => {
        expect(evaluateFormula(`${a} + ${b} * (${c} - ${a}) / ${b}`)).toBeCloseTo(a + (b * (c - a)) / b, 9);
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  it.each([
    ["import('fs')", "formula/not-allowed"],
    ["evaluate(1)", "formula/not-allowed"],
    ["hip.constructor", "formula/not-allowed"],
    ["constructor", "formula/unknown-name"],
    ["__proto__", "formula/unknown-name"],
    ["a = 3", "formula/not-allowed"],
    ["f(x) = x", "formula/not-allowed"],
    ["[1,2]", "formula/not-allowed"],
    ['"text"', "formula/not-allowed"],
    ["1:1000000", "formula/not-allowed"],
    ["5!", "formula/not-allowed"],
    ["range(1, 100000)", "formula/not-allowed"],
    ["factorial(170)", "formula/not-allowed"],
    ["sqrt(1, 2)", "formula/not-allowed"],
    ["true", "formula/unknown-name"],
    ["9^9^9^9", "formula/too-deep"],
    ["9^9^999", "formula/not-finite"],
    ["1 / 0", "formula/not-finite"],
    ["sqrt(-1)", "formula/not-finite"],
    ["unknown + 1", "formula/unknown-name"],
    ["1 +", "formula/bad-text"],
    ["", "formula/not-allowed"],
    ["(".repeat(5000), "formula/too-long"],
    ["(".repeat(60) + "1" + ")".repeat(60), "formula/too-deep"],
    ["-".repeat(200) + "1", "formula/too-deep"],
    ["1" + "^1".repeat(100), "formula/too-deep"],
    [42, "formula/bad-text"],
  ])("refuses %j with %s", (text, code) => {
    expect(codeOf(text)).toBe(code);
  });

  it("refuses a value that is no number", () => {
    expect(codeOf("hip", { hip: NaN })).toBe("formula/not-finite");
  });

  it("never ends otherwise on random text: a number or a coded error [oracle: invariant]", () => {
    const signs = fc.string({ unit: fc.constantFrom(..."0123456789.+-*/^(), abcpie"), maxLength: 60 });
    fc.assert(
      fc.property(signs, (text) => {
        let code = "none";
        try {
          if (!Number.isFinite(evaluateFormula(text))) code = "not finite";
        } catch (error) {
          code = isPeltryError(error) ? error.code : String(error);
        }
        expect(code === "none" || code.startsWith("formula/")).toBe(true);
      }),
      { seed: 1, numRuns: 400 },
    );
  });

  it("lists its functions", () => {
    expect(FORMULA_FUNCTIONS).toContain("max");
  });
});

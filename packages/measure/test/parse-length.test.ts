import { describe, expect, it } from "vitest";
import { isPeltryError, measureKey, parseLength, parseMass, readMeasures } from "@peltry/measure";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
};

describe("parseLength", () => {
  it.each([
    ["34 1/2 in", 876.3],
    ["34-1/2 in", 876.3],
    ["34½ in", 876.3],
    ['34 1/2"', 876.3],
    ["1/2 in", 12.7],
    ["1 in", 25.4],
    ["5 ft 8 1/2 in", 1739.9],
    ["5' 8\"", 1727.2],
    ["5′8″", 1727.2],
    ["6 ft", 1828.8],
    ["2 yd", 1828.8],
    ["86.5 cm", 865],
    ["880 mm", 880],
    ["880mm", 880],
    ["1.72 m", 1720],
    [" .5 IN ", 12.7],
    ["3 inches", 76.2],
    ["3\u00a0in.", 76.2],
  ])(
    "reads %s as %d mm [oracle: 1 in = 25.4 mm, international yard and pound agreement 1959]",
    (text, mm) => {
      expect(parseLength(text)).toBeCloseTo(mm, 10);
    },
  );

  it.each([
    ["34", "measure/no-unit"],
    ["34 1/2", "measure/no-unit"],
    ["3 furlongs", "measure/unknown-unit"],
    ["3 px", "measure/unknown-unit"],
    ["3 1/0 in", "measure/not-a-length"],
    ["86,5 cm", "measure/decimal-comma"],
    ["", "measure/not-a-length"],
    ["in", "measure/not-a-length"],
    ["-3 in", "measure/not-a-length"],
    ["8 in 5 ft", "measure/not-a-length"],
    ["1e3 mm", "measure/unknown-unit"],
    ["NaN mm", "measure/not-a-length"],
    ["1 in; rm", "measure/unknown-unit"],
    ["9".repeat(500) + " mm", "measure/not-a-length"],
  ])("refuses “%s” with %s", (text, code) => {
    expect(codeOf(() => parseLength(text))).toBe(code);
  });

  it("says where [oracle: definition]", () => {
    try {
      parseLength("3 px", { file: "hare.yaml", line: 4, column: 9 });
    } catch (error) {
      expect(isPeltryError(error) && error.issues[0].at).toEqual({ file: "hare.yaml", line: 4, column: 9 });
      return;
    }
    expect.unreachable();
  });
});

describe("parseMass", () => {
  it("reads kilograms, pounds and stone [oracle: 1 lb = 453.59237 g, international agreement 1959]", () => {
    expect(parseMass("64 kg")).toBe(64000);
    expect(parseMass("140 lb")).toBeCloseTo(63502.9318, 6);
    expect(parseMass("10 st 2 lb")).toBeCloseTo(142 * 453.59237, 6);
  });
  it("refuses a bare number", () => {
    expect(codeOf(() => parseMass("64"))).toBe("measure/no-unit");
  });
});

describe("measureKey", () => {
  it("knows keys, snake case, units and names of the standards [oracle: definition]", () => {
    for (const name of ["waistNavel", "waist_navel", "waistNavelMm", "waistNavelGirthMm", "navelWaist"])
      expect(measureKey(name)).toBe("waistNavel");
    expect(measureKey("thigh")).toBe("upperThigh");
    expect(measureKey("crotch_height")).toBe("insideLeg");
    expect(measureKey("min_leg")).toBe("ankleNarrow");
    expect(measureKey("head_girth")).toBe("headGirth");
    expect(measureKey("weight")).toBe("weightKg");
    expect(measureKey("constructor")).toBeUndefined();
    expect(measureKey("waist")).toBeUndefined();
  });
});

describe("readMeasures", () => {
  it("takes the middle of three readings and their spread [oracle: definition]", () => {
    const [calf] = readMeasures({ calf: [370, "37.4 cm", 371] });
    expect(calf).toEqual({ key: "calf", value: 371, readings: [370, 374, 371], spread: 4 });
  });
  it("leaves out what was not taken", () => {
    expect(readMeasures({ calf: undefined, knee: [] })).toEqual([]);
  });
  it("names the reading that is wrong", () => {
    try {
      readMeasures({ calf: [370, Infinity] });
    } catch (error) {
      expect(isPeltryError(error) && error.issues[0]).toMatchObject({
        code: "measure/not-a-number",
        at: { path: ["calf", 1] },
      });
      return;
    }
    expect.unreachable();
  });
});

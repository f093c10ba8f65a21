import { describe, expect, it } from "vitest";
import { fail, isPeltryError, issueText, PeltryError, throwIfCancelled } from "../src/index";

const issue = {
  code: "layout/too-wide",
  severity: "error",
  message: "The panel is 12 mm too wide.",
  at: { panel: "thigh", point: [1.234, 2] },
  fix: "Split it.",
} as const;

describe("PeltryError", () => {
  it("carries the first code and every issue through a structured clone of its issues [invariant]", () => {
    const error = new PeltryError([issue, { ...issue, code: "layout/other" }]);
    const copy = new PeltryError(structuredClone(error.issues) as never);
    expect(copy.code).toBe("layout/too-wide");
    expect(copy.issues).toEqual(error.issues);
    expect(JSON.parse(JSON.stringify(error)).code).toBe("layout/too-wide");
  });
  it("is recognised by its mark, not its class [invariant]", () => {
    const foreign = Object.assign(new TypeError("x"), { [Symbol.for("peltry.error")]: true });
    expect(isPeltryError(foreign)).toBe(true);
    expect(isPeltryError(new TypeError("x"))).toBe(false);
    expect(isPeltryError(null)).toBe(false);
  });
  it("says place, message and mend in one line", () => {
    expect(issueText(issue)).toBe("panel thigh, at (1.23, 2): The panel is 12 mm too wide. Split it.");
    expect(issueText({ ...issue, at: { file: "a.yaml", line: 3, column: 7 } })).toMatch(/^a\.yaml:3:7: /);
  });
  it("fail throws, and a raised signal cancels", () => {
    expect(() => fail("a/b", "no")).toThrow(PeltryError);
    expect(() => throwIfCancelled({ aborted: true })).toThrow(/cancelled/);
    expect(() => throwIfCancelled(undefined)).not.toThrow();
  });
});

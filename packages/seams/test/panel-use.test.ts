import { describe, expect, it } from "vitest";
import { withinLimits } from "../src/panel-use";

describe("the rule for a panel's strain", () => {
  it("allows 1 % of the area over, and no spot over by more than a tenth", () => {
    expect(withinLimits({ overArea: 0.01, peak: 1.1 }, 50_000)).toBe(true);
    expect(withinLimits({ overArea: 0.011, peak: 1.1 }, 50_000)).toBe(false);
    expect(withinLimits({ overArea: 0.006, peak: 1.11 }, 50_000)).toBe(false);
  });

  it("lets a spot of 1 cm² or half a percent be eased in, by a quarter at most", () => {
    expect(withinLimits({ overArea: 0.005, peak: 1.25 }, 50_000)).toBe(true);
    expect(withinLimits({ overArea: 0.005, peak: 1.26 }, 50_000)).toBe(false);
    expect(withinLimits({ overArea: 0.1, peak: 1.2 }, 1000)).toBe(true);
    expect(withinLimits({ overArea: 0.11, peak: 1.2 }, 1000)).toBe(false);
    expect(withinLimits({ overArea: 0.005, peak: 1.25 }, 50_000, 0.8)).toBe(false);
  });
});

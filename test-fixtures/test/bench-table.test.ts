import { describe, expect, it } from "vitest";
import { benchLines, growthExponent } from "../src/bench-table";

describe("bench table", () => {
  it("growthExponent › finds the power of an exact power law [oracle: closed form]", () => {
    const rows = [1000, 4000, 16_000].map((size) => ({ job: "j", size, cpuMs: 2e-4 * size ** 1.25 }));
    expect(growthExponent(rows)).toBeCloseTo(1.25, 10);
    expect(growthExponent(rows.slice(1))).toBeUndefined();
  });

  it("benchLines › gives each row its ratio and each sized job its growth", () => {
    const lines = benchLines([
      { job: "sort", cpuMs: 3, peer: "peer", peerMs: 2 },
      ...[10, 100, 1000].map((size) => ({ job: "cut", size, cpuMs: size })),
    ]);
    expect(lines[1]).toMatch(/^sort\s+3\.000\s+1\.50 {2}peer$/);
    expect(lines.at(-1)).toBe("growth of cut: n^1.00");
  });
});

import { describe, expect, it } from "vitest";
import type { TriangleMesh } from "@peltry/geometry";
import { gridSurface } from "../../../test-fixtures/src/shapes";
import { bridgeForm } from "../src/bridge-form";
import { planSeams } from "../src/index";
import { bump, tailTube } from "./forms";

/** A flat strip of 240 × 120 mm in waves of a length and a height, all over or dying out 45 mm from one edge like toes. */
function waves(length: number, height: number, toes = false, triangles = 3000): TriangleMesh {
  return gridSurface(
    (u, v) => {
      const [x, y] = [240 * (u - 0.5), 120 * v];
      const t = Math.max(0, 1 - y / 45);
      const ramp = toes
        ? t * t * t * (10 - t * (15 - 6 * t)) * Math.max(0, Math.min(1, 2 - Math.abs(x) / 45))
        : 1;
      return [x, y, (ramp * height * (1 - Math.cos((2 * Math.PI * x) / length))) / 2];
    },
    2,
    { triangles },
  );
}

/** Heights of the middle half of a strip. */
function heights({ positions }: TriangleMesh): number[] {
  const out: number[] = [];
  for (let i = 0; i < positions.length; i += 3)
    if (Math.abs(positions[i]) < 60 && Math.abs(positions[i + 1] - 60) < 30) out.push(positions[i + 2]);
  return out;
}

const spread = (list: readonly number[]): number => Math.max(...list) - Math.min(...list);

describe("bridged grooves", () => {
  it("lie from ridge to ridge where they are narrow, and keep waves that are wide [closed form: bending goes with the fourth power of 1 over the length]", () => {
    const narrow = bridgeForm(waves(30, 8));
    expect(spread(heights(narrow.mesh))).toBeLessThan(0.4 * 8);
    // On the ridges, not halfway.
    expect(Math.min(...heights(narrow.mesh))).toBeGreaterThan(0.5 * 8);
    expect(narrow.off.reduce((least, d) => Math.min(least, d), 0)).toBeGreaterThan(-1);
    const wide = bridgeForm(waves(120, 8));
    expect(spread(heights(wide.mesh))).toBeGreaterThan(0.9 * 8);
  });

  it("do not change a form without any", () => {
    for (const mesh of [tailTube(1200), bump(1200)]) {
      const { off } = bridgeForm(mesh);
      expect(off.reduce((most, d) => Math.max(most, Math.abs(d)), 0)).toBeLessThan(1);
    }
  });

  it("bring a plan inside its limits that fails at toes alone, and say so", () => {
    const options = { limit: 0.03, effort: "quick", cost: { visibility: Infinity } } as const;
    const plan = planSeams(waves(30, 12, true, 1500), options);
    expect(plan.withinLimits).toBe(true);
    const issue = plan.issues.find(({ code }) => code === "seams/bridged");
    expect(issue?.found).toBeGreaterThan(4);
    expect(issue?.found).toBeLessThan(12);
  });

  it("do not hide what a round form asks of its cloth", () => {
    const plan = planSeams(bump(1200), { limit: 0.02, effort: "quick", cost: { visibility: Infinity } });
    expect(plan.withinLimits).toBe(false);
    expect(plan.issues.some(({ code }) => code === "seams/bridged")).toBe(false);
  });
});

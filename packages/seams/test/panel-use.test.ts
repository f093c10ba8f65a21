import { describe, expect, it } from "vitest";
import { insertPoint, MeshRefinement, triangleArea, type SurfacePoint } from "@peltry/geometry";
import { gridSurface } from "../../../test-fixtures/src/shapes";
import { averagedPeak } from "../src/averaged-peak";
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

describe("the averaged peak", () => {
  const sheet = gridSurface((u, v) => [200 * u, 200 * v, 0], 1, { triangles: 800 });
  const areaOf = (mesh: typeof sheet): Float64Array =>
    Float64Array.from({ length: mesh.triangles.length / 3 }, (_, t) => triangleArea(mesh, t));

  it("leaves an even use as it is, and takes a single triangle for a part of a spot [closed form]", () => {
    const area = areaOf(sheet);
    expect(averagedPeak(sheet, new Float64Array(area.length).fill(0.9), area)).toBeCloseTo(0.9, 12);
    const one = new Float64Array(area.length).fill(0.9);
    one[400] = 1.9;
    const peak = averagedPeak(sheet, one, area);
    expect(peak).toBeGreaterThan(0.95);
    expect(peak).toBeLessThan(1.5);
  });

  it("counts slivers by what they are of a spot of 10 mm [metamorphic: without them]", () => {
    const refinement = new MeshRefinement(sheet);
    const at = (share: number): SurfacePoint => ({ triangle: 400, weights: [1 - 2 * share, share, share] });
    // Points that crowd at one corner.
    for (const share of [0.002, 0.004, 0.008]) insertPoint(refinement, at(share), 0);
    const fine = refinement.toMesh();
    const area = areaOf(fine);
    const tiny = Array.from(area.keys()).filter((t) => area[t] < 1);
    expect(tiny.length).toBeGreaterThan(3);
    const use = Float64Array.from(area, (_, t) => (tiny.includes(t) ? 8 : 0.9));
    const share = tiny.reduce((sum, t) => sum + area[t], 0) / (25 * Math.PI);
    expect(averagedPeak(fine, use, area)).toBeLessThan(0.9 + 7.1 * share + 0.02);
    // What lies over the limit all round them stays over it.
    expect(
      averagedPeak(
        fine,
        use.map(() => 1.3),
        area,
      ),
    ).toBeCloseTo(1.3, 12);
  });
});

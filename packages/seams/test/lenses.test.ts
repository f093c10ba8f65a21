import { describe, expect, it } from "vitest";
import { MeshRefinement, surfacePosition, type TriangleMesh } from "@peltry/geometry";
import { lenses } from "../src/search/lenses";
import { searchPatches } from "../src/search/search-patches";
import type { SearchState } from "../src/search/search-state";
import { squares } from "./flat-squares";

/** A flat sheet of 400 × 100 mm in squares of 5 mm. */
const sheet = (): TriangleMesh => squares(80, 20, 5);

/** The sheet as it lies, with twice the budget in use round a place of its lower edge. */
function stateOver(x: number, use = 2): { mesh: TriangleMesh; state: SearchState } {
  const mesh = sheet();
  const refinement = new MeshRefinement(mesh);
  const patches = searchPatches(refinement, new Int32Array(mesh.triangles.length / 3));
  const [{ positions, triangles }] = patches;
  const flat = Float64Array.from({ length: (2 * positions.length) / 3 }, (_, k) =>
    k % 2 === 0 ? positions[(3 * k) / 2] : positions[(3 * (k - 1)) / 2 + 1],
  );
  const used = Float64Array.from({ length: triangles.length / 3 }, (_, t) => {
    const v = triangles[3 * t];
    return Math.hypot(flat[2 * v] - x, flat[2 * v + 1]) < 12 ? use : 0.5;
  });
  const area = new Float64Array(used.length).fill(12.5);
  return {
    mesh,
    state: { refinement, patches, sheets: [{ flat, area }], used: [used] } as unknown as SearchState,
  };
}

describe("lenses", () => {
  it("are parabolas over the place that is over its limit [closed form: arc length and rise of a parabola]", () => {
    const { mesh, state } = stateOver(200);
    const found = lenses(state, 0);
    const shapes = found.map(({ path }) => {
      const points = path.map((point) => surfacePosition(mesh, point));
      const length = points
        .slice(1)
        .reduce((sum, p, i) => sum + Math.hypot(p[0] - points[i][0], p[1] - points[i][1]), 0);
      const [a, b] = [points[0], points[points.length - 1]];
      return {
        length,
        reach: Math.abs(a[0] - b[0]) / 2,
        middle: (a[0] + b[0]) / 2,
        rise: Math.max(...points.map((p) => p[1])),
      };
    });
    expect(shapes.length).toBe(9);
    for (const { length, reach, middle, rise } of shapes) {
      // y = h (1 − x² / r²): with q = 2 h / r the arc is r (√(1 + q²) + asinh(q) / q).
      const q = (2 * rise) / reach;
      expect(length / (reach * (Math.sqrt(1 + q * q) + Math.asinh(q) / q))).toBeCloseTo(1, 1);
      expect(rise / reach).toBeCloseTo(0.55, 1);
      expect(Math.abs(middle - 200)).toBeLessThan(48);
    }
    const reaches = shapes.map(({ reach }) => Math.round(reach / 2));
    expect([...reaches].sort((a, b) => a - b)).toEqual(reaches);
  });

  it("come shorter on request, and none where nothing is over [invariant]", () => {
    const { state } = stateOver(200);
    const longest = lenses(state, 0).at(-1)!;
    const shorter = longest.shorter();
    expect(shorter.length).toBe(3);
    expect(shorter[0].path.length).toBeLessThan(longest.path.length);
    expect(lenses(stateOver(200, 0.9).state, 0)).toEqual([]);
  });
});

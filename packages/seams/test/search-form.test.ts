import { describe, expect, it } from "vitest";
import { createSurfaceLocator, MeshRefinement, meshTopology, tracePath, type Point3 } from "@peltry/geometry";
import { cutIntoPatches } from "../src/cut-into-patches";
import { readPlanInput } from "../src/plan-input";
import { refineAlong } from "../src/refined-lines";
import { makeSearchForm } from "../src/search-form";
import { bump } from "./forms";

describe("cuts carried over to the full form", () => {
  it("begin where they began on another cut, so that every part stays a disk [invariant]", () => {
    const mesh = bump(2600);
    const input = readPlanInput(mesh, { limit: 0.1 });
    const form = makeSearchForm(input, 1200);
    expect(form.same).toBe(false);
    const coarse = form.surface(1).mesh;
    const base = new MeshRefinement(coarse);
    const { nearest } = createSurfaceLocator(coarse);
    const line = (from: Point3, to: Point3) => tracePath(base, [nearest(from).place, nearest(to).place]);
    const regions = new Int32Array(mesh.triangles.length / 3);
    let seen = 0;
    // From the lower edge over the flank of the bump to the upper edge; from some crossings another cut to the side.
    for (const [x, goal] of [
      [-40, 60],
      [10, -30],
      [70, 20],
    ]) {
      const across = line([x, 0, 80], [goal, 300, 80]);
      for (let k = 2; k < across.length - 2; k += 3) {
        const branch = tracePath(base, [across[k], nearest([-60, 150, 60]).place]);
        const cuts = form.toFull([across, branch], ["both", "start"], [-1, -1]);
        const lines = refineAlong(mesh, [], regions, cuts);
        const { patches } = cutIntoPatches(lines.refinement.toMesh(), {
          lines: lines.cuts.map((path, i) => ({ id: `#${i}`, path })),
        });
        for (const { mesh: own, loops } of patches)
          expect([loops.length, meshTopology(own).euler], `line from ${x}, crossing ${k}`).toEqual([1, 1]);
        seen++;
      }
    }
    expect(seen).toBeGreaterThan(8);
  });
});

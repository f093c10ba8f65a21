import { describe, expect, it } from "vitest";
import { createSurfaceLocator, MeshRefinement, tracePath, type Point3 } from "@peltry/geometry";
import { gridSurface } from "../../../test-fixtures/src/shapes";
import { cutIntoPatches } from "../src/cut-into-patches";
import { refineAlong } from "../src/refined-lines";

const sheet = gridSurface((u, v) => [200 * u, 100 * v, 0], 2, { triangles: 400 });
const base = new MeshRefinement(sheet);
const { nearest } = createSurfaceLocator(sheet);
const line = (...points: readonly (readonly [number, number])[]) =>
  tracePath(
    base,
    points.map(([x, y]) => nearest([x, y, 0] as Point3).place),
  );
/** A seam across the sheet with a kink of 3 mm. */
const seam = line([0, 51], [98, 51], [100.5, 54], [103, 51], [200, 51]);
const regions = new Int32Array(sheet.triangles.length / 3);
const patchesOf = (...cuts: ReturnType<typeof line>[]) => {
  const lines = refineAlong(sheet, [], regions, cuts);
  const mesh = lines.refinement.toMesh();
  const { patches } = cutIntoPatches(mesh, {
    regionOf: new Int32Array(mesh.triangles.length / 3),
    lines: lines.cuts.map((path, i) => ({ id: `#${i}`, path })),
  });
  return { lines, patches };
};

describe("a cut carried over", () => {
  it("cuts no scrap off where it meets the line that it begins on once more [by hand]", () => {
    // From the near side of the kink through it and out of its far side.
    const hooked = line([98.5, 51.6], [101, 52.2], [102.8, 51.24], [106, 57], [120, 80]);
    const { lines, patches } = patchesOf(seam, hooked);
    expect(patches).toHaveLength(2);
    const x = ([v]: readonly number[]): number => lines.refinement.toMesh().positions[3 * v];
    expect(x(lines.cuts[1])).toBeGreaterThan(102);
  });

  it("keeps its way where it comes back further off, and where something begins on the bit between [by hand]", () => {
    const wide = line([80, 51], [90, 60], [100, 51], [130, 20]);
    expect(patchesOf(seam, wide).patches.length).toBeGreaterThan(2);
    const hooked = line([98.5, 51.6], [101, 52.2], [102.8, 51.24], [106, 57], [120, 80]);
    const { lines } = patchesOf(seam, hooked, line([101, 52.2], [100.8, 53]));
    const x = ([v]: readonly number[]): number => lines.refinement.toMesh().positions[3 * v];
    expect(x(lines.cuts[1])).toBeLessThan(100);
  });

  it("keeps its root where another cut begins on it near by [by hand]", () => {
    const rooted = line([60, 0], [60, 40]);
    const { lines, patches } = patchesOf(rooted, line([60, 4], [90, 20], [120, 0]));
    expect(patches).toHaveLength(2);
    expect(lines.refinement.toMesh().positions[3 * lines.cuts[0][0] + 1]).toBe(0);
  });
});

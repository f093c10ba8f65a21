import { describe, expect, it } from "vitest";
import { meshTopology, pathLength, type TriangleMesh } from "@peltry/geometry";
import { openTubes } from "../src/index";

const AROUND = 48;
const UP = 12;
const RADIUS = 60;

/** A tube about the y axis, its upper rim lowest at column 0, so that the shortest way up is there and nowhere else. */
function slantedTube(): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= UP; j++) {
    for (let i = 0; i < AROUND; i++) {
      const angle = (2 * Math.PI * i) / AROUND;
      const top = 240 + 40 * (1 - Math.cos(angle));
      const y = j <= UP / 2 ? 20 * j : 120 + ((top - 120) * (j - UP / 2)) / (UP / 2);
      positions.push(RADIUS * Math.cos(angle), y, -RADIUS * Math.sin(angle));
    }
  }
  for (let j = 0; j < UP; j++) {
    for (let i = 0; i < AROUND; i++) {
      const a = j * AROUND + i;
      const b = j * AROUND + ((i + 1) % AROUND);
      triangles.push(a, b, b + AROUND, a, b + AROUND, a + AROUND);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** Two regions one above the other; the lower is opened by a line `beside` columns from the shortest way up. */
function openBeside(beside: number) {
  const mesh = slantedTube();
  const regionOf = Int32Array.from({ length: mesh.triangles.length / 3 }, (_, t) =>
    t < AROUND * UP ? 0 : 1,
  );
  const path = Array.from({ length: UP / 2 + 1 }, (_, j) => j * AROUND + beside);
  return { path, ...openTubes(mesh, regionOf, [{ id: "lower", path }]) };
}

describe("openTubes", () => {
  it("lets an opening run into a junction that it would end just beside, so that no crumb of a seam is left [closed form]", () => {
    // Columns are 60 · 2π / 48 = 7.9 mm apart.
    const { cutting, openings, lines } = openBeside(1);
    expect(openings).toHaveLength(1);
    const ends = [openings[0].path[0], openings[0].path.at(-1)];
    expect(ends).toContain(lines[0].at(-1));
    for (const patch of cutting.patches) {
      expect(meshTopology(patch.mesh).euler).toBe(1);
      for (const { path } of patch.loops[0])
        expect(pathLength(patch.mesh.positions, path)).toBeGreaterThan(15);
    }
    // Both sides of the lower line and of the opening, and the border between the regions once for each.
    expect(cutting.seams).toHaveLength(3);
  });

  it("leaves an opening where it is shortest when no junction is near [closed form]", () => {
    const { openings, cutting } = openBeside(8);
    expect(openings[0].length).toBeCloseTo(120, 0);
    expect(cutting.seams).toHaveLength(4);
  });
});

import { describe, expect, it } from "vitest";
import { gore, paddedLeg } from "../../../test-fixtures/src/shapes";
import { flatten, flattenTogether, isPeltryError, type SeamPair } from "../src/index";
import { flatLength, gridSides } from "./helpers/measure";

const KNIT = {
  along: { max: 0.1, min: -0.03 },
  across: { max: 0.2, min: -0.03 },
  shear: { max: 0.21, min: -0.21 },
};

describe("flattenTogether", () => {
  it("both sides of a leg's inner seam end with one length, edge by edge [oracle: re-measured]", () => {
    const mesh = paddedLeg({ triangles: 1500, jitter: 0.2 });
    const { left, right } = gridSides(mesh);
    const alone = flatten(mesh).positions;
    expect(Math.abs(flatLength(alone, left) - flatLength(alone, right))).toBeGreaterThan(1);
    const seams: SeamPair[] = [
      { id: "inner", a: { patch: "leg", path: left }, b: { patch: "leg", path: right } },
    ];
    for (const fabric of [undefined, KNIT]) {
      const { panels, seams: lengths, issues } = flattenTogether([{ id: "leg", mesh, fabric }], seams);
      const x = panels[0].positions;
      expect(Math.abs(flatLength(x, left) - flatLength(x, right))).toBeLessThan(0.2);
      expect(lengths[0].lengthA).toBeCloseTo(flatLength(x, left), 9);
      expect(lengths[0].worstAlong).toBeLessThan(0.2);
      expect(panels[0].certificate).toMatchObject({ flips: 0, overlaps: 0 });
      expect(issues.some((issue) => issue.code === "flatten/seam-mismatch")).toBe(false);
    }
  });

  it("gores of different cloth meet all round a sphere [oracle: re-measured]", () => {
    const n = 4;
    const patches = Array.from({ length: n }, (_, i) => ({
      id: `gore ${i}`,
      mesh: gore(100, n, 70, { triangles: 300, jitter: 0.2, seed: i + 1 }),
      fabric: i % 2 === 0 ? KNIT : undefined,
    }));
    const seams = patches.map((patch, i) => ({
      id: `seam ${i}`,
      a: { patch: patch.id, path: gridSides(patch.mesh).right },
      b: { patch: patches[(i + 1) % n].id, path: gridSides(patches[(i + 1) % n].mesh).left },
    }));
    const { panels, seams: lengths } = flattenTogether(patches, seams);
    expect(panels.map((panel) => panel.id)).toEqual(patches.map((patch) => patch.id));
    for (const seam of lengths) expect(seam.mismatch).toBeLessThan(0.2);
    for (const panel of panels) expect(panel.certificate).toMatchObject({ flips: 0, overlaps: 0 });
    // A mirror-symmetric seam costs nothing: the mesh's own seams agree in space as well.
    expect(Math.max(...panels.map((panel) => panel.certificate.seamMismatch))).toBeLessThan(0.2);
  });

  it("without seams gives what flatten gives [oracle: comparison]", () => {
    const mesh = gore(100, 8, 60, { triangles: 300 });
    const { panels } = flattenTogether([{ id: "a", mesh }]);
    expect([...panels[0].positions]).toEqual([...flatten(mesh).positions]);
  });

  it("names the seam and the patch of a fault", () => {
    const mesh = gore(100, 8, 60, { triangles: 60 });
    const { left, right } = gridSides(mesh);
    const seam = (a: number[], b: number[], patch = "p"): SeamPair[] => [
      { id: "s", a: { patch: "p", path: a }, b: { patch, path: b } },
    ];
    const cases: SeamPair[][] = [
      seam(left, right.slice(1)),
      seam(left, right, "q"),
      seam([left[0], left[2]], [right[0], right[2]]),
      seam([left[0]], [right[0]]),
      seam([0, 9999], [0, 1]),
    ];
    for (const seams of cases) {
      try {
        flattenTogether([{ id: "p", mesh }], seams);
        expect.unreachable();
      } catch (error) {
        expect(isPeltryError(error) && error.code).toBe("flatten/bad-seam");
        expect(isPeltryError(error) && error.issues[0].at.seam).toBe("s");
      }
    }
    expect(() =>
      flattenTogether([
        { id: "p", mesh },
        { id: "p", mesh },
      ]),
    ).toThrow(/two patches/i);
  });
});

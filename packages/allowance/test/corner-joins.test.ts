import type { Point } from "@peltry/geometry";
import { isPeltryError } from "@peltry/issues";
import { describe, expect, it } from "vitest";
import { addAllowance, usualAllowance } from "../src/index";
import { joinCorner, outward, type CornerShape } from "../src/internal/corner";
import { polygon } from "./shapes";

/** A corner at (50, 20) that the outline reaches along +x and leaves turned by so many degrees. */
function corner(turnDegrees: number, before: number, after: number): CornerShape {
  const turn = (turnDegrees * Math.PI) / 180;
  return { at: [50, 20], into: [1, 0], out: [Math.cos(turn), Math.sin(turn)], before, after };
}
const AT: Point = [50, 20];
/** How far a point lies from the corner along a direction. */
const along = (p: Point, way: Point): number => (p[0] - AT[0]) * way[0] + (p[1] - AT[1]) * way[1];

describe("corners of two strips", () => {
  it("a step stands square on the narrower cut line, whichever side is narrower [closed form]", () => {
    for (const [before, after] of [
      [4, 20],
      [20, 4],
    ]) {
      const shape = corner(20, before, after);
      const { points, used } = joinCorner(shape, "mitred", 4);
      expect(used).toBe("stepped");
      const [n1, n2] = [outward(shape.into), outward(shape.out)];
      const foot = before < after ? points[0] : points[1];
      // On the narrower cut line, and on the square end of the wider strip.
      expect(along(foot, before < after ? n1 : n2)).toBeCloseTo(4, 9);
      expect(along(foot, before < after ? shape.out : shape.into)).toBeCloseTo(0, 9);
      const cap = before < after ? points[1] : points[0];
      expect(along(cap, before < after ? n2 : n1)).toBeCloseTo(20, 9);
    }
  });

  it("at a fold a long mitre is cut square to the fold, so that both halves meet there [closed form]", () => {
    for (const side of ["before", "after"] as const) {
      const shape = side === "before" ? corner(150, 0, 10) : corner(150, 10, 0);
      const { points, why } = joinCorner(shape, "mitred", 1.5);
      const fold: Point = side === "before" ? shape.into : [-shape.out[0], -shape.out[1]];
      const n = outward(side === "before" ? shape.out : shape.into);
      for (const p of points) expect(along(p, fold)).toBeCloseTo(15, 9);
      expect(along(side === "before" ? points[1] : points[0], n)).toBeCloseTo(10, 9);
      expect(why).toContain("cut off at 1.5");
    }
  });

  it("a squared end of a sharp corner is as long as asked, and adds nothing beyond its natural length unasked [closed form]", () => {
    const shape = corner(120, 10, 10);
    const natural = 10 / Math.sin((120 * Math.PI) / 180);
    const plain = joinCorner(shape, "squared-to-before", 4);
    expect(plain.pieces).toEqual([]);
    expect(Math.max(...plain.points.map((p) => along(p, shape.into)))).toBeCloseTo(natural, 9);
    const longer = joinCorner(shape, "squared-to-before", 4, 30);
    expect(Math.max(...longer.pieces[0].map((p) => along(p, shape.into)))).toBeCloseTo(30, 9);
    expect(joinCorner(corner(120, 0, 10), "squared-to-before", 4, 30).pieces).toEqual([]);
  });

  it("a squared end is held at the limit, cut square there, and says so [closed form]", () => {
    for (const treatment of ["squared-to-before", "squared-to-after"] as const) {
      const shape = corner(160, 10, 10);
      const forward = treatment === "squared-to-before";
      const way: Point = forward ? shape.into : [-shape.out[0], -shape.out[1]];
      const other = outward(forward ? shape.out : shape.into);
      const { points, why, pieces } = joinCorner(shape, treatment, 2);
      for (const p of points) expect(along(p, way)).toBeCloseTo(20, 9);
      const inner = forward ? points[1] : points[0];
      expect(along(inner, other)).toBeCloseTo(10, 9);
      expect(why).toContain("held at 2");
      expect(pieces).toEqual([]);
      expect(joinCorner(shape, treatment, 4)).not.toHaveProperty("why");
    }
  });

  it("a step is blended over twice its height, or as far as there is room, on the narrower side [closed form]", () => {
    for (const [before, after] of [
      [20, 4],
      [4, 20],
    ]) {
      const plain = corner(10, before, after);
      const way: Point = before > after ? plain.out : [-plain.into[0], -plain.into[1]];
      const n = outward(before > after ? plain.out : plain.into);
      const foot = (room?: readonly [number, number]): Point => {
        const { pieces, used } = joinCorner(room ? { ...plain, room } : plain, "blended", 4);
        expect(used).toBe("blended");
        // The end of the slope lies on the narrower cut line.
        const end = pieces[0].reduce(
          (far, p) => (along(p, way) > along(far, way) - 1e-9 && along(p, n) > 1 ? p : far),
          AT,
        );
        expect(along(end, n)).toBeCloseTo(4, 9);
        return end;
      };
      expect(along(foot(), way)).toBeCloseTo(32, 9);
      expect(along(foot([7, 9]), way)).toBeCloseTo(before > after ? 9 : 7, 9);
      expect(along(foot([70, 90]), way)).toBeCloseTo(32, 9);
    }
    expect(joinCorner(corner(10, 8, 8), "blended", 4).why).toBe("the two cut lines meet without a step");
  });

  it("squares no corner that turns by less than 30 degrees, and says so; a step without a step says so too", () => {
    expect(joinCorner(corner(29, 10, 10), "squared-to-before", 4)).toMatchObject({
      used: "mitred",
      why: "the outline turns by less than 30 degrees",
    });
    expect(joinCorner(corner(31, 10, 10), "squared-to-before", 4).used).toBe("squared-to-before");
    expect(joinCorner(corner(90, 10, 10), "stepped", 4).why).toBe("the two cut lines meet without a step");
    expect(joinCorner(corner(20, 4, 20), "stepped", 4)).not.toHaveProperty("why");
  });

  it("a mitre just as long as the limit stands whole, a hair longer is cut [limit]", () => {
    // The mitre of two equal widths is w / cos(turn / 2) long; 2 at a turn of 120 degrees.
    expect(joinCorner(corner(119.99, 10, 10), "mitred", 2).points).toHaveLength(1);
    expect(joinCorner(corner(120.01, 10, 10), "mitred", 2).points).toHaveLength(2);
  });
});

describe("rules that cannot be followed", () => {
  const pathOf = (run: () => unknown): unknown => {
    try {
      run();
    } catch (error) {
      if (isPeltryError(error)) return error.issues[0].at.path;
      throw error;
    }
    return undefined;
  };
  it("names the corner rule that is none by its place in the list", () => {
    const edges = polygon([
      [0, 0],
      [90, 0],
      [90, 60],
    ]);
    const sheet = {
      ...{ id: "s", name: "s", fabric: "felt", edges, darts: [], markings: [], count: 1, mirrored: false },
    };
    const corners = [{ treatment: "mitred" }, 7] as never;
    expect(pathOf(() => addAllowance(sheet, { corners }))).toEqual(["corners", 1]);
  });
  it("names the word that is none: role, stitch or cloth", () => {
    expect(pathOf(() => usualAllowance("seem" as never))).toEqual(["role"]);
    expect(pathOf(() => usualAllowance("seam", { cloth: "fur" as never }))).toEqual(["cloth"]);
    expect(pathOf(() => usualAllowance("seam", { stitch: "glue" as never }))).toEqual(["stitch"]);
  });
  it("goes by the cloth where no row knows the stitch", () => {
    expect(usualAllowance("hem", { stitch: "ladder", cloth: "knit" }).id).toBe("hem-knit");
  });
});

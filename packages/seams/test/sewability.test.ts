import { describe, expect, it } from "vitest";
import type { TriangleMesh } from "@peltry/geometry";
import { diskSurface, hornCup, saddleCone, sphericalCap } from "../../../test-fixtures/src/shapes";
import { necks, RIM, sharpCorners, tightBends } from "../src/flat-outline";
import { planSeams, SEWABILITY } from "../src/index";
import { bump, legTube, tailTube } from "./forms";
import { unsewable } from "./sewable";

/** A head with a muzzle, open at the neck. */
function hood(triangles: number): TriangleMesh {
  return diskSurface(
    (r, a) => {
      const t = 2.4 * r;
      const [x, y, z] = [Math.sin(t) * Math.sin(a), Math.cos(t), Math.sin(t) * Math.cos(a)];
      const size = 110 + 50 * Math.max(0, 0.9 * z - 0.2 * y) ** 4;
      return [size * x, size * y, size * z];
    },
    { triangles },
  );
}

describe("sewability of plans", () => {
  const forms: [string, TriangleMesh, number][] = [
    ["hemisphere", sphericalCap(100, 90, { triangles: 800 }), 0.04],
    ["bump", bump(800), 0.03],
    ["tail", tailTube(800), 0.1],
    ["leg", legTube(900).mesh, 0.1],
    ["hood", hood(800), 0.1],
    ["horn", hornCup(220, 60, { triangles: 600 }), 0.15],
    ["saddle", saddleCone(120, 50, { triangles: 600 }), 0.03],
  ];
  for (const [name, mesh, limit] of forms) {
    it(`suggests nothing for the ${name} that cannot be sewn [independent computation]`, () => {
      expect(unsewable(planSeams(mesh, { limit }), SEWABILITY)).toEqual([]);
    });
  }

  it("keeps rules that the caller sets", () => {
    const mesh = sphericalCap(100, 90, { triangles: 700 });
    const rules = { minDartLength: 60, minDartWidth: 20 };
    const plan = planSeams(mesh, { limit: 0.06, rules });
    expect(plan.arcs.length).toBeGreaterThan(0);
    expect(unsewable(plan, { ...SEWABILITY, ...rules })).toEqual([]);
  });
});

describe("flat outlines", () => {
  const outline = (points: [number, number][], cut: number[]) => ({ points, cut: Int32Array.from(cut) });

  it("finds the angle of a corner that a cut makes [closed form]", () => {
    const corner = outline(
      [
        [0, 0],
        [100, 0],
        [100, 100 * Math.tan((30 * Math.PI) / 180)],
      ],
      [RIM, RIM, 0],
    );
    const [fault] = sharpCorners(corner, 40);
    expect(fault.found).toBeCloseTo(30, 6);
    expect(sharpCorners(corner, 29)).toEqual([]);
  });

  it("finds the width of a neck, and none in a plain corner or across an open dart [closed form]", () => {
    // Two squares of 100 joined by a strip 20 wide and 60 long; one long side of the strip is a cut.
    const dumbbell = outline(
      [
        [0, 0],
        [100, 0],
        [100, 40],
        [160, 40],
        [160, 0],
        [260, 0],
        [260, 100],
        [160, 100],
        [160, 60],
        [100, 60],
        [100, 100],
        [0, 100],
      ],
      [RIM, RIM, 0, RIM, RIM, RIM, RIM, RIM, RIM, RIM, RIM, RIM],
    );
    const [neck] = necks(dumbbell, 40);
    expect(neck.found).toBeGreaterThan(19.9);
    expect(neck.found).toBeLessThan(22);
    const dart = outline(
      [
        [0, 0],
        [95, 0],
        [100, 80],
        [105, 0],
        [200, 0],
        [200, 200],
        [0, 200],
      ],
      [RIM, 0, 0, RIM, RIM, RIM, RIM],
    );
    expect(necks(dart, 40)).toEqual([]);
  });

  it("finds the radius of a bend [closed form]", () => {
    const arc = (radius: number) => {
      const points = Array.from({ length: 31 }, (_, i): [number, number] => {
        const a = (Math.PI * i) / 30;
        return [radius * Math.cos(a), radius * Math.sin(a)];
      });
      return outline(
        points,
        points.map((_, i) => (i < 30 ? 0 : RIM)),
      );
    };
    expect(tightBends(arc(30), 15)).toEqual([]);
    const [bend] = tightBends(arc(10), 15);
    expect(bend.found).toBeGreaterThan(9);
    expect(bend.found).toBeLessThan(11);
  });
});

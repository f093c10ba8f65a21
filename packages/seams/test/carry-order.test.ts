import { describe, expect, it } from "vitest";
import type { Point3 } from "@peltry/geometry";
import { carryOrder } from "../src/carry-order";

/** The lower edge of a sheet, and lines on it. */
const edge: Point3[] = [
  [0, 0, 0],
  [200, 0, 0],
];
const line = (...points: [number, number][]): Point3[] => points.map(([x, y]) => [x, y, 0]);

describe("carryOrder", () => {
  it("takes cuts as they come where each begins on what is there [invariant]", () => {
    const lines = [line([50, 0], [50, 100]), line([50, 60], [120, 60])];
    expect(carryOrder(lines, [edge], ["start", "start"], [-1, -1])).toEqual([
      { i: 0, anchors: "start" },
      { i: 1, anchors: "start" },
    ]);
  });

  it("puts off a cut that begins on a later one [closed form]", () => {
    const lines = [line([50, 60], [120, 60]), line([50, 0], [50, 100])];
    expect(carryOrder(lines, [edge], ["start", "start"], [-1, -1])).toEqual([
      { i: 1, anchors: "start" },
      { i: 0, anchors: "start" },
    ]);
  });

  it("leaves the first of two that begin on each other where it is, and lets the next one meet it [closed form]", () => {
    // A seam from the edge ends on the one; both began on a cut that is gone.
    const lines = [
      line([100, 80], [60, 80]),
      line([100, 80], [140, 80]),
      line([80, 0], [80, 80]),
      line([150, 0], [150, 40]),
    ];
    expect(carryOrder(lines, [edge], ["start", "start", "both", "start"], [-1, -1, -1, -1])).toEqual([
      { i: 3, anchors: "start" },
      { i: 0, anchors: "none" },
      { i: 1, anchors: "start" },
      { i: 2, anchors: "both" },
    ]);
  });

  it("carries a cut before its mirror image [invariant]", () => {
    const lines = [line([50, 0], [50, 40]), line([150, 0], [150, 40])];
    const order = carryOrder(lines, [edge], ["start", "start"], [1, -1]);
    expect(order.map(({ i }) => i)).toEqual([1, 0]);
  });

  it("leaves an end that is on nothing where it is, but for a miss of a few mm [closed form]", () => {
    const rootless = line([10, 50], [90, 50]);
    const missed = line([150, 6], [150, 60]);
    expect(carryOrder([rootless, missed], [edge], ["both", "start"], [-1, -1])).toEqual([
      { i: 0, anchors: "none" },
      { i: 1, anchors: "start" },
    ]);
  });
});

import { describe, expect, it } from "vitest";
import { MeshRefinement, type TriangleMesh } from "@peltry/geometry";
import { hasShortArc } from "../src/search/short-arcs";
import { squares } from "./flat-squares";

/** A flat grid of squares of 5 mm; vertex (i, j) has index 21 j + i. */
const grid = (): TriangleMesh => squares(20, 20, 5);

const across = (j: number): number[] => Array.from({ length: 21 }, (_, i) => 21 * j + i);
const up = (i: number, from: number, to: number): number[] =>
  Array.from({ length: Math.abs(to - from) + 1 }, (_, k) => 21 * (from + Math.sign(to - from) * k) + i);

describe("hasShortArc", () => {
  const marked = (...lines: [number[], number][]): MeshRefinement => {
    const refinement = new MeshRefinement(grid());
    for (const [path, mark] of lines) refinement.markPath(path, mark);
    return refinement;
  };
  const own = new Set([12]);

  it("finds the crumb between two seams that meet a third from its two sides [closed form: squares of 5 mm]", () => {
    const two = marked([across(10), 1], [up(8, 0, 10), 11], [up(9, 20, 10), 12]);
    expect(hasShortArc(two, own, 5.1)).toBe(true);
    expect(hasShortArc(two, own, 4.9)).toBe(false);
    const apart = marked([across(10), 1], [up(5, 0, 10), 11], [up(12, 20, 10), 12]);
    expect(hasShortArc(apart, own, 34.9)).toBe(false);
    expect(hasShortArc(apart, own, 35.1)).toBe(true);
  });

  it("counts the edge of the form between two ends, and no tip of a dart [closed form]", () => {
    const rims = marked([up(5, 0, 6), 11], [up(7, 0, 9), 12]);
    expect(hasShortArc(rims, own, 9)).toBe(false);
    expect(hasShortArc(rims, own, 11)).toBe(true);
    const dart = marked([up(10, 0, 2), 12]);
    expect(hasShortArc(dart, own, 40)).toBe(false);
  });

  it("asks only about the cuts named [invariant]", () => {
    const two = marked([across(10), 1], [up(8, 0, 10), 11], [up(9, 20, 10), 13], [up(16, 20, 10), 12]);
    expect(hasShortArc(two, own, 20)).toBe(false);
  });
});

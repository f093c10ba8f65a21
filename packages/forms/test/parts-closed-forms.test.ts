import { describe, expect, it } from "vitest";
import {
  circleSkirt,
  coneFigures,
  coneFromSector,
  cupFromDart,
  dartForCup,
  frustumFigures,
  helixWrap,
  obliqueCone,
  sphereGore,
  yarnCover,
} from "@peltry/forms";
import { codeOf } from "./build-helpers";

describe("closed forms of parts", () => {
  it("coneFigures: r 100, h 240 is a sector of 138.4615° and 260 mm [oracle: elementary geometry]", () => {
    for (const [r, h, slant, deg, area, volume] of [
      [100, 240, 260, 138.461538462, 81681.4089933, 2513274.12287],
      [50, 120, 130, 138.461538462, 20420.3522483, 314159.265359],
      [60, 80, 100, 216, 18849.5559215, 301592.894745],
    ] as const) {
      const cone = coneFigures(r, h);
      expect(cone.slant).toBeCloseTo(slant, 9);
      expect(cone.sectorDeg).toBeCloseTo(deg, 8);
      expect(cone.area).toBeCloseTo(area, 6);
      expect(cone.volume / volume).toBeCloseTo(1, 10);
    }
  });
  it("coneFromSector: a third of a circle has a base of a third of its side [oracle: elementary geometry]", () => {
    for (const [f, r, h] of [
      [1 / 4, 75, 290.473750966],
      [1 / 3, 100, 282.842712475],
      [1 / 2, 150, 259.807621135],
      [2 / 3, 200, 223.60679775],
      [3 / 4, 225, 198.43134833],
    ] as const) {
      expect(coneFromSector(f, 300).radius).toBeCloseTo(r, 9);
      expect(coneFromSector(f, 300).height).toBeCloseTo(h, 8);
      expect(coneFromSector(f, 300).sectorDeg).toBeCloseTo(360 * f, 9);
    }
  });
  it("frustumFigures: ring of 776.2 and 465.7 mm; a rectangle for equal radii [oracle: elementary geometry]", () => {
    const one = frustumFigures(200, 120, 300);
    expect(one.slant).toBeCloseTo(310.483493925, 8);
    expect(one.outerRadius).toBeCloseTo(776.208734813, 8);
    expect(one.innerRadius).toBeCloseTo(465.725240888, 8);
    expect(one.sectorDeg).toBeCloseTo(92.7585542017, 8);
    expect(one.area).toBeCloseTo(312132.052344, 5);
    const two = frustumFigures(105, 62, 180);
    expect(two.outerRadius).toBeCloseTo(451.902549238, 8);
    expect(two.sectorDeg).toBeCloseTo(83.6463526567, 8);
    expect(frustumFigures(80, 80, 100)).toMatchObject({ outerRadius: Infinity, sectorDeg: 0, slant: 100 });
  });
  it("obliqueCone: angle and area as by quadrature, the rim keeps its length [oracle: independent quadrature]", () => {
    for (const [r, d, h, deg, area, near, far] of [
      [100, 0, 240, 138.461538462, 81681.4089933, 260, 260],
      [100, 60, 250, 129.54085999, 85492.5110212, 253.179778023, 296.816441593],
      [80, 80, 160, 143.539985276, 46752.4292106, 160, 226.27416998],
    ] as const) {
      const cone = obliqueCone(r, d, h);
      expect(cone.angleDeg).toBeCloseTo(deg, 6);
      expect(cone.area).toBeCloseTo(area, 4);
      expect(cone.shortest).toBeCloseTo(near, 8);
      expect(cone.longest).toBeCloseTo(far, 8);
      let rim = 0;
      for (let k = 1; k < cone.flatRim.length; k++)
        rim += Math.hypot(
          cone.flatRim[k]![0] - cone.flatRim[k - 1]![0],
          cone.flatRim[k]![1] - cone.flatRim[k - 1]![1],
        );
      expect(rim).toBeCloseTo(2 * Math.PI * r, 2);
    }
  });
  it("sphereGore: eight gores ask 3.75 % of the cloth [oracle: elliptic integral by quadrature]", () => {
    for (const [n, excess, edge] of [
      [4, 13.9838664369, 358.090877426],
      [6, 6.53666335976, 334.694798949],
      [8, 3.75045027862, 325.941652402],
      [12, 1.69205930779, 319.47502645],
    ] as const) {
      expect(100 * sphereGore(100, n).excess).toBeCloseTo(excess, 8);
      expect(sphereGore(100, n).edge).toBeCloseTo(edge, 7);
    }
  });
  it("helixWrap: N √((2πr)² + p²) [oracle: elementary geometry]", () => {
    const wrap = helixWrap(40, 30, 6);
    expect(wrap.length).toBeCloseTo(1518.6694354, 7);
    expect(wrap.angleDeg).toBeCloseTo(6.80697258079, 9);
    expect(wrap.stripWidth).toBeCloseTo(29.7885327493, 9);
    expect(helixWrap(15, 10, 20).length).toBeCloseTo(1895.53622608, 7);
  });
  it("yarnCover: the exact spiral, a trace over area by diameter [oracle: quadrature]", () => {
    expect(yarnCover(30, 10, 200, 4)).toBeCloseTo(6286.68086691, 6);
    expect(yarnCover(50, 20, 400, 6)).toBeCloseTo(14666.5974818, 6);
  });
  it("circleSkirt: 700 mm waist and 600 mm length [oracle: elementary geometry]", () => {
    expect(circleSkirt(700, 1, 600).innerRadius).toBeCloseTo(111.408460164, 8);
    expect(circleSkirt(700, 1, 600).hem).toBeCloseTo(4469.91118431, 7);
    expect(circleSkirt(700, 0.5, 600).hem).toBeCloseTo(2584.95559215, 7);
    expect(circleSkirt(900, 0.75, 400).outerRadius).toBeCloseTo(590.98593171, 7);
  });
  it("cupFromDart: sin β = 1 − α / 2π, and back from the depth [oracle: Gauss–Bonnet]", () => {
    for (const [length, deg, chord, arc, beta] of [
      [100, 10, 17.4311485495, 17.4532925199, 76.4637972626],
      [120, 25, 51.9455073451, 52.3598775598, 68.5215821589],
      [150, 40, 102.606042998, 104.71975512, 62.7339555493],
    ] as const) {
      const cup = cupFromDart(length, deg);
      expect(cup.intake).toBeCloseTo(chord, 8);
      expect(cup.intakeArc).toBeCloseTo(arc, 8);
      expect(cup.halfApexDeg).toBeCloseTo(beta, 8);
      expect(dartForCup(length, cup.depth).angleDeg).toBeCloseTo(deg, 8);
    }
  });
  it("refuse what is no number", () => {
    for (const work of [
      () => coneFigures(Number.NaN, 1),
      () => coneFromSector(2, 100),
      () => frustumFigures(10, 20, 5),
      () => obliqueCone(10, 0, 0),
      () => sphereGore(10, 1),
      () => helixWrap(Infinity, 1, 1),
      () => yarnCover(1, 1, 1, 0),
      () => circleSkirt(700, 0, 100),
      () => cupFromDart(100, 400),
      () => dartForCup(100, 100),
    ])
      expect(codeOf(work)).toBe("forms/bad-part");
  });
});

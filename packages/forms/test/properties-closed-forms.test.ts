import fc from "fast-check";
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
  plainSole,
  sphereGore,
  yarnCover,
} from "@peltry/forms";
import { outlineCrossings, signedArea } from "@peltry/geometry";
import { codeOf, near, odd, within } from "./properties-helpers";

const mm = within(1, 2000);
const factor = within(0.1, 10);

describe("cones", () => {
  it("coneFigures, coneFromSector › a cone unrolled and rolled up again is the same cone; its sector is its area [oracle: inverse, area of a sector]", () => {
    fc.assert(
      fc.property(mm, within(0, 2000), factor, (radius, height, k) => {
        const cone = coneFigures(radius, height);
        const again = coneFromSector(cone.sectorDeg / 360, cone.slant);
        near(again.radius, radius);
        expect(again.height).toBeCloseTo(height, 2);
        near(cone.area, (Math.PI * cone.slant ** 2 * cone.sectorDeg) / 360);
        near((cone.slant * cone.sectorDeg * Math.PI) / 180, cone.girth);
        const large = coneFigures(k * radius, k * height);
        near(large.area, k * k * cone.area);
        near(large.volume, k ** 3 * cone.volume);
        near(large.sectorDeg, cone.sectorDeg);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("frustumFigures › is the whole cone less its tip, and two stacked are one [oracle: subtraction, additivity]", () => {
    fc.assert(
      fc.property(mm, within(0.05, 0.9), mm, within(0.1, 0.9), (large, share, height, cut) => {
        const small = share * large;
        const one = frustumFigures(large, small, height);
        // Height of the cone that the tip was cut from, by similar triangles.
        const whole = (height * large) / (large - small);
        const [cone, tip] = [coneFigures(large, whole), coneFigures(small, whole - height)];
        near(one.area, cone.area - tip.area, 1e-7);
        near(one.volume, cone.volume - tip.volume, 1e-7);
        near(one.outerRadius, cone.slant, 1e-7);
        near(one.innerRadius, tip.slant, 1e-7);
        near(one.sectorDeg, cone.sectorDeg, 1e-7);
        const middle = large + cut * (small - large);
        const parts = [
          frustumFigures(large, middle, cut * height),
          frustumFigures(middle, small, (1 - cut) * height),
        ];
        for (const key of ["slant", "area", "volume"] as const)
          near(parts[0][key] + parts[1][key], one[key], 1e-7);
        near(frustumFigures(large, 0, height).area, coneFigures(large, height).area);
      }),
      { seed: 2, numRuns: 200 },
    );
  });

  it("obliqueCone › upright it is the cone; leaning, its flat rim keeps its length and its triangles their area [oracle: closed form, brute force]", () => {
    fc.assert(
      fc.property(mm, within(0, 1500), within(20, 2000), factor, (radius, offset, height, k) => {
        const upright = obliqueCone(radius, 0, height, 72);
        near(upright.angleDeg, coneFigures(radius, height).sectorDeg, 1e-9);
        near(upright.area, coneFigures(radius, height).area, 1e-9);
        const steps = 2000;
        const cone = obliqueCone(radius, offset, height, steps);
        let [rim, area] = [0, 0];
        cone.flatRim.slice(1).forEach(([x, y], i) => {
          const [px, py] = cone.flatRim[i];
          rim += Math.hypot(x - px, y - py);
          area += (px * y - x * py) / 2;
        });
        near(rim, cone.rim, 1e-4);
        near(area, cone.area, 1e-4);
        // Triangles in space from the tip to the rim.
        const at = (i: number): number[] => {
          const t = (2 * Math.PI * i) / steps;
          return [radius * Math.cos(t) - offset, radius * Math.sin(t), -height];
        };
        let solid = 0;
        for (let i = 0; i < steps; i++) {
          const [u, v] = [at(i), at(i + 1)];
          solid +=
            Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
        }
        near(solid, cone.area, 1e-4);
        const reach = cone.flatRim.map(([x, y]) => Math.hypot(x, y));
        near(Math.min(...reach), cone.shortest, 1e-6);
        near(Math.max(...reach), cone.longest, 1e-6);
        near(
          obliqueCone(k * radius, k * offset, k * height, 72).area,
          k * k * obliqueCone(radius, offset, height, 72).area,
        );
      }),
      { seed: 3, numRuns: 30 },
    );
  });

  it("cupFromDart, dartForCup › each takes the other back, and the cup is the cone of what is left of the circle [oracle: inverse, second path]", () => {
    fc.assert(
      fc.property(mm, within(0, 240), within(0.01, 0.94), factor, (length, angleDeg, share, k) => {
        const cup = cupFromDart(length, angleDeg);
        const cone = coneFromSector(1 - angleDeg / 360, length);
        near(cup.depth, cone.height, 1e-7);
        expect(Math.sin((cup.halfApexDeg * Math.PI) / 180) * length).toBeCloseTo(cone.radius, 6);
        expect(dartForCup(length, cup.depth).angleDeg).toBeCloseTo(angleDeg, 6);
        near(cupFromDart(length, dartForCup(length, share * length).angleDeg).depth, share * length, 1e-6);
        expect(cup.intake).toBeLessThanOrEqual(cup.intakeArc * (1 + 1e-12));
        near(cupFromDart(k * length, angleDeg).intake, k * cup.intake);
      }),
      { seed: 4, numRuns: 200 },
    );
  });
});

describe("rounds", () => {
  it("sphereGore › the gores go once round the ball, and more of them are the nearer to it [oracle: bounds, monotony, scaling]", () => {
    fc.assert(
      fc.property(mm, fc.integer({ min: 2, max: 60 }), factor, (radius, count, k) => {
        const gore = sphereGore(radius, count);
        near(gore.width * count, 2 * Math.PI * radius);
        near(gore.length, Math.PI * radius);
        expect(gore.edge).toBeGreaterThan(gore.length);
        // No shorter than its chord, no longer than out to its corner and back.
        expect(gore.edge).toBeGreaterThan(2 * Math.hypot(gore.length / 2, gore.width / 2) * (1 - 1e-12));
        expect(gore.edge).toBeLessThan(gore.length + gore.width);
        expect(sphereGore(radius, count + 1).excess).toBeLessThan(gore.excess);
        near(sphereGore(k * radius, count).edge, k * gore.edge);
        near(sphereGore(k * radius, count).excess, gore.excess, 1e-6);
      }),
      { seed: 1, numRuns: 150 },
    );
  });

  it("helixWrap › unrolled it is the slanted side of a triangle, and a strip edge to edge covers the cylinder [oracle: Pythagoras, area]", () => {
    fc.assert(
      fc.property(mm, within(0, 300), within(0.1, 200), (radius, pitch, turns) => {
        const { length, angleDeg, stripWidth } = helixWrap(radius, pitch, turns);
        near(length ** 2, (2 * Math.PI * radius * turns) ** 2 + (pitch * turns) ** 2);
        expect(length * Math.sin((angleDeg * Math.PI) / 180)).toBeCloseTo(pitch * turns, 6);
        near(stripWidth * length, 2 * Math.PI * radius * pitch * turns, 1e-7);
        near(helixWrap(radius, pitch, 2 * turns).length, 2 * length);
      }),
      { seed: 2, numRuns: 150 },
    );
  });

  it("yarnCover › either end first, in two parts, or at another scale it is the same yarn, and a little more than the area over its width [oracle: symmetry, additivity, bound]", () => {
    fc.assert(
      fc.property(
        within(5, 300),
        within(5, 300),
        within(5, 800),
        within(0.5, 8),
        within(0.1, 0.9),
        factor,
        (large, small, slant, d, cut, k) => {
          const yarn = yarnCover(large, small, slant, d);
          near(yarnCover(small, large, slant, d), yarn);
          const middle = large + cut * (small - large);
          near(
            yarnCover(large, middle, cut * slant, d) + yarnCover(middle, small, (1 - cut) * slant, d),
            yarn,
            1e-7,
          );
          const area = Math.PI * (large + small) * slant;
          expect(yarn).toBeGreaterThanOrEqual(area / d);
          expect(yarn).toBeLessThanOrEqual(area / d + slant);
          if (k * d <= 200 && k * d >= 0.05)
            near(yarnCover(k * large, k * small, k * slant, k * d), k * yarn);
        },
      ),
      { seed: 3, numRuns: 150 },
    );
  });

  it("circleSkirt › its waist and hem are arcs of its circles, and its cloth is a part of the ring between [oracle: arc length, monotony]", () => {
    fc.assert(
      fc.property(
        within(200, 2000),
        within(0.1, 2),
        within(0, 1500),
        factor,
        (waist, fraction, length, k) => {
          const skirt = circleSkirt(waist, fraction, length);
          near(2 * Math.PI * fraction * skirt.innerRadius, waist);
          near(2 * Math.PI * fraction * skirt.outerRadius, skirt.hem);
          near(skirt.outerRadius - skirt.innerRadius, length, 1e-6);
          expect(circleSkirt(waist, fraction * 1.1, length).hem).toBeGreaterThanOrEqual(skirt.hem);
          near(circleSkirt(k * waist, fraction, k * length).hem, k * skirt.hem);
          // Under a full circle it rolls up to a frustum of that slant.
          if (fraction < 1) {
            const cone = coneFromSector(fraction, skirt.outerRadius);
            near(cone.girth, skirt.hem);
          }
        },
      ),
      { seed: 4, numRuns: 150 },
    );
  });
});

describe("plainSole", () => {
  it("plainSole › stretches with length and breadth, keeps within them, and never crosses itself [oracle: scaling, bounds]", () => {
    fc.assert(
      fc.property(
        within(150, 400),
        within(60, 160),
        within(0.5, 2),
        within(0.5, 2),
        (length, breadth, a, b) => {
          const sole = plainSole(length, breadth);
          const other = plainSole(a * length, b * breadth);
          sole.forEach(([x, z], i) => {
            near(other[i][0], b * x);
            near(other[i][1], a * z);
            expect(Math.abs(x)).toBeLessThanOrEqual(0.53 * breadth + 1e-9);
            expect(z).toBeGreaterThanOrEqual(0);
            expect(z).toBeLessThanOrEqual(length);
          });
          const area = Math.abs(signedArea(sole));
          expect(area / (length * breadth)).toBeGreaterThan(0.6);
          expect(area).toBeLessThan(length * breadth);
          expect(outlineCrossings(sole)).toEqual([]);
        },
      ),
      { seed: 1, numRuns: 6 },
    );
  });
});

describe("numbers from outside", () => {
  const functions: Readonly<Record<string, (...values: never[]) => unknown>> = {
    coneFigures,
    coneFromSector,
    frustumFigures,
    obliqueCone: (radius, offset, height) => obliqueCone(radius, offset, height, 12),
    sphereGore,
    helixWrap,
    yarnCover,
    circleSkirt,
    cupFromDart,
    dartForCup,
  };
  it.each(Object.keys(functions))(
    "%s › whatever it is given, figures or forms/bad-part [oracle: hostile input]",
    (name) => {
      fc.assert(
        fc.property(fc.array(fc.oneof(odd, within(0, 300)), { minLength: 1, maxLength: 4 }), (given) => {
          const code = codeOf(() => {
            const answer = functions[name](...(given as never[]));
            const parts: unknown[] = typeof answer === "object" ? Object.values(answer!) : [answer];
            expect(parts.some(Number.isNaN)).toBe(false);
          });
          expect(["none", "forms/bad-part"]).toContain(code);
        }),
        { seed: 1, numRuns: 80 },
      );
    },
  );
});

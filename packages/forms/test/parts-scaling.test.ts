import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { makeEars, makeHorn, makeTail, type MadePart } from "@peltry/forms";

/** Every part with all its lengths times `s`. */
const PARTS: Readonly<Record<string, (s: number) => MadePart>> = {
  "cone tail": (s) =>
    makeTail({
      style: "cone",
      length: 300 * s,
      baseGirth: 240 * s,
      stuffingOpening: 80 * s,
      band: { girth: 900 * s, width: 40 * s, overlap: 60 * s },
    }),
  "curved tail": (s) =>
    makeTail({
      style: "curved",
      length: 620 * s,
      baseGirth: 210 * s,
      tipGirth: 60 * s,
      bendDeg: [20, -35],
      stuffingOpening: 90 * s,
    }),
  "puff tail": (s) =>
    makeTail({ style: "puff", length: 140 * s, baseGirth: 300 * s, stuffingOpening: 70 * s }),
  "spiral horn": (s) =>
    makeHorn({
      spiral: { whorl: 2.2, distance: 0.35, translation: 0.8, turns: 0.9, baseDiameter: 45 * s },
      wire: false,
      bulk: { sheetMm: 6 * s },
      base: { thicknessMm: 3 * s, tabs: 10, tabMm: 12 * s },
      skin: { kind: "fabric", strips: 4 },
    }),
  "horn with a branch": (s) =>
    makeHorn({
      cone: { length: 180 * s, baseDiameter: 40 * s, tipDiameter: 6 * s, bendDeg: 40 },
      branches: [
        { at: 0.5, length: 70 * s, baseDiameter: 20 * s, tipDiameter: 4 * s, angleDeg: 45, aroundDeg: 30 },
      ],
      wire: { diameterMm: 3 * s, metal: "aluminium" },
      bulk: { sheetMm: 6 * s },
      base: { thicknessMm: 3 * s, tabs: 10, tabMm: 12 * s },
      skin: { kind: "fabric", strips: 4 },
    }),
  ears: (s) =>
    makeEars({
      length: 150 * s,
      width: 70 * s,
      baseWidth: 50 * s,
      cupDepth: 12 * s,
      fringe: 8 * s,
      foamMm: 3 * s,
    }),
};

/** What a layer's mass goes by; a wire that grows thicker too weighs by the cube. */
const POWER = { mm3: 3, mm2: 2, mm: 1, pieces: 0 } as const;

describe("parts made larger", () => {
  for (const [name, make] of Object.entries(PARTS))
    it(`${name}: solid weighs by the cube, sheet by the square, line by the length [oracle: scaling law]`, () => {
      const plain = make(1);
      expect(plain.needs.length).toBeGreaterThan(0);
      fc.assert(
        fc.property(fc.double({ min: 0.8, max: 1.6, noNaN: true }), (s) => {
          const large = make(s);
          expect(large.needs.map(({ layer }) => layer)).toEqual(plain.needs.map(({ layer }) => layer));
          large.needs.forEach(({ amount, massG, unit, layer }, k) => {
            const wanted = Math.pow(s, POWER[unit]);
            const mass = layer === "core wire" ? Math.pow(s, 3) : wanted;
            // The last digits come from sections that are found by iteration.
            for (const [found, before] of [
              [amount, wanted * plain.needs[k]!.amount],
              [massG, mass * plain.needs[k]!.massG],
            ] as const)
              expect(Math.abs(found - before), layer).toBeLessThanOrEqual(1e-5 * found);
          });
        }),
        { seed: 5, numRuns: 6 },
      );
    });
});

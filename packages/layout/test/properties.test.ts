import { pointInOutline, segmentMeeting, signedArea, type Outline, type Point } from "@peltry/geometry";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { drawLayout, findRest, layOut, proposeSplits, type LayoutPanel } from "../src/index";

const RUNS = { seed: 1, numRuns: 60 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const rectangle = (x: number, y: number, w: number, h: number): Point[] => [
  [x, y],
  [x + w, y],
  [x + w, y + h],
  [x, y + h],
];
const star = fc.array(number(60, 200), { minLength: 4, maxLength: 12 }).map((radii) =>
  radii.map((r, i): Point => {
    const angle = (2 * Math.PI * i) / radii.length + 0.1;
    return [r * Math.cos(angle), r * Math.sin(angle)];
  }),
);

describe("properties of rests, splits and drawings", () => {
  it("the rest lies on the cloth, off every obstacle, square to the nap, and has the size it tells [invariant]", () => {
    const obstacle = fc.tuple(number(-150, 100), number(-150, 100), number(5, 80), number(5, 80));
    fc.assert(
      fc.property(
        star,
        fc.array(obstacle, { maxLength: 4 }),
        number(-180, 180),
        (outline, boxes, napAngle) => {
          const obstacles = boxes.map(([x, y, w, h]) => rectangle(x, y, w, h));
          const rest = findRest({ piece: "p", outline, obstacles, napAngle });
          if (rest === undefined) return;
          const { corners } = rest;
          const inset = shrunk(corners);
          for (const p of inset) expect(pointInOutline(p, outline)).toBe("inside");
          for (const ring of [outline, ...obstacles]) expect(crossings(inset, ring)).toBe(0);
          for (const ring of obstacles) {
            for (const p of inset) expect(pointInOutline(p, ring)).not.toBe("inside");
            for (const p of ring) expect(pointInOutline(p, inset)).not.toBe("inside");
          }
          expect(signedArea(corners)).toBeCloseTo(rest.area, 4);
          expect(rest.width * rest.length).toBeCloseTo(rest.area, 6);
          const along = Math.atan2(corners[3][1] - corners[0][1], corners[3][0] - corners[0][0]);
          expect(Math.abs(Math.sin(along - (napAngle * Math.PI) / 180))).toBeLessThan(1e-9);
        },
      ),
      RUNS,
    );
  });
  it("a bare rectangle of cloth is its own rest, however its nap runs [closed form]", () => {
    fc.assert(
      fc.property(number(50, 2000), number(50, 2000), fc.constantFrom(-90, 0, 90, 180), (w, h, napAngle) => {
        const rest = findRest({ piece: "p", outline: rectangle(-7, 3, w, h), obstacles: [], napAngle })!;
        expect(rest.area / (w * h)).toBeCloseTo(1, 6);
        const upright = Math.abs(napAngle) === 90;
        expect(rest.width).toBeCloseTo(upright ? w : h, 3);
      }),
      RUNS,
    );
  });
  it("parts of a split add up to the panel, and say that they fit just when each of them does [conservation]", () => {
    fc.assert(
      fc.property(star, number(80, 300), (outline, largest) => {
        const fits = (part: Outline): string[] => {
          const xs = part.map((p) => p[0]);
          return Math.max(...xs) - Math.min(...xs) <= largest ? ["piece"] : [];
        };
        const proposals = proposeSplits({
          outline,
          hiddenLines: [],
          napAngle: 90,
          allowance: 0,
          piecesFor: fits,
        });
        expect(proposals.length).toBeGreaterThan(0);
        for (const { parts, fits: told, seamLength } of proposals) {
          const area = parts.reduce((sum, part) => sum + Math.abs(signedArea(part.outline)), 0);
          expect(area / Math.abs(signedArea(outline))).toBeCloseTo(1, 6);
          expect(told).toBe(parts.every((part) => fits(part.outline).length > 0));
          expect(seamLength).toBeGreaterThan(0);
        }
      }),
      RUNS,
    );
  });
  it("the drawing names every panel on it, escapes what a name holds, and is well-formed [oracle: tag counting]", () => {
    fc.assert(
      fc.property(
        fc.array(star, { minLength: 1, maxLength: 3 }),
        fc.stringMatching(/^[a-z<&"]{1,6}$/),
        (stars, word) => {
          const panels = stars.map((outline, i): LayoutPanel => ({
            id: `p${i}`,
            name: `${word}${i}`,
            outline,
          }));
          const piece = { id: "c", name: word, width: 900, length: 900 };
          const made = layOut(panels, [piece], { evaluations: 3000 });
          const names = new Map(panels.map((panel) => [panel.id, panel.name!]));
          const svg = drawLayout({
            piece,
            outline: rectangle(0, 0, 900, 900),
            placements: made.placements,
            names,
            rest: made.rests[0],
          });
          const open = (svg.match(/<[a-z]/g) ?? []).length;
          const closed = (svg.match(/<\/[a-z]/g) ?? []).length + (svg.match(/\/>/g) ?? []).length;
          expect(open).toBe(closed);
          expect(svg).not.toMatch(/&(?!(amp|lt|gt|quot|#39);)/);
          for (const { panel } of made.placements) {
            const name = names.get(panel)!.replace(/&/g, "&amp;").replace(/</g, "&lt;");
            expect(svg.replace(/&quot;/g, '"')).toContain(name);
          }
        },
      ),
      RUNS,
    );
  });
});

/** A little smaller about its middle, so that touching does not count. */
function shrunk(corners: readonly Point[]): Point[] {
  const [x, y] = [0, 1].map((k) => corners.reduce((sum, p) => sum + p[k], 0) / corners.length);
  return corners.map((p): Point => [x + 0.999 * (p[0] - x), y + 0.999 * (p[1] - y)]);
}

function crossings(one: Outline, two: Outline): number {
  const sides = (ring: Outline): [Point, Point][] => ring.map((a, i) => [a, ring[(i + 1) % ring.length]]);
  return sides(one)
    .flatMap(([a, b]) => sides(two).map(([c, d]) => segmentMeeting(a, b, c, d)))
    .filter((meeting) => meeting === "cross").length;
}

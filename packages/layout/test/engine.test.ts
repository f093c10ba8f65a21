import { describe, expect, it } from "vitest";
import { createRandom, type Point } from "@peltry/geometry";
import { clear, ring } from "../src/internal/exact-rings";
import { convexParts } from "../src/internal/convex-parts";
import { fromGrid, gridArea, toGrid } from "../src/internal/grid";
import { simplifyOutward } from "../src/internal/simplify-outward";
import { keepsClear } from "../src/internal/keeps-clear";
import { createRoomTable, isRoom, type Border } from "../src/internal/room-table";
import { createShape, orientShape, turnGrid } from "../src/internal/shape";
import { withRounding, World } from "../src/internal/world";
import { blob } from "./blob";

function cross(o: Point, a: Point, b: Point): number {
  return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
}

/** A smooth outline of many points, as a flattened panel has. */
function wavy(random: () => number, corners: number): Point[] {
  const [a, b] = [random(), random()];
  return Array.from({ length: corners }, (_, i): Point => {
    const t = (2 * Math.PI * i) / corners;
    const r = 200 + 60 * a * Math.cos(3 * t) + 40 * b * Math.sin(5 * t);
    return [r * Math.cos(t), 1.7 * r * Math.sin(t)];
  });
}

describe("convexParts", () => {
  it("convexParts › are convex and add up to the outline [oracle: area]", () => {
    const random = createRandom(3);
    for (let k = 0; k < 60; k++) {
      const outline = toGrid(blob(random, 5 + Math.floor(random() * 30), 300));
      const parts = convexParts(outline);
      expect(parts.reduce((sum, part) => sum + gridArea(part), 0)).toBe(gridArea(outline));
      for (const part of parts) {
        const points = fromGrid(part);
        const n = points.length;
        expect(points.every((p, i) => cross(p, points[(i + 1) % n], points[(i + 2) % n]) >= 0)).toBe(true);
      }
    }
  });
});

describe("simplifyOutward", () => {
  it("simplifyOutward › loses no cloth and moves the border little [oracle: exact ring test]", () => {
    const random = createRandom(9);
    for (let k = 0; k < 6; k++) {
      const outline = toGrid(wavy(random, 240 + 100 * k));
      const outer = simplifyOutward(outline);
      expect(outer.xs.length).toBeLessThan(100);
      expect(gridArea(outer)).toBeGreaterThanOrEqual(gridArea(outline));
      expect(gridArea(outer)).toBeLessThan(gridArea(outline) * 1.01);
      const inner = ring(fromGrid(outline));
      const border = ring(fromGrid(outer));
      // Every corner of the old outline is inside the new, or off it by rounding alone.
      for (let i = 0; i < inner.x.length; i++) {
        const probe = { ...inner, x: [inner.x[i]], y: [inner.y[i]] };
        const dot: Point[] = [
          [-2, -2],
          [2, -2],
          [2, 2],
          [-2, 2],
        ].map(([x, y]): Point => [(probe.x[0] + x) / 1000, (probe.y[0] + y) / 1000]);
        expect(clear(ring(dot), border, 0n)).toBe(false);
      }
    }
  });
});

describe("World", () => {
  it("World › calls a pair clear exactly when the independent test does [oracle: BigInt geometry]", () => {
    const random = createRandom(21);
    for (const gap of [0, 2, 7.5]) {
      for (const turns of [
        [0, 90, 180, 270],
        [0, 37],
      ]) {
        const outlines = [blob(random, 9, 200), blob(random, 14, 120), blob(random, 5, 260)];
        const shapes = outlines.map(createShape);
        const bin = { minX: 0, minY: 0, maxX: 1e6, maxY: 1e6, area: 1e12 };
        const items = shapes.map((_, shape) => ({ shape, minQuality: undefined, turns: [turns] }));
        const world = new World(
          shapes,
          [bin],
          items,
          withRounding({ gap: gap * 1000, edgeGap: 0 }, shapes, items),
        );
        const seen = { clear: 0, hit: 0, near: 0 };
        for (let k = 0; k < 700; k++) {
          const p = Math.floor(random() * world.oriented.length);
          const q = Math.floor(random() * world.oriented.length);
          const x = Math.round((random() - 0.5) * 600_000);
          const y = Math.round((random() - 0.5) * 600_000);
          const engine = world.pairs.measure(p, 0, 0, q, x, y) === 0;
          const a = ring(fromGrid(turnGrid(shapes[world.oriented[p].shape].exact, world.oriented[p].turn)));
          const b = ring(
            fromGrid(turnGrid(shapes[world.oriented[q].shape].exact, world.oriented[q].turn), x, y),
          );
          const exact = clear(a, b, BigInt(gap * 1000));
          if (engine) expect(exact).toBe(true);
          // The engine may ask for more: its disc has 16 sides (2 % of the gap) and skew turns round.
          else if (exact) expect(clear(a, b, BigInt(Math.round(gap * 1020) + 12))).toBe(false);
          seen[engine ? "clear" : exact ? "near" : "hit"]++;
        }
        expect(Math.min(seen.clear, seen.hit)).toBeGreaterThan(90);
      }
    }
  });
});

describe("keepsClear", () => {
  it("keepsClear › says yes only where the table of positions does, and rarely no beside it [oracle: second computation]", () => {
    const random = createRandom(33);
    const seen = { yes: 0, no: 0, apart: 0 };
    for (const gap of [0, 3000]) {
      const shape = createShape(blob(random, 12, 90));
      const oriented = orientShape([shape], 0, 0);
      const borders: Border[] = [
        { outline: toGrid(blob(random, 16, 400)), keep: "inside", gap },
        { outline: toGrid(blob(random, 7, 60)), keep: "outside", gap },
      ];
      const box = { minX: -400_000, minY: -400_000, maxX: 400_000, maxY: 400_000 };
      const table = createRoomTable(shape, oriented, borders, box);
      for (let k = 0; k < 3000; k++) {
        const x = Math.round((random() - 0.5) * 420_000);
        const y = Math.round((random() - 0.5) * 420_000);
        const direct = keepsClear(borders, shape.outer, x, y);
        if (direct) expect(isRoom(table, x, y)).toBe(true);
        else if (isRoom(table, x, y)) seen.apart++;
        seen[direct ? "yes" : "no"]++;
      }
    }
    expect(Math.min(seen.yes, seen.no)).toBeGreaterThan(300);
    expect(seen.apart).toBeLessThan(10);
  });
});

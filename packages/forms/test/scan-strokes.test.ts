import { createRandom } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import type { FittedStroke } from "../src/scan/paint/fit-strokes";
import { linkStrokes } from "../src/scan/paint/link-strokes";
import { runLength, type Vec } from "../src/scan/paint/vector";
import { orderInSpace } from "../src/scan/order-in-space";
import { ball } from "./mesh-bytes";

const RADIUS = 56;
const arc = (from: number, to: number): Vec[] =>
  Array.from({ length: 120 }, (_, i) => {
    const a = from + ((to - from) * i) / 119;
    return [RADIUS * Math.cos(a), 0, RADIUS * Math.sin(a)];
  });
const open = (points: Vec[]): FittedStroke => ({ points, closed: false, joined: [false, false] });
const rules = { bridge: 20, look: 25, near: 9 };
const round = 2 * Math.PI * RADIUS;

describe("linkStrokes", () => {
  it("linkStrokes › closes a ring whose ends overlap, and one with a gap, without a double stretch [oracle: circle]", () => {
    for (const beyond of [0.6, 0.25, 0.05, -0.25]) {
      const [ring, ...rest] = linkStrokes([open(arc(0, 2 * Math.PI + beyond))], rules);
      expect(rest).toEqual([]);
      expect(ring.closed).toBe(true);
      expect(Math.abs(runLength(ring.points, true) / round - 1)).toBeLessThan(0.02);
    }
  });

  it("linkStrokes › joins strands that have run past each other in one line of ink [oracle: arc]", () => {
    const linked = linkStrokes([open(arc(0, 1.7)), open(arc(1.4, 3))], rules);
    expect(linked).toHaveLength(1);
    expect(Math.abs(runLength(linked[0].points) / (3 * RADIUS) - 1)).toBeLessThan(0.02);
  });

  it("linkStrokes › leaves strands alone that lie apart or turn away from each other", () => {
    const beside = arc(0, 1.5).map(([x, y, z]): Vec => [x, y + 30, z]);
    expect(linkStrokes([open(arc(0, 1.5)), open(beside)], rules)).toHaveLength(2);
    expect(linkStrokes([open(arc(0, 1)), open(arc(2.2, 3))], rules)).toHaveLength(2);
  });
});

describe("orderInSpace", () => {
  const mesh = ball(40, 24);
  it("orderInSpace › keeps every triangle, and brings neighbours close in memory [oracle: the shuffled mesh]", () => {
    const count = mesh.positions.length / 3;
    const random = createRandom(5);
    const to = Array.from({ length: count }, (_, v) => v);
    for (let i = count - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1));
      [to[i], to[j]] = [to[j], to[i]];
    }
    const positions = new Float64Array(3 * count);
    to.forEach((v, from) => positions.set(mesh.positions.subarray(3 * from, 3 * from + 3), 3 * v));
    const shuffled = { positions, triangles: mesh.triangles.map((v) => to[v]) };
    const { mesh: ordered, sourceTriangle } = orderInSpace(shuffled)!;
    const gap = (m: { triangles: Uint32Array }): number =>
      m.triangles.reduce((sum, v, i) => sum + Math.abs(v - m.triangles[i % 3 === 2 ? i - 2 : i + 1]), 0);
    expect(gap(ordered)).toBeLessThan(0.5 * gap(shuffled));
    expect([...sourceTriangle].sort((a, b) => a - b)).toEqual([...sourceTriangle.keys()]);
    sourceTriangle.forEach((t, i) => {
      for (let k = 0; k < 9; k++) {
        const [c, d] = [Math.floor(k / 3), k % 3];
        expect(ordered.positions[3 * ordered.triangles[3 * i + c] + d]).toBe(
          positions[3 * shuffled.triangles[3 * t + c] + d],
        );
      }
    });
  });

  it("orderInSpace › leaves a mesh with a broken number to whoever checks it", () => {
    const positions = mesh.positions.slice();
    positions[7] = NaN;
    expect(orderInSpace({ positions, triangles: mesh.triangles })).toBeUndefined();
  });
});

import { createRandom } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import { settleTips, type FittedStroke } from "../src/scan/paint/fit-strokes";
import { settleCarried } from "../src/scan/paint/drawn-ends";
import type { InkMap } from "../src/scan/paint/find-strokes";
import { joinEnds, type JoinedStroke } from "../src/scan/paint/join-ends";
import { buildSurfaceGraph, type SurfaceGraph } from "../src/scan/paint/surface-graph";
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

  it("linkStrokes › crosses a wide gap where the scan saw nothing, and only there [oracle: arc]", () => {
    const halves = [open(arc(0, 1.2)), open(arc(1.75, 3))];
    expect(linkStrokes(halves, rules)).toHaveLength(2);
    const unseen = (a: Vec, b: Vec): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    const linked = linkStrokes(halves, { ...rules, unseen });
    expect(linked).toHaveLength(1);
    expect(Math.abs(runLength(linked[0].points) / (3 * RADIUS) - 1)).toBeLessThan(0.02);
  });
});

describe("joinEnds", () => {
  const ends = { border: [], rim: [], reach: 20, near: 12 };

  it("joinEnds › closes a ring whose ink is missing right beside the line that it crosses [oracle: circle]", () => {
    const seam = Array.from({ length: 60 }, (_, i): Vec => [RADIUS, i * 2 - 60, 0]);
    const ring: FittedStroke = {
      points: arc(0.02, 2 * Math.PI - 0.25),
      closed: false,
      joined: [true, false],
    };
    const [, joined] = joinEnds([open(seam), ring], ends);
    expect(joined.closed).toBe(true);
    expect(Math.abs(runLength(joined.points, true) / round - 1)).toBeLessThan(0.01);
    const half: FittedStroke = { points: arc(0.02, 4), closed: false, joined: [true, false] };
    expect(joinEnds([open(seam), half], ends)[1].closed).toBe(false);
  });
});

/** A flat sheet of 160 mm with ink of the given distance from the middle of its line at each place. */
function inkedSheet(
  pitch: number,
  width: number,
  off: (x: number, z: number) => number,
): { graph: SurfaceGraph; ink: InkMap } {
  const side = Math.round(160 / pitch) + 1;
  const positions = new Float64Array(3 * side * side);
  const share = new Float64Array(side * side);
  const triangles: number[] = [];
  for (let i = 0; i < side; i++) {
    for (let j = 0; j < side; j++) {
      const v = i * side + j;
      const [x, z] = [pitch * i, pitch * j];
      positions.set([x, 0, z], 3 * v);
      share[v] = Math.max(0, Math.min(1, 0.5 + (width / 2 - off(x, z)) / pitch));
      if (i + 1 === side || j + 1 === side) continue;
      triangles.push(v, v + 1, v + side + 1, v, v + side + 1, v + side);
    }
  }
  const graph = buildSurfaceGraph({ positions, triangles: Uint32Array.from(triangles) });
  return { graph, ink: { share, width } };
}

describe("settleTips", () => {
  it("settleTips › finds where the pen stopped to a fifth of an edge, where one vertex holds half a width of ink [oracle: drawn by the test]", () => {
    const [pitch, width] = [6, 9];
    for (const turn of [0, 0.3, 0.7]) {
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      for (let tip = 90; tip < 97; tip += 1.3) {
        const { graph, ink } = inkedSheet(pitch, width, (x, z) => {
          const along = (x - 20) * c + (z - 50) * s;
          const aside = (z - 50) * c - (x - 20) * s;
          return Math.hypot(Math.max(0, -along, along - tip), aside);
        });
        const points = Array.from({ length: 34 }, (_, i): Vec => [20 + 3 * i * c, 0, 50 + 3 * i * s]);
        const stroke: FittedStroke = { points, closed: false, joined: [true, false] };
        settleTips(graph, ink, [stroke]);
        const [x, , z] = stroke.points[stroke.points.length - 1];
        expect(Math.abs((x - 20) * c + (z - 50) * s - tip), `turn ${turn}, tip ${tip}`).toBeLessThan(1.2);
        expect(stroke.points[0]).toEqual(points[0]);
      }
    }
  });
});

describe("settleCarried", () => {
  const width = 6;
  /** Ink of a long line along x = 80 and of one along z = 80 from x = 20 to `tip`, round pens. */
  const sheet = (tip: number): { graph: SurfaceGraph; ink: InkMap } =>
    inkedSheet(2, width, (x, z) =>
      Math.min(Math.abs(x - 80), Math.hypot(Math.max(0, 20 - x, x - tip), z - 80)),
    );
  const straight = (from: Vec, to: Vec): Vec[] =>
    Array.from({ length: 61 }, (_, i) => [0, 1, 2].map((k) => from[k] + ((to[k] - from[k]) * i) / 60) as Vec);

  it("settleCarried › finds where a line that was carried on to another ended itself [oracle: drawn by the test]", () => {
    for (const tip of [60, 68, 80, 90, 96]) {
      const { graph, ink } = sheet(tip);
      const strokes: JoinedStroke[] = [
        {
          points: straight([80, 0, 0], [80, 0, 160]),
          closed: false,
          joins: [undefined, undefined],
          carried: 0,
          carriedEnds: [0, 0],
        },
        {
          points: straight([20, 0, 80], [80, 0, 80]),
          closed: false,
          joins: [undefined, { to: "stroke", stroke: 0 }],
          carried: 0,
          carriedEnds: [0, 0],
        },
      ];
      settleCarried(graph, ink, strokes);
      // Inside the other line's ink the end cannot be seen: the middle is its guess.
      expect(Math.abs(strokes[1].carried - (80 - tip)), `tip at ${tip}`).toBeLessThan(2.5);
      expect(strokes[0].carried).toBe(0);
    }
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

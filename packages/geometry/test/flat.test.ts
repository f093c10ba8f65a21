import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  boundingBox,
  centroid,
  createRandom,
  distanceToOutline,
  labelPoint,
  meshTopology,
  mirrorOutline,
  outlineCrossings,
  perimeter,
  placePoints,
  pointInOutline,
  polylineLength,
  resamplePolyline,
  segmentMeeting,
  signedArea,
  simplifyPolyline,
  slicePolyline,
  stationAt,
  type Point,
} from "../src/index";
import { gridPoint } from "./arbitraries";

const square: Point[] = [
  [0, 0],
  [10, 0],
  [10, 10],
  [0, 10],
];

describe("polygons", () => {
  it("area, perimeter, centroid of a regular n-gon [oracle: closed form]", () => {
    const n = 12;
    const r = 7;
    const gon = Array.from({ length: n }, (_, i): Point => [
      3 + r * Math.cos((2 * Math.PI * i) / n),
      r * Math.sin((2 * Math.PI * i) / n),
    ]);
    expect(signedArea(gon)).toBeCloseTo((n / 2) * r * r * Math.sin((2 * Math.PI) / n), 10);
    expect(perimeter(gon)).toBeCloseTo(2 * n * r * Math.sin(Math.PI / n), 10);
    expect(centroid(gon)[0]).toBeCloseTo(3, 10);
    expect(signedArea(mirrorOutline(gon))).toBeCloseTo(signedArea(gon), 9);
    expect(signedArea(placePoints(gon, 1.1, 5, -9))).toBeCloseTo(signedArea(gon), 9);
  });
  it("finds exactly the crossings that a brute-force pass finds [oracle: brute force]", () => {
    fc.assert(
      fc.property(fc.array(gridPoint, { minLength: 3, maxLength: 14 }), (outline) => {
        const n = outline.length;
        const brute: string[] = [];
        for (let i = 0; i < n; i++) {
          for (let j = i + 1; j < n; j++) {
            if (j - i === 1 || (i === 0 && j === n - 1)) continue;
            if (
              segmentMeeting(outline[i], outline[(i + 1) % n], outline[j], outline[(j + 1) % n]) !== "apart"
            )
              brute.push(`${i},${j}`);
          }
        }
        expect(outlineCrossings(outline).map((c) => `${c.first},${c.second}`)).toEqual(brute);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
  it("tells inside, border and outside exactly", () => {
    expect(pointInOutline([5, 5], square)).toBe("inside");
    expect(pointInOutline([10, 3], square)).toBe("border");
    expect(pointInOutline([10 + 1e-12, 3], square)).toBe("outside");
    expect(distanceToOutline([5, 4], square)).toBe(4);
  });
  it("puts a label inside a horseshoe, whose centroid lies outside", () => {
    const shoe: Point[] = [
      [0, 0],
      [90, 0],
      [90, 100],
      [70, 100],
      [70, 20],
      [20, 20],
      [20, 100],
      [0, 100],
    ];
    expect(pointInOutline(labelPoint(shoe), shoe)).toBe("inside");
    expect(boundingBox(shoe)).toEqual({ minX: 0, minY: 0, maxX: 90, maxY: 100 });
  });
});

describe("polylines", () => {
  const line: Point[] = [
    [0, 0],
    [3, 4],
    [3, 14],
  ];
  it("measures, slices and resamples by arc length [oracle: closed form]", () => {
    expect(polylineLength(line)).toBe(15);
    expect(stationAt(line, 10).point).toEqual([3, 9]);
    expect(polylineLength(slicePolyline(line, 2, 11))).toBeCloseTo(9, 12);
    expect(resamplePolyline(line, 5)).toEqual([
      [0, 0],
      [3, 4],
      [3, 9],
      [3, 14],
    ]);
  });
  it("simplifies within its tolerance [invariant]", () => {
    const random = createRandom(3);
    const wavy = Array.from({ length: 200 }, (_, i): Point => [i, 5 * Math.sin(i / 9) + random()]);
    const few = simplifyPolyline(wavy, 1);
    expect(few.length).toBeLessThan(100);
    for (const p of wavy) {
      let near = Infinity;
      for (let i = 1; i < few.length; i++) near = Math.min(near, distanceOf(p, few[i - 1], few[i]));
      expect(near).toBeLessThanOrEqual(1 + 1e-9);
    }
  });
});

function distanceOf(p: Point, a: Point, b: Point): number {
  const t = Math.max(
    0,
    Math.min(
      1,
      ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) /
        ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2),
    ),
  );
  return Math.hypot(p[0] - a[0] - t * (b[0] - a[0]), p[1] - a[1] - t * (b[1] - a[1]));
}

describe("meshTopology", () => {
  const tetra = [0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3];
  const positions = { length: 12 };
  it("a closed ball has Euler number 2 and no border [oracle: Euler]", () => {
    const topology = meshTopology({ triangles: Uint32Array.from(tetra), positions });
    expect(topology.euler).toBe(2);
    expect(topology.loops).toEqual([]);
    expect([...topology.twin].every((twin, h) => topology.twin[twin] === h)).toBe(true);
  });
  it("names flipped, crowded and unused parts", () => {
    const flipped = meshTopology({
      triangles: Uint32Array.from([0, 1, 2, 1, 3, 2, 0, 1, 3].slice(0, 6).concat([0, 1, 3])),
      positions: { length: 15 },
    });
    expect(flipped.unusedVertices).toEqual([4]);
    expect(flipped.inconsistentEdges.length).toBeGreaterThan(0);
    const fan = meshTopology({
      triangles: Uint32Array.from([0, 1, 2, 1, 0, 3, 0, 1, 4]),
      positions: { length: 15 },
    });
    expect(fan.nonManifoldEdges).toHaveLength(1);
    const bowTie = meshTopology({
      triangles: Uint32Array.from([0, 1, 2, 0, 3, 4]),
      positions: { length: 15 },
    });
    expect(bowTie.nonManifoldVertices).toEqual([0]);
  });
});

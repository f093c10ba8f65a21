import { describe, expect, it } from "vitest";
import { createRandom, placePoints, type Point } from "@peltry/geometry";
import GeometryFactory from "jsts/org/locationtech/jts/geom/GeometryFactory.js";
import Coordinate from "jsts/org/locationtech/jts/geom/Coordinate.js";
import DistanceOp from "jsts/org/locationtech/jts/operation/distance/DistanceOp.js";
import { checkLayout, type FabricPiece, type LayoutPanel, type Placement } from "../src/index";
import { clear, insideClosed, outsideClosed, ring } from "../src/internal/exact-rings";
import { blob } from "./blob";

const square = (size: number): Point[] => [
  [0, 0],
  [size, 0],
  [size, size],
  [0, size],
];
const cloth: FabricPiece = { id: "cloth", width: 300, length: 300 };

function placed(panel: LayoutPanel, x: number, y: number, more: Partial<Placement> = {}): Placement {
  const turn = more.turn ?? 0;
  const outline = placePoints(panel.outline, (turn * Math.PI) / 180, x, y);
  return {
    panel: panel.id,
    copy: 1,
    piece: "cloth",
    rotation: turn,
    turn,
    mirrored: false,
    x,
    y,
    outline,
    ...more,
  };
}

const a: LayoutPanel = { id: "a", outline: square(50) };
const b: LayoutPanel = { id: "b", outline: square(50) };
const codes = (panels: LayoutPanel[], placements: Placement[], options = {}, piece = cloth): string[] =>
  checkLayout(panels, [piece], placements, options).map((issue) => issue.code);

describe("checkLayout", () => {
  it("checkLayout › passes a gap of 2.000 and fails 1.999 [oracle: arithmetic]", () => {
    const at = (gap: number) => codes([a, b], [placed(a, 10, 10), placed(b, 60 + gap, 30)], { gap: 2 });
    expect(at(2)).toEqual([]);
    expect(at(1.999)).toEqual(["layout/check-gap"]);
    // Corner to corner: 3-4-5 triangle.
    const corner = (dx: number) => codes([a, b], [placed(a, 10, 10), placed(b, 60 + dx, 64)], { gap: 5 });
    expect(corner(3)).toEqual([]);
    expect(corner(2.999)).toEqual(["layout/check-gap"]);
  });

  it("checkLayout › fails touching panels, passes 0.001 mm [oracle: arithmetic]", () => {
    expect(codes([a, b], [placed(a, 0, 0), placed(b, 50, 0)])).toEqual(["layout/check-gap"]);
    expect(codes([a, b], [placed(a, 0, 0), placed(b, 50.001, 0)])).toEqual([]);
    expect(codes([a, b], [placed(a, 0, 0), placed(b, 0, 0)])).toEqual(["layout/check-gap"]);
  });

  it("checkLayout › keeps panels on the cloth, off holes and poor cloth [oracle: arithmetic]", () => {
    expect(codes([a], [placed(a, 250, 250)])).toEqual([]);
    expect(codes([a], [placed(a, 250.001, 0)])).toEqual(["layout/check-edge"]);
    expect(codes([a], [placed(a, 245, 245)], { edgeGap: 5 })).toEqual([]);
    expect(codes([a], [placed(a, 245.001, 5)], { edgeGap: 5 })).toEqual(["layout/check-edge"]);
    expect(codes([a], [placed(a, 400, 400)])).toEqual(["layout/check-edge"]);
    const hole = placePoints(square(20), 0, 60, 60);
    const holed = { ...cloth, holes: [hole] };
    expect(codes([a], [placed(a, 10, 10)], {}, holed)).toEqual([]);
    expect(codes([a], [placed(a, 10.001, 10.001)], {}, holed)).toEqual(["layout/check-hole"]);
    expect(codes([a], [placed(a, 45, 45)], {}, holed)).toEqual(["layout/check-hole"]);
    expect(codes([a], [placed(a, 8, 8)], { edgeGap: 3 }, holed)).toEqual(["layout/check-hole"]);
    const zoned = { ...cloth, zones: [{ outline: hole, quality: 1 }] };
    expect(codes([a], [placed(a, 45, 45)], {}, zoned)).toEqual(["layout/check-quality"]);
    expect(codes([{ ...a, minQuality: 1 }], [placed(a, 45, 45)], {}, zoned)).toEqual([]);
  });

  it("checkLayout › holds turns, hands, fabrics, pieces and counts to the rules [oracle: one fault each]", () => {
    expect(codes([a], [placed(a, 100, 100, { turn: 90 })])).toEqual(["layout/check-rotation"]);
    expect(codes([{ ...a, rotations: [0, 90] }], [placed(a, 100, 100, { turn: 90 })])).toEqual([]);
    expect(codes([{ ...a, rotations: "free" }], [placed(a, 100, 100, { turn: 37.5 })])).toEqual([]);
    expect(codes([a], [placed(a, 100, 100, { rotation: 0, turn: 90 })])).toEqual(["layout/check-rotation"]);
    expect(codes([{ ...a, fabric: "fur" }], [placed(a, 0, 0)], {}, { ...cloth, fabric: "felt" })).toEqual([
      "layout/check-fabric",
    ]);
    expect(codes([{ ...a, piece: "other" }], [placed(a, 0, 0)])).toEqual(["layout/check-bound"]);
    expect(codes([a, b], [placed(a, 0, 0)])).toEqual(["layout/check-count", "layout/check-count"]);
    expect(codes([a], [placed(a, 0, 0), placed(a, 100, 100)])).toContain("layout/check-count");
    expect(codes([a], [placed({ ...a, outline: square(49) }, 0, 0)])).toEqual(["layout/check-outline"]);
    expect(codes([a], [placed({ ...a, id: "ghost" }, 0, 0)])).toContain("layout/check-unknown");
    const hooked: LayoutPanel = {
      id: "a",
      outline: [
        [0, 0],
        [60, 0],
        [60, 20],
        [20, 20],
        [20, 90],
        [0, 90],
      ],
    };
    const mirror = hooked.outline.map(([x, y]): Point => [-x, y]).reverse();
    const flipped = placed({ ...hooked, outline: mirror }, 100, 100, { mirrored: true });
    expect(codes([hooked], [flipped], { unplaced: [] })).toContain("layout/check-mirror");
    expect(codes([{ ...hooked, mirrored: true }], [placed(hooked, 0, 0), flipped])).toEqual([]);
    expect(
      codes(
        [{ ...hooked, mirrored: true }],
        [placed(hooked, 0, 0), { ...placed(hooked, 100, 100), mirrored: true }],
      ),
    ).toEqual(["layout/check-outline"]);
  });

  it("checkLayout › agrees with a second geometry library on distances [oracle: JTS port]", () => {
    const factory = new GeometryFactory();
    const polygon = (points: readonly Point[]) =>
      factory.createPolygon(
        factory.createLinearRing([...points, points[0]].map(([x, y]) => new Coordinate(x, y))),
      );
    const random = createRandom(77);
    let close = 0;
    for (let k = 0; k < 400; k++) {
      const p = blob(random, 4 + Math.floor(random() * 12), 100);
      const q = placePoints(
        blob(random, 4 + Math.floor(random() * 12), 100),
        0,
        (random() - 0.5) * 220,
        (random() - 0.5) * 220,
      ).map(([x, y]): Point => [Math.round(x * 1000) / 1000, Math.round(y * 1000) / 1000]);
      const distance: number = DistanceOp.distance(polygon(p), polygon(q));
      expect(clear(ring(p), ring(q), 0n)).toBe(distance > 0);
      if (distance === 0) continue;
      close++;
      const gap = BigInt(Math.floor(distance * 1000 - 1e-6));
      expect(clear(ring(p), ring(q), gap)).toBe(true);
      expect(clear(ring(p), ring(q), gap + 2n)).toBe(false);
    }
    expect(close).toBeGreaterThan(50);
  });

  it("insideClosed, outsideClosed › decide touching rings, corners and sides alike [oracle: drawn cases]", () => {
    const at = (points: Point[], x: number, y: number) => ring(placePoints(points, 0, x, y));
    const notch: Point[] = [
      [0, 0],
      [30, 0],
      [30, 30],
      [20, 30],
      [20, 10],
      [10, 10],
      [10, 30],
      [0, 30],
    ];
    expect(insideClosed(at(square(10), 0, 0), at(square(30), 0, 0))).toBe(true);
    expect(insideClosed(at(square(30), 0, 0), at(square(30), 0, 0))).toBe(true);
    expect(insideClosed(at(square(10), 10, 10), at(notch, 0, 0))).toBe(false);
    expect(outsideClosed(at(square(10), 10, 10), at(notch, 0, 0))).toBe(true);
    expect(outsideClosed(at(square(10), 10, 5), at(notch, 0, 0))).toBe(false);
    expect(outsideClosed(at(square(30), 0, 0), at(square(30), 0, 0))).toBe(false);
    expect(
      insideClosed(
        at(
          [
            [0, 0],
            [30, 0],
            [30, 5],
            [0, 5],
          ],
          0,
          12,
        ),
        at(notch, 0, 0),
      ),
    ).toBe(false);
    const diamond: Point[] = [
      [10, 0],
      [20, 10],
      [10, 20],
      [0, 10],
    ];
    expect(insideClosed(at(diamond, 0, 0), at(square(20), 0, 0))).toBe(true);
    expect(outsideClosed(at(diamond, 0, 0), at(square(20), 0, 0))).toBe(false);
  });
});

import { distance, pointInOutline, signedArea, type Point } from "@peltry/geometry";
import type { Dart, Edge } from "@peltry/pattern";
import { describe, expect, it } from "vitest";
import { foldedDart } from "../src/internal/folded-dart";
import { notchMarks, notchStrokes, onCutLine } from "../src/internal/notch-marks";

/** A frame of one's own, so that no coordinate is zero by chance: turned by 30 degrees and carried away. */
const [COS, SIN] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
const put = ([x, y]: Point): Point => [40 + COS * x - SIN * y, 70 + SIN * x + COS * y];
const back = ([x, y]: Point): Point => [COS * (x - 40) + SIN * (y - 70), COS * (y - 70) - SIN * (x - 40)];

describe("a folded dart in a straight edge", () => {
  const [half, high] = [15, 80];
  const beta = Math.atan(half / high);
  const tip = put([0, high]);
  const corners = [put([-half, 0]), put([half, 0])] as const;
  const legs: readonly [Edge, Edge] = [
    { id: "in", role: "dart", points: [corners[0], tip] },
    { id: "out", role: "dart", points: [tip, corners[1]] },
  ];
  const dart: Dart = { id: "d", legs: ["in", "out"], tip, intake: 30, length: high, cut: false };
  /** Panel over a straight edge, with another allowance on each side of the dart. */
  const base = (left: number, right: number): Point[] =>
    (
      [
        [-100, -left],
        [-half, -left],
        [-half, 0],
        [0, high],
        [half, 0],
        [half, -right],
        [100, -right],
        [100, 120],
        [-100, 120],
      ] as Point[]
    ).map(put);

  it.each([
    ["before", 10, 6],
    ["before", 6, 10],
    ["after", 10, 6],
    ["after", 6, 10],
  ] as const)(
    "pressed towards the edge %s it, peaks at (h + a) / cos 2β from its tip [closed form; %i, %i mm]",
    (pressed, left, right) => {
      const { pieces, result } = foldedDart(dart, legs, [base(left, right)], 20, pressed);
      const a = pressed === "after" ? right : left;
      const peak = back(result.peak);
      // The seal widens the pieces by 0.01 mm.
      expect(peak[0]).toBeCloseTo(0, 1);
      expect(high - peak[1]).toBeCloseTo((high + a) / Math.cos(2 * beta), 1);
      expect(result).toMatchObject({ dart: "d", pressed, tip });
      expect(result.mouth).toEqual([...corners]);
      const [open, near, opposite] = pieces;
      expect(pieces).toHaveLength(3);
      // The wedge itself, and on either side of its middle a triangle of tip, foot on the neighbour's cut line, and peak.
      expect(signedArea(open)).toBeCloseTo(half * high, 6);
      const triangle = (0.5 * (high + a) ** 2 * Math.sin(beta)) / (Math.cos(beta) * Math.cos(2 * beta));
      for (const piece of [near, opposite]) {
        expect(signedArea(piece)).toBeGreaterThan(triangle);
        expect(signedArea(piece)).toBeLessThan(triangle + 3);
        expect(piece.some((p) => distance(p, tip) < 0.05)).toBe(true);
      }
      const sides = [near, opposite].map((piece) =>
        Math.sign(
          back(piece.reduce((far, p) => (Math.abs(back(p)[0]) > Math.abs(back(far)[0]) ? p : far)))[0],
        ),
      );
      expect(sides).toEqual(pressed === "after" ? [1, -1] : [-1, 1]);
    },
  );

  it("leaves out cloth that only reaches into the wedge from elsewhere", () => {
    // A flap far down that, mirrored in the leg, would lie across the mouth, apart from the rest.
    const far = put([0, -60]);
    const flap: Point[] = [put([40, -70]), put([60, -70]), put([60, -50]), put([40, -50])];
    const plain = foldedDart(dart, legs, [base(8, 8)], 80, "after");
    const { pieces } = foldedDart(dart, legs, [base(8, 8), flap], 80, "after");
    expect(pieces).toEqual(plain.pieces);
    for (const piece of pieces) expect(pointInOutline(far, piece)).toBe("outside");
  });

  it("stands still for a dart without a mouth", () => {
    const shut: readonly [Edge, Edge] = [
      { id: "in", role: "dart", points: [corners[0], tip] },
      { id: "out", role: "dart", points: [tip, corners[0]] },
    ];
    const { result } = foldedDart({ ...dart, intake: 0 }, shut, [base(8, 8)], 20, "after");
    expect(result.peak.every(Number.isFinite)).toBe(true);
  });
});

describe("notches", () => {
  const edge: Edge = {
    ...{ id: "e", role: "seam", points: [put([0, 0]), put([100, 0])] },
    notches: [
      { at: 20, kind: "single", match: "m" },
      { at: 70, kind: "double" },
    ],
  };
  const cutLine = (width: number): Point[] => [
    put([-20, -width]),
    put([120, -width]),
    put([120, 50]),
    put([-20, 50]),
  ];
  const flat = (strokes: readonly (readonly Point[])[]) =>
    strokes.map((stroke) => stroke.map((p) => back(p).map((x) => Math.round(1e6 * x) / 1e6 + 0)));

  it("stand on the cut line square to the sew line, two of a kind 6 mm apart [by hand]", () => {
    const [single, double] = notchMarks(edge, 10, [cutLine(10)], {});
    expect(back(single.cut)[0]).toBeCloseTo(20, 9);
    expect(back(single.cut)[1]).toBeCloseTo(-10, 9);
    expect(single).toMatchObject({ edge: "e", at: 20, kind: "single", match: "m", shape: "slit", depth: 4 });
    expect(double).not.toHaveProperty("match");
    expect(flat(single.strokes)).toEqual([
      [
        [20, -10],
        [20, -6],
      ],
    ]);
    expect(flat(double.strokes)).toEqual([
      [
        [67, -10],
        [67, -6],
      ],
      [
        [73, -10],
        [73, -6],
      ],
    ]);
  });
  it("are a tick inside the sew line where nothing or less than 2 mm is added, and cut from 2 mm on, half as deep at most", () => {
    const bare = notchMarks(edge, 0, [cutLine(0)], { notch: "v-in", notchDepth: 9 })[0];
    expect(bare).toMatchObject({ shape: "tick", depth: 4 });
    expect(bare.cut).toEqual(bare.sew);
    expect(flat(bare.strokes)).toEqual([
      [
        [20, 0],
        [20, 4],
      ],
    ]);
    expect(notchMarks(edge, 1.9, [cutLine(1.9)], {})[0].shape).toBe("tick");
    expect(notchMarks(edge, 2, [cutLine(2)], {})[0]).toMatchObject({ shape: "slit" });
    expect(notchMarks(edge, 2, [cutLine(2)], {})[0].depth).toBeCloseTo(1, 9);
    expect(notchMarks(edge, 20, [cutLine(20)], { notchDepth: 7 })[0].depth).toBe(7);
  });
  it("lie on the nearest cut line outside, farther where strips have merged, at the width where there is none [by hand]", () => {
    const [sew, out]: Point[] = [put([20, 0]), [SIN, -COS]];
    const at = (lines: Point[][]): number => -back(onCutLine(sew, out, 10, lines))[1];
    expect(at([cutLine(10)])).toBeCloseTo(10, 9);
    expect(at([cutLine(30), cutLine(14)])).toBeCloseTo(14, 9);
    expect(at([])).toBeCloseTo(10, 9);
    // A line that the way out passes beside, one behind, and one nearer than the width count for nothing.
    expect(at([[put([30, -12]), put([90, -12]), put([90, -40])]])).toBeCloseTo(10, 9);
    expect(at([[put([-20, 12]), put([90, 12]), put([30, 40])]])).toBeCloseTo(10, 9);
    expect(at([[put([-20, -3]), put([90, -3]), put([90, -5]), put([-20, -5])], cutLine(25)])).toBeCloseTo(
      25,
      9,
    );
  });
  it("have the lines of their kind, inward save one [by hand; kinds: ASTM D6673-10]", () => {
    const lines = (shape: Parameters<typeof notchStrokes>[0]) =>
      flat(notchStrokes(shape, put([50, -10]), [COS, SIN], 4));
    expect(lines("slit")).toEqual([
      [
        [50, -10],
        [50, -6],
      ],
    ]);
    expect(lines("v-in")).toEqual([
      [
        [48, -10],
        [50, -6],
        [52, -10],
      ],
    ]);
    expect(lines("v-out")).toEqual([
      [
        [48, -10],
        [50, -14],
        [52, -10],
      ],
    ]);
    expect(lines("t")).toEqual([
      [
        [50, -10],
        [50, -6],
      ],
      [
        [48, -6],
        [52, -6],
      ],
    ]);
    expect(lines("castle")).toEqual([
      [
        [48, -10],
        [48, -6],
        [52, -6],
        [52, -10],
      ],
    ]);
    expect(lines("check")).toEqual([
      [
        [50, -10],
        [50, -6],
        [52, -10],
      ],
    ]);
  });
});

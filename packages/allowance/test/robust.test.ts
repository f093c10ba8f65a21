import fc from "fast-check";
import {
  distanceToSegment,
  mirrorOutline,
  perimeter,
  placePoints,
  signedArea,
  type Point,
} from "@peltry/geometry";
import { isPeltryError } from "@peltry/issues";
import type { Edge, EdgeRole, Panel } from "@peltry/pattern";
import { describe, expect, it } from "vitest";
import { addAllowance, addPatternAllowance, usualAllowance, type AllowanceRules } from "../src/index";
import { invalidity, leastDistance, uncovered } from "./referee";
import { circle, edge, inEdges, polygon, randomStar } from "./shapes";

const SHEET: Panel = {
  ...{ id: "sheet", name: "sheet", fabric: "felt", darts: [], markings: [], count: 1, mirrored: false },
  edges: polygon([
    [0, 0],
    [90, 0],
    [90, 60],
    [0, 60],
  ]),
};
const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    return isPeltryError(error) ? error.code : String(error);
  }
  return "none";
};
const codes = (made: ReturnType<typeof addAllowance>): string[] => made.issues.map((issue) => issue.code);

const pairs = (...numbers: number[]): Point[] =>
  Array.from({ length: numbers.length / 2 }, (_, i): Point => [numbers[2 * i], numbers[2 * i + 1]]);

describe("addAllowance on hard outlines", () => {
  it("takes 20,000 points [referee: JSTS]", () => {
    const n = 20_000;
    const outline = Array.from({ length: n }, (_, i): Point => {
      const t = (2 * Math.PI * i) / n;
      const r = 300 + 80 * Math.sin(9 * t) + 6 * Math.sin(90 * t);
      return [r * Math.cos(t), r * Math.sin(t)];
    });
    const edges = inEdges(outline, 12);
    const made = addAllowance(edges, { edges: Object.fromEntries(edges.map((one, i) => [one.id, 4 + i])) });
    expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
    expect(uncovered(edges, made)).toEqual([]);
  });

  it("goes round a spike, thin or of no width at all [referee: JSTS]", () => {
    for (const gap of [0, 1e-5, 0.01, 1]) {
      const outline: Point[] = [
        [0, 0],
        [100, 0],
        [100, 60],
        [50 + gap, 60],
        [50, 110],
        [50 - gap, 60],
        [0, 60],
      ];
      const one = [edge("all", [...outline, outline[0]])];
      const made = addAllowance(one, 9);
      expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
      expect(leastDistance(made.cutLine, made.sewLine)).toBeGreaterThan(8.99);
      expect(Math.max(...made.cutLine.map((p) => p[1]))).toBeCloseTo(119, 1);
      const split = addAllowance(polygon(outline), 9);
      expect(invalidity(split.cutLine, split.holes)).toBeUndefined();
      expect(leastDistance(split.cutLine, split.sewLine)).toBeGreaterThan(8.99);
      // Cut off at four times the width, not run out to a point.
      expect(Math.max(...split.cutLine.map((p) => p[1]))).toBeLessThan(110 + 36.1);
    }
  });

  it("draws a smooth line along points that jitter by a hundredth of a millimetre [referee: JSTS]", () => {
    const outline = circle(100, 3000).map(([x, y], i): Point => [x * (1 + ((i * 7919) % 13) * 1e-5), y]);
    const one = [edge("all", [...outline, outline[0]])];
    const made = addAllowance(one, 15);
    expect(leastDistance(made.cutLine, made.sewLine)).toBeGreaterThan(14.99);
    expect(Math.max(...made.cutLine.map((p) => Math.hypot(...(p as [number, number]))))).toBeLessThan(115.05);
    expect(made.merges).toEqual([]);
  });

  it("takes points nearly in line, and tiny panels far from the origin [closed form]", () => {
    const line: Point[] = [
      [0, 0],
      [30, 1e-7],
      [60, -1e-7],
      [100, 0],
      [100, 50],
      [0, 50],
    ];
    expect(signedArea(addAllowance(polygon(line), 10).cutLine)).toBeCloseTo(120 * 70, 3);
    const tiny = polygon([
      [1e5, -2e5],
      [1e5 + 0.5, -2e5],
      [1e5 + 0.5, -2e5 + 0.5],
      [1e5, -2e5 + 0.5],
    ]);
    const made = addAllowance(tiny, 10);
    expect(signedArea(made.cutLine)).toBeCloseTo(20.5 ** 2, 2);
    expect(invalidity(made.cutLine)).toBeUndefined();
  });

  it("holds combs, spirals and stars of any width without crossing [referee: JSTS, 60 random]", () => {
    const comb = (teeth: number, gap: number): Point[] => {
      const out: Point[] = [
        [0, 0],
        [teeth * 2 * gap, 0],
      ];
      for (let i = teeth; i > 0; i--) {
        const x = i * 2 * gap;
        out.push([x, 80], [x - gap, 80 - (i % 3)], [x - gap, 20], [x - 2 * gap + 1e-3, 20]);
      }
      return out;
    };
    const spiral = (turns: number, pitch: number): Point[] => {
      const side = (shift: number): Point[] =>
        Array.from({ length: 40 * turns }, (_, i) => {
          const t = 1 + (i * Math.PI) / 20;
          const r = (pitch * t) / (2 * Math.PI) + shift;
          return [r * Math.cos(t), r * Math.sin(t)];
        });
      return [...side(pitch * 0.6), ...side(0).reverse()];
    };
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e6 }),
        fc.double({ min: 0.5, max: 60, noNaN: true }),
        (seed, width) => {
          const size = 5 + (seed % 40);
          const outline = [
            comb(2 + (seed % 6), size),
            spiral(1 + (seed % 4), size),
            randomStar(seed, 5 + (seed % 200), 150),
          ][seed % 3];
          const edges = seed % 2 ? polygon(outline) : inEdges(outline, Math.min(7, outline.length));
          const made = addAllowance(edges, width);
          expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
          expect(leastDistance(made.cutLine, made.sewLine)).toBeGreaterThan(width - 0.01);
        },
      ),
      { seed: 3, numRuns: 60 },
    );
  });

  it("keeps all cloth where level sides all but meet, and outlines apart [referee: JSTS, found by fuzzing]", () => {
    const at = (points: Point[][], widths: number[], rules: AllowanceRules): void => {
      const edges = points.map((one, i) => edge(`e${i}`, one));
      const made = addAllowance(edges, {
        ...rules,
        edges: Object.fromEntries(widths.map((w, i) => [`e${i}`, w])),
      });
      expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
      expect(uncovered(edges, made)).toEqual([]);
    };
    // The union lost a corner of 0.2 mm here.
    const bay: Point[][] = [
      [
        [0, 0],
        [400, 0],
      ],
      [
        [400, 0],
        [400, 20],
        [398.7503, 19.99962],
        [397.5003, 19.99967],
      ],
      [
        [397.5003, 19.99967],
        [396.2497, 19.99984],
        [395, 20],
        [395, 30],
      ],
      [
        [395, 30],
        [396.25, 30],
      ],
      [
        [396.25, 30],
        [397.5, 30],
        [398.75, 30],
        [400, 30],
        [400, 40],
        [380, 40],
      ],
      [
        [380, 40],
        [380, 50],
        [0, 50],
      ],
      [
        [0, 50],
        [0, 0],
      ],
    ];
    at(bay, [0.5, 12, 25, 0, 3, 10, 3], { corner: "squared-to-before", mitreLimit: 8.656 });
    // A pocket as thin as the grid crossed the cut line here.
    const sliver: Point[][] = [
      [
        [-10.258892973201068, 92.3693412741063],
        [-8.231928194835286, 88.22696336825497],
        [0.43959114845510516, 81.96058179415637],
        [12.454212775137268, 79.4569664370178],
      ],
      [
        [12.454212775137268, 79.4569664370178],
        [30.284363041530703, 91.0934715313111],
        [34.86051636672961, 126.63411057698133],
      ],
      [
        [34.86051636672961, 126.63411057698133],
        [8.650287271698248, 98.93011577126856],
        [-10.258892973201068, 92.3693412741063],
      ],
    ];
    const thin = addAllowance(
      sliver.map((one, i) => edge(`e${i}`, one)),
      { edges: { e0: 30, e1: 6, e2: 0 }, corner: "turned-back" },
    );
    expect(invalidity(thin.cutLine, thin.holes)).toBeUndefined();
  });

  it("comes to an end on a hem whose flap runs back on itself [referee: JSTS, found by fuzzing]", () => {
    const run = (id: string, role: EdgeRole, points: Point[]): Edge => edge(id, points, role);
    const edges = [
      run("e0", "seam", [
        ...([
          [0, 0],
          [20, 0],
          [20, 5],
          [30, 5],
          [30, 15],
          [20, 15],
        ] as Point[]),
      ]),
      run("e1", "seam", [
        [20, 15],
        [20, 20],
        [15, 20],
      ]),
      run("e2", "hem", [
        ...([
          [15, 20],
          [15, 21],
          [20, 21],
          [20, 41],
          [30, 41],
          [30, 46],
          [25, 46],
          [25, 56],
        ] as Point[]),
      ]),
      run("e3", "opening", [
        [25, 56],
        [30, 56],
        [30, 66],
        [0, 66],
      ]),
      run("e4", "hem", [
        [0, 66],
        [0, 0],
      ]),
    ];
    const made = addAllowance(edges, { edges: { e0: 0, e1: 10, e2: 10, e3: 10, e4: 45 } });
    expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
    expect(uncovered(edges, made, ["e1", "e2", "e3", "e4"])).toEqual([]);
  });

  it("keeps a wide strip in its bay off the far side of a narrow arm, and tells that the bay closes [closed form]", () => {
    const outline: Point[] = [
      [-100, 0],
      [0, 0],
      [-86.6, -50],
      [-79.1, -63],
      [50.8, 12],
      [50.8, 60],
      [-100, 60],
    ];
    const edges = polygon(outline);
    const made = addAllowance(edges, { width: 10, edges: { e0: 40 } });
    // Between its corners the far side of the arm is cut at its own width, not at what e0 reaches over it.
    const far = made.cutLine.filter(
      ([x, y]) => distanceToSegment([x, y], [-79.1, -63], [50.8, 12]) < 39 && x > -79 && x < 40,
    );
    expect(far).toEqual([]);
    expect(uncovered(edges, made)).toEqual([]);
    expect(codes(made)).toEqual(["allowance/bay-merged"]);
    // Found by fuzzing: a strip of 8 mm over a neck of 3 mm.
    const thin = [
      pairs(3.244, 0.464, 9.332, 3.876, 18.303, 14.981, 9.8, 12.496, 2.173, 4.649, 1.429, 26.589),
      pairs(
        1.429,
        26.589,
        -1.72,
        48.285,
        -0.996,
        3.351,
        -35.135,
        37.329,
        -28.887,
        23.726,
        -3.602,
        1.353,
        -23.559,
        6.105,
        -10.118,
        -1.259,
        -7.021,
        -2.654,
        -15.035,
        -12.801,
        -2.791,
        -3.848,
      ),
      pairs(-2.791, -3.848, -19.794, -45.31, -0.538, -3.219),
      pairs(
        -0.538,
        -3.219,
        0.334,
        -3.028,
        1.045,
        -2.918,
        38,
        -40.866,
        34.079,
        -25.772,
        26.925,
        -8.063,
        31.827,
        -2.942,
        3.244,
        0.464,
      ),
    ].map((points, i) => edge(`e${i}`, points));
    const over = addAllowance(thin, { edges: { e0: 0.5, e1: 8, e2: 6, e3: 3 } });
    expect(invalidity(over.cutLine, over.holes)).toBeUndefined();
    expect(uncovered(thin, over)).toEqual([]);
    expect(codes(over)).toContain("allowance/bay-merged");
  });

  it("keeps the panel under a flap that goes all round it [referee: JSTS, found by fuzzing]", () => {
    const runs: [EdgeRole, Point[]][] = [
      [
        "hem",
        pairs(
          1.689,
          0.089,
          16.314,
          2.832,
          5.794,
          1.808,
          6.169,
          3.729,
          1.328,
          0.859,
          0.83,
          0.818,
          3.002,
          3.859,
          2.216,
          3.66,
          8.531,
          17.756,
          1.76,
          7.142,
          0.636,
          6.564,
          -0.421,
          9.78,
          -0.871,
          7.032,
          -1.07,
          3.181,
          -0.503,
          1.099,
          -0.603,
          0.927,
          -5.368,
          6.277,
          -14.821,
          12.626,
          -0.993,
          0.704,
          -12.881,
          5.842,
          -14.556,
          3.854,
          -16.241,
          2.981,
          -8.399,
          0.545,
          -13.083,
          -2.511,
          -7.476,
          -1.61,
          -4.839,
          -2.3,
          -0.836,
          -0.549,
          -1.414,
          -1.1,
          -3.305,
          -3.344,
          -0.623,
          -0.962,
          -1.679,
          -2.949,
        ),
      ],
      [
        "seam",
        pairs(
          -1.679,
          -2.949,
          -1.122,
          -2.86,
          -0.151,
          -1.027,
          -0.063,
          -8.115,
          0.127,
          -1.059,
          2.766,
          -15.391,
          2.067,
          -4.766,
        ),
      ],
      [
        "seam",
        pairs(
          2.067,
          -4.766,
          0.527,
          -1.059,
          3.437,
          -4.109,
          0.751,
          -0.679,
          9.598,
          -6.782,
          4.854,
          -2.602,
          0.976,
          -0.388,
          1.018,
          -0.188,
          1.595,
          -0.029,
          1.689,
          0.089,
        ),
      ],
    ];
    const edges = runs.map(([role, points], i) => edge(`e${i}`, points, role));
    const made = addAllowance(edges, { width: 15, roles: { hem: 15, raw: 15, opening: 15 } });
    expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
    expect(made.holes).toEqual([]);
    expect(uncovered(edges, made, ["e0", "e1"])).toEqual([]);
  });

  it("refuses a hole that a dart runs into [invariant]", () => {
    const square = (id: string, [x, y]: Point, size: number): Edge =>
      edge(id, [
        [x, y],
        [x, y + size],
        [x + size, y + size],
        [x + size, y],
        [x, y],
      ]);
    const notched: Point[] = [
      [0, 0],
      [45, 0],
      [50, 60],
      [55, 0],
      [100, 0],
      [100, 90],
      [0, 90],
    ];
    const panel = { ...SHEET, edges: polygon(notched), holes: [[square("hole", [40, 50], 20)]] };
    expect(codeOf(() => addAllowance(panel, 5))).toBe("pattern/hole-outside");
    const twice = { ...panel, holes: [[square("one", [10, 70], 10)], [square("two", [15, 65], 10)]] };
    expect(codeOf(() => addAllowance(twice, 5))).toBe("pattern/holes-meet");
    expect(codeOf(() => addAllowance({ ...panel, holes: [[square("hole", [70, 50], 20)]] }, 5))).toBe("none");
  });

  it("tells what is no panel and what are no rules [invariant]", () => {
    const wrong = [
      null,
      undefined,
      5,
      "x",
      {},
      [5],
      { ...SHEET, edges: 5 },
      { ...SHEET, edges: [{ id: "e" }] },
    ];
    for (const panel of wrong)
      expect(codeOf(() => addAllowance(panel as never, 5))).toMatch(/^pattern\/(bad-form|no-edges)$/);
    for (const rules of [null, "wide", [], { corners: 5 }, { corner: "round" }, { roles: 3 }, { notch: "" }])
      expect(codeOf(() => addAllowance(SHEET, rules as never))).toBe("allowance/bad-rule");
    for (const [rules, choices] of [
      [{ stitch: "lockstich" }, /stitch is lockstich; it is one of lockstitch, overlock, hand/],
      [{ cloth: "fur" }, /cloth is fur; it is one of woven, knit, pile, foam/],
      [{ pressing: null }, /one of open, turned/],
      [{ dartsPressed: "up" }, /one of after, before/],
      [{ corner: "round" }, /mitred, rounded/],
      [{ corners: [{ treatment: "mitre" }] }, /corners.0.treatment is mitre; it is one of mitred/],
    ] as const) {
      expect(() => addAllowance(SHEET, rules as never)).toThrow(choices);
      expect(codeOf(() => addAllowance(SHEET, rules as never))).toBe("allowance/bad-rule");
    }
    expect(() => usualAllowance("seem" as never)).toThrow(/one of seam, dart, hem/);
    expect(codeOf(() => usualAllowance("seam", { cloth: "fur" as never }))).toBe("allowance/bad-rule");
    for (const pattern of [
      null,
      5,
      {},
      { name: "", panels: [null], seams: [] },
      { name: "", panels: [SHEET] },
    ])
      expect(codeOf(() => addPatternAllowance(pattern as never))).toBe("pattern/bad-form");
  });

  it("grows inwards in holes, and says when one closes [closed form]", () => {
    const hole = (size: number) =>
      polygon([
        [20, 20],
        [20, 20 + size],
        [20 + size, 20 + size],
        [20 + size, 20],
      ]).map((one) => ({ ...one, id: `h-${one.id}` }));
    const panel = (size: number) => ({
      id: "mask",
      name: "mask",
      fabric: "felt",
      edges: polygon([
        [0, 0],
        [120, 0],
        [120, 90],
        [0, 90],
      ]),
      holes: [hole(size)],
      darts: [],
      markings: [],
      count: 1,
      mirrored: false,
    });
    const made = addAllowance(panel(40), { width: 6 });
    expect(made.holes).toHaveLength(1);
    expect(signedArea(made.holes[0])).toBeCloseTo(-28 * 28, 3);
    expect(made.issues).toEqual([]);
    for (const size of [40, 40 / 3, 100 / 7]) {
      // Without allowance the hole is cut on its own line.
      const bare = addAllowance(panel(size), { width: 6, roles: { hem: 0, raw: 0, seam: 0, opening: 0 } });
      expect(codes(bare)).toEqual([]);
    }
    const closed = addAllowance(panel(10), { width: 6 });
    expect(closed.holes).toEqual([]);
    expect(codes(closed)).toEqual(["allowance/hole-closed"]);
  });

  it("turns, mirrors and scales with its panel [metamorphic]", () => {
    const outline = randomStar(11, 40);
    const made = addAllowance(polygon(outline), { width: 7 });
    const turned = addAllowance(polygon(placePoints(outline, 1, 500, -900)), { width: 7 });
    const mirrored = addAllowance(polygon(mirrorOutline(outline)), { width: 7 });
    const double = addAllowance(polygon(outline.map(([x, y]): Point => [2 * x, 2 * y])), { width: 14 });
    for (const [other, scale] of [
      [turned, 1],
      [mirrored, 1],
      [double, 2],
    ] as const) {
      expect(signedArea(other.cutLine) / scale ** 2).toBeCloseTo(signedArea(made.cutLine), 0);
      expect(perimeter(other.cutLine) / scale).toBeCloseTo(perimeter(made.cutLine), 1);
    }
  });

  it("gives plain data, the same each time, and leaves its input alone [invariant]", () => {
    const edges = polygon(randomStar(5, 30));
    const before = JSON.stringify(edges);
    const made = addAllowance(edges, { width: 12, pileMm: 20 });
    expect(structuredClone(made)).toEqual(made);
    expect(JSON.stringify(addAllowance(edges, { width: 12, pileMm: 20 }))).toBe(JSON.stringify(made));
    expect(JSON.stringify(edges)).toBe(before);
    const frozen = polygon([
      [0, 0],
      [9, 0],
      [9, 9],
    ]).map((one) =>
      Object.freeze({ ...one, points: Object.freeze(one.points.map((p) => Object.freeze(p))) }),
    );
    expect(() => addAllowance(frozen as typeof edges, 4)).not.toThrow();
  });

  it("warns of a width past 60 mm and of one on a fold [invariant]", () => {
    const sheet = polygon([
      [0, 0],
      [90, 0],
      [90, 60],
      [0, 60],
    ]);
    expect(codes(addAllowance(sheet, 61))).toEqual(Array(4).fill("allowance/wide"));
    const folded = sheet.map((one) => (one.id === "e3" ? { ...one, role: "fold" as const } : one));
    expect(codes(addAllowance(folded, { edges: { e3: 5 } }))).toEqual(["allowance/fold-takes-none"]);
  });
});

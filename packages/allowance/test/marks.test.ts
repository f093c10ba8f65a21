import { distance, type Point } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import {
  addAllowance,
  ALLOWANCE_TABLE,
  leastRadius,
  notchesNeeded,
  usualAllowance,
  type NotchShape,
} from "../src/index";
import { leastDistance } from "./referee";
import { circle, edge, polygon } from "./shapes";

const square: Point[] = [
  [0, 0],
  [100, 0],
  [100, 60],
  [0, 60],
];

describe("notches", () => {
  const withNotches = [
    edge(
      "low",
      [
        [0, 0],
        [100, 0],
      ],
      "seam",
      {
        notches: [
          { at: 25, kind: "single", match: "m1" },
          { at: 60, kind: "double" },
        ],
      },
    ),
    edge("rest", [
      [100, 0],
      [100, 60],
      [0, 60],
      [0, 0],
    ]),
  ];
  it("stand square out from the sew line, on the cut line, no deeper than half the allowance [closed form]", () => {
    const [single, double] = addAllowance(withNotches, { width: 10 }).notches;
    expect(single).toMatchObject({
      edge: "low",
      at: 25,
      kind: "single",
      match: "m1",
      shape: "slit",
      depth: 4,
      sew: [25, 0],
    });
    expect(single.cut[0]).toBeCloseTo(25, 9);
    expect(single.cut[1]).toBeCloseTo(-10, 4);
    expect(single.strokes[0][1][1]).toBeCloseTo(-6, 4);
    expect(double.strokes.map((stroke) => Math.round(stroke[0][0]))).toEqual([57, 63]);
    expect(addAllowance(withNotches, { width: 5, notchDepth: 9 }).notches[0].depth).toBeCloseTo(2.5, 3);
  });
  it("take every shape of the interchange standard, and a tick where there is no room [source: ASTM D6673-10, layers 4 and 80 to 83]", () => {
    const count: Record<NotchShape, number> = { slit: 1, "v-in": 1, "v-out": 1, t: 2, castle: 1, check: 1 };
    for (const [shape, strokes] of Object.entries(count)) {
      const [notch] = addAllowance(withNotches, { width: 10, notch: shape as NotchShape }).notches;
      expect(notch.strokes).toHaveLength(strokes);
      const depths = notch.strokes.flat().map((p) => p[1] + 10);
      expect(shape === "v-out" ? -Math.min(...depths) : Math.max(...depths)).toBeCloseTo(4, 3);
    }
    const [tick] = addAllowance(withNotches, { width: 0 }).notches;
    expect(tick.shape).toBe("tick");
    expect(tick.cut).toEqual([25, 0]);
  });
  it("lie on the cut line on any curve [referee: JSTS]", () => {
    const ring = circle(80, 90);
    const notched = [
      edge("all", [...ring, ring[0]], "seam", {
        notches: [0, 33, 111, 250, 502].map((at) => ({ at, kind: "single" })),
      }),
    ];
    const made = addAllowance(notched, { width: 13, corner: "rounded" });
    expect(made.notches).toHaveLength(5);
    for (const { cut } of made.notches)
      expect(leastDistance([cut, cut, [cut[0] + 1e-9, cut[1]]], made.cutLine)).toBeLessThan(1e-3);
  });
});

describe("clips", () => {
  it("are needed under a / ε pressed open and 2a / ε turned [closed form: 10 mm, 15 %: 67 and 133; 3 %: 333 and 667]", () => {
    expect(leastRadius(10, 0.15, "open")).toBeCloseTo(66.667, 3);
    expect(leastRadius(10, 0.15, "turned")).toBeCloseTo(133.333, 3);
    expect(leastRadius(10, 0.03, "open")).toBeCloseTo(333.333, 3);
    expect(leastRadius(10, 0.03, "turned")).toBeCloseTo(666.667, 3);
    expect(notchesNeeded(10, Math.PI / 2, 5)).toBe(7);
  });
  const disk = (radius: number) => [edge("rim", [...circle(radius, 360), circle(radius, 360)[0]])];
  it("start exactly where the radius falls under the limit [closed form, both sides of it]", () => {
    expect(addAllowance(disk(68), { width: 10, cloth: "knit" }).clips).toEqual([]);
    const [run] = addAllowance(disk(65), { width: 10, cloth: "knit" }).clips;
    expect(run).toMatchObject({ edge: "rim", kind: "notch" });
    expect(run.radius).toBeCloseTo(65, 0);
    expect(run.limit).toBeCloseTo(66.667, 3);
    expect(addAllowance(disk(130), { width: 10, cloth: "knit", pressing: "turned" }).clips).toHaveLength(1);
    expect(addAllowance(disk(137), { width: 10, cloth: "knit", pressing: "turned" }).clips).toEqual([]);
  });
  it("notch a bulge as often as the turn asks, and snip a hollow about every 6 mm, short of the sew line [closed form]", () => {
    const arc = (from: number, to: number, radius: number): Point[] =>
      Array.from({ length: 91 }, (_, i) => {
        const t = from + ((to - from) * i) / 90;
        return [radius * Math.cos(t), radius * Math.sin(t)];
      });
    const outer = arc(0, Math.PI / 2, 60);
    const inner = arc(Math.PI / 2, 0, 30);
    const made = addAllowance(
      [
        edge("outer", outer),
        edge("end", [outer[90], inner[0]], "raw"),
        edge("inner", inner),
        edge("start", [inner[90], outer[0]], "raw"),
      ],
      { width: 8, edgeStrain: 0.1, pressing: "turned" },
    );
    const bulge = made.clips.find((run) => run.edge === "outer")!;
    const hollow = made.clips.find((run) => run.edge === "inner")!;
    expect(bulge.kind).toBe("notch");
    expect(bulge.marks.length).toBe(notchesNeeded(8, (bulge.turn * Math.PI) / 180));
    expect(hollow.kind).toBe("snip");
    expect(hollow.marks.length).toBe(Math.round((hollow.to - hollow.from) / 6));
    expect(hollow.to - hollow.from).toBeCloseTo(15 * Math.PI, 0);
    for (const mark of hollow.marks) {
      expect(distance([0, 0], mark[0])).toBeCloseTo(22, 1);
      expect(distance([0, 0], mark[1])).toBeCloseTo(28, 1);
    }
  });
  it("snip once into an inner corner and leave a sharp outer one alone [invariant]", () => {
    const step = polygon([
      [0, 0],
      [80, 0],
      [80, 30],
      [40, 30],
      [40, 60],
      [0, 60],
    ]);
    const { clips } = addAllowance(step, { width: 10, cloth: "knit" });
    expect(clips).toHaveLength(1);
    expect(clips[0]).toMatchObject({ edge: "e2", kind: "snip", radius: 0, turn: 90 });
    expect(clips[0].marks[0][0]).toEqual([expect.closeTo(50, 6), expect.closeTo(40, 6)]);
    const oneEdge = [edge("all", [...step.map((one) => one.points[0]), [0, 0]])];
    expect(addAllowance(oneEdge, { width: 10, cloth: "knit" }).clips).toHaveLength(1);
  });
});

describe("trim strips", () => {
  it("cover the allowance and nothing of the panel, where there is a pile [closed form: area of a strip]", () => {
    const made = addAllowance(polygon(square), { width: 10, pileMm: 30 });
    expect(made.trimStrips.map((strip) => strip.edge)).toEqual(["e0", "e1", "e2", "e3"]);
    const [low] = made.trimStrips[0].outlines;
    expect(Math.min(...low.map((p) => p[1]))).toBeCloseTo(-10, 4);
    expect(Math.max(...low.map((p) => p[1]))).toBeCloseTo(0, 4);
    // Its ends lie on the cut edges of its neighbours, a width past the sew line's corners.
    const wide = (points: readonly Point[]): number =>
      Math.max(...points.map((p) => p[0])) - Math.min(...points.map((p) => p[0]));
    expect(wide(low) - wide(square)).toBeCloseTo(20, 4);
    expect(addAllowance(polygon(square), { width: 10 }).trimStrips).toEqual([]);
  });
});

describe("usualAllowance", () => {
  it("stays in the range that each row cites, and every row says where it comes from [source: the rows themselves]", () => {
    for (const row of ALLOWANCE_TABLE) {
      expect(row.width).toBeGreaterThanOrEqual(row.low);
      expect(row.width).toBeLessThanOrEqual(row.high);
      expect(row.high).toBeLessThanOrEqual(60);
      expect(row.source).not.toBe("");
    }
    expect(new Set(ALLOWANCE_TABLE.map((row) => row.id)).size).toBe(ALLOWANCE_TABLE.length);
  });
  it("prefers the stitch to the cloth, and the cloth to the role alone [invariant]", () => {
    expect(usualAllowance("seam").id).toBe("seam");
    expect(usualAllowance("seam", { cloth: "pile" }).id).toBe("seam-pile");
    expect(usualAllowance("seam", { cloth: "pile", stitch: "overlock" }).id).toBe("seam-overlock");
    expect(usualAllowance("fold", { cloth: "pile" }).width).toBe(0);
    // 15 mm is the usual home width: Wikipedia, Seam allowance.
    expect(usualAllowance("seam").width).toBe(15);
  });
  it("is what an edge gets when no rule names it [invariant]", () => {
    const roles = ["seam", "hem", "fold", "opening"] as const;
    const panel = polygon(square).map((one, i) => ({ ...one, role: roles[i] }));
    const made = addAllowance(panel, { cloth: "pile" });
    expect(made.widths.map((one) => [one.from, one.width])).toEqual([
      ["seam-pile", 8],
      ["hem-pile", 20],
      ["fold", 0],
      ["opening", 18],
    ]);
    expect(addAllowance(panel, { width: 12 }).widths.map((one) => one.width)).toEqual([12, 12, 0, 12]);
  });
});

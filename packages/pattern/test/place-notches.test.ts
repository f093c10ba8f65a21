import { polylineLength, type Point } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import {
  checkPattern,
  curvaturePeaks,
  findEdge,
  placeNotches,
  type Edge,
  type Panel,
  type Pattern,
} from "../src/index";
import { edge, panel, twoStrips } from "./fixtures";

/** Two panels joined along one edge each: side a up the right of one, side b down the left of the other. */
function sewn(sideA: Point[], sideB: Point[], seam: Partial<Pattern["seams"][number]> = {}): Pattern {
  const [a0, a1] = [sideA[0], sideA[sideA.length - 1]];
  const [b0, b1] = [sideB[0], sideB[sideB.length - 1]];
  return {
    ...twoStrips(),
    fabrics: [{ id: "fur", name: "fur" }],
    panels: [
      panel("front", [
        edge("side", "seam", sideA, { seam: "s" }),
        edge("rest", "raw", [a1, [-400, a1[1]], [-400, a0[1]], a0]),
      ]),
      panel("back", [
        edge("side", "seam", sideB, { seam: "s" }),
        edge("rest", "raw", [b1, [400, b1[1]], [400, b0[1]], b0]),
      ]),
    ],
    seams: [
      {
        id: "s",
        letter: "A",
        a: { panel: "front", edge: "side" },
        b: { panel: "back", edge: "side" },
        reversed: true,
        matchPoints: [],
        ...seam,
      },
    ],
  };
}
const up = (height: number): Point[] => [
  [0, 0],
  [0, height],
];
const down = (height: number): Point[] => [
  [0, height],
  [0, 0],
];
const at = (pattern: Pattern): number[] => pattern.seams[0].matchPoints.map((point) => point.a);
const notched = (pattern: Pattern, id: string): Edge =>
  findEdge(
    pattern.panels.find((one) => one.id === id)!,
    "side",
  )!;

describe("placeNotches", () => {
  it("puts quarter points on a long seam, the middle on a short one, none on a tiny one [closed form]", () => {
    expect(at(placeNotches(sewn(up(400), down(400))))).toEqual([100, 200, 300]);
    expect(at(placeNotches(sewn(up(120), down(120))))).toEqual([60]);
    expect(at(placeNotches(sewn(up(60), down(60))))).toEqual([]);
  });
  it("makes both sides meet: each pair lies at one part of its side [invariant, checked by checkPattern]", () => {
    const made = placeNotches(sewn(up(400), down(400)));
    expect(notched(made, "back").notches?.map((notch) => notch.at)).toEqual([100, 200, 300]);
    expect(notched(made, "back").notches?.map((notch) => notch.match)).toEqual(["A3", "A2", "A1"]);
    expect(checkPattern(made)).toEqual([]);
  });
  it("marks the ends and the middle of an eased stretch, between the match points that are given [closed form]", () => {
    const eased = sewn(up(400), down(412), {
      matchPoints: [
        { id: "hip", a: 100, b: 312 },
        { id: "knee", a: 300, b: 100 },
      ],
      ease: { side: "b", fraction: 12 / 412 },
    });
    const made = placeNotches(eased);
    // From 100 to 300 on the first side there are 212 on the second: its quarters are 53 apart against 50.
    expect(made.seams[0].matchPoints.map((point) => [point.id, point.a, point.b])).toEqual([
      ["hip", 100, 312],
      ["A1", 150, 259],
      ["A2", 200, 206],
      ["A3", 250, 153],
      ["knee", 300, 100],
    ]);
    expect(checkPattern(made)).toEqual([]);
  });
  it("marks where a curve is tightest [closed form: the crown of a bend]", () => {
    const bend: Point[] = [];
    for (let i = 0; i <= 60; i++) bend.push([0, i * 3]);
    for (let i = 1; i <= 30; i++) {
      const t = (i * Math.PI) / 60;
      bend.push([60 - 60 * Math.cos(t), 180 + 60 * Math.sin(t)]);
    }
    for (let i = 1; i <= 30; i++) bend.push([60 + i * 3, 240]);
    const [peak, ...others] = curvaturePeaks(bend);
    expect(others).toEqual([]);
    expect(peak).toBeGreaterThan(180 + 30 * Math.PI * 0.5 - 12);
    expect(peak).toBeLessThan(180 + 30 * Math.PI * 0.5 + 12);
    expect(curvaturePeaks(up(300))).toEqual([]);
    expect(
      curvaturePeaks([
        [0, 0],
        [1, 0],
      ]),
    ).toEqual([]);
  });
  it("keeps its distance from ends and other notches, and keeps notches of its user [invariant]", () => {
    const pattern = sewn(up(400), down(400), { matchPoints: [{ id: "m", a: 190, b: 210 }] });
    const withOwn = {
      ...pattern,
      panels: pattern.panels.map((one, i): Panel =>
        i > 0
          ? one
          : { ...one, edges: [{ ...one.edges[0], notches: [{ at: 30, kind: "double" }] }, one.edges[1]] },
      ),
    };
    const made = placeNotches(withOwn, { leastGap: 50 });
    expect(at(made)).toEqual([100, 190, 300]);
    expect(notched(made, "front").notches?.[0]).toEqual({ at: 30, kind: "double" });
  });
  it("tells two seams of like length on one panel apart by single and double [invariant]", () => {
    const tube = (): Pattern => {
      const part = (id: string, l: string, r: string): Panel =>
        panel(id, [
          edge("low", "raw", [
            [0, 0],
            [100, 0],
          ]),
          edge(
            "r",
            "seam",
            [
              [100, 0],
              [100, 300],
            ],
            { seam: r },
          ),
          edge("top", "raw", [
            [100, 300],
            [0, 300],
          ]),
          edge(
            "l",
            "seam",
            [
              [0, 300],
              [0, 0],
            ],
            { seam: l },
          ),
        ]);
      const seam = (id: string, letter: string, a: string, b: string): Pattern["seams"][number] => ({
        id,
        letter,
        a: { panel: a, edge: "r" },
        b: { panel: b, edge: "l" },
        reversed: true,
        matchPoints: [],
      });
      return {
        ...twoStrips(),
        fabrics: undefined,
        panels: [part("front", "s2", "s1"), part("back", "s1", "s2")],
        seams: [seam("s1", "A", "front", "back"), seam("s2", "B", "back", "front")],
      };
    };
    const made = placeNotches(tube());
    const kinds = made.panels.map((one) => one.edges.filter((e) => e.notches).map((e) => e.notches![0].kind));
    expect(kinds).toEqual(
      [
        ["single", "double"],
        ["single", "double"],
      ].map((pair, i) => (i ? [...pair].reverse() : pair)),
    );
    expect(placeNotches(tube(), { doubleSeams: [] }).panels[0].edges[3].notches![0].kind).toBe("single");
    expect(checkPattern(made)).toEqual([]);
  });
  it("leaves a seam without a partner as it is [failing input]", () => {
    const broken = { ...sewn(up(400), down(400)), panels: [] };
    expect(placeNotches(broken).seams).toEqual(broken.seams);
  });
  it("does not change its input [invariant]", () => {
    const pattern = sewn(up(400), down(400));
    const before = structuredClone(pattern);
    placeNotches(pattern);
    expect(pattern).toEqual(before);
    expect(polylineLength(pattern.panels[0].edges[0].points)).toBe(400);
  });
});

import { distance, type Point } from "@peltry/geometry";
import type { EdgeRole, Panel, Pattern } from "@peltry/pattern";
import { describe, expect, it } from "vitest";
import { addPatternAllowance, isPeltryError } from "../src/index";
import { invalidity, uncovered } from "./referee";
import { edge } from "./shapes";

/** Two panels sewn side to side, their tops at different slopes, so that mitres would not agree. */
function pair(topLeft = 20, topRight = 35, fabric = "fur"): Pattern {
  const panel = (id: string, rise: number, sewn: "left" | "right"): Panel => {
    const role = (side: string): EdgeRole => (side === sewn ? "seam" : "raw");
    return {
      id,
      name: id,
      fabric,
      darts: [],
      markings: [],
      count: 1,
      mirrored: false,
      pile: -90,
      edges: [
        edge(
          "bottom",
          [
            [0, 0],
            [80, 0],
          ],
          "hem",
        ),
        edge(
          "right",
          [
            [80, 0],
            [80, sewn === "right" ? 100 : 100 + rise],
          ],
          role("right"),
          sewn === "right" ? { seam: "s" } : {},
        ),
        edge(
          "top",
          [
            [80, sewn === "right" ? 100 : 100 + rise],
            [0, sewn === "right" ? 100 + rise : 100],
          ],
          "opening",
        ),
        edge(
          "left",
          [
            [0, sewn === "right" ? 100 + rise : 100],
            [0, 0],
          ],
          role("left"),
          sewn === "left" ? { seam: "s" } : {},
        ),
      ],
    };
  };
  return {
    format: "peltry-pattern",
    version: 1,
    name: "pair",
    panels: [panel("front", topLeft, "right"), panel("back", topRight, "left")],
    seams: [
      {
        id: "s",
        letter: "A",
        a: { panel: "front", edge: "right" },
        b: { panel: "back", edge: "left" },
        reversed: true,
        matchPoints: [],
      },
    ],
    fabrics: [
      { id: "fur", name: "grey fur", pileMm: 25 },
      { id: "felt", name: "felt" },
    ],
  };
}

describe("addPatternAllowance", () => {
  it("cuts the same corner on both sides of a seam when asked [referee: the panels laid seam to seam]", () => {
    const rules = { roles: { seam: 9, opening: 14, hem: 20, raw: 5 } };
    const loose = addPatternAllowance(pair(), rules);
    const matched = addPatternAllowance(pair(), { ...rules, matchEnds: true });
    const top = (made: typeof loose) => made.seamEnds.find((end) => end.end === "last")!;
    expect(top(loose).gap).toBeGreaterThan(0.8);
    expect(top(matched).gap).toBeCloseTo(0, 9);
    expect(top(matched).a).toBeCloseTo(14 / Math.cos(Math.atan2(35, 80)), 6);
    // Right sides together: the back panel is flipped about its seam and laid on the front's.
    const [front, back] = matched.panels;
    const flipped = back.cutLine.map(([x, y]): Point => [80 - x, y]);
    const corner: Point = [89, 100 + top(matched).a];
    const nearest = (line: readonly Point[]): number => Math.min(...line.map((p) => distance(p, corner)));
    expect(nearest(front.cutLine)).toBeLessThan(2e-4);
    expect(nearest(flipped)).toBeLessThan(2e-4);
    for (const [i, made] of matched.panels.entries()) {
      expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
      expect(uncovered(pair().panels[i], made, ["bottom"])).toEqual([]);
    }
    expect(matched.issues.filter((issue) => issue.severity !== "note")).toEqual([]);
  });
  it("takes defaults from the pile of each fabric, and rules of single panels [source: ALLOWANCE_TABLE]", () => {
    const [front, back] = addPatternAllowance(pair(), { panels: { back: { roles: { seam: 12 } } } }).panels;
    expect(front.widths.find((one) => one.edge === "right")).toMatchObject({ width: 8, from: "seam-pile" });
    expect(back.widths.find((one) => one.edge === "left")).toMatchObject({ width: 12, from: "rule" });
    expect(front.trimStrips.length).toBeGreaterThan(0);
    expect(front.panel).toBe("front");
    const [felt] = addPatternAllowance(pair(0, 0, "felt")).panels;
    expect(felt.widths.find((one) => one.edge === "right")).toMatchObject({ width: 15, from: "seam" });
    expect(felt.trimStrips).toEqual([]);
  });
  it("tells of sides with unlike widths [invariant]", () => {
    const { issues } = addPatternAllowance(pair(), { panels: { back: { edges: { left: 3 } } }, width: 10 });
    expect(issues.find((issue) => issue.code === "allowance/seam-widths-differ")).toMatchObject({
      at: { seam: "s", panel: "front", edge: "right" },
      found: 7,
    });
  });
  it("stops at a seam without a partner, naming panel and edge [failing input]", () => {
    const pattern = pair();
    try {
      addPatternAllowance({ ...pattern, panels: pattern.panels.slice(0, 1) });
      expect.unreachable();
    } catch (error) {
      if (!isPeltryError(error)) throw error;
      expect(error.code).toBe("pattern/missing-seam-partner");
      expect(error.issues[0].at).toMatchObject({ seam: "s", panel: "back", edge: "left" });
    }
  });
  it("reports progress and can be cancelled [failing input]", () => {
    const done: number[] = [];
    addPatternAllowance(pair(), {}, { onProgress: (step) => done.push(step.done) });
    expect(done).toEqual([0, 0.5, 1]);
    expect(() => addPatternAllowance(pair(), {}, { signal: { aborted: true } })).toThrow(/cancelled/);
  });
});

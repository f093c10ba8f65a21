import { describe, expect, it } from "vitest";
import type { Point3 } from "@peltry/geometry";
import { gridSurface, sphericalCap } from "../../../test-fixtures/src/shapes";
import { decide, planSeams, type SeamDecision, type SeamPlan } from "../src/index";
import { barRejected, leastRadius, narrowing } from "../src/decisions";
import { readPlanInput, triangleMiddle } from "../src/plan-input";
import { bump } from "./forms";

const suggested = (plan: SeamPlan) => plan.arcs.filter(({ origin }) => origin === "suggestion");
const gap = (p: Point3, q: Point3): number => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);

/** Flat lengths of the two legs of a dart, straight from the panels. */
function legsOf(plan: SeamPlan, path: readonly number[]): number[] {
  const on = new Set(path);
  return plan.seams
    .filter(({ a, b }) => a.patch === b.patch && a.path.every((v) => on.has(source(plan, a.patch, v))))
    .flatMap(({ a, b }) => [a, b])
    .map((side) => flatLength(plan, side.patch, side.path));
}

function source(plan: SeamPlan, id: string, vertex: number): number {
  return plan.panels.find((panel) => panel.id === id)!.patch.sourceVertex[vertex];
}

function flatLength(plan: SeamPlan, id: string, path: readonly number[]): number {
  const { positions } = plan.panels.find((panel) => panel.id === id)!.flat;
  return path
    .slice(1)
    .reduce(
      (sum, v, i) =>
        sum +
        Math.hypot(
          positions[2 * v] - positions[2 * path[i]],
          positions[2 * v + 1] - positions[2 * path[i] + 1],
        ),
      0,
    );
}

describe("plans made again", () => {
  it("asks as much of the same form with other triangles, within 10 % [metamorphic: remeshing]", () => {
    const lengths = [600, 800].map((triangles) => {
      const plan = planSeams(bump(triangles), { limit: 0.05 });
      expect(plan.withinLimits).toBe(true);
      return plan.totals.suggestedLength;
    });
    const mean = (lengths[0] + lengths[1]) / 2;
    for (const length of lengths) expect(Math.abs(length / mean - 1)).toBeLessThan(0.1);
  });

  it("keeps a locked dart to the mm when another is rejected; the legs of every dart are equal [metamorphic; measured in the flat]", () => {
    const mesh = sphericalCap(100, 80, { triangles: 500 });
    const plan = planSeams(mesh, { limit: 0.06 });
    const darts = suggested(plan).filter(({ kind }) => kind === "dart");
    expect(darts.length).toBeGreaterThan(1);
    for (const { path } of darts) {
      const [one, other] = legsOf(plan, path);
      expect(one).toBeGreaterThan(19);
      expect(Math.abs(one - other)).toBeLessThan(0.5);
    }
    const [kept, refused] = darts;
    const again = planSeams(mesh, {
      limit: 0.06,
      decisions: [decide(plan, kept.id, "lock"), decide(plan, refused.id, "reject", { radius: 15 })],
    });
    expect(again.withinLimits).toBe(true);
    const locked = again.arcs.filter(({ state }) => state === "locked");
    expect(locked).toHaveLength(1);
    expect(locked[0].length).toBeCloseTo(kept.length, 0);
    expect(gap(locked[0].line[0], kept.line[0])).toBeLessThan(1);
    expect(gap(locked[0].line.at(-1)!, kept.line.at(-1)!)).toBeLessThan(1);
    for (const { line } of suggested(again))
      for (const p of line) expect(gap(p, refused.line[0])).toBeGreaterThan(10);
  });

  it("leaves alone what nobody complained of when one dart is refused, and costs no more than a search from nothing [metamorphic]", () => {
    const mesh = sphericalCap(100, 80, { triangles: 500 });
    const plan = planSeams(mesh, { limit: 0.05 });
    const [refused, ...others] = suggested(plan);
    expect(others.length).toBeGreaterThan(1);
    const no = decide(plan, refused.id, "reject", { radius: 15 });
    expect(no.rest?.flatMap(({ lines }) => lines)).toEqual(others.map(({ line }) => line));
    // Plain data: the same after a trip through a file, and the same each time.
    const decisions = [JSON.parse(JSON.stringify(no)) as SeamDecision];
    const again = planSeams(mesh, { limit: 0.05, decisions });
    expect(JSON.stringify(planSeams(mesh, { limit: 0.05, decisions: [no] }))).toBe(JSON.stringify(again));
    expect(again.withinLimits).toBe(true);
    const now = suggested(again).map(({ line }) => line[0]);
    const kept = others.filter(({ line }) => now.some((root) => gap(root, line[0]) < 6));
    expect(kept.length).toBeGreaterThanOrEqual(others.length - 1);
    const { rest: _, ...bare } = no;
    const anew = planSeams(mesh, { limit: 0.05, decisions: [bare] });
    expect(again.totals.suggestedPrice).toBeLessThan(1.05 * anew.totals.suggestedPrice);
  });

  it("makes the tube round a refused cut narrower only where nobody gave its radius, and never narrower than 10 mm", () => {
    const refuse = (length: number, radius?: number): SeamDecision => ({
      action: "reject",
      kind: "dart",
      line: [
        [0, 0, 0],
        [length, 0, 0],
      ],
      radius,
    });
    const factors = [1, 0.5, 0.25];
    expect(narrowing([refuse(100)], factors)).toEqual([1, 0.5, 0.25]);
    // Half of 30 mm is 15; half of that is less than may be barred, so 10 is the end.
    expect(narrowing([refuse(30)], factors)).toEqual([1, 0.5]);
    expect(narrowing([refuse(18)], factors)).toEqual([1]);
    expect(narrowing([refuse(100, 40)], factors)).toEqual([1]);
    expect(narrowing([refuse(18), refuse(100)], factors)).toEqual([1, 0.5, 0.25]);
    expect(narrowing([], factors)).toEqual([1]);
    // What the plan says of it: the least of those that nobody gave, half of 60 mm and then half of that.
    expect(leastRadius([refuse(60), refuse(200), refuse(50, 5)], 1)).toBe(30);
    expect(leastRadius([refuse(60), refuse(200), refuse(50, 5)], 0.5)).toBe(15);
  });

  it("leaves free both ends of a refused seam and the tip of a refused dart: other cuts may meet there [by hand]", () => {
    // 30 × 10 squares of 10 mm; the refused cut runs along y = 51 from edge to edge. 30 mm at the middle, 0 at a free end.
    const mesh = gridSurface((u, v) => [300 * u, 100 * v, 0], 3, { triangles: 600 });
    const input = readPlanInput(mesh, { limit: 0.05 });
    const line: Point3[] = [
      [0, 51, 0],
      [300, 51, 0],
    ];
    const barredAt = (kind: "dart" | "seam", x: number, y: number): boolean => {
      const { weight } = barRejected(input, [{ action: "reject", kind, line, radius: 30 }]);
      const near = Array.from(weight.keys()).reduce((best, t) =>
        gap(triangleMiddle(mesh, t), [x, y, 0]) < gap(triangleMiddle(mesh, best), [x, y, 0]) ? t : best,
      );
      return weight[near] === Infinity;
    };
    expect([30, 150, 270].map((x) => barredAt("seam", x, 51))).toEqual([true, true, true]);
    expect([30, 150, 270].map((x) => barredAt("seam", x, 74))).toEqual([false, true, false]);
    expect([30, 150, 270].map((x) => barredAt("dart", x, 74))).toEqual([true, true, false]);
  });

  it("leaves free the triangles of a cut that the refused one began on, and bars its own [by hand]", () => {
    // 20 × 10 squares of 10 mm; one cut comes in along y = 51 to the middle, the refused one goes on from there.
    const mesh = gridSurface((u, v) => [200 * u, 100 * v, 0], 2, { triangles: 400 });
    const input = readPlanInput(mesh, { limit: 0.05 });
    const stood: Point3[] = [
      [0, 51, 0],
      [100, 51, 0],
    ];
    const line: Point3[] = [
      [100, 51, 0],
      [180, 51, 0],
    ];
    const no: SeamDecision = { action: "reject", kind: "dart", line, radius: 30 };
    const isBarred = (decisions: SeamDecision[], x: number, y: number): boolean => {
      const { weight } = barRejected(input, decisions);
      const near = Array.from(weight.keys()).reduce((best, t) =>
        gap(triangleMiddle(mesh, t), [x, y, 0]) < gap(triangleMiddle(mesh, best), [x, y, 0]) ? t : best,
      );
      return weight[near] === Infinity;
    };
    const beside = [{ ...no, rest: [{ kind: "dart" as const, lines: [stood] }] }];
    for (const x of [80, 90, 95]) {
      expect(isBarred([no], x, 51)).toBe(true);
      expect(isBarred(beside, x, 51)).toBe(false);
    }
    for (const [x, y] of [
      [110, 51],
      [120, 51],
      [95, 72],
      [110, 65],
    ]) {
      expect(isBarred([no], x, y)).toBe(true);
      expect(isBarred(beside, x, y)).toBe(true);
    }
    // What was refused before does not come back as something that stood.
    const both = [{ ...no, line: stood }, ...beside];
    expect(isBarred(both, 80, 51)).toBe(true);
  });

  it("plans round a refused cut with the usual tube, and within a given one whatever that costs [metamorphic]", () => {
    const mesh = sphericalCap(100, 80, { triangles: 500 });
    const plan = planSeams(mesh, { limit: 0.06 });
    const [refused] = suggested(plan);
    const no = decide(plan, refused.id, "reject");
    expect(no.radius).toBeUndefined();
    const again = planSeams(mesh, { limit: 0.06, decisions: [no] });
    expect(again.withinLimits).toBe(true);
    // Nowhere nearer than the least tube, but for the width of a triangle where a cut passes by.
    for (const { line } of suggested(again)) expect(gap(line[0], refused.line[0])).toBeGreaterThan(8);
    // Where everything is barred nothing can be sewn: said, not mended by a narrower tube.
    const barred = planSeams(mesh, {
      limit: 0.06,
      effort: "quick",
      decisions: [{ ...no, radius: 500, kind: "seam" }],
    });
    expect(barred.withinLimits).toBe(false);
    expect(suggested(barred)).toHaveLength(0);
    expect(barred.issues.map(({ code }) => code)).not.toContain("seams/near-refused");
  });

  it("passes over cuts that the form does not have, and names a list of them that is none [failing input]", () => {
    const mesh = sphericalCap(100, 60, { triangles: 400 });
    const line: Point3[] = [
      [80, 60, 0],
      [60, 80, 0],
    ];
    const far: Point3[] = [
      [900, 0, 0],
      [900, 50, 0],
    ];
    const refuse = (rest: unknown): SeamDecision =>
      ({ action: "reject", kind: "dart", line, radius: 10, rest }) as SeamDecision;
    const plan = planSeams(mesh, { limit: 0.07, decisions: [refuse([{ kind: "dart", lines: [far] }])] });
    expect(plan.withinLimits).toBe(true);
    for (const rest of [
      7,
      [null],
      [{ kind: "given", lines: [line] }],
      [{ kind: "dart", lines: [] }],
      [{ kind: "dart", lines: [[[0, 0, NaN], ...line]] }],
      [{ kind: "dart", lines: [line.slice(1)] }],
    ]) {
      expect(() => planSeams(mesh, { limit: 0.07, decisions: [refuse(rest)] })).toThrowError(
        expect.objectContaining({ code: "seams/bad-option" }) as Error,
      );
    }
  });

  it("keeps a locked dart as long as it was when the cut that it began on is gone; what joins it to the edge is another cut", () => {
    const mesh = sphericalCap(100, 60, { triangles: 400 });
    const on = (polar: number): Point3 => {
      const t = (polar * Math.PI) / 180;
      return [100 * Math.sin(t), 100 * Math.cos(t), 0];
    };
    const line = [on(30), on(24), on(17)];
    const plan = planSeams(mesh, { limit: 0.07, decisions: [{ action: "lock", kind: "dart", line }] });
    expect(plan.withinLimits).toBe(true);
    const locked = plan.arcs.find(({ state }) => state === "locked")!;
    // An arc of 13° on a sphere of 100 mm [closed form], on chords.
    expect(Math.abs(locked.length - (13 * 100 * Math.PI) / 180)).toBeLessThan(0.5);
    expect(plan.arcs.some(({ state, length }) => state === "proposed" && length > 40)).toBe(true);
  });
});

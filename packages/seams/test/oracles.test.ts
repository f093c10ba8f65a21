import { describe, expect, it } from "vitest";
import type { Point3, TriangleMesh } from "@peltry/geometry";
import { coneBand, gore, saddleCone, sphericalCap, torusStrip } from "../../../test-fixtures/src/shapes";
import { decide, planSeams, type SeamPlan } from "../src/index";
import { bump } from "./forms";
import { distanceTo } from "./distance-to";

const needsNone = (mesh: TriangleMesh, limit: number): boolean =>
  planSeams(mesh, { limit, effort: "quick" }).noExtraSeamsNeeded;

/** Sum of the flat angles of all panels at the form's vertex nearest to a place, degrees. */
function flatAngleAt(plan: SeamPlan, place: Point3): number {
  let vertex = 0;
  let least = Infinity;
  for (let v = 0; v < plan.mesh.positions.length / 3; v++) {
    const d = Math.hypot(...[0, 1, 2].map((k) => plan.mesh.positions[3 * v + k] - place[k]));
    if (d < least) [vertex, least] = [v, d];
  }
  let sum = 0;
  for (const { patch, flat } of plan.panels) {
    const { triangles } = patch.mesh;
    const at = (c: number): readonly [number, number] => [
      flat.positions[2 * triangles[c]],
      flat.positions[2 * triangles[c] + 1],
    ];
    for (let c = 0; c < triangles.length; c++) {
      if (patch.sourceVertex[triangles[c]] !== vertex) continue;
      const t = c - (c % 3);
      const [p, q, r] = [at(c), at(t + ((c + 1) % 3)), at(t + ((c + 2) % 3))];
      const cross = (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
      const dot = (q[0] - p[0]) * (r[0] - p[0]) + (q[1] - p[1]) * (r[1] - p[1]);
      sum += (Math.atan2(cross, dot) * 180) / Math.PI;
    }
  }
  return sum;
}

describe("what a plan asks, against closed forms", () => {
  it("lays a strip on a torus flat at K b² / 4, and cuts it at half of that [closed form derived for the project]", () => {
    // Outer strip of half width 60 on a tube of 100 round a ring of 200: K = 1 / (100 · 300).
    const strip = torusStrip(200, 100, 60, "outer", 100, { triangles: 500 });
    const limit = 60 ** 2 / (4 * 100 * 300);
    expect(needsNone(strip, 1.05 * limit)).toBe(true);
    expect(needsNone(strip, 0.5 * limit)).toBe(false);
  });

  it("asks nothing of a sixth gore of a sphere at π² / 4 n², and a cut of a third of one at 5 % [closed form derived for the project]", () => {
    expect(needsNone(gore(100, 6, 88, { triangles: 400 }), Math.PI ** 2 / (4 * 36))).toBe(true);
    expect(needsNone(gore(100, 3, 88, { triangles: 400 }), 0.05)).toBe(false);
  });

  it("gives the cloth round a saddle's point its whole angle, 360° and the excess [closed form]", () => {
    const excess = 50;
    const plan = planSeams(saddleCone(120, excess, { triangles: 500 }), { limit: 0.03 });
    expect(plan.withinLimits).toBe(true);
    // Within ± 3 % either axis an angle changes by at most 0.06 radians for each right angle: about 4 %.
    expect(Math.abs(flatAngleAt(plan, [0, 0, 0]) - (360 + excess))).toBeLessThan(0.05 * (360 + excess));
    const flat = planSeams(saddleCone(120, 0.001, { triangles: 500 }), { limit: 0.03 });
    expect(flatAngleAt(flat, [0, 0, 0])).toBeCloseTo(360, 0);
  });

  it("splits a cone until the pile strays by no more than is allowed [closed form: the fan of its sector]", () => {
    const [half, most] = [20, 22];
    const mesh = coneBand(half, 120, 300, { triangles: 400 });
    const fan = 360 * Math.sin((half * Math.PI) / 180);
    const plan = planSeams(mesh, {
      fabrics: [{ anyDirection: { min: -0.04, max: 0.04 }, maxPileAngle: most }],
    });
    expect(plan.withinLimits).toBe(true);
    for (const { flat } of plan.panels) expect(flat.grain.p95).toBeLessThanOrEqual(most);
    // 95 % of a part's fan lie within the limit either way; a dart far enough up the cone turns two parts as a seam does.
    const fewest = Math.ceil((0.95 * fan) / (2 * most));
    const parts = 1 + plan.arcs.filter(({ kind }) => kind === "seam" || kind === "dart").length;
    expect(parts).toBeGreaterThanOrEqual(fewest);
    expect(parts).toBeLessThanOrEqual(fewest + 2);
    expect(planSeams(mesh, { limit: 0.04 }).noExtraSeamsNeeded).toBe(true);
  });
});

describe("decisions and symmetry", () => {
  it("makes every cut with its mirror image or on the plane [metamorphic: reflection]", () => {
    const plane = { point: [0, 0, 0] as const, normal: [1, 0, 0] as const };
    const plan = planSeams(bump(550), { limit: 0.04, symmetry: plane });
    expect(plan.withinLimits).toBe(true);
    const cuts = plan.arcs.filter(({ origin }) => origin === "suggestion");
    expect(cuts.length).toBeGreaterThan(0);
    for (const cut of cuts) {
      const image = cut.partner ? cuts.find(({ id }) => id === cut.partner)! : cut;
      for (const [x, y, z] of cut.line) expect(distanceTo(image.line, [-x, y, z])).toBeLessThan(1);
      expect(image.length).toBeCloseTo(cut.length, 0);
    }
    expect(plan.issues.map(({ code }) => code)).not.toContain("seams/symmetry-not-kept");
  });

  it("moves the end of a nudged cut to where it was put, and plans the rest round it", () => {
    const mesh = sphericalCap(100, 60, { triangles: 500 });
    const plan = planSeams(mesh, { limit: 0.07 });
    const first = plan.arcs.find(({ kind }) => kind === "dart")!;
    const root = first.line[0];
    const turn = Math.atan2(root[0], root[2]) + 0.5;
    const r = Math.hypot(root[0], root[2]);
    const to: Point3 = [r * Math.sin(turn), root[1], r * Math.cos(turn)];
    const moved = planSeams(mesh, { limit: 0.07, decisions: [decide(plan, first.id, "nudge", { to })] });
    const arc = moved.arcs.find(({ state }) => state === "accepted")!;
    const gap = (p: Point3, q: Point3): number => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
    expect(gap(arc.line[0], to)).toBeLessThan(2);
    expect(gap(arc.line.at(-1)!, first.line.at(-1)!)).toBeLessThan(2);
    expect(moved.withinLimits).toBe(true);
  });

  it("takes a locked cut at its place from a plan that was cancelled half way [metamorphic]", () => {
    const mesh = bump(500);
    const signal = { aborted: false };
    const half = planSeams(mesh, {
      limit: 0.03,
      signal,
      onProgress: ({ stage }) => {
        if (stage.startsWith("1 cut")) signal.aborted = true;
      },
    });
    expect(half.complete).toBe(false);
    expect(half.arcs.filter(({ origin }) => origin === "suggestion").length).toBeGreaterThan(0);
    const [first] = half.arcs.filter(({ origin }) => origin === "suggestion");
    const whole = planSeams(mesh, { limit: 0.03, decisions: [decide(half, first.id, "lock")] });
    expect(whole.complete && whole.withinLimits).toBe(true);
    expect(whole.arcs.find(({ state }) => state === "locked")!.length).toBeCloseTo(first.length, 0);
  });
});

import { describe, expect, it } from "vitest";
import { meshArea, type Point3, type TriangleMesh } from "@peltry/geometry";
import { gridSurface } from "../../../test-fixtures/src/shapes";
import { planSeams, SEWABILITY, type PlanOptions, type SeamPlan } from "../src/index";

const CLOTH = 500;
const SYMMETRY = { point: [0, 0, 0], normal: [1, 0, 0] } as const;

/** A sheet 1000 high, bent round a cylinder of 400, as wide as so many cloths; `shape`: its width by height, as a share. */
function sheet(cloths: number, shape: (v: number) => number = () => 1): TriangleMesh {
  return gridSurface(
    (u, v): Point3 => {
      const x = (u - 0.5) * cloths * CLOTH * shape(v);
      return [400 * Math.sin(x / 400), 1000 * v, 400 * Math.cos(x / 400)];
    },
    (cloths * CLOTH) / 1000,
    { triangles: 500 },
  );
}

function split(mesh: TriangleMesh, options: PlanOptions = {}): SeamPlan {
  const plan = planSeams(mesh, {
    fabrics: [{ anyDirection: { min: -0.05, max: 0.05 }, widthMm: CLOTH }],
    ...options,
  });
  expect(plan.withinLimits).toBe(true);
  for (const panel of plan.panels) expect(panel.widthMm).toBeLessThanOrEqual(CLOTH);
  return plan;
}

const bulge = (v: number): number => 0.6 + 0.4 * Math.exp(-(((v - 0.5) / 0.12) ** 2));
const taper = (v: number): number => 0.4 + 0.6 * v;

describe("panels wider than their cloth", () => {
  it("come in as few parts as the width asks, and where seams cost the same in even ones [oracle: width over cloth]", () => {
    for (const cloths of [1.02, 1.5, 2.05, 2.3, 4.7]) {
      const { panels } = split(sheet(cloths));
      // What the search plans with is 0.96 of the cloth.
      const count = Math.ceil(cloths / 0.96);
      expect(panels).toHaveLength(count);
      for (const { widthMm } of panels)
        expect(Math.abs(widthMm / ((cloths * CLOTH) / count) - 1)).toBeLessThan(0.03);
    }
  });

  it("are split where seams are cheap, but never into a strip", () => {
    const visibility = ([x]: Point3): number => (Math.abs(x) > 40 ? 0.2 : 1);
    const [first, ...rest] = split(sheet(1.1), { cost: { visibility } }).arcs;
    expect(rest).toHaveLength(0);
    for (const [x] of first.line) expect(Math.abs(x)).toBeGreaterThan(40);
    for (const mesh of [sheet(1.02, taper), sheet(1.1, bulge), sheet(2.3, taper)]) {
      for (const { patch, lengthMm } of split(mesh).panels)
        expect(meshArea(patch.mesh) / lengthMm).toBeGreaterThan(SEWABILITY.minNeck);
    }
  });

  it("are split in the plane of symmetry, or in pairs [metamorphic: reflection]", () => {
    for (const [cloths, pairs] of [
      [1.1, 0],
      [2.3, 1],
      [3.5, 1],
    ]) {
      const { arcs } = split(sheet(cloths), { symmetry: SYMMETRY });
      const paired = arcs.filter(({ partner }) => partner !== undefined);
      expect(paired).toHaveLength(2 * pairs);
      for (const { partner, line } of paired) {
        const other = arcs.find(({ id }) => id === partner)!.line;
        expect(other[0][0]).toBeCloseTo(-line[0][0], 3);
      }
      for (const { line } of arcs.filter((arc) => arc.partner === undefined))
        for (const [x] of line) expect(Math.abs(x)).toBeLessThan(1e-3);
    }
  });
});

import {
  createRandom,
  meshArea,
  meshTopology,
  pathLength,
  type Point3,
  type TriangleMesh,
} from "@peltry/geometry";
import { isPeltryError } from "@peltry/issues";
import { flatten } from "@peltry/flatten";
import { checkPattern, type Pattern } from "@peltry/pattern";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import {
  cutIntoPatches,
  decide,
  isTube,
  openTubes,
  patternFromPatches,
  planLimits,
  planSeams,
  sewingOrder,
} from "../src/index";

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const RUNS = { seed: 1, numRuns: 40 };

/** An open tube of uneven radius; vertex (i, j) has index j · around + i. */
function tube(around: number, up: number, seed: number): TriangleMesh {
  const random = createRandom(seed);
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= up; j++) {
    for (let i = 0; i < around; i++) {
      const angle = (2 * Math.PI * i) / around;
      const r = 60 + 4 * random();
      positions.push(r * Math.cos(angle), 20 * j, -r * Math.sin(angle));
    }
  }
  for (let j = 0; j < up; j++) {
    for (let i = 0; i < around; i++) {
      const a = j * around + i;
      const b = j * around + ((i + 1) % around);
      triangles.push(a, b, b + around, a, b + around, a + around);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const form = fc.record({
  around: fc.integer({ min: 6, max: 20 }),
  up: fc.integer({ min: 4, max: 10 }),
  seed: fc.integer({ min: 1, max: 1e6 }),
  bands: fc.integer({ min: 1, max: 3 }),
});
/** Regions one above the other. */
const regionsOf = ({ around, up, bands }: { around: number; up: number; bands: number }): Int32Array =>
  Int32Array.from({ length: 2 * around * up }, (_, t) =>
    Math.floor((bands * Math.floor(t / (2 * around))) / up),
  );

describe("properties of cutting", () => {
  it("patches hold each triangle once, seams lie on themselves on the form, and every border edge belongs to one of them [partition]", () => {
    fc.assert(
      fc.property(form, fc.uniqueArray(fc.nat(5), { minLength: 0, maxLength: 3 }), (shape, columns) => {
        const mesh = tube(shape.around, shape.up, shape.seed);
        const lines = columns.map((i) => ({
          id: `line-${i}`,
          path: Array.from({ length: shape.up + 1 }, (_, j) => j * shape.around + i),
        }));
        const { patches, seams } = cutIntoPatches(mesh, { regionOf: regionsOf(shape), lines });
        const all = patches.flatMap((patch) => [...patch.sourceTriangle]).sort((a, b) => a - b);
        expect(all).toEqual(Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t));
        const sourceOf = new Map(patches.map((patch) => [patch.id, patch.sourceVertex]));
        for (const { a, b } of seams) {
          expect(a.path.map((v) => sourceOf.get(a.patch)![v])).toEqual(
            b.path.map((v) => sourceOf.get(b.patch)![v]),
          );
        }
        for (const patch of patches) {
          const border = meshTopology(patch.mesh).loops.reduce((sum, loop) => sum + loop.length, 0);
          const told = patch.loops.flat().reduce((sum, edge) => sum + edge.path.length - 1, 0);
          expect(told).toBe(border);
          for (const edge of patch.loops.flat())
            expect((edge.seam === undefined) === (edge.rim !== undefined)).toBe(true);
        }
      }),
      RUNS,
    );
  });
  it("openTubes leaves no tube, loses no area, and opens no longer than a straight column [bound]", () => {
    fc.assert(
      fc.property(form, (shape) => {
        const mesh = tube(shape.around, shape.up, shape.seed);
        const closed = cutIntoPatches(mesh, { regionOf: regionsOf(shape), lines: [] });
        const tubes = closed.patches.filter(isTube).length;
        // A ring between two seams has no rim: it is let in, not opened, unless the lines reach it.
        expect(tubes).toBe(shape.bands === 1 ? 1 : 2);
        const opened = openTubes(mesh, regionsOf(shape), []);
        expect(opened.cutting.patches.some(isTube)).toBe(false);
        const area = opened.cutting.patches.reduce((sum, patch) => sum + meshArea(patch.mesh), 0);
        expect(area).toBeCloseTo(meshArea(mesh), 4);
        const column = Array.from({ length: shape.up + 1 }, (_, j) => j * shape.around);
        for (const { length } of opened.openings)
          expect(length).toBeLessThanOrEqual(pathLength(mesh.positions, column) + 1e-6);
      }),
      RUNS,
    );
  });
  it("a tube opened and laid flat makes a pattern without faults, sewn in an order that takes every seam once [pipeline]", () => {
    fc.assert(
      fc.property(form, (shape) => {
        const { cutting } = openTubes(
          tube(shape.around, shape.up, shape.seed),
          regionsOf({ ...shape, bands: 1 }),
          [],
        );
        const flats = cutting.patches.map((patch) => flatten(patch.mesh).positions);
        const pattern = patternFromPatches(cutting, flats, {
          name: "tube",
          panel: (patch, i) => ({ id: `panel-${i}`, name: patch.id, fabric: "felt" }),
        });
        // Both sides were laid flat on their own: only their lengths may differ.
        const codes = checkPattern(pattern).filter((issue) => issue.severity === "error");
        expect(codes.filter((issue) => issue.code !== "pattern/seam-lengths-differ")).toEqual([]);
        const { steps } = sewingOrder(pattern);
        const sewn = steps.flatMap((step) => (step.seam === undefined ? [] : [step.seam])).sort();
        expect(sewn).toEqual(pattern.seams.map((seam) => seam.id).sort());
      }),
      RUNS,
    );
  });
  it("the order of sewing does not depend on the order in which seams and panels are listed [permutation]", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 2, max: 6 }), (seed, strips) => {
        const random = createRandom(seed);
        const side = (x: number, length: number) => [[x, 0] as const, [x, length] as const];
        const length = 300 + 100 * random();
        const panels = Array.from({ length: strips }, (_, i) => ({
          ...{
            id: `p${i}`,
            name: `p${i}`,
            fabric: "felt",
            darts: [],
            markings: [],
            count: 1,
            mirrored: false,
          },
          edges: [
            { id: "bottom", role: "hem" as const, points: [[0, 0] as const, [90 + i, 0] as const] },
            { id: "right", role: "seam" as const, points: side(90 + i, length + 7 * i) },
            {
              id: "top",
              role: "hem" as const,
              points: [[90 + i, length + 7 * i] as const, [0, length] as const],
            },
            { id: "left", role: "seam" as const, points: [...side(0, length)].reverse() },
          ],
        }));
        const seams = panels.slice(1).map((panel, i) => ({
          ...{ id: `s${i}`, letter: "ABCDEF"[i], reversed: true, matchPoints: [] },
          a: { panel: panels[i].id, edge: "right" },
          b: { panel: panel.id, edge: "left" },
        }));
        const pattern: Pattern = { format: "peltry-pattern", version: 1, name: "strips", panels, seams };
        const shuffled = { ...pattern, panels: [...panels].reverse(), seams: [...seams].reverse() };
        const order = (one: Pattern) => sewingOrder(one).steps.flatMap((step) => step.seam ?? []);
        expect(order(shuffled)).toEqual(order(pattern));
      }),
      RUNS,
    );
  });
});

describe("properties of plans", () => {
  it("a plan is the same for the same form anywhere in space, and what is decided of an arc is its own line [metamorphic]", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), number(-500, 500), (seed, shift) => {
        const mesh = sphericalCap(100, 80, { triangles: 150, jitter: 0.1, seed });
        const options = { limit: 0.12, effort: "quick" as const };
        const plan = planSeams(mesh, options);
        const moved = { ...mesh, positions: mesh.positions.map((x, k) => x + (k % 3 === 1 ? 0 : shift)) };
        const again = planSeams(moved, options);
        expect(again.arcs.map((arc) => arc.kind)).toEqual(plan.arcs.map((arc) => arc.kind));
        // Rounding may tip a choice between two places a hair apart.
        again.arcs.forEach((arc, i) =>
          expect(Math.abs(arc.length / plan.arcs[i].length - 1)).toBeLessThan(0.005),
        );
        for (const panel of plan.panels)
          expect(panel.flat.certificate).toMatchObject({ flips: 0, overlaps: 0 });
        for (const arc of plan.arcs) {
          if (arc.origin !== "suggestion") continue;
          expect(decide(plan, arc.id, "lock")).toMatchObject({
            action: "lock",
            kind: arc.kind,
            line: arc.line,
          });
          const to: Point3 = [shift, 0, 0];
          expect(decide(plan, arc.id, "nudge", { to })).toMatchObject({ action: "nudge", to });
        }
      }),
      { seed: 1, numRuns: 2 },
    );
  });
  it("decide takes no arc that is not there [totality]", () => {
    fc.assert(
      fc.property(fc.string(), fc.constantFrom("accept", "lock", "reject", "nudge"), (id, action) => {
        try {
          decide({ arcs: [] }, id, action as "lock");
          expect.unreachable();
        } catch (error) {
          expect(isPeltryError(error) && error.code).toBe("seams/no-such-arc");
        }
      }),
      RUNS,
    );
  });
  it("a looser limit never costs more seam, in whatever order the limits are given [monotony]", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.uniqueArray(fc.constantFrom(0.05, 0.08, 0.12, 0.3), { minLength: 2, maxLength: 3 }),
        (seed, limits) => {
          const mesh = sphericalCap(100, 80, { triangles: 150, jitter: 0.1, seed });
          const plans = planLimits(mesh, limits, { effort: "quick" });
          expect(plans.map((plan) => plan.limit)).toEqual(limits);
          const sorted = [...plans].sort((a, b) => a.limit - b.limit);
          const cost = (i: number): number => sorted[i].plan.arcs.reduce((sum, arc) => sum + arc.cost, 0);
          for (let i = 1; i < sorted.length; i++) expect(cost(i)).toBeLessThanOrEqual(cost(i - 1) + 1e-6);
        },
      ),
      { seed: 1, numRuns: 3 },
    );
  });
});

import { describe, expect, it } from "vitest";
import {
  createRandom,
  decimate,
  meshArea,
  meshTopology,
  type Point3,
  type TriangleMesh,
} from "@peltry/geometry";
import { diskSurface } from "../../../test-fixtures/src/shapes";
import { decide, planSeams, type PlanOptions, type SeamArc, type SeamPlan } from "../src/index";
import { mirroredForm } from "../src/mirror-form";
import { createPlane } from "../src/mirror-plane";
import { bump, legTube } from "./forms";
import { distanceTo } from "./distance-to";

const SYMMETRY = { point: [0, 0, 0], normal: [1, 0, 0] } as const;

/** The same surface with triangles of which none is another's image: shaken by up to 0.05 mm, every second one taken away. */
function unmirrored(mesh: TriangleMesh, share = 0.5): TriangleMesh {
  const random = createRandom(7);
  const positions = mesh.positions.map((x) => x + 0.1 * (random() - 0.5));
  return decimate({ ...mesh, positions }, { triangles: (share * mesh.triangles.length) / 3 }).mesh;
}

/** A nose on a dome, the same on both sides of x = 0. */
function mask(triangles: number): TriangleMesh {
  return unmirrored(
    diskSurface(
      (r, a) => {
        const t = 1.4 * r;
        const [x, y, z] = [Math.sin(t) * Math.sin(a), Math.sin(t) * Math.cos(a), Math.cos(t)];
        const size = 90 + 15 * Math.max(0, 0.9 * z - 0.3 * y) ** 4;
        return [1.3 * size * x, size * y, size * z];
      },
      { triangles: 2 * triangles },
    ),
  );
}

const image = ([x, y, z]: Point3): Point3 => [-x, y, z];

const suggested = ({ arcs }: SeamPlan): SeamArc[] => arcs.filter(({ origin }) => origin === "suggestion");

/** Every cut lies on its partner's image, or is its own. */
function expectPairs(plan: SeamPlan, reach: number): void {
  const cuts = suggested(plan);
  for (const cut of cuts) {
    const other = cut.partner === undefined ? cut : cuts.find(({ id }) => id === cut.partner)!;
    if (cut.partner !== undefined) expect(other.partner).toBe(cut.id);
    expect(Math.abs(other.length - cut.length)).toBeLessThan(Math.max(1, 0.01 * cut.length));
    for (const p of cut.line) expect(distanceTo(other.line, image(p))).toBeLessThan(reach);
  }
}

describe("a half and its image", () => {
  const plane = createPlane(SYMMETRY);

  it("makes a surface that is its own image triangle for triangle, of the same area, border and kind [oracle: definition]", () => {
    const mesh = legTubeOf(1500);
    const half = mirroredForm(mesh, new Int32Array(mesh.triangles.length / 3), [], plane, 900, 0)!;
    const { positions, triangles } = half.mesh;
    expect(triangles.length / 3).toBeLessThanOrEqual(900);
    const topology = meshTopology(half.mesh);
    expect([topology.euler, topology.loops.length, topology.nonManifoldEdges.length]).toEqual([0, 2, 0]);
    expect(Math.abs(meshArea(half.mesh) / meshArea(mesh) - 1)).toBeLessThan(0.01);
    half.mirror.triangle.forEach((other, t) => {
      expect(half.mirror.triangle[other]).toBe(t);
      for (let k = 0; k < 3; k++) {
        const v = triangles[3 * t + k];
        const w = triangles[3 * other + half.mirror.corner[3 * t + k]];
        for (let i = 0; i < 3; i++)
          expect(positions[3 * w + i]).toBeCloseTo(i === 0 ? -positions[3 * v] : positions[3 * v + i], 9);
      }
    });
  });

  it("leaves a slit in the plane open, and keeps lines and region borders on both sides", () => {
    // A square sheet with a slit from one edge to its middle, along x = 0.
    const n = 12;
    const at = (i: number, j: number): number => j * (n + 1) + i;
    const positions = Array.from({ length: (n + 1) ** 2 }, (_, v) => [
      10 * ((v % (n + 1)) - n / 2),
      10 * Math.floor(v / (n + 1)),
      0,
    ]).flat();
    const doubled = new Map<number, number>();
    for (let j = 0; j < n / 2; j++) {
      doubled.set(at(n / 2, j), positions.length / 3);
      positions.push(0, 10 * j, 0);
    }
    const triangles: number[] = [];
    for (let j = 0; j < n; j++)
      for (let i = 0; i < n; i++) {
        const quad = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)].map((v) =>
          i >= n / 2 ? (doubled.get(v) ?? v) : v,
        );
        triangles.push(quad[0], quad[1], quad[2], quad[0], quad[2], quad[3]);
      }
    const mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
    const regions = Int32Array.from({ length: triangles.length / 3 }, (_, t) => {
      const i = (t >> 1) % n;
      return Number(i < 3 || i >= n - 3);
    });
    const line = [at(0, 9), at(1, 9), at(2, 9), at(3, 9)];
    const across = Array.from({ length: n + 1 }, (_, i) => at(i, 10));
    const half = mirroredForm(mesh, regions, [line, across], plane, 120, 0)!;
    const { euler, loops } = meshTopology(half.mesh);
    expect([euler, loops.length]).toEqual([1, 1]);
    expect(meshArea(half.mesh)).toBeCloseTo(120 * 120, 6);
    const border = loops[0].reduce((sum, v, k) => {
      const w = loops[0][(k + 1) % loops[0].length];
      const p = half.mesh.positions;
      return sum + Math.hypot(p[3 * v] - p[3 * w], p[3 * v + 1] - p[3 * w + 1]);
    }, 0);
    expect(border).toBeCloseTo(4 * 120 + 2 * 60, 6);
    const outer = half.regions.reduce((sum, r, t) => {
      const [a, b, c] = [0, 1, 2].map((k) => 3 * half.mesh.triangles[3 * t + k]);
      const p = half.mesh.positions;
      const twice = (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]);
      return sum + (r * twice) / 2;
    }, 0);
    expect(outer).toBeCloseTo(60 * 120, 6);
    // The short line is drawn on the left only: the half that has it decides. Its image, and the long line's two halves.
    const lengths = half.lines.map((run) =>
      Math.abs(half.mesh.positions[3 * run[0]] - half.mesh.positions[3 * run.at(-1)!]),
    );
    expect(lengths.sort((a, b) => a - b).map(Math.round)).toEqual([30, 30, 60, 60]);
  });
});

function legTubeOf(triangles: number): TriangleMesh {
  return unmirrored(legTube(2 * triangles).mesh);
}

describe("symmetry of forms whose triangles are not mirrored", () => {
  const options: PlanOptions = { limit: 0.05, symmetry: SYMMETRY, searchTriangles: 500, effort: "quick" };

  it("plans in mirror pairs, inside the limits [metamorphic: reflection]", () => {
    const plan = planSeams(mask(1600), options);
    expect(plan.withinLimits).toBe(true);
    expect(suggested(plan).some(({ partner }) => partner !== undefined)).toBe(true);
    expectPairs(plan, 2);
    expect(plan.issues.map(({ code }) => code)).not.toContain("seams/symmetry-not-kept");
  });

  it("opens a tube in the plane", () => {
    const plan = planSeams(legTubeOf(1500), { ...options, limit: 0.3 });
    const [opening] = suggested(plan);
    expect(opening.kind).toBe("opening");
    for (const [x] of opening.line) expect(Math.abs(x)).toBeLessThan(1);
    expect(plan.withinLimits).toBe(true);
  });

  it("bars both of a pair when one is refused, and keeps both when one is accepted", () => {
    const mesh = mask(1200);
    const plan = planSeams(mesh, options);
    const one = suggested(plan).find(({ partner }) => partner !== undefined)!;
    const no = planSeams(mesh, { ...options, decisions: [decide(plan, one.id, "reject", { radius: 12 })] });
    expectPairs(no, 2);
    const middle = one.line[Math.floor(one.line.length / 2)];
    for (const { line } of suggested(no))
      for (const p of [middle, image(middle)]) expect(distanceTo(line, p)).toBeGreaterThan(8);
    const yes = planSeams(mesh, { ...options, decisions: [decide(plan, one.id, "accept")] });
    const kept = suggested(yes).filter(({ state }) => state === "accepted");
    expect(kept.map(({ partner }) => partner)).toEqual([kept[1].id, kept[0].id]);
    expectPairs(yes, 2);
    for (const p of one.line)
      expect(Math.min(...kept.map(({ line }) => distanceTo(line, p)))).toBeLessThan(2);
  });

  it("says what is not the same on both sides and where, and plans as without symmetry", () => {
    const mesh = unmirrored(bump(1400));
    const count = mesh.triangles.length / 3;
    const { symmetry: _, ...plain } = { ...options, limit: 0.2 };
    const noteOf = (form: TriangleMesh, more: PlanOptions = {}): SeamPlan["issues"][number] | undefined => {
      const plan = planSeams(form, { ...plain, ...more, symmetry: SYMMETRY });
      const note = plan.issues.find(
        ({ code }) => code.startsWith("seams/symmetry") || code.startsWith("seams/pile-not"),
      );
      if (note?.code === "seams/symmetry-not-kept")
        expect(plan.arcs).toEqual(planSeams(form, { ...plain, ...more }).arcs);
      return note;
    };
    expect(noteOf(mesh)).toBeUndefined();
    // A dent of 10 mm on the right.
    const dented = mesh.positions.map((x, i, p) => {
      const [a, b, c] = [0, 1, 2].map((k) => p[i - (i % 3) + k]);
      const r = Math.hypot(a - 85, b - 60, c - 30);
      return i % 3 === 0 ? x - 10 * Math.exp(-((r / 25) ** 2)) : x;
    });
    const dent = noteOf({ ...mesh, positions: dented })!;
    expect(dent.found as number).toBeGreaterThan(5);
    expect(Math.hypot(Math.abs(dent.at.point![0]) - 78, dent.at.point![1] - 60)).toBeLessThan(25);
    // A patch of another cloth on the left.
    const patch = Array.from({ length: count }, (_, t) => t).filter((t) => {
      const [x, y] = [0, 1].map((i) =>
        [0, 1, 2].reduce((sum, k) => sum + mesh.positions[3 * mesh.triangles[3 * t + k] + i] / 3, 0),
      );
      return x < -40 && y > 180 && y < 280;
    });
    const regions = new Int32Array(count);
    for (const t of patch) regions[t] = 1;
    const region = noteOf(mesh, { regions })!;
    expect(region.message).toContain("Region 1");
    expect(region.at.point![0]).toBeLessThan(-40);
    const pile = new Float64Array(3 * count);
    for (let t = 0; t < count; t++) pile.set(patch.includes(t) ? [0, 0, 1] : [0, -1, 0], 3 * t);
    const fabric = {
      behaviour: {
        along: { min: -0.2, max: 0.2 },
        across: { min: -0.2, max: 0.2 },
        shear: { min: -0.3, max: 0.3 },
      },
    };
    expect(noteOf(mesh, { pile, fabrics: [fabric] })!.code).toBe("seams/pile-not-mirrored");
  });

  it("tells of a given seam that is drawn on one side only", () => {
    const { mesh, seam } = legTube(700);
    const plan = planSeams(mesh, {
      ...options,
      limit: 0.3,
      fixed: [{ id: "inner", path: seam }],
    });
    const note = plan.issues.find(({ code }) => code === "seams/symmetry-not-kept")!;
    expect(note.at.seam).toBe("inner");
    expect(note.found as number).toBeGreaterThan(note.limit as number);
  });
});

import { describe, expect, it } from "vitest";
import { createRandom } from "../src/random";
import { createSurfaceLocator } from "../src/surface-locator";
import { decimate } from "../src/decimate";
import { meshArea, pathLength, triangleArea, vertexDistance } from "../src/mesh-measure";
import { MeshRefinement } from "../src/mesh-refinement";
import { meshTopology } from "../src/mesh-topology";
import { surfacePathLength, surfacePosition } from "../src/surface-point";
import { tracePath } from "../src/trace-path";
import type { Point3, TriangleMesh } from "../src/types";
import { sphericalCap } from "../../../test-fixtures/src/shapes";

const cap = sphericalCap(100, 80, { triangles: 3000 });
/** A meridian of the cap from its pole along mesh edges. */
const meridian = (() => {
  const { twin } = meshTopology(cap);
  const path = [0];
  for (let guard = 0; guard < 100; guard++) {
    const v = path[path.length - 1];
    let next = -1;
    let lowest = cap.positions[3 * v + 1] - 1e-9;
    for (let h = 0; h < twin.length; h++) {
      if (cap.triangles[h] !== v) continue;
      const w = cap.triangles[h % 3 === 2 ? h - 2 : h + 1];
      if (cap.positions[3 * w + 1] < lowest) {
        lowest = cap.positions[3 * w + 1];
        next = w;
      }
    }
    if (next < 0) return path;
    path.push(next);
  }
  return path;
})();

/** Height of each triangle over its longest side, as a share of that side. */
function slimness(mesh: TriangleMesh): number[] {
  return Array.from({ length: mesh.triangles.length / 3 }, (_, t) => {
    const [a, b, c] = mesh.triangles.slice(3 * t, 3 * t + 3);
    const sides = [
      [a, b],
      [b, c],
      [c, a],
    ].map(([u, v]) => vertexDistance(mesh.positions, u, v));
    return (2 * triangleArea(mesh, t)) / Math.max(...sides) ** 2;
  });
}

describe("decimate", () => {
  const labels = Int32Array.from({ length: cap.triangles.length / 3 }, (_, t) =>
    cap.positions[3 * cap.triangles[3 * t]] > 0 ? 1 : 0,
  );
  const coarse = decimate(cap, { triangles: 500, lines: [meridian], labels });

  it("keeps topology and the area of a cap [closed form: 2πR²(1 − cos t)]", () => {
    expect(coarse.mesh.triangles.length / 3).toBeLessThanOrEqual(500);
    const topology = meshTopology(coarse.mesh);
    expect(topology.euler).toBe(1);
    expect(topology.loops).toHaveLength(1);
    expect(topology.nonManifoldEdges.length + topology.inconsistentEdges.length).toBe(0);
    const exact = 2 * Math.PI * 100 ** 2 * (1 - Math.cos((80 * Math.PI) / 180));
    expect(meshArea(coarse.mesh) / exact).toBeGreaterThan(0.97);
    expect(meshArea(coarse.mesh) / exact).toBeLessThan(1);
  });
  it("keeps given lines as runs of edges of nearly the same length [invariant]", () => {
    const run = meridian.map((v) => coarse.vertexOf[v]).filter((v) => v >= 0);
    const refinement = new MeshRefinement(coarse.mesh);
    for (let i = 1; i < run.length; i++)
      expect(refinement.edgeBetween(run[i - 1], run[i])).toBeGreaterThanOrEqual(0);
    expect([run[0], run[run.length - 1]]).toEqual([
      coarse.vertexOf[meridian[0]],
      coarse.vertexOf[meridian[meridian.length - 1]],
    ]);
    const ratio = pathLength(coarse.mesh.positions, run) / pathLength(cap.positions, meridian);
    expect(ratio).toBeGreaterThan(0.98);
  });
});

describe("createSurfaceLocator and tracePath", () => {
  const locator = createSurfaceLocator(cap);
  it("finds the nearest place as a search over all triangles does [brute force]", () => {
    const random = createRandom(5);
    for (let i = 0; i < 20; i++) {
      const p = [0, 1, 2].map(() => 260 * (random() - 0.5)) as [number, number, number];
      const { place, distance } = locator.nearest(p);
      const q = surfacePosition(cap, place);
      expect(Math.hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2])).toBeCloseTo(distance, 6);
      // No vertex is nearer.
      for (let v = 0; v < cap.positions.length; v += 3) {
        const d = Math.hypot(
          cap.positions[v] - p[0],
          cap.positions[v + 1] - p[1],
          cap.positions[v + 2] - p[2],
        );
        expect(d).toBeGreaterThanOrEqual(distance - 1e-9);
      }
    }
  });
  it("traces a great circle over the cap [closed form: R·angle]", () => {
    const refinement = new MeshRefinement(cap);
    const a = locator.nearest([80, 60, 0]).place;
    const b = locator.nearest([-80, 60, 0]).place;
    const length = surfacePathLength(cap, tracePath(refinement, [a, b]));
    expect(length / (100 * 2 * Math.asin(0.8))).toBeCloseTo(1, 2);
  });

  it("comes down to what is asked on a mesh of needles, with even triangles and no slimmer ones [by hand: 1 × 10 mm]", () => {
    // Every first step there makes some needle lean, so none may be refused for being as slim as those around it.
    const [nx, ny] = [200, 6];
    const positions: number[] = [];
    const triangles: number[] = [];
    for (let j = 0; j <= ny; j++) for (let i = 0; i <= nx; i++) positions.push(i, 10 * j, 0);
    for (let j = 0; j < ny; j++) {
      for (let i = 0; i < nx; i++) {
        const a = j * (nx + 1) + i;
        triangles.push(a, a + 1, a + nx + 2, a, a + nx + 2, a + nx + 1);
      }
    }
    const needles = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
    const { mesh } = decimate(needles, { triangles: 240 });
    expect(mesh.triangles.length / 3).toBeLessThanOrEqual(240);
    expect(meshArea(mesh)).toBeCloseTo(meshArea(needles), 6);
    expect(meshTopology(mesh).loops[0].length).toBeLessThan(60);
    expect(Math.min(...slimness(mesh))).toBeGreaterThan(0.69 * Math.min(...slimness(needles)));
    const sorted = slimness(mesh).sort((a, b) => a - b);
    expect(sorted[sorted.length >> 1]).toBeGreaterThan(0.3);
  });

  it("gets past slivers, as a scan has them, to a coarse mesh without [invariants: distance, area, topology]", () => {
    // Every triangle of a cap in four, by points that lie at the very end of its edges.
    const fine = sphericalCap(100, 80, { triangles: 1500 });
    const positions = [...fine.positions];
    const added = new Map<string, number>();
    const between = (a: number, b: number): number => {
      const [low, high] = a < b ? [a, b] : [b, a];
      const key = `${low} ${high}`;
      if (!added.has(key)) {
        added.set(key, positions.length / 3);
        for (let k = 0; k < 3; k++)
          positions.push(0.99 * fine.positions[3 * low + k] + 0.01 * fine.positions[3 * high + k]);
      }
      return added.get(key)!;
    };
    const triangles: number[] = [];
    for (let t = 0; t < fine.triangles.length; t += 3) {
      const [a, b, c] = fine.triangles.slice(t, t + 3);
      const [x, y, z] = [between(a, b), between(b, c), between(c, a)];
      triangles.push(a, x, z, x, b, y, z, y, c, x, y, z);
    }
    const slivers = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
    const lowest = (mesh: TriangleMesh): number =>
      slimness(mesh).sort((p, q) => p - q)[Math.floor(mesh.triangles.length / 60)];
    expect(lowest(slivers)).toBeLessThan(0.02);
    const { mesh } = decimate(slivers, { triangles: 500 });
    expect(mesh.triangles.length / 3).toBeLessThanOrEqual(500);
    expect(lowest(mesh)).toBeGreaterThan(0.1);
    const topology = meshTopology(mesh);
    expect([topology.euler, topology.loops.length]).toEqual([1, 1]);
    expect(topology.nonManifoldEdges.length + topology.inconsistentEdges.length).toBe(0);
    expect(meshArea(mesh) / meshArea(slivers)).toBeGreaterThan(0.97);
    const { nearest } = createSurfaceLocator(mesh);
    for (let v = 0; v < fine.positions.length / 3; v++)
      expect(
        nearest([0, 1, 2].map((k) => fine.positions[3 * v + k]) as unknown as Point3).distance,
      ).toBeLessThan(3);
  });
});

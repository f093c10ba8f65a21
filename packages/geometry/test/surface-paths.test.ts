import { isPeltryError } from "@peltry/issues";
import { describe, expect, it } from "vitest";
import { meshTopology } from "../src/mesh-topology";
import { MeshRefinement } from "../src/mesh-refinement";
import { insertPath } from "../src/insert-path";
import { geodesicPath } from "../src/geodesic";
import { angleDefects } from "../src/conformal-scale";
import { meshArea } from "../src/mesh-measure";
import { createRandom } from "../src/random";
import { cleanWeights, surfacePathLength, type SurfacePoint } from "../src/surface-point";
import type { TriangleMesh } from "../src/types";

const R = 100;
/** Upper half of a sphere in rings; vertex 0 is the pole. */
function hemisphere(rings: number, around: number): TriangleMesh {
  const positions = [0, R, 0];
  const triangles: number[] = [];
  for (let i = 1; i <= rings; i++) {
    const polar = (Math.PI / 2) * (i / rings);
    for (let j = 0; j < around; j++) {
      const turn = (2 * Math.PI * (j + 0.5 * i)) / around;
      positions.push(
        R * Math.sin(polar) * Math.cos(turn),
        R * Math.cos(polar),
        -R * Math.sin(polar) * Math.sin(turn),
      );
    }
  }
  const at = (i: number, j: number): number => 1 + (i - 1) * around + (j % around);
  for (let j = 0; j < around; j++) triangles.push(0, at(1, j), at(1, j + 1));
  for (let i = 1; i < rings; i++) {
    for (let j = 0; j < around; j++) {
      triangles.push(at(i, j), at(i + 1, j), at(i, j + 1));
      triangles.push(at(i, j + 1), at(i + 1, j), at(i + 1, j + 1));
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

function surfaceOf(mesh: TriangleMesh) {
  return { positions: mesh.positions, corners: mesh.triangles, twin: meshTopology(mesh).twin };
}

describe("geodesicPath", () => {
  const mesh = hemisphere(20, 60);
  it("runs from the pole to the rim in a quarter of a great circle [closed form: R·π/2]", () => {
    const path = geodesicPath(surfaceOf(mesh), 0)!;
    expect(path.length / ((Math.PI / 2) * R)).toBeGreaterThan(0.995);
    expect(path.length / ((Math.PI / 2) * R)).toBeLessThan(1.003);
  });
  it("joins two points by their great circle [closed form: R·arccos(a·b)]", () => {
    const random = createRandom(4);
    for (let trial = 0; trial < 12; trial++) {
      const [a, b] = [0, 0].map(() => Math.floor(random() * (1 + 60 * 18)));
      const p = mesh.positions;
      const dot = (p[3 * a] * p[3 * b] + p[3 * a + 1] * p[3 * b + 1] + p[3 * a + 2] * p[3 * b + 2]) / (R * R);
      const exact = R * Math.acos(Math.min(1, dot));
      if (exact < 20) continue;
      const path = geodesicPath(surfaceOf(mesh), a, [b])!;
      expect(path.length / exact).toBeGreaterThan(0.992);
      expect(path.length / exact).toBeLessThan(1.01);
    }
  });
  it("bends at a jump of weight as light does [closed form: Snell]", () => {
    // A flat strip, dear above y = 50; from (0,0) to (100,100).
    const n = 20;
    const positions: number[] = [];
    const triangles: number[] = [];
    for (let j = 0; j <= n; j++) for (let i = 0; i <= n; i++) positions.push((100 * i) / n, (100 * j) / n, 0);
    for (let j = 0; j < n; j++)
      for (let i = 0; i < n; i++) {
        const a = j * (n + 1) + i;
        triangles.push(a, a + 1, a + n + 2, a, a + n + 2, a + n + 1);
      }
    const flat = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
    const weight = Float64Array.from({ length: triangles.length / 3 }, (_, t) =>
      Math.floor(t / 2 / n) >= n / 2 ? 2 : 1,
    );
    const path = geodesicPath({ ...surfaceOf(flat), weight }, 0, [(n + 1) * (n + 1) - 1])!;
    let best = Infinity;
    for (let x = 0; x <= 100; x += 0.01)
      best = Math.min(best, Math.hypot(x, 50) + 2 * Math.hypot(100 - x, 50));
    expect(path.cost / best).toBeGreaterThan(0.9999);
    expect(path.cost / best).toBeLessThan(1.004);
  });
  it("finds no way through a forbidden belt", () => {
    const weight = new Float64Array(mesh.triangles.length / 3).fill(1);
    for (let t = 60 * 5; t < 60 * 9; t++) weight[t] = Infinity;
    expect(geodesicPath({ ...surfaceOf(mesh), weight }, 0)).toBeUndefined();
  });
});

describe("insertPath", () => {
  const mesh = hemisphere(10, 30);
  it("keeps area, borders and Euler number, and puts the path on edges of the same length [invariant]", () => {
    const surface = surfaceOf(mesh);
    const refinement = new MeshRefinement(mesh);
    const before = meshTopology(mesh);
    for (const from of [0, 45, 160]) {
      const now = {
        positions: refinement.positions,
        corners: refinement.corners,
        twin: refinement.twin,
        mark: refinement.mark,
      };
      const path = geodesicPath(now, from)!;
      const points = path.points.map((point) =>
        point.half < 0 ? refinement.place[point.vertex] : refinement.placeOnEdge(point.half, point.t),
      );
      const vertices = insertPath(refinement, points, { mark: 7 });
      expect(vertices[0]).toBe(from);
      const run = vertices.map((v) => refinement.place[v]);
      expect(Math.abs(surfacePathLength(mesh, run) / path.length - 1)).toBeLessThan(0.03);
      for (let i = 1; i < vertices.length; i++) {
        expect(refinement.mark[refinement.edgeBetween(vertices[i - 1], vertices[i])]).toBe(7);
      }
    }
    const after = refinement.toMesh();
    const topology = meshTopology(after);
    expect(topology.euler).toBe(1);
    expect(topology.nonManifoldEdges).toHaveLength(0);
    expect(topology.inconsistentEdges).toHaveLength(0);
    expect(Array.from(topology.twin)).toEqual(refinement.twin);
    expect(topology.loops[0].length).toBe(before.loops[0].length + (topology.loops[0].length - 30));
    expect(meshArea(after) / meshArea(mesh)).toBeCloseTo(1, 12);
    expect(surface.corners).toEqual(mesh.triangles);
  });
  it("follows random zigzags and stays a valid mesh [metamorphic: area, twins]", () => {
    const random = createRandom(11);
    for (let trial = 0; trial < 30; trial++) {
      const refinement = new MeshRefinement(mesh);
      const { twin } = meshTopology(mesh);
      for (let line = 0; line < 3; line++) {
        // A random walk from triangle to triangle through points on their edges and insides.
        const path: SurfacePoint[] = [];
        let t = Math.floor(random() * (mesh.triangles.length / 3));
        for (let step = 0; step < 12; step++) {
          const w = [random(), random(), random()];
          const s = w[0] + w[1] + w[2];
          path.push({ triangle: t, weights: cleanWeights(w[0] / s, w[1] / s, w[2] / s) });
          const h = 3 * t + Math.floor(random() * 3);
          if (twin[h] < 0) break;
          const e = random();
          const weights: [number, number, number] = [0, 0, 0];
          weights[h % 3] = 1 - e;
          weights[(h + 1) % 3] = e;
          path.push({ triangle: t, weights: cleanWeights(...weights) });
          t = Math.floor(twin[h] / 3);
        }
        insertPath(refinement, path, { mark: line + 1 });
      }
      const after = refinement.toMesh();
      expect(Array.from(meshTopology(after).twin)).toEqual(refinement.twin);
      expect(meshArea(after) / meshArea(mesh)).toBeCloseTo(1, 9);
      for (let i = 0; i < refinement.triangleCount; i++)
        for (let k = 0; k < 3; k++)
          expect(
            refinement.weightsIn(refinement.corners[3 * i + k], refinement.baseTriangle[i]),
          ).toBeDefined();
    }
  });
  it("refuses a path that jumps [failing input]", () => {
    const refinement = new MeshRefinement(mesh);
    const third: [number, number, number] = [1 / 3, 1 / 3, 1 / 3];
    expect(() =>
      insertPath(refinement, [
        { triangle: 0, weights: third },
        { triangle: 200, weights: third },
      ]),
    ).toThrow("shares no triangle");
  });
});

describe("angleDefects", () => {
  it("add up to 2π times the Euler number [closed form: Gauss and Bonnet]", () => {
    const mesh = hemisphere(12, 40);
    const { loops } = meshTopology(mesh);
    const border = new Uint8Array(mesh.positions.length / 3);
    for (const v of loops.flat()) border[v] = 1;
    const { inner, turning } = angleDefects(mesh, border);
    const sum = [...inner, ...turning].reduce((s, x) => s + x, 0);
    expect(sum).toBeCloseTo(2 * Math.PI, 10);
  });
});

describe("insertPath on points that are none", () => {
  const insert = (points: readonly SurfacePoint[]): string | undefined => {
    try {
      insertPath(new MeshRefinement(hemisphere(3, 6)), points);
    } catch (error) {
      return isPeltryError(error) ? error.code : String(error);
    }
    return undefined;
  };
  it("says which, instead of walking off the mesh [failing input, found by fuzzing]", () => {
    const good: SurfacePoint = { triangle: 0, weights: [0.2, 0.3, 0.5] };
    expect(insert([good])).toBeUndefined();
    expect(insert([])).toBe("geometry/empty-path");
    expect(insert([good, { triangle: 999, weights: [1, 0, 0] }])).toBe("geometry/bad-surface-point");
    expect(insert([{ triangle: -1, weights: [1, 0, 0] }])).toBe("geometry/bad-surface-point");
    expect(insert([{ triangle: 0.5, weights: [1, 0, 0] }])).toBe("geometry/bad-surface-point");
    expect(insert([{ triangle: 0, weights: [NaN, 0, 1] }])).toBe("geometry/bad-surface-point");
    expect(insert([{ triangle: 0, weights: [2, -1.5, 0.5] }])).toBe("geometry/bad-surface-point");
  });
});

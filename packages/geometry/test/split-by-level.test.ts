import { describe, expect, it } from "vitest";
import { meshArea, meshTopology, splitByLabels, splitByLevel, type TriangleMesh } from "../src/index";

/** A flat square of n × n cells. */
function grid(n: number, size: number): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i <= n; i++) for (let j = 0; j <= n; j++) positions.push((size * j) / n, (size * i) / n, 0);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const a = i * (n + 1) + j;
      triangles.push(a, a + 1, a + n + 2, a, a + n + 2, a + n + 1);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const areaOf = (mesh: TriangleMesh, label: Int32Array, wanted: number): number =>
  meshArea({
    ...mesh,
    triangles: mesh.triangles.filter((_, i) => label[Math.floor(i / 3)] === wanted),
  });

describe("splitByLevel", () => {
  it("splitByLevel › cuts a disc out of a square along its circle [oracle: area of the disc]", () => {
    const mesh = grid(60, 300);
    const field = Float64Array.from({ length: 61 * 61 }, (_, v) =>
      Math.hypot(mesh.positions[3 * v] - 150, mesh.positions[3 * v + 1] - 150),
    );
    const split = splitByLevel(mesh, field, 100);
    expect(Math.abs(areaOf(split.mesh, split.label, 0) / (Math.PI * 1e4) - 1)).toBeLessThan(0.005);
    expect(meshArea(split.mesh)).toBeCloseTo(90000, 6);
    expect(meshTopology(split.mesh)).toMatchObject({ nonManifoldEdges: [], inconsistentEdges: [], euler: 1 });
    expect([...split.mesh.positions.slice(0, mesh.positions.length)]).toEqual([...mesh.positions]);
  });

  it("splitByLevel › places new vertices between the ends of their edge [oracle: linear interpolation]", () => {
    const mesh = grid(4, 100);
    const split = splitByLevel(
      mesh,
      Float64Array.from({ length: 25 }, (_, v) => mesh.positions[3 * v]),
      40,
    );
    for (let v = 25; v < split.from.length; v++) expect(split.mesh.positions[3 * v]).toBeCloseTo(40, 9);
    expect(areaOf(split.mesh, split.label, 0)).toBeCloseTo(4000, 6);
  });

  it("splitByLabels › parts three sectors that meet inside a triangle [oracle: thirds of the square]", () => {
    const mesh = grid(31, 310);
    const fields = [0, 1, 2].map((k) => {
      const angle = (2 * Math.PI * k) / 3 + 0.3;
      return Float64Array.from(
        { length: 32 * 32 },
        (_, v) =>
          (mesh.positions[3 * v] - 152) * Math.cos(angle) +
          (mesh.positions[3 * v + 1] - 153) * Math.sin(angle),
      );
    });
    const split = splitByLabels(mesh, fields);
    expect([0, 1, 2].reduce((sum, k) => sum + areaOf(split.mesh, split.label, k), 0)).toBeCloseTo(
      310 * 310,
      6,
    );
    expect(meshTopology(split.mesh)).toMatchObject({ nonManifoldEdges: [], inconsistentEdges: [], euler: 1 });
    for (const k of [0, 1, 2]) expect(areaOf(split.mesh, split.label, k)).toBeGreaterThan(25_000);
  });

  it("splitByLabels › refuses a field that does not fit", () => {
    const mesh = grid(2, 10);
    expect(() => splitByLabels(mesh, [new Float64Array(3)])).toThrow(/vertices/);
    expect(() => splitByLabels(mesh, [new Float64Array(9).fill(NaN)])).toThrow(/finite/);
  });
});

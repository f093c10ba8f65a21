import { lusolve } from "mathjs";
import { describe, expect, it } from "vitest";
import {
  cotangentLaplacian,
  createRandom,
  factorCholesky,
  findEntry,
  meshPattern,
  multiplySymmetric,
  orderByDissection,
  planCholesky,
  solveCholesky,
  type SparseSymmetric,
} from "../src/index";
import { paddedLeg, sphericalCap } from "../../../test-fixtures/src/shapes";

function testMatrix(mesh: ReturnType<typeof paddedLeg>, seed: number): SparseSymmetric {
  const { pattern } = meshPattern(mesh.triangles, mesh.positions.length / 3);
  const random = createRandom(seed);
  const values = new Float64Array(pattern.columns.length);
  const diagonal = new Float64Array(pattern.size).fill(0.01);
  for (let i = 0; i < pattern.size; i++) {
    for (let k = pattern.starts[i]; k < pattern.starts[i + 1]; k++) {
      const j = pattern.columns[k];
      if (j > i) values[k] = values[findEntry(pattern, j, i)] = -random();
    }
  }
  for (let i = 0; i < pattern.size; i++) {
    for (let k = pattern.starts[i]; k < pattern.starts[i + 1]; k++) diagonal[i] -= values[k];
  }
  return { pattern, diagonal, values };
}

describe("sparse Cholesky", () => {
  it("factorCholesky › solves what a dense solver solves [oracle: mathjs lusolve]", () => {
    const mesh = paddedLeg({ triangles: 120, jitter: 0.2, seed: 3 });
    const matrix = testMatrix(mesh, 5);
    const n = matrix.pattern.size;
    const dense = Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => {
        if (i === j) return matrix.diagonal[i];
        const k = findEntry(matrix.pattern, i, j);
        return k < 0 ? 0 : matrix.values[k];
      }),
    );
    const b = Float64Array.from({ length: n }, (_, i) => Math.sin(1 + i));
    const wanted = lusolve(dense, [...b]) as number[][];
    const factor = factorCholesky(
      planCholesky(matrix.pattern, orderByDissection(matrix.pattern, mesh.positions, 3)),
      matrix,
    );
    const x = new Float64Array(n);
    solveCholesky(factor, b, 1, x);
    for (let i = 0; i < n; i++)
      expect(Math.abs(x[i] - wanted[i][0])).toBeLessThan(1e-9 * (1 + Math.abs(wanted[i][0])));
  });

  it("solveCholesky › gives back x from A x, for one and two right-hand sides [oracle: multiplication]", () => {
    for (const mesh of [
      paddedLeg({ triangles: 3000, jitter: 0.2 }),
      sphericalCap(100, 100, { triangles: 2000 }),
    ]) {
      const matrix = testMatrix(mesh, 9);
      const plan = planCholesky(matrix.pattern, orderByDissection(matrix.pattern, mesh.positions, 3));
      const factor = factorCholesky(plan, matrix);
      for (const width of [1, 2] as const) {
        const x = Float64Array.from({ length: width * matrix.pattern.size }, (_, i) => Math.cos(3 * i));
        const b = new Float64Array(x.length);
        multiplySymmetric(matrix, x, width, b);
        solveCholesky(factor, b, width, b);
        expect(Math.max(...b.map((value, i) => Math.abs(value - x[i])))).toBeLessThan(1e-10);
      }
      expect(factor.raisedPivots).toBe(0);
    }
  });

  it("planCholesky › any order gives the same solution; dissection fills less than the given order [oracle: counting]", () => {
    const mesh = paddedLeg({ triangles: 2000, jitter: 0.2 });
    const matrix = testMatrix(mesh, 2);
    const n = matrix.pattern.size;
    const shuffled = Int32Array.from({ length: n }, (_, i) => i);
    const random = createRandom(4);
    for (let i = n - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1));
      [shuffled[i], shuffled[j]] = [shuffled[j], shuffled[i]];
    }
    const good = planCholesky(matrix.pattern, orderByDissection(matrix.pattern, mesh.positions, 3));
    const bad = planCholesky(matrix.pattern, shuffled);
    const b = Float64Array.from({ length: n }, (_, i) => (i % 7) - 3);
    const x = new Float64Array(n);
    const y = new Float64Array(n);
    solveCholesky(factorCholesky(good, matrix), b, 1, x);
    solveCholesky(factorCholesky(bad, matrix), b, 1, y);
    expect(Math.max(...x.map((value, i) => Math.abs(value - y[i])))).toBeLessThan(1e-8);
    expect(good.entryCount).toBeLessThan(0.3 * bad.entryCount);
  });

  it("orderByDissection › is a permutation, also for points on top of each other [oracle: counting]", () => {
    const mesh = paddedLeg({ triangles: 500 });
    const { pattern } = meshPattern(mesh.triangles, mesh.positions.length / 3);
    for (const points of [mesh.positions, new Float64Array(mesh.positions.length)]) {
      const order = orderByDissection(pattern, points, 3);
      expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: pattern.size }, (_, i) => i));
    }
  });

  it("factorCholesky › counts pivots of a matrix that is not positive definite and names a NaN", () => {
    const mesh = sphericalCap(10, 40, { triangles: 24 });
    const matrix = testMatrix(mesh, 1);
    const plan = planCholesky(matrix.pattern, orderByDissection(matrix.pattern, mesh.positions, 3));
    const diagonal = matrix.diagonal.slice();
    diagonal[3] = -5;
    expect(factorCholesky(plan, { ...matrix, diagonal }).raisedPivots).toBeGreaterThan(0);
    diagonal[3] = NaN;
    expect(() => factorCholesky(plan, { ...matrix, diagonal })).toThrow(/entry 3/);
  });
});

describe("cotangentLaplacian", () => {
  it("has constants as null space and linear functions as harmonic inside a flat mesh [oracle: closed form]", () => {
    const mesh = sphericalCap(1e7, 1e-3, { triangles: 300, jitter: 0.2 });
    const matrix = cotangentLaplacian(mesh);
    const n = matrix.pattern.size;
    const ones = new Float64Array(n).fill(1);
    const out = new Float64Array(n);
    multiplySymmetric(matrix, ones, 1, out);
    expect(Math.max(...out.map(Math.abs))).toBeLessThan(1e-9);
    const x = Float64Array.from({ length: n }, (_, i) => mesh.positions[3 * i]);
    multiplySymmetric(matrix, x, 1, out);
    const rim = 6 * Math.round(Math.sqrt(300 / 6));
    const scale = Math.max(...x.map(Math.abs));
    for (let v = 0; v < n - rim; v++) expect(Math.abs(out[v])).toBeLessThan(1e-7 * scale);
  });

  it("of a right isosceles triangle is 0, −½, −½ [oracle: closed form]", () => {
    const mesh = {
      positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0),
      triangles: Uint32Array.of(0, 1, 2),
    };
    const matrix = cotangentLaplacian(mesh);
    const entry = (i: number, j: number) => matrix.values[findEntry(matrix.pattern, i, j)];
    expect(entry(0, 1)).toBeCloseTo(-0.5, 12);
    expect(entry(0, 2)).toBeCloseTo(-0.5, 12);
    expect(entry(1, 2)).toBeCloseTo(0, 12);
    expect(findEntry(matrix.pattern, 0, 0)).toBe(-1);
  });
});

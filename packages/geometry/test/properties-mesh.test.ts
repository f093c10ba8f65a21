import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  angleDefects,
  buildEdgeTable,
  cornerAngle,
  cotangentLaplacian,
  createRandom,
  cutMesh,
  decimate,
  extractTriangles,
  factorCholesky,
  findEntry,
  meshArea,
  meshPattern,
  meshTopology,
  meshVolume,
  multiplySymmetric,
  nextHalfEdge,
  orderByDissection,
  pathLength,
  planCholesky,
  power,
  previousHalfEdge,
  solveCholesky,
  splitByLabels,
  splitByLevel,
  splitPieces,
  triangleArea,
  twinsOf,
  vertexArea,
  vertexDistance,
  vertexPoint,
} from "../src/index";
import { disk, diskAndSeed, edgesByHand, tangle } from "./arbitraries";

const RUNS = { seed: 1, numRuns: 60 };
/** Cuts stay this part of an edge away from its ends. */
const HELD_OFF = 0.06;

describe("properties of edges", () => {
  it("nextHalfEdge and previousHalfEdge undo each other inside one triangle [inverse]", () => {
    fc.assert(
      fc.property(fc.nat(1e6), (h) => {
        expect(previousHalfEdge(nextHalfEdge(h))).toBe(h);
        expect(nextHalfEdge(nextHalfEdge(nextHalfEdge(h)))).toBe(h);
        expect(Math.floor(nextHalfEdge(h) / 3)).toBe(Math.floor(h / 3));
      }),
      RUNS,
    );
  });
  it("buildEdgeTable groups what a map of pairs groups, whatever the triangles; twins are pairs [oracle: map]", () => {
    fc.assert(
      fc.property(tangle, (mesh) => {
        const table = buildEdgeTable(mesh.triangles, 8);
        const byHand = edgesByHand(mesh);
        expect(table.edgeCount).toBe(byHand.size);
        const twin = twinsOf(table);
        for (const uses of byHand.values()) {
          const e = table.edgeOf[uses[0]];
          expect([...table.uses.slice(table.start[e], table.start[e + 1])]).toEqual(uses);
          for (const h of uses) expect(twin[h]).toBe(uses.length === 2 ? uses[0] + uses[1] - h : -1);
        }
      }),
      RUNS,
    );
  });
  it("meshTopology counts edges as a map of pairs does and closes every border loop on border edges [oracle: map]", () => {
    fc.assert(
      fc.property(disk, (mesh) => {
        const topology = meshTopology(mesh);
        const byHand = edgesByHand(mesh);
        expect(topology.edgeCount).toBe(byHand.size);
        const border = [...byHand].filter(([, uses]) => uses.length === 1).map(([key]) => key);
        const walked = topology.loops.flatMap((loop) =>
          loop.map((a, i) => {
            const b = loop[(i + 1) % loop.length];
            return `${Math.min(a, b)}-${Math.max(a, b)}`;
          }),
        );
        expect(walked.sort()).toEqual(border.sort());
      }),
      RUNS,
    );
  });
});

describe("properties of measures", () => {
  it("areas grow with the square of scale, volumes with the cube, lengths in proportion [scaling]", () => {
    fc.assert(
      fc.property(disk, fc.double({ min: 0.01, max: 100, noNaN: true }), (mesh, scale) => {
        const large = { ...mesh, positions: mesh.positions.map((x) => scale * x) };
        expect(meshArea(large) / meshArea(mesh) / scale ** 2).toBeCloseTo(1, 9);
        expect(meshVolume(large) / meshVolume(mesh) / power(scale, 3)).toBeCloseTo(1, 6);
        const path = meshTopology(mesh).loops[0];
        expect(pathLength(large.positions, path) / pathLength(mesh.positions, path) / scale).toBeCloseTo(
          1,
          9,
        );
      }),
      RUNS,
    );
  });
  it("the area of a triangle by its corners is Heron's, and its normal stands on its sides [oracle: Heron]", () => {
    fc.assert(
      fc.property(disk, (mesh) => {
        let sum = 0;
        const normal = new Float64Array(3);
        for (let t = 0; t < mesh.triangles.length / 3; t++) {
          const [a, b, c] = mesh.triangles.slice(3 * t, 3 * t + 3);
          const sides = [
            vertexDistance(mesh.positions, a, b),
            vertexDistance(mesh.positions, b, c),
            vertexDistance(mesh.positions, c, a),
          ];
          const s = (sides[0] + sides[1] + sides[2]) / 2;
          const heron = Math.sqrt(Math.max(0, s * (s - sides[0]) * (s - sides[1]) * (s - sides[2])));
          expect(vertexArea(mesh.positions, a, b, c, normal)).toBeCloseTo(heron, 5);
          expect(triangleArea(mesh, t)).toBe(vertexArea(mesh.positions, a, b, c));
          const [p, q] = [vertexPoint(mesh, a), vertexPoint(mesh, b)];
          const along = [0, 1, 2].reduce((dot, k) => dot + normal[k] * (q[k] - p[k]), 0);
          expect(Math.abs(along)).toBeLessThan(1e-9 * (1 + sides[0]));
          sum += heron;
        }
        expect(meshArea(mesh)).toBeCloseTo(sum, 3);
      }),
      RUNS,
    );
  });
  it("corner angles of a triangle make π; defects and turning make 2π times Euler's number [Gauss–Bonnet]", () => {
    fc.assert(
      fc.property(disk, (mesh) => {
        const { positions: p, triangles } = mesh;
        for (let t = 0; t < triangles.length; t += 3) {
          const [a, b, c] = triangles.slice(t, t + 3);
          expect(cornerAngle(p, a, b, c) + cornerAngle(p, b, c, a) + cornerAngle(p, c, a, b)).toBeCloseTo(
            Math.PI,
            9,
          );
        }
        const topology = meshTopology(mesh);
        const onBorder = new Uint8Array(topology.vertexCount);
        for (const v of topology.loops.flat()) onBorder[v] = 1;
        const { inner, turning } = angleDefects(mesh, onBorder);
        const whole = inner.reduce((s, x) => s + x, 0) + turning.reduce((s, x) => s + x, 0);
        expect(whole).toBeCloseTo(2 * Math.PI * topology.euler, 8);
      }),
      RUNS,
    );
  });
});

describe("properties of cuts", () => {
  it("cutMesh changes no corner's place and no triangle's order; an empty cut changes nothing [invariant]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        expect(cutMesh(mesh, []).mesh).toEqual(mesh);
        // A walk along edges from some vertex.
        const { pattern } = meshPattern(mesh.triangles, mesh.positions.length / 3);
        const random = createRandom(seed);
        let v = Math.floor(random() * pattern.size);
        const path = [v];
        for (let i = 0; i < 5; i++) {
          const room = pattern.starts[v + 1] - pattern.starts[v];
          v = pattern.columns[pattern.starts[v] + Math.floor(random() * room)];
          path.push(v);
        }
        const cut = cutMesh(mesh, [path]);
        expect(cut.mesh.triangles.length).toBe(mesh.triangles.length);
        cut.mesh.triangles.forEach((w, c) => expect(cut.sourceVertex[w]).toBe(mesh.triangles[c]));
        expect(meshArea(cut.mesh)).toBeCloseTo(meshArea(mesh), 6);
        // A walk of several edges opens all of them; the two ends of a lone slit inside stay single.
        const edges = edgesByHand(mesh);
        const key = (a: number, b: number): string => `${Math.min(a, b)}-${Math.max(a, b)}`;
        const walked = new Set(path.slice(1).map((w, i) => key(path[i], w)));
        if (walked.size < 2) return;
        for (const one of walked) {
          const sides = edges
            .get(one)!
            .map((h) => key(cut.mesh.triangles[h], cut.mesh.triangles[nextHalfEdge(h)]));
          expect(new Set(sides).size).toBe(sides.length);
        }
      }),
      RUNS,
    );
  });
  it("pieces hold every triangle once, with its corners in place; labels are never mixed [partition]", () => {
    fc.assert(
      fc.property(diskAndSeed, fc.integer({ min: 1, max: 4 }), ([mesh, seed], kinds) => {
        const random = createRandom(seed);
        const labels = Array.from({ length: mesh.triangles.length / 3 }, () => Math.floor(kinds * random()));
        const pieces = splitPieces(mesh, labels);
        const all = pieces.flatMap((piece) => [...piece.sourceTriangle]);
        expect(all.sort((a, b) => a - b)).toEqual(labels.map((_, t) => t));
        for (const piece of pieces) {
          expect(new Set([...piece.sourceTriangle].map((t) => labels[t])).size).toBe(1);
          expect(piece).toEqual(extractTriangles(mesh, piece.sourceTriangle));
          piece.mesh.triangles.forEach((w, c) => {
            const source = mesh.triangles[3 * piece.sourceTriangle[Math.floor(c / 3)] + (c % 3)];
            expect(piece.sourceVertex[w]).toBe(source);
            expect(vertexPoint(piece.mesh, w)).toEqual(vertexPoint(mesh, source));
          });
        }
      }),
      RUNS,
    );
  });
  it("splitByLabels keeps the area and puts every place under its greatest field [oracle: fields at the middles]", () => {
    fc.assert(
      fc.property(diskAndSeed, fc.integer({ min: 2, max: 4 }), ([mesh, seed], kinds) => {
        const random = createRandom(seed);
        const count = mesh.positions.length / 3;
        const fields = Array.from({ length: kinds }, () =>
          Float64Array.from({ length: count }, () => random()),
        );
        const split = splitByLabels(mesh, fields);
        expect(meshArea(split.mesh)).toBeCloseTo(meshArea(mesh), 6);
        const value = (k: number, v: number): number =>
          (1 - split.fraction[v]) * fields[k][split.from[v]] + split.fraction[v] * fields[k][split.to[v]];
        // Where only two labels meet in a triangle the fields run straight, so that their sign at the middle decides.
        const inTwo = new Map<number, Set<number>>();
        split.label.forEach((label, t) => {
          const source = split.sourceTriangle[t];
          inTwo.set(source, (inTwo.get(source) ?? new Set()).add(label));
        });
        split.label.forEach((label, t) => {
          const met = inTwo.get(split.sourceTriangle[t])!;
          if (met.size > 2) return;
          const corners = split.mesh.triangles.slice(3 * t, 3 * t + 3);
          const sums = [...met].map((k) => corners.reduce((sum, v) => sum + value(k, v), 0));
          const own = corners.reduce((sum, v) => sum + value(label, v), 0);
          expect(own).toBeGreaterThanOrEqual(Math.max(...sums) - 3 * HELD_OFF);
        });
      }),
      RUNS,
    );
  });
  it("splitByLevel puts everything below the level under 0, above it under 1 [oracle: height]", () => {
    fc.assert(
      fc.property(disk, fc.double({ min: -110, max: 110, noNaN: true }), (mesh, level) => {
        const height = Float64Array.from(
          { length: mesh.positions.length / 3 },
          (_, v) => mesh.positions[3 * v + 1],
        );
        const split = splitByLevel(mesh, height, level);
        const longest = 220;
        split.mesh.triangles.forEach((v, c) => {
          const y = split.mesh.positions[3 * v + 1] - level;
          if (split.label[Math.floor(c / 3)] === 1) expect(y).toBeGreaterThan(-HELD_OFF * longest);
          else expect(y).toBeLessThan(HELD_OFF * longest);
        });
      }),
      RUNS,
    );
  });
  it("decimate keeps the topology, uses only old vertices and stops at the number asked [invariant]", () => {
    fc.assert(
      fc.property(disk, fc.integer({ min: 10, max: 100 }), (mesh, triangles) => {
        const few = decimate(mesh, { triangles });
        const [before, after] = [meshTopology(mesh), meshTopology(few.mesh)];
        expect(after.loops.length).toBe(before.loops.length);
        expect(after.euler).toBe(before.euler);
        expect(after.triangleCount).toBeLessThanOrEqual(before.triangleCount);
        few.sourceVertex.forEach((v, w) => {
          expect(vertexPoint(few.mesh, w)).toEqual(vertexPoint(mesh, v));
          expect(few.vertexOf[v]).toBe(w);
        });
      }),
      RUNS,
    );
  });
});

describe("properties of sparse matrices", () => {
  it("meshPattern names exactly the neighbours, and findEntry finds just them [oracle: map]", () => {
    fc.assert(
      fc.property(tangle, (mesh) => {
        const { pattern, slots } = meshPattern(mesh.triangles, 8);
        const edges = edgesByHand(mesh);
        for (let a = 0; a < 8; a++) {
          for (let b = 0; b < 8; b++) {
            const joined = edges.has(`${Math.min(a, b)}-${Math.max(a, b)}`);
            expect(findEntry(pattern, a, b) >= 0).toBe(joined);
          }
        }
        for (const h of mesh.triangles.keys()) {
          const [a, b] = [mesh.triangles[h], mesh.triangles[nextHalfEdge(h)]];
          expect(slots[2 * h]).toBe(findEntry(pattern, a, b));
          expect(slots[2 * h + 1]).toBe(findEntry(pattern, b, a));
        }
      }),
      RUNS,
    );
  });
  it("the cotangent Laplacian is blind to constants and never gives negative energy [positive semidefinite]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const matrix = cotangentLaplacian(mesh);
        const n = matrix.pattern.size;
        const out = new Float64Array(n);
        multiplySymmetric(matrix, new Float64Array(n).fill(1), 1, out);
        for (const y of out) expect(Math.abs(y)).toBeLessThan(1e-9);
        const random = createRandom(seed);
        const x = Float64Array.from({ length: n }, () => random() - 0.5);
        multiplySymmetric(matrix, x, 1, out);
        expect(x.reduce((sum, v, i) => sum + v * out[i], 0)).toBeGreaterThan(-1e-9);
      }),
      RUNS,
    );
  });
  it("whatever the order of elimination, solving undoes multiplying, two sides as one [inverse]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const plain = cotangentLaplacian(mesh);
        const matrix = { ...plain, diagonal: plain.diagonal.map((d) => d + 0.1) };
        const n = matrix.pattern.size;
        const random = createRandom(seed);
        const x = Float64Array.from({ length: 2 * n }, () => random() - 0.5);
        const b = new Float64Array(2 * n);
        multiplySymmetric(matrix, x, 2, b);
        const dissected = orderByDissection(matrix.pattern, mesh.positions, 3);
        expect([...dissected].sort((p, q) => p - q)).toEqual(Array.from({ length: n }, (_, i) => i));
        for (const order of [dissected, dissected.slice().reverse()]) {
          const factor = factorCholesky(planCholesky(matrix.pattern, order), matrix);
          expect(factor.raisedPivots).toBe(0);
          const y = new Float64Array(2 * n);
          solveCholesky(factor, b, 2, y);
          y.forEach((v, i) => expect(Math.abs(v - x[i])).toBeLessThan(1e-8));
          const first = new Float64Array(n);
          solveCholesky(
            factor,
            b.filter((_, i) => i % 2 === 0),
            1,
            first,
          );
          first.forEach((v, i) => expect(Math.abs(v - x[2 * i])).toBeLessThan(1e-8));
        }
      }),
      RUNS,
    );
  });
});

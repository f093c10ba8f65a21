import { describe, expect, it } from "vitest";
import type { TriangleMesh } from "@peltry/geometry";
import { cylinder, sphericalCap } from "../../../test-fixtures/src/shapes";
import { createFlattener, flatten, isPeltryError, type FlattenOptions } from "../src/index";

const cap = sphericalCap(100, 40, { triangles: 54 });

function codeOf(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    for (const issue of error.issues) {
      expect(issue.message.length).toBeGreaterThan(10);
      expect(issue.fix?.length).toBeGreaterThan(5);
    }
    return `${error.code}: ${error.issues[0].found ?? ""}`;
  }
  return "nothing thrown";
}

const mesh = (positions: number[], triangles: number[]): TriangleMesh => ({
  positions: Float64Array.from(positions),
  triangles: Uint32Array.from(triangles),
});
const TETRA = [0, 0, 0, 10, 0, 0, 0, 10, 0, 0, 0, 10];

/** A tube closed round, from a grid cylinder with its seam welded. */
function tube(): TriangleMesh {
  const open = cylinder(50, 100, { triangles: 100 });
  const row = Math.max(...open.triangles.subarray(0, 6)) - 1;
  const triangles = open.triangles.map((v) => (v % row === row - 1 ? v - row + 1 : v));
  const used = [...new Set(triangles)].sort((a, b) => a - b);
  const place = new Map(used.map((v, i) => [v, i]));
  return mesh(
    used.flatMap((v) => [...open.positions.subarray(3 * v, 3 * v + 3)]),
    [...triangles].map((v) => place.get(v)!),
  );
}

function torus(): TriangleMesh {
  const n = 6;
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const [a, b] = [(2 * Math.PI * i) / n, (2 * Math.PI * j) / n];
      positions.push(
        (50 + 20 * Math.cos(b)) * Math.cos(a),
        20 * Math.sin(b),
        (50 + 20 * Math.cos(b)) * Math.sin(a),
      );
      const at = (p: number, q: number) => ((p + n) % n) * n + ((q + n) % n);
      triangles.push(at(i, j), at(i, j + 1), at(i + 1, j), at(i + 1, j), at(i, j + 1), at(i + 1, j + 1));
    }
  }
  return mesh(positions, triangles);
}

describe("flatten › faults have a code, a place and a mend", () => {
  it("a mesh without any area, on a line or in one point [oracle: by construction]", () => {
    const line = mesh([0, 0, 0, 30, 0, 0, 60, 0, 0, 90, 0, 0], [0, 1, 2, 1, 3, 2]);
    const point = mesh([1, 1, 1, 1, 1, 1, 1, 1, 1], [0, 1, 2]);
    expect(codeOf(() => flatten(line))).toBe("flatten/flat-triangles: 2");
    expect(codeOf(() => flatten(point, { mode: "flip-free" }))).toBe("flatten/flat-triangles: 1");
    expect(
      codeOf(() => createFlattener(cap).flatten({ moved: new Float64Array(cap.positions.length) })),
    ).toContain("flatten/flat-triangles");
  });
  const meshes: [string, TriangleMesh, string][] = [
    ["no triangles", mesh([], []), "flatten/empty-mesh: 0"],
    ["NaN", mesh([0, 0, 0, 1, 0, 0, 0, NaN, 0], [0, 1, 2]), "flatten/not-finite: NaN"],
    ["infinity", mesh([0, 0, 0, 1, 0, 0, 0, Infinity, 0], [0, 1, 2]), "flatten/not-finite: Infinity"],
    ["index out of range", mesh([0, 0, 0, 1, 0, 0, 0, 1, 0], [0, 1, 7]), "flatten/bad-indices: 7"],
    ["vertex used twice", mesh([0, 0, 0, 1, 0, 0, 0, 1, 0], [0, 1, 1]), "flatten/repeated-index: "],
    ["closed", mesh(TETRA, [0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3]), "flatten/not-a-disk: 0 border loops"],
    ["a tube", tube(), "flatten/not-a-disk: 2 border loops"],
    ["closed with a handle", torus(), "flatten/not-a-disk: 0 border loops"],
    ["a handle", { ...torus(), triangles: torus().triangles.slice(3) }, "flatten/not-a-disk: 1 handles"],
    ["two pieces", mesh([...TETRA, 50, 0, 0, 60, 0, 0], [0, 1, 2, 3, 4, 5]), "flatten/not-a-disk: 2 pieces"],
    [
      "three triangles on an edge",
      mesh([...TETRA, 5, 5, 5], [0, 1, 2, 1, 0, 3, 0, 1, 4]),
      "flatten/flipped-winding: 1",
    ],
    ["unused vertex", mesh([...TETRA], [0, 1, 2]), "flatten/unused-vertices: 1"],
    ["flipped winding", mesh([...TETRA], [0, 1, 2, 0, 1, 3]), "flatten/flipped-winding: 1"],
    [
      "two fans on one point",
      mesh(
        [0, 0, 0, 9, 0, 0, 9, 9, 0, 0, 9, 0, -9, 0, 0, -9, -9, 0, 0, -9, 0, 9, -9, 4],
        [0, 1, 2, 0, 2, 3, 0, 4, 5, 0, 5, 6, 1, 7, 2],
      ),
      "flatten/not-a-disk: 2 pieces",
    ],
  ];
  for (const [name, bad, code] of meshes) {
    it(`mesh: ${name} [oracle: by construction]`, () => {
      const found = codeOf(() => flatten(bad));
      if (name === "three triangles on an edge")
        expect(found).toMatch(/^flatten\/(non-manifold|flipped-winding)/);
      else expect(found).toBe(code);
    });
  }

  const range = { max: 0.1, min: -0.05 };
  const options: [string, FlattenOptions, string][] = [
    [
      "limits inverted",
      { fabric: { along: { max: -0.1, min: 0.1 }, across: range, shear: range } },
      "bad-fabric-limits",
    ],
    [
      "limits in percent",
      { fabric: { along: range, across: { max: 20, min: -3 }, shear: range } },
      "bad-fabric-limits",
    ],
    ["limits without rest", { anyDirection: { max: 0.3, min: 0.1 } }, "bad-fabric-limits"],
    [
      "stiffness zero",
      { fabric: { along: { ...range, stiffness: 0 }, across: range, shear: range } },
      "bad-fabric-limits",
    ],
    ["unknown mode", { mode: "flat" as never }, "bad-option"],
    ["limited without a fabric", { mode: "strain-limited" }, "bad-option"],
    ["negative weight", { edgeLengthWeight: -1 }, "bad-option"],
    ["a pile angle that overflows in radians", { pileAngle: 1e308 }, "bad-option"],
    ["a pile angle that is none", { pileAngle: NaN }, "bad-option"],
    ["pile of wrong length", { pile: new Float64Array(7) }, "bad-pile"],
    ["pile NaN", { pile: [0, NaN, 0] }, "bad-pile"],
    ["start of wrong length", { from: new Float64Array(3) }, "bad-option"],
  ];
  for (const [name, bad, code] of options) {
    it(`option: ${name} [oracle: by construction]`, () => {
      expect(codeOf(() => flatten(cap, bad))).toMatch(new RegExp(`^flatten/${code}`));
    });
  }

  it("keeps holes as inner outlines when asked [oracle: exact predicates]", () => {
    const ring = tube();
    const panel = flatten(ring, { holes: "keep" });
    expect(panel.loops.length).toBe(2);
    expect(panel.certificate).toMatchObject({ flips: 0, overlaps: 0 });
  });
});

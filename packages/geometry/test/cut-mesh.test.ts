import { describe, expect, it } from "vitest";
import { cutMesh, meshArea, meshTopology, splitPieces, vertexArea, type TriangleMesh } from "../src/index";

/** n × n squares, two triangles each, in the plane z = 0; vertex (i, j) has index j (n + 1) + i. */
function grid(n: number): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= n; j++) for (let i = 0; i <= n; i++) positions.push(i, j, 0);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const a = j * (n + 1) + i;
      triangles.push(a, a + 1, a + n + 2, a, a + n + 2, a + n + 1);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

describe("cutMesh", () => {
  const mesh = grid(4);
  it("keeps a mesh and its numbers when nothing is cut [invariant]", () => {
    const cut = cutMesh(mesh, []);
    expect(cut.mesh.triangles).toEqual(mesh.triangles);
    expect(cut.mesh.positions).toEqual(mesh.positions);
  });
  it("opens a slit from the border: still one disk, one vertex more for each cut vertex but the tip [closed form]", () => {
    const cut = cutMesh(mesh, [[2, 7, 12]]);
    const topology = meshTopology(cut.mesh);
    expect(topology.euler).toBe(1);
    expect(topology.loops).toHaveLength(1);
    expect(topology.vertexCount).toBe(25 + 2);
    expect(topology.loops[0]).toHaveLength(16 + 4);
  });
  it("parts a mesh along a through-cut, area kept [invariant]", () => {
    const cut = cutMesh(mesh, [[2, 7, 12, 17, 22]]);
    const pieces = splitPieces(cut.mesh);
    expect(pieces).toHaveLength(2);
    expect(meshArea(pieces[0].mesh) + meshArea(pieces[1].mesh)).toBeCloseTo(16, 12);
    for (const piece of pieces) expect(meshTopology(piece.mesh).euler).toBe(1);
  });
  it("lifts out a closed ring: the inside is a disk, the outside an annulus [invariant]", () => {
    const ring = [6, 7, 8, 13, 18, 17, 16, 11, 6];
    const pieces = splitPieces(cutMesh(mesh, [ring]).mesh);
    expect(pieces.map((piece) => meshTopology(piece.mesh).euler)).toEqual([0, 1]);
  });
  it("names the step that follows no edge", () => {
    expect(() => cutMesh(mesh, [[0, 24]])).toThrow(/vertex 0 to vertex 24/);
  });
});

describe("splitPieces", () => {
  it("parts triangles of different label [invariant]", () => {
    const mesh = grid(2);
    const labels = [0, 0, 1, 1, 0, 0, 1, 1];
    const pieces = splitPieces(mesh, labels);
    expect(pieces.map((piece) => [...piece.sourceTriangle])).toEqual([
      [0, 1, 4, 5],
      [2, 3, 6, 7],
    ]);
  });
});

describe("vertexArea", () => {
  it("area and normal of a tilted 3–4–5 triangle; zero on one line [oracle: Heron, by construction]", () => {
    // Legs 3 and 4, the second turned by 30° out of the ground.
    const turn = Math.PI / 6;
    const corners = [7, 8, 9, 10, 8, 9, 7, 8 + 4 * Math.cos(turn), 9 + 4 * Math.sin(turn)];
    const normal = new Float64Array(3);
    expect(vertexArea(corners, 0, 1, 2, normal)).toBeCloseTo(6, 12);
    expect(normal[0]).toBeCloseTo(0, 12);
    expect(normal[1]).toBeCloseTo(-Math.sin(turn), 12);
    expect(normal[2]).toBeCloseTo(Math.cos(turn), 12);
    expect(vertexArea([0, 0, 0, 1, 2, 3, 2, 4, 6], 0, 1, 2, normal)).toBe(0);
    expect([...normal]).toEqual([0, 0, 0]);
  });
});

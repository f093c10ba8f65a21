import { fail } from "@peltry/issues";
import { nextHalfEdge } from "./mesh-topology";
import type { TriangleMesh } from "./types";

/** A mesh whose vertices stem from another mesh. */
export interface CutMesh {
  readonly mesh: TriangleMesh;
  /** Vertex of the source mesh for each vertex. */
  readonly sourceVertex: Uint32Array;
}

/** A connected piece of a mesh. */
export interface MeshPiece extends CutMesh {
  /** Triangle of the source mesh for each triangle, in rising order. */
  readonly sourceTriangle: Uint32Array;
}

/**
 * Opens a mesh along runs of edges: the triangles stay, vertices on the cuts are doubled so that the two sides part.
 * A cut that ends inside leaves its last vertex single (the tip of a slit).
 *
 * @param mesh - an edge-manifold mesh
 * @param cuts - runs of vertex indices, each joined to the next by an edge; repeat the first to close a ring
 * @throws `geometry/path-not-on-edges` when two neighbours of a run share no edge
 * @remarks linear in triangles; triangle order and corners are kept
 */
export function cutMesh(mesh: TriangleMesh, cuts: readonly (readonly number[])[]): CutMesh {
  const { triangles, positions } = mesh;
  const vertexCount = positions.length / 3;
  const halfEdgeOf = directedEdges(triangles, vertexCount);
  const cutEdges = new Set<number>();
  cuts.forEach((path, index) => {
    for (let i = 1; i < path.length; i++) {
      const a = path[i - 1];
      const b = path[i];
      if (!halfEdgeOf.has(a * vertexCount + b) && !halfEdgeOf.has(b * vertexCount + a)) {
        fail(
          "geometry/path-not-on-edges",
          `Cut ${index} steps from vertex ${a} to vertex ${b}, which share no edge.`,
          { index: i, vertex: a },
          { fix: "Insert the path into the mesh first, so that it follows edges." },
        );
      }
      cutEdges.add(Math.min(a, b) * vertexCount + Math.max(a, b));
    }
  });

  // Corners of one vertex stay together where their triangles share an edge that is not cut.
  const group = new Int32Array(triangles.length);
  for (let c = 0; c < group.length; c++) group[c] = c;
  const find = (c: number): number => {
    while (group[c] !== c) c = group[c] = group[group[c]];
    return c;
  };
  const join = (c: number, d: number): void => {
    const [low, high] = [find(c), find(d)].sort((p, q) => p - q);
    group[high] = low;
  };
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h];
    const b = triangles[nextHalfEdge(h)];
    const twin = halfEdgeOf.get(b * vertexCount + a);
    if (twin === undefined || twin < h) continue;
    if (cutEdges.has(Math.min(a, b) * vertexCount + Math.max(a, b))) continue;
    join(h, nextHalfEdge(twin));
    join(nextHalfEdge(h), twin);
  }
  return regroup(mesh, group, find);
}

/** New vertices, one a group of corners, numbered by source vertex so that an uncut mesh keeps its numbers. */
function regroup(mesh: TriangleMesh, group: Int32Array, find: (c: number) => number): CutMesh {
  const { triangles, positions } = mesh;
  const roots: number[] = [];
  for (let c = 0; c < group.length; c++) if (find(c) === c) roots.push(c);
  const order = roots.slice().sort((p, q) => triangles[p] - triangles[q] || p - q);
  const vertexOf = new Map<number, number>();
  const sourceVertex = new Uint32Array(order.length);
  const moved = new Float64Array(order.length * 3);
  order.forEach((root, v) => {
    const source = triangles[root];
    vertexOf.set(root, v);
    sourceVertex[v] = source;
    for (let k = 0; k < 3; k++) moved[3 * v + k] = positions[3 * source + k];
  });
  const corners = Uint32Array.from(triangles, (_, c) => vertexOf.get(find(c))!);
  return { mesh: { positions: moved, triangles: corners }, sourceVertex };
}

/** First half-edge of each directed edge a → b, keyed a · vertexCount + b. */
function directedEdges(triangles: Uint32Array, vertexCount: number): Map<number, number> {
  const map = new Map<number, number>();
  for (let h = 0; h < triangles.length; h++) {
    const key = triangles[h] * vertexCount + triangles[nextHalfEdge(h)];
    if (!map.has(key)) map.set(key, h);
  }
  return map;
}

/**
 * The connected pieces of a mesh, in the order of their first triangle. With labels, triangles of different label
 * part even where they share an edge.
 *
 * @param labels - one number a triangle
 */
export function splitPieces(mesh: TriangleMesh, labels?: ArrayLike<number>): MeshPiece[] {
  const { triangles, positions } = mesh;
  const vertexCount = positions.length / 3;
  const count = triangles.length / 3;
  const halfEdgeOf = directedEdges(triangles, vertexCount);
  const piece = new Int32Array(count).fill(-1);
  const pieces: number[][] = [];
  for (let seed = 0; seed < count; seed++) {
    if (piece[seed] >= 0) continue;
    const members = [seed];
    piece[seed] = pieces.length;
    for (let i = 0; i < members.length; i++) {
      for (let h = 3 * members[i]; h < 3 * members[i] + 3; h++) {
        const twin = halfEdgeOf.get(triangles[nextHalfEdge(h)] * vertexCount + triangles[h]);
        if (twin === undefined) continue;
        const other = Math.floor(twin / 3);
        if (piece[other] >= 0 || (labels && labels[other] !== labels[seed])) continue;
        piece[other] = pieces.length;
        members.push(other);
      }
    }
    pieces.push(members.sort((a, b) => a - b));
  }
  return pieces.map((members) => extractTriangles(mesh, members));
}

/** The part of a mesh made of the given triangles, unused vertices left out. */
export function extractTriangles(mesh: TriangleMesh, members: ArrayLike<number>): MeshPiece {
  const { triangles, positions } = mesh;
  const used = new Set<number>();
  for (let i = 0; i < members.length; i++)
    for (let k = 0; k < 3; k++) used.add(triangles[3 * members[i] + k]);
  const sourceVertex = Uint32Array.from(used).sort();
  const vertexOf = new Map<number, number>();
  const moved = new Float64Array(sourceVertex.length * 3);
  sourceVertex.forEach((source, v) => {
    vertexOf.set(source, v);
    for (let k = 0; k < 3; k++) moved[3 * v + k] = positions[3 * source + k];
  });
  const corners = new Uint32Array(members.length * 3);
  for (let i = 0; i < members.length; i++) {
    for (let k = 0; k < 3; k++) corners[3 * i + k] = vertexOf.get(triangles[3 * members[i] + k])!;
  }
  return {
    mesh: { positions: moved, triangles: corners },
    sourceVertex,
    sourceTriangle: Uint32Array.from(Array.from(members)),
  };
}

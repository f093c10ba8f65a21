import { buildEdgeTable } from "./edge-table";
import type { TriangleMesh } from "./types";

/** Half-edge h runs from corner h of triangle ⌊h/3⌋ to its next corner. */
export interface MeshTopology {
  readonly vertexCount: number;
  readonly triangleCount: number;
  readonly edgeCount: number;
  /** Opposite half-edge, or -1 on a border; -2 where more than two triangles or two of the same sense share the edge. */
  readonly twin: Int32Array;
  /** Closed border loops of vertex indices, each with the surface on its left. */
  readonly loops: readonly (readonly number[])[];
  /** Edges with more than two triangles, as half-edge indices. */
  readonly nonManifoldEdges: readonly number[];
  /** Edges run twice in the same sense: winding flipped between neighbours. */
  readonly inconsistentEdges: readonly number[];
  /** Vertices where two separate fans of triangles meet. */
  readonly nonManifoldVertices: readonly number[];
  /** Vertices that no triangle uses. */
  readonly unusedVertices: readonly number[];
  /** Connected pieces (through shared edges). */
  readonly componentCount: number;
  /** Piece of each triangle. */
  readonly component: Int32Array;
  /** V − E + F over used vertices. 1 for a disk, 0 for an annulus, 2 for a closed ball. */
  readonly euler: number;
}

/** Next corner of the same triangle. */
export function nextHalfEdge(h: number): number {
  return h % 3 === 2 ? h - 2 : h + 1;
}

/** Previous corner of the same triangle. */
export function previousHalfEdge(h: number): number {
  return h % 3 === 0 ? h + 2 : h - 1;
}

/**
 * Neighbours, border loops and faults of a triangle mesh. Never throws on a mesh with valid indices.
 *
 * @remarks linear in the number of triangles
 */
export function meshTopology(
  mesh: Pick<TriangleMesh, "triangles"> & { positions: { length: number } },
): MeshTopology {
  const { triangles } = mesh;
  const vertexCount = Math.floor(mesh.positions.length / 3);
  const halfCount = triangles.length;
  const triangleCount = halfCount / 3;
  const twin = new Int32Array(halfCount).fill(-1);
  const nonManifoldEdges: number[] = [];
  const inconsistentEdges: number[] = [];

  const { edgeCount, start, uses } = buildEdgeTable(triangles, vertexCount);
  for (let e = 0; e < edgeCount; e++) {
    const i = start[e];
    if (start[e + 1] - i === 2) {
      const g = uses[i];
      const h = uses[i + 1];
      if (triangles[g] === triangles[h]) {
        inconsistentEdges.push(g);
        twin[g] = twin[h] = -2;
      } else {
        twin[g] = h;
        twin[h] = g;
      }
    } else if (start[e + 1] - i > 2) {
      nonManifoldEdges.push(uses[i]);
      for (let k = i; k < start[e + 1]; k++) twin[uses[k]] = -2;
    }
  }

  const { component, componentCount } = components(twin, triangleCount);
  const used = new Uint8Array(vertexCount);
  for (let h = 0; h < halfCount; h++) used[triangles[h]] = 1;
  const unusedVertices: number[] = [];
  for (let v = 0; v < vertexCount; v++) if (!used[v]) unusedVertices.push(v);

  return {
    vertexCount,
    triangleCount,
    edgeCount,
    twin,
    loops: borderLoops(triangles, twin),
    nonManifoldEdges: nonManifoldEdges.sort((a, b) => a - b),
    inconsistentEdges: inconsistentEdges.sort((a, b) => a - b),
    nonManifoldVertices: splitFans(triangles, twin, vertexCount),
    unusedVertices,
    componentCount,
    component,
    euler: vertexCount - unusedVertices.length - edgeCount + triangleCount,
  };
}

function components(
  twin: Int32Array,
  triangleCount: number,
): { component: Int32Array; componentCount: number } {
  const component = new Int32Array(triangleCount).fill(-1);
  let componentCount = 0;
  const stack: number[] = [];
  for (let seed = 0; seed < triangleCount; seed++) {
    if (component[seed] >= 0) continue;
    component[seed] = componentCount;
    stack.push(seed);
    while (stack.length > 0) {
      const t = stack.pop()!;
      for (let k = 0; k < 3; k++) {
        const other = twin[3 * t + k];
        if (other < 0) continue;
        const u = Math.floor(other / 3);
        if (component[u] < 0) {
          component[u] = componentCount;
          stack.push(u);
        }
      }
    }
    componentCount++;
  }
  return { component, componentCount };
}

function borderLoops(triangles: Uint32Array, twin: Int32Array): number[][] {
  const seen = new Uint8Array(twin.length);
  const loops: number[][] = [];
  for (let start = 0; start < twin.length; start++) {
    if (twin[start] !== -1 || seen[start]) continue;
    const loop: number[] = [];
    let h = start;
    for (let guard = 0; guard <= twin.length && !seen[h]; guard++) {
      seen[h] = 1;
      loop.push(triangles[h]);
      // Turn round the head vertex until the next border half-edge.
      let g = nextHalfEdge(h);
      for (let turn = 0; twin[g] >= 0 && turn <= twin.length; turn++) g = nextHalfEdge(twin[g]);
      if (twin[g] !== -1) break;
      h = g;
    }
    loops.push(loop);
  }
  return loops;
}

function splitFans(triangles: Uint32Array, twin: Int32Array, vertexCount: number): number[] {
  const firstFan = new Uint8Array(vertexCount);
  const seen = new Uint8Array(twin.length);
  const split = new Set<number>();
  for (let start = 0; start < twin.length; start++) {
    if (seen[start]) continue;
    const v = triangles[start];
    if (firstFan[v]) split.add(v);
    firstFan[v] = 1;
    // Walk the fan both ways; each corner at v is marked once.
    for (let h = start; h >= 0 && !seen[h];) {
      seen[h] = 1;
      h = twin[previousHalfEdge(h)];
    }
    for (let h = start; ;) {
      const g = twin[h];
      if (g < 0) break;
      h = nextHalfEdge(g);
      if (seen[h]) break;
      seen[h] = 1;
    }
  }
  return [...split].sort((a, b) => a - b);
}

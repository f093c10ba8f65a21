import { nextHalfEdge as next, buildEdgeTable, twinsOf, type TriangleMesh } from "@peltry/geometry";

/** Neighbours, sizes and normals of a manifold mesh, in flat arrays. */
export interface SurfaceGraph {
  readonly mesh: TriangleMesh;
  readonly vertexCount: number;
  /** Opposite half-edge, −1 on a border. */
  readonly twin: Int32Array;
  /** Neighbours of vertex v: `neighbours[start[v]] … neighbours[start[v + 1] − 1]`, counter-clockwise, from the border on. */
  readonly start: Int32Array;
  readonly neighbours: Int32Array;
  /** Length of the edge to each neighbour, mm. */
  readonly lengths: Float64Array;
  /** A half-edge that leaves each vertex (the border one where there is one); −1 for none. */
  readonly leaving: Int32Array;
  readonly onBorder: Uint8Array;
  /** A third of the triangles round each vertex, mm². */
  readonly area: Float64Array;
  /** Unit normals, x, y, z a vertex. */
  readonly normals: Float64Array;
  /** Middle edge length, mm. */
  readonly edge: number;
}

/**
 * Builds the graph. Near linear.
 *
 * @param table - the mesh's edges, where someone has them already
 */
export function buildSurfaceGraph(
  mesh: TriangleMesh,
  table = buildEdgeTable(mesh.triangles, mesh.positions.length / 3),
): SurfaceGraph {
  const { positions, triangles } = mesh;
  const vertexCount = positions.length / 3;
  const twin = twinsOf(table);
  const leaving = new Int32Array(vertexCount).fill(-1);
  const onBorder = new Uint8Array(vertexCount);
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h];
    if (leaving[v] < 0 || twin[h] < 0) leaving[v] = h;
    if (twin[h] < 0) onBorder[v] = onBorder[triangles[next(h)]] = 1;
  }
  const start = new Int32Array(vertexCount + 1);
  const neighbours = new Int32Array(2 * table.edgeCount);
  let at = 0;
  for (let v = 0; v < vertexCount; v++) {
    start[v] = at;
    const first = leaving[v];
    if (first < 0) continue;
    let h = first;
    for (let guard = 0; guard < triangles.length; guard++) {
      neighbours[at++] = triangles[next(h)];
      const back = next(next(h));
      const g = twin[back];
      if (g < 0) {
        neighbours[at++] = triangles[back];
        break;
      }
      if (g === first) break;
      h = g;
    }
  }
  start[vertexCount] = at;
  const lengths = new Float64Array(at);
  for (let v = 0; v < vertexCount; v++) {
    for (let i = start[v]; i < start[v + 1]; i++) lengths[i] = gap(positions, v, neighbours[i]);
  }
  const edge = at > 0 ? middleEdge(lengths, start, neighbours) : 1;
  return {
    mesh,
    vertexCount,
    twin,
    start,
    neighbours: neighbours.subarray(0, at),
    lengths,
    leaving,
    onBorder,
    ...sizes(mesh),
    edge,
  };
}

/** Middle edge length, each edge counted once. */
function middleEdge(lengths: Float64Array, start: Int32Array, neighbours: Int32Array): number {
  const once = new Float64Array(lengths.length);
  let count = 0;
  for (let v = 0; v + 1 < start.length; v++)
    for (let i = start[v]; i < start[v + 1]; i++) if (neighbours[i] > v) once[count++] = lengths[i];
  return once.subarray(0, count).sort()[count >> 1];
}

function gap(p: Float64Array, a: number, b: number): number {
  const x = p[3 * a] - p[3 * b];
  const y = p[3 * a + 1] - p[3 * b + 1];
  const z = p[3 * a + 2] - p[3 * b + 2];
  return Math.sqrt(x * x + y * y + z * z);
}

function sizes(mesh: TriangleMesh): { area: Float64Array; normals: Float64Array } {
  const { positions: p, triangles } = mesh;
  const area = new Float64Array(p.length / 3);
  const normals = new Float64Array(p.length);
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [3 * triangles[i], 3 * triangles[i + 1], 3 * triangles[i + 2]];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const vx = p[c] - p[a];
    const vy = p[c + 1] - p[a + 1];
    const vz = p[c + 2] - p[a + 2];
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const size = Math.sqrt(x * x + y * y + z * z);
    for (let k = 0; k < 3; k++) {
      const v = 3 * triangles[i + k];
      area[v / 3] += size / 6;
      normals[v] += x;
      normals[v + 1] += y;
      normals[v + 2] += z;
    }
  }
  for (let v = 0; v < normals.length; v += 3) {
    const size = Math.sqrt(normals[v] ** 2 + normals[v + 1] ** 2 + normals[v + 2] ** 2) || 1;
    normals[v] /= size;
    normals[v + 1] /= size;
    normals[v + 2] /= size;
  }
  return { area, normals };
}

/**
 * Spreads a vertex field over the surface: minimises Σ weight (u − value)² + reach² ∫ |∇u|² per vertex's area.
 *
 * @param reach - about how far a value carries, mm
 * @remarks Gauss–Seidel, forth and back; the start is the value itself
 */
export function smoothField(
  graph: SurfaceGraph,
  value: Float64Array,
  weight: Float64Array,
  reach: number,
  rounds: number,
): Float64Array {
  const { start, neighbours, vertexCount } = graph;
  const u = value.slice();
  const pull = new Float64Array(vertexCount);
  const share = new Float64Array(vertexCount);
  // On a grid of even triangles the differences to six neighbours sum to 3/2 d² times the Laplacian.
  const stiff = (2 / 3) * (reach / graph.edge) ** 2;
  for (let v = 0; v < vertexCount; v++) {
    const total = weight[v] + stiff * (start[v + 1] - start[v]);
    pull[v] = total > 0 ? (weight[v] * value[v]) / total : value[v];
    share[v] = total > 0 ? stiff / total : 0;
  }
  for (let round = 0; round < rounds; round++) {
    const forth = round % 2 === 0;
    for (let i = 0; i < vertexCount; i++) {
      const v = forth ? i : vertexCount - 1 - i;
      let sum = 0;
      for (let k = start[v], to = start[v + 1]; k < to; k++) sum += u[neighbours[k]];
      u[v] = pull[v] + share[v] * sum;
    }
  }
  return u;
}

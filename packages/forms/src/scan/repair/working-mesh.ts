import { buildEdgeTable, type EdgeTable } from "@peltry/geometry";

/** A mesh under repair: triangles, and where everything came from. */
export interface WorkingMesh {
  positions: Float64Array;
  triangles: Uint32Array;
  /** Vertex of the input for each vertex; −1 for one made while filling. */
  vertexSource: Int32Array;
  /** Triangle of the input for each triangle; −1 for a filled one. */
  triangleSource: Int32Array;
  /** Edges of these very triangles; see {@link edgesOf}. */
  edges?: { readonly of: Uint32Array; readonly table: EdgeTable } | undefined;
}

/**
 * The edge table of the mesh, built again only when its triangle array is another one. Whoever changes triangles puts a
 * new array in.
 */
export function edgesOf(mesh: WorkingMesh): EdgeTable {
  if (mesh.edges?.of !== mesh.triangles) {
    mesh.edges = { of: mesh.triangles, table: buildEdgeTable(mesh.triangles, mesh.positions.length / 3) };
  }
  return mesh.edges.table;
}

/** Keeps the triangles with a mark. */
export function keepTriangles(mesh: WorkingMesh, keep: Uint8Array): void {
  let count = 0;
  for (let t = 0; t < keep.length; t++) count += keep[t];
  if (count === keep.length) return;
  const triangles = new Uint32Array(3 * count);
  const source = new Int32Array(count);
  let i = 0;
  for (let t = 0; t < keep.length; t++) {
    if (!keep[t]) continue;
    for (let k = 0; k < 3; k++) triangles[3 * i + k] = mesh.triangles[3 * t + k];
    source[i++] = mesh.triangleSource[t];
  }
  mesh.triangles = triangles;
  mesh.triangleSource = source;
}

/** Leaves out vertices that no triangle uses; returns how many. */
export function dropUnused(mesh: WorkingMesh): number {
  const count = mesh.positions.length / 3;
  const place = new Int32Array(count).fill(-1);
  for (let i = 0; i < mesh.triangles.length; i++) place[mesh.triangles[i]] = 0;
  let kept = 0;
  for (let v = 0; v < count; v++) if (place[v] === 0) place[v] = kept++;
  if (kept === count) return 0;
  const positions = new Float64Array(3 * kept);
  const source = new Int32Array(kept);
  for (let v = 0; v < count; v++) {
    if (place[v] < 0) continue;
    for (let k = 0; k < 3; k++) positions[3 * place[v] + k] = mesh.positions[3 * v + k];
    source[place[v]] = mesh.vertexSource[v];
  }
  const triangles = new Uint32Array(mesh.triangles.length);
  for (let i = 0; i < triangles.length; i++) triangles[i] = place[mesh.triangles[i]];
  // The vertices left keep their order, and with it the edges theirs.
  if (mesh.edges?.of === mesh.triangles) mesh.edges = { of: triangles, table: mesh.edges.table };
  mesh.triangles = triangles;
  mesh.positions = positions;
  mesh.vertexSource = source;
  return count - kept;
}

/** 0, 1, 2 … */
export function countUp(length: number): Int32Array {
  const out = new Int32Array(length);
  for (let i = 0; i < length; i++) out[i] = i;
  return out;
}

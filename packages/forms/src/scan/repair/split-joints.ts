import { nextHalfEdge as next } from "@peltry/geometry";
import { hasCrowdedEdge } from "./clean-faces";
import { edgesOf, type WorkingMesh } from "./working-mesh";

/** What was split. */
export interface SplitResult {
  /** Edges that more than two triangles shared. */
  readonly edges: number;
  /** Vertices at which separate fans of triangles met. */
  readonly vertices: number;
}

/**
 * Makes the mesh manifold by doubling vertices: sheets that share an edge with more than one other sheet part there, as
 * do fans that only touch at a point. Of the triangles on such an edge the two that best carry on from each other (the
 * flattest pair wound to fit) stay joined.
 *
 * @param alsoOneSided - also parts triangles that are wound against each other
 * @source Guéziec, Taubin, Lazarus and Horn, Cutting and Stitching: Converting Sets of Polygons to Manifold Surfaces, 2001
 */
export function splitJoints(mesh: WorkingMesh, alsoOneSided = false): SplitResult {
  const first = splitOnce(mesh, alsoOneSided, true);
  // Carrying on across a joint can tie two bodies together all round; then the joint is cut open and each body closes.
  if (first.edges === 0 || !hasCrowdedEdge(edgesOf(mesh))) return first;
  const second = splitOnce(mesh, alsoOneSided, false);
  return { edges: first.edges, vertices: first.vertices + second.vertices };
}

function splitOnce(mesh: WorkingMesh, alsoOneSided: boolean, carryOn: boolean): SplitResult {
  const { triangles, positions } = mesh;
  const vertexCount = positions.length / 3;
  const table = edgesOf(mesh);
  const twin = new Int32Array(triangles.length).fill(-1);
  const { uses, start } = table;
  let edges = 0;
  for (let e = 0; e < table.edgeCount; e++) {
    const at = start[e];
    const count = start[e + 1] - at;
    if (count === 2 && !(alsoOneSided && triangles[uses[at]] === triangles[uses[at + 1]]))
      pair(twin, uses[at], uses[at + 1]);
    if (count <= 2) continue;
    edges++;
    if (carryOn) pairFlattest(mesh, Array.from(uses.subarray(at, at + count)), twin);
  }
  // Corners of one vertex stay together where their triangles are joined.
  const group = new Int32Array(triangles.length);
  for (let c = 0; c < group.length; c++) group[c] = c;
  const find = (c: number): number => {
    while (group[c] !== c) c = group[c] = group[group[c]];
    return c;
  };
  const join = (c: number, d: number): void => {
    const p = find(c);
    const q = find(d);
    if (p < q) group[q] = p;
    else group[p] = q;
  };
  for (let h = 0; h < triangles.length; h++) {
    const g = twin[h];
    if (g < h) continue;
    const opposite = triangles[g] !== triangles[h];
    join(h, opposite ? next(g) : g);
    join(next(h), opposite ? g : next(g));
  }
  const taken = new Int32Array(vertexCount).fill(-1);
  const split = new Set<number>();
  const source: number[] = [];
  const renamed = new Map<number, number>();
  for (let c = 0; c < triangles.length; c++) {
    if (find(c) !== c) continue;
    const v = triangles[c];
    if (taken[v] < 0) {
      taken[v] = c;
      continue;
    }
    renamed.set(c, vertexCount + source.push(v) - 1);
    split.add(v);
  }
  if (source.length > 0) double(mesh, source, (c) => renamed.get(find(c)));
  return { edges, vertices: split.size };
}

function pair(twin: Int32Array, g: number, h: number): void {
  twin[g] = h;
  twin[h] = g;
}

/** Pairs the triangles of an edge, flattest continuation first. */
function pairFlattest(mesh: WorkingMesh, uses: readonly number[], twin: Int32Array): void {
  const { triangles } = mesh;
  // A hostile edge may carry thousands of triangles; pairing beyond a few says nothing about a surface.
  const some = uses.slice(0, 40);
  const out = some.map((h) => away(mesh, h));
  const pairs: { g: number; h: number; bend: number }[] = [];
  for (let i = 0; i < some.length; i++) {
    for (let j = i + 1; j < some.length; j++) {
      const fits = triangles[some[i]] !== triangles[some[j]];
      const dot = out[i][0] * out[j][0] + out[i][1] * out[j][1] + out[i][2] * out[j][2];
      pairs.push({ g: some[i], h: some[j], bend: dot + (fits ? 0 : 4) });
    }
  }
  pairs.sort((a, b) => a.bend - b.bend || a.g - b.g || a.h - b.h);
  const best = pairs[0];
  pair(twin, best.g, best.h);
  for (const { g, h, bend } of pairs) if (twin[g] < 0 && twin[h] < 0 && bend < 1) pair(twin, g, h);
}

/** Unit direction from an edge into its triangle, at right angles to the edge. */
function away(mesh: WorkingMesh, h: number): [number, number, number] {
  const { positions: p, triangles } = mesh;
  const [a, b, c] = [triangles[h], triangles[next(h)], triangles[next(next(h))]];
  const e = [0, 1, 2].map((k) => p[3 * b + k] - p[3 * a + k]);
  const w = [0, 1, 2].map((k) => p[3 * c + k] - p[3 * a + k]);
  const square = e[0] * e[0] + e[1] * e[1] + e[2] * e[2] || 1;
  const along = (e[0] * w[0] + e[1] * w[1] + e[2] * w[2]) / square;
  const d = [0, 1, 2].map((k) => w[k] - along * e[k]);
  const size = Math.hypot(d[0], d[1], d[2]) || 1;
  return [d[0] / size, d[1] / size, d[2] / size];
}

function double(
  mesh: WorkingMesh,
  source: readonly number[],
  nameOf: (corner: number) => number | undefined,
): void {
  const count = mesh.positions.length / 3;
  const positions = new Float64Array(3 * (count + source.length));
  positions.set(mesh.positions);
  const vertexSource = new Int32Array(count + source.length);
  vertexSource.set(mesh.vertexSource);
  source.forEach((v, i) => {
    for (let k = 0; k < 3; k++) positions[3 * (count + i) + k] = mesh.positions[3 * v + k];
    vertexSource[count + i] = mesh.vertexSource[v];
  });
  mesh.triangles = mesh.triangles.map((v, c) => nameOf(c) ?? v);
  mesh.positions = positions;
  mesh.vertexSource = vertexSource;
}

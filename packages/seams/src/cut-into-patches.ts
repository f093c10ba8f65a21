import { cutMesh, meshTopology, nextHalfEdge, splitPieces, type TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";

/** A line along which the surface is cut. */
export interface SeamLine {
  readonly id: string;
  /** Vertices, each joined to the next by a mesh edge. A closed line does not repeat its first. */
  readonly path: readonly number[];
  readonly closed?: boolean;
}

/** One stretch of a patch's border between two corners. */
export interface PatchEdge {
  /** Vertices of the patch, in the order of its border loop (surface on the left), both ends included. */
  readonly path: readonly number[];
  /** Seam that it belongs to; undefined where the form itself ends. */
  readonly seam?: string;
  readonly side?: "a" | "b";
  /** Index of the rim loop of the form, where the edge is a rim. */
  readonly rim?: number;
}

/** A part of the surface that becomes one panel. */
export interface Patch {
  readonly id: string;
  readonly region: number;
  readonly mesh: TriangleMesh;
  /** Vertex of the form for each vertex. */
  readonly sourceVertex: Uint32Array;
  /** Triangle of the form for each triangle. */
  readonly sourceTriangle: Uint32Array;
  /** Border loops as edges; the outer one (the longest) first. A disk has one. */
  readonly loops: readonly (readonly PatchEdge[])[];
}

/** Two patch edges that lie on each other on the form. */
export interface PatchSeam {
  readonly id: string;
  /** Lines of the caller that it runs along; empty for a plain region border. */
  readonly lines: readonly string[];
  /** `slit`: both sides belong to one patch and meet at a free tip, as the legs of a dart do. */
  readonly kind: "seam" | "slit";
  /** Patch vertices; a.path[i] lies on b.path[i]. */
  readonly a: { readonly patch: string; readonly path: readonly number[] };
  readonly b: { readonly patch: string; readonly path: readonly number[] };
}

/** The patches of a form and the seams between them. */
export interface PatchCutting {
  readonly patches: readonly Patch[];
  readonly seams: readonly PatchSeam[];
}

/** What {@link cutIntoPatches} needs beside the mesh. */
export interface CutOptions {
  /** Region index, one a triangle; patches never straddle two regions. */
  readonly regionOf?: ArrayLike<number>;
  readonly lines: readonly SeamLine[];
  /** Extra corners: form vertices where a seam or rim is to be divided. */
  readonly corners?: readonly number[];
}

/** An undirected edge of the form where the surface is cut. */
interface CutEdge {
  readonly low: number;
  readonly high: number;
  lines: string[];
}

/**
 * Cuts a form along lines and region borders into patches, and pairs the borders that were cut into seams.
 * Seams end where cuts meet, end, or reach a rim, and where the pair of patches or the line changes.
 *
 * @throws `geometry/path-not-on-edges` when a line does not follow mesh edges
 * @throws `seams/not-a-surface` when the mesh is not edge-manifold or is wound inconsistently
 * @remarks about linear in triangles
 */
export function cutIntoPatches(mesh: TriangleMesh, options: CutOptions): PatchCutting {
  const topology = meshTopology(mesh);
  if (topology.nonManifoldEdges.length > 0 || topology.inconsistentEdges.length > 0) {
    fail(
      "seams/not-a-surface",
      `The form has ${topology.nonManifoldEdges.length} edges with more than two triangles and ` +
        `${topology.inconsistentEdges.length} edges between triangles of opposite winding.`,
      { triangle: Math.floor((topology.nonManifoldEdges[0] ?? topology.inconsistentEdges[0]!) / 3) },
      { fix: "Repair the mesh before cutting it." },
    );
  }
  const cuts = collectCuts(mesh, topology.twin, options);
  const { mesh: opened, sourceVertex } = cutMesh(
    mesh,
    [...cuts.values()].map((edge) => [edge.low, edge.high]),
  );
  const pieces = splitPieces(opened);
  const patchOf = new Int32Array(mesh.triangles.length / 3);
  pieces.forEach((piece, p) => piece.sourceTriangle.forEach((t) => (patchOf[t] = p)));

  const corners = findCorners(mesh, topology, cuts, patchOf, options.corners ?? []);
  const rimOf = rimLoops(topology.loops, mesh.positions.length / 3);
  const builder = new SeamBuilder(mesh, topology.twin, cuts, patchOf);
  const patches = pieces.map((piece, p): Patch => {
    const source = Uint32Array.from(piece.sourceVertex, (v) => sourceVertex[v]);
    const inner = meshTopology(piece.mesh);
    const loops = borderHalfEdges(piece.mesh, inner.twin).map((loop) =>
      splitLoop(loop, piece.mesh, source, corners).map((run): PatchEdge => {
        const path = [
          ...run.map((h) => piece.mesh.triangles[h]),
          piece.mesh.triangles[nextHalfEdge(run[run.length - 1])],
        ];
        const first = run[0];
        const formHalf = 3 * piece.sourceTriangle[Math.floor(first / 3)] + (first % 3);
        const cut = builder.place(formHalf, p, path, source);
        return cut
          ? { path, seam: cut.seam, side: cut.side }
          : { path, rim: rimOf.get(source[path[0]], source[path[1]]) };
      }),
    );
    loops.sort((x, y) => loopLength(piece.mesh, y) - loopLength(piece.mesh, x));
    return {
      id: `p${p}`,
      region: options.regionOf?.[piece.sourceTriangle[0]] ?? 0,
      mesh: piece.mesh,
      sourceVertex: source,
      sourceTriangle: piece.sourceTriangle,
      loops,
    };
  });
  return { patches, seams: builder.finish() };
}

/** All edges to cut, keyed low · n + high: the lines, and every edge between two regions. */
function collectCuts(mesh: TriangleMesh, twin: Int32Array, options: CutOptions): Map<number, CutEdge> {
  const n = mesh.positions.length / 3;
  const border = new Set<number>();
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] === -1) border.add(edgeKey(mesh.triangles[h], mesh.triangles[nextHalfEdge(h)], n));
  }
  const cuts = new Map<number, CutEdge>();
  const add = (a: number, b: number, line?: string): void => {
    const key = edgeKey(a, b, n);
    if (border.has(key)) return;
    const edge = cuts.get(key) ?? { low: Math.min(a, b), high: Math.max(a, b), lines: [] };
    if (line !== undefined && !edge.lines.includes(line)) edge.lines.push(line);
    cuts.set(key, edge);
  };
  for (const line of options.lines) {
    const path = line.closed ? [...line.path, line.path[0]] : line.path;
    for (let i = 1; i < path.length; i++) add(path[i - 1], path[i], line.id);
  }
  const regionOf = options.regionOf;
  if (regionOf) {
    for (let h = 0; h < twin.length; h++) {
      const other = twin[h];
      if (other > h && regionOf[Math.floor(h / 3)] !== regionOf[Math.floor(other / 3)]) {
        add(mesh.triangles[h], mesh.triangles[nextHalfEdge(h)]);
      }
    }
  }
  return cuts;
}

function edgeKey(a: number, b: number, n: number): number {
  return Math.min(a, b) * n + Math.max(a, b);
}

/** Form vertices where seams and rims are divided. */
function findCorners(
  mesh: TriangleMesh,
  topology: { twin: Int32Array; loops: readonly (readonly number[])[] },
  cuts: Map<number, CutEdge>,
  patchOf: Int32Array,
  extra: readonly number[],
): Set<number> {
  const n = mesh.positions.length / 3;
  const corners = new Set<number>(extra);
  const kinds = new Map<number, string[]>();
  const pairOf = new Map<number, string>();
  for (let h = 0; h < topology.twin.length; h++) {
    if (topology.twin[h] < h) continue;
    const key = edgeKey(mesh.triangles[h], mesh.triangles[nextHalfEdge(h)], n);
    const pair = [patchOf[Math.floor(h / 3)], patchOf[Math.floor(topology.twin[h] / 3)]].sort(
      (a, b) => a - b,
    );
    if (cuts.has(key)) pairOf.set(key, pair.join("/"));
  }
  for (const [key, edge] of cuts) {
    const kind = `${pairOf.get(key)}:${edge.lines.join("+")}`;
    for (const v of [edge.low, edge.high]) kinds.set(v, [...(kinds.get(v) ?? []), kind]);
  }
  const rim = new Set(topology.loops.flat());
  for (const [v, list] of kinds) {
    if (list.length !== 2 || list[0] !== list[1] || rim.has(v)) corners.add(v);
  }
  closeRings(cuts, corners, mesh);
  for (const loop of topology.loops) {
    // A rim that no cut reaches is divided at its start only.
    if (!loop.some((v) => corners.has(v))) corners.add(loop[0]);
  }
  return corners;
}

/** A ring of cuts with no corner is divided at its highest and its lowest vertex, so that the two sides can be matched. */
function closeRings(cuts: Map<number, CutEdge>, corners: Set<number>, mesh: TriangleMesh): void {
  const next = new Map<number, number[]>();
  for (const edge of cuts.values()) {
    next.set(edge.low, [...(next.get(edge.low) ?? []), edge.high]);
    next.set(edge.high, [...(next.get(edge.high) ?? []), edge.low]);
  }
  const seen = new Set<number>();
  for (const start of [...next.keys()].sort((a, b) => a - b)) {
    if (seen.has(start)) continue;
    const members = [start];
    seen.add(start);
    for (let i = 0; i < members.length; i++) {
      if (corners.has(members[i])) continue;
      for (const v of next.get(members[i])!) {
        if (!seen.has(v)) {
          seen.add(v);
          members.push(v);
        }
      }
    }
    if (members.some((v) => corners.has(v))) {
      // Part of an open chain: forget its corners, other chains meet there too.
      for (const v of members) if (corners.has(v)) seen.delete(v);
      continue;
    }
    const height = (v: number): number => mesh.positions[3 * v + 1];
    members.sort((a, b) => height(a) - height(b) || a - b);
    corners.add(members[0]);
    corners.add(members[members.length - 1]);
  }
}

/** Border half-edges of a mesh, loop by loop. */
function borderHalfEdges(mesh: TriangleMesh, twin: Int32Array): number[][] {
  const seen = new Uint8Array(twin.length);
  const loops: number[][] = [];
  for (let start = 0; start < twin.length; start++) {
    if (twin[start] !== -1 || seen[start]) continue;
    const loop: number[] = [];
    for (let h = start; !seen[h];) {
      seen[h] = 1;
      loop.push(h);
      let g = nextHalfEdge(h);
      while (twin[g] >= 0) g = nextHalfEdge(twin[g]);
      h = g;
    }
    loops.push(loop);
  }
  return loops;
}

/** Runs of half-edges between corners; a loop without corners stays one run. */
function splitLoop(
  loop: readonly number[],
  mesh: TriangleMesh,
  source: Uint32Array,
  corners: Set<number>,
): number[][] {
  const isCorner = (h: number): boolean => corners.has(source[mesh.triangles[h]]);
  const start = loop.findIndex(isCorner);
  const turned = start > 0 ? [...loop.slice(start), ...loop.slice(0, start)] : loop;
  const runs: number[][] = [];
  for (const h of turned) {
    if (runs.length === 0 || isCorner(h)) runs.push([h]);
    else runs[runs.length - 1].push(h);
  }
  return runs;
}

function loopLength(mesh: TriangleMesh, loop: readonly PatchEdge[]): number {
  const p = mesh.positions;
  let sum = 0;
  for (const { path } of loop) {
    for (let i = 1; i < path.length; i++) {
      const [a, b] = [3 * path[i - 1], 3 * path[i]];
      sum += Math.hypot(p[a] - p[b], p[a + 1] - p[b + 1], p[a + 2] - p[b + 2]);
    }
  }
  return sum;
}

function rimLoops(
  loops: readonly (readonly number[])[],
  n: number,
): { get(a: number, b: number): number | undefined } {
  const map = new Map<number, number>();
  loops.forEach((loop, index) => {
    loop.forEach((v, i) => map.set(edgeKey(v, loop[(i + 1) % loop.length], n), index));
  });
  return { get: (a, b) => map.get(edgeKey(a, b, n)) };
}

/** One side of a cut run: patch index, its vertices in loop order, and the lines that it follows. */
interface Side {
  readonly patch: number;
  readonly path: readonly number[];
  readonly lines: readonly string[];
}

/** Collects both sides of each cut run and pairs them. */
class SeamBuilder {
  private readonly sides = new Map<string, Side[]>();
  private readonly names = new Map<string, string>();

  constructor(
    private readonly mesh: TriangleMesh,
    private readonly twin: Int32Array,
    private readonly cuts: Map<number, CutEdge>,
    private readonly patchOf: Int32Array,
  ) {}

  /** Registers one side; undefined when the run is a rim of the form. */
  place(
    formHalf: number,
    patch: number,
    path: readonly number[],
    sourceVertex: Uint32Array,
  ): { seam: string; side: "a" | "b" } | undefined {
    if (this.twin[formHalf] < 0) return undefined;
    const source = path.map((v) => sourceVertex[v]);
    const key = runKey(source);
    const list = this.sides.get(key) ?? [];
    const n = this.mesh.positions.length / 3;
    list.push({ patch, path, lines: this.cuts.get(edgeKey(source[0], source[1], n))?.lines ?? [] });
    this.sides.set(key, list);
    if (!this.names.has(key)) this.names.set(key, `s${this.names.size}`);
    return { seam: this.names.get(key)!, side: list.length === 1 ? "a" : "b" };
  }

  finish(): PatchSeam[] {
    const seams: PatchSeam[] = [];
    for (const [key, sides] of this.sides) {
      const [a, b] = sides;
      if (!a || !b) continue;
      // Side b runs the other way round its own loop: turn it so that index i lies on index i.
      const turned = [...b.path].reverse();
      seams.push({
        id: this.names.get(key)!,
        lines: a.lines,
        kind: isSlit(a, b) ? "slit" : "seam",
        a: { patch: `p${a.patch}`, path: a.path },
        b: { patch: `p${b.patch}`, path: turned },
      });
    }
    return seams;
  }
}

/** A slit's two sides share their tip vertex inside one patch. */
function isSlit(a: Side, b: Side): boolean {
  if (a.patch !== b.patch) return false;
  const ends = ({ path }: Side): number[] => [path[0], path[path.length - 1]];
  return ends(a).some((v) => ends(b).includes(v));
}

/** The same for both sides of a run: source vertices in the direction whose first step has the lower key. */
function runKey(source: readonly number[]): string {
  const forward = source.join(",");
  const backward = [...source].reverse().join(",");
  return forward < backward ? forward : backward;
}

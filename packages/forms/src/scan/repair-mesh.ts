import type { EdgeTable, TriangleMesh } from "@peltry/geometry";
import { fail, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import { borderLoops, type BorderLoop } from "./repair/border-loops";
import { closeFlatFaces, removeDuplicates, removeFins, removeZeroFaces } from "./repair/clean-faces";
import { closeHoles } from "./repair/close-holes";
import { findPieces, orientTriangles } from "./repair/orient";
import { evenSurface } from "./repair/even-surface";
import { flattenSpikes } from "./repair/flatten-spikes";
import { splitJoints } from "./repair/split-joints";
import { countUp, dropUnused, edgesOf, keepTriangles, type WorkingMesh } from "./repair/working-mesh";
import { needMesh } from "./check-mesh";
import { joinEqualPoints, joinNearPoints } from "./weld";

/** How {@link repairMesh} works. */
export interface RepairOptions extends WorkOptions {
  /** r, g, b of each vertex, carried through. */
  readonly colors?: Uint8Array | undefined;
  /**
   * `auto` joins equal points only where the mesh has no connectivity at all (no vertex is shared); `never`; `equal`;
   * or a distance in mm within which points are joined. Default `auto`: the two sides of a cut lie on each other too.
   */
  readonly weld?: "auto" | "never" | "equal" | number | undefined;
  /** Pieces with less than this share of the largest piece's area are taken out. Default 0.01; 0 keeps all. */
  readonly leastIsland?: number | undefined;
  /**
   * Holes with a rim up to this long are filled, mm. By default rims up to 150 mm that would hold less than 1 % of the
   * piece's area; 0 fills none.
   */
  readonly fillHolesUpTo?: number | undefined;
  /**
   * Holes in the side of the surface (where the scanner saw nothing: the surface at their rim faces one way) are filled up
   * to this rim length, mm; open ends of limbs are not. Default 0.
   */
  readonly fillShadowsUpTo?: number | undefined;
  /** Put single vertices that stick out far beyond the scan's own roughness back among their neighbours. Default false. */
  readonly flattenSpikes?: boolean | undefined;
  /** Rounds of taking scanner noise out of the surface; 0 leaves it. Default 0. */
  readonly evenRounds?: number | undefined;
  /** Loops to leave open however small: any whose middle lies within 1 mm of one of these points. */
  readonly keepOpen?: readonly (readonly [number, number, number])[] | undefined;
  /**
   * `auto` turns closed pieces outward and gives open ones the winding that most of their area had; `outward` also turns
   * open pieces outward by the volume inside. Default `auto`.
   */
  readonly orient?: "auto" | "outward" | undefined;
}

/** What {@link repairMesh} changed and found. All counts are of things in the mesh at that step. */
export interface RepairReport {
  readonly joinedVertices: number;
  readonly zeroFacesRemoved: number;
  readonly flatFacesClosed: number;
  readonly duplicatesRemoved: number;
  readonly finsRemoved: number;
  readonly islandsRemoved: number;
  readonly islandTriangles: number;
  readonly nonManifoldEdgesSplit: number;
  readonly nonManifoldVerticesSplit: number;
  readonly trianglesTurned: number;
  readonly oneSidedEdgesCut: number;
  readonly spikesFlattened: number;
  readonly holesFilled: number;
  readonly trianglesFilled: number;
  readonly unusedVerticesRemoved: number;
  readonly pieces: number;
  readonly vertices: number;
  readonly triangles: number;
  /** Rims that stay, longest first. */
  readonly rims: readonly {
    readonly lengthMm: number;
    readonly vertices: number;
    readonly middle: readonly [number, number, number];
  }[];
  /** True when nothing had to be changed. */
  readonly clean: boolean;
  readonly issues: readonly Issue[];
}

/** A repaired mesh and where its parts come from. */
export interface RepairedMesh {
  readonly mesh: TriangleMesh;
  readonly colors?: Uint8Array;
  /** Vertex of the input for each vertex; −1 for one made in a filled hole. */
  readonly sourceVertex: Int32Array;
  /** Triangle of the input for each triangle; −1 for a filled one. */
  readonly sourceTriangle: Int32Array;
  /** 1 for each triangle of a filled hole. */
  readonly filled: Uint8Array;
  readonly report: RepairReport;
}

/**
 * Makes a mesh fit for work: joins what has no connectivity, takes out zero faces, duplicates, fins and islands, parts
 * sheets that share an edge or a point, winds every piece one way, and fills small holes. Every change is counted.
 *
 * @throws `forms/bad-call` when the mesh is no mesh: an index past the last vertex, a coordinate that is no number
 * @remarks near linear; 150,000 triangles take about half a second. A surface with one side only (a Möbius strip) is cut
 * open along the fewest edges met while winding it, with the issue `forms/one-sided`.
 */
export function repairMesh(mesh: TriangleMesh, options: RepairOptions = {}): RepairedMesh {
  return repairWithEdges(mesh, options).repaired;
}

/** The same, with the edges of the repaired mesh, for whoever walks over it next. */
export function repairWithEdges(
  mesh: TriangleMesh,
  options: RepairOptions = {},
): { repaired: RepairedMesh; edges: EdgeTable } {
  checkMesh(mesh, options);
  const issues: Issue[] = [];
  const { work, joined } = weld(mesh, options);
  const stage = (name: string, done: number): void => {
    throwIfCancelled(options.signal);
    options.onProgress?.({ stage: name, done });
  };
  stage("clean", 0.1);
  const zeroFacesRemoved = removeZeroFaces(work);
  const flatFacesClosed = closeFlatFaces(work);
  const duplicatesRemoved = removeDuplicates(work);
  const finsRemoved = removeFins(work);
  const islands = removeIslands(work, options.leastIsland ?? 0.01);
  stage("join", 0.4);
  const split = splitJoints(work);
  const turned = orientTriangles(work, options.orient === "outward");
  if (turned.oneSided.length > 0) {
    splitJoints(work, true);
    issues.push(oneSided(turned.oneSided.length));
  }
  stage("fill", 0.7);
  const spikesFlattened = options.flattenSpikes ? flattenSpikes(work) : 0;
  if (options.evenRounds) evenSurface(work, Math.min(200, options.evenRounds));
  const filled = closeHoles(work, options);
  const unused = dropUnused(work);
  const colors = options.colors ? carryColors(work, options.colors) : undefined;
  const found = describe(work);
  const counts = {
    joinedVertices: joined,
    zeroFacesRemoved,
    flatFacesClosed,
    duplicatesRemoved,
    finsRemoved,
    ...islands,
    nonManifoldEdgesSplit: split.edges,
    nonManifoldVerticesSplit: split.vertices,
    trianglesTurned: turned.flipped,
    oneSidedEdgesCut: turned.oneSided.length,
    spikesFlattened,
    holesFilled: filled.holes,
    trianglesFilled: filled.triangles,
    unusedVerticesRemoved: unused,
  };
  stage("done", 1);
  const repaired: RepairedMesh = {
    mesh: { positions: work.positions, triangles: work.triangles },
    ...(colors ? { colors } : {}),
    sourceVertex: work.vertexSource,
    sourceTriangle: work.triangleSource,
    filled: markMade(work.triangleSource),
    report: {
      ...counts,
      ...found,
      clean: Object.values(counts).every((n) => n === 0),
      issues: [...issues, ...remarks(counts, found)],
    },
  };
  return { repaired, edges: edgesOf(work) };
}

/** 1 where there is no source. */
export function markMade(source: Int32Array): Uint8Array {
  const out = new Uint8Array(source.length);
  for (let i = 0; i < out.length; i++) if (source[i] < 0) out[i] = 1;
  return out;
}

function checkMesh(mesh: TriangleMesh, options: RepairOptions): void {
  const { positions, triangles } = needMesh(mesh);
  const count = positions.length / 3;
  if (!Number.isInteger(count) || !Number.isInteger(triangles.length / 3)) {
    fail(
      "forms/bad-call",
      "The mesh's arrays are not in threes.",
      {},
      { found: `${positions.length}, ${triangles.length}`, fix: "Pass x, y, z runs and vertex triples." },
    );
  }
  for (let i = 0; i < triangles.length; i++) {
    if (triangles[i] < count) continue;
    fail(
      "forms/bad-index",
      `Triangle ${Math.floor(i / 3)} names vertex ${triangles[i]} of ${count}.`,
      { triangle: Math.floor(i / 3) },
      { found: triangles[i], limit: count - 1, fix: "Build the mesh again." },
    );
  }
  for (let i = 0; i < positions.length; i++) {
    if (Number.isFinite(positions[i])) continue;
    fail(
      "forms/bad-coordinates",
      `Vertex ${Math.floor(i / 3)} has a coordinate that is no finite number.`,
      { vertex: Math.floor(i / 3) },
      { found: String(positions[i]), fix: "Read the file with readMesh, which leaves such vertices out." },
    );
  }
  if (options.colors !== undefined && options.colors?.length !== positions.length) {
    fail(
      "forms/bad-call",
      "There are not as many colours as vertices.",
      {},
      { found: (options.colors?.length ?? 0) / 3, limit: count, fix: "Pass r, g, b for every vertex." },
    );
  }
}

function weld(mesh: TriangleMesh, options: RepairOptions): { work: WorkingMesh; joined: number } {
  const rule = options.weld ?? "auto";
  const plain = (): WorkingMesh => ({
    positions: mesh.positions.slice(),
    triangles: mesh.triangles.slice(),
    vertexSource: countUp(mesh.positions.length / 3),
    triangleSource: countUp(mesh.triangles.length / 3),
  });
  if (rule === "never" || (rule === "auto" && !isSoup(mesh))) return { work: plain(), joined: 0 };
  const result =
    typeof rule === "number"
      ? joinNearPoints(mesh.positions, mesh.triangles, rule)
      : joinEqualPoints(mesh.positions, mesh.triangles);
  const work = { ...plain(), positions: result.positions, triangles: result.triangles };
  work.vertexSource = new Int32Array(result.positions.length / 3).fill(-1);
  for (let v = result.vertexOf.length - 1; v >= 0; v--) work.vertexSource[result.vertexOf[v]] = v;
  return { work, joined: result.joined };
}

/** True when no two triangles share a vertex. */
function isSoup(mesh: TriangleMesh): boolean {
  if (mesh.triangles.length < 6) return false;
  const used = new Uint8Array(mesh.positions.length / 3);
  for (const v of mesh.triangles) {
    if (used[v]) return false;
    used[v] = 1;
  }
  return true;
}

function removeIslands(
  work: WorkingMesh,
  least: number,
): { islandsRemoved: number; islandTriangles: number } {
  if (!(least > 0) || work.triangles.length === 0) return { islandsRemoved: 0, islandTriangles: 0 };
  const pieces = findPieces(work);
  let largest = 0;
  for (const area of pieces.area) largest = Math.max(largest, area);
  const small = Array.from(pieces.area, (area) => area < least * largest);
  let triangles = 0;
  small.forEach((gone, i) => {
    if (gone) triangles += pieces.triangles[i];
  });
  if (triangles > 0) {
    const keep = new Uint8Array(pieces.of.length);
    for (let t = 0; t < keep.length; t++) if (!small[pieces.of[t]]) keep[t] = 1;
    keepTriangles(work, keep);
  }
  return { islandsRemoved: small.filter(Boolean).length, islandTriangles: triangles };
}

/** Colours of the input; a filled vertex takes the mean of its neighbours, spread inward from the rim. */
function carryColors(work: WorkingMesh, colors: Uint8Array): Uint8Array {
  const count = work.positions.length / 3;
  const out = new Float64Array(3 * count);
  const waiting: number[] = [];
  for (let v = 0; v < count; v++) {
    const source = work.vertexSource[v];
    if (source < 0) waiting.push(v);
    else for (let k = 0; k < 3; k++) out[3 * v + k] = colors[3 * source + k];
  }
  if (waiting.length > 0) spread(work, waiting, out);
  const rounded = new Uint8Array(out.length);
  for (let i = 0; i < out.length; i++) rounded[i] = Math.round(out[i]);
  return rounded;
}

function spread(work: WorkingMesh, waiting: readonly number[], out: Float64Array): void {
  const around = new Map<number, Set<number>>(waiting.map((v) => [v, new Set()]));
  for (let i = 0; i < work.triangles.length; i++) {
    const base = i - (i % 3);
    const list = around.get(work.triangles[i]);
    if (list)
      for (let k = 0; k < 3; k++)
        if (work.triangles[base + k] !== work.triangles[i]) list.add(work.triangles[base + k]);
  }
  const known = new Set<number>();
  for (let round = 0; round < 60; round++) {
    for (const [v, list] of around) {
      const sure = [...list].filter((w) => !around.has(w) || known.has(w));
      if (sure.length === 0) continue;
      for (let k = 0; k < 3; k++)
        out[3 * v + k] = sure.reduce((sum, w) => sum + out[3 * w + k], 0) / sure.length;
      known.add(v);
    }
  }
}

type Found = Pick<RepairReport, "pieces" | "vertices" | "triangles" | "rims">;

function describe(work: WorkingMesh): Found {
  const pieces = work.triangles.length > 0 ? findPieces(work).count : 0;
  const rims = borderLoops(work)
    .map((loop) => ({ lengthMm: loop.length, vertices: loop.vertices.length, middle: middleOf(work, loop) }))
    .sort((a, b) => b.lengthMm - a.lengthMm);
  return { pieces, vertices: work.positions.length / 3, triangles: work.triangles.length / 3, rims };
}

function middleOf(work: WorkingMesh, loop: BorderLoop): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  for (const v of loop.vertices)
    for (let k = 0; k < 3; k++) sum[k] += work.positions[3 * v + k] / loop.vertices.length;
  return sum;
}

function oneSided(count: number): Issue {
  return {
    code: "forms/one-sided",
    severity: "warning",
    message: `The surface has one side only, like a Möbius strip: no winding agrees everywhere. It was cut open along ${count} edges.`,
    at: {},
    found: count,
    limit: 0,
    fix: "Check the scan there: a costume part has an inside and an outside.",
  };
}

const WORDS: readonly (readonly [keyof RepairReport, string, string])[] = [
  ["joinedVertices", "forms/joined", "vertices in one place were joined"],
  ["zeroFacesRemoved", "forms/zero-faces", "triangles that name a vertex twice were taken out"],
  ["flatFacesClosed", "forms/flat-faces", "triangles of no area were closed"],
  ["duplicatesRemoved", "forms/duplicates", "triangles that were there twice were taken out"],
  ["finsRemoved", "forms/fins", "triangles that stuck out of the surface were taken out"],
  ["islandsRemoved", "forms/islands", "loose pieces were taken out"],
  ["nonManifoldEdgesSplit", "forms/joints-split", "edges with more than two triangles were parted"],
  ["nonManifoldVerticesSplit", "forms/points-split", "vertices where sheets met in a point were doubled"],
  ["trianglesTurned", "forms/turned", "triangles were wound the other way round"],
  ["spikesFlattened", "forms/spikes", "vertices that stuck out were put back"],
  ["holesFilled", "forms/holes-filled", "holes were filled"],
  ["unusedVerticesRemoved", "forms/unused-vertices", "vertices that no triangle used were left out"],
];

function remarks(counts: Partial<Record<keyof RepairReport, number>>, found: Found): Issue[] {
  const issues: Issue[] = [];
  for (const [key, code, words] of WORDS) {
    const n = counts[key] ?? 0;
    if (n > 0) issues.push({ code, severity: "note", message: `${n} ${words}.`, at: {}, found: n });
  }
  if (found.pieces > 1) {
    issues.push({
      code: "forms/several-pieces",
      severity: "warning",
      message: `The mesh has ${found.pieces} separate pieces.`,
      at: {},
      found: found.pieces,
      fix: "Raise leastIsland to take the smaller ones out, or work on them one by one.",
    });
  }
  if (found.triangles === 0)
    issues.push({
      code: "forms/nothing-left",
      severity: "error",
      message: "No triangle is left after repair.",
      at: {},
      found: 0,
    });
  return issues;
}

import {
  geodesicPath,
  geodesicSurface,
  meshTopology,
  pathLength,
  type GeodesicPath,
  type GraphPoint,
  type SurfacePoint,
  type TriangleMesh,
} from "@peltry/geometry";
import { cutIntoPatches, type Patch, type PatchCutting, type SeamLine } from "./cut-into-patches";
import { refineAlong } from "./refined-lines";

/** A form whose tubes have been opened. */
export interface OpenedForm {
  /** The form with the openings as mesh edges; the given mesh itself when none was needed. */
  readonly mesh: TriangleMesh;
  readonly regionOf: Int32Array;
  /** Triangle of the given mesh for each triangle. */
  readonly sourceTriangle: Uint32Array;
  /** The given runs on the new mesh, in their order. */
  readonly lines: readonly (readonly number[])[];
  /** Paths that were added, from edge to edge, each with its length in mm. */
  readonly openings: readonly { readonly path: readonly number[]; readonly length: number }[];
  /** The form cut along its lines and openings, so that it need not be cut again. */
  readonly cutting: PatchCutting;
}

type Opening = Omit<OpenedForm, "cutting">;

/** A run of vertices to be carried over to the opened mesh. */
export interface CarriedLine extends SeamLine {
  /** False for lines that are only carried, such as girth levels. Default true. */
  readonly cut?: boolean;
}

/** Nearness at which a crossing moves to a vertex, of an edge: small, or a way into a junction takes in the vertex beside it. */
const SNAP = 0.04;
/** Starts tried round the shorter end of a tube. */
const STARTS = 24;
/** Openings that are added at most. */
const MOST_TUBES = 64;
/** An end nearer than this to a junction of other seams goes there, mm: what lay between could not be sewn on its own. */
const NEAR_JUNCTION = 15;

/**
 * Opens every part of a form that is still a tube once the given lines are cut: the shortest path from one of its ends to
 * another, begun at the tip of a drawn slit where there is one. A ring of seams round another patch is no end: that
 * patch is let in.
 *
 * @param lines - lines that are cut, and others to be carried along
 * @param corners - vertices where a rim or seam is to be divided
 * @throws the errors of {@link cutIntoPatches}
 * @remarks closed hollows are left closed: they need a plan, see `planSeams`
 */
export function openTubes(
  mesh: TriangleMesh,
  regionOf: Int32Array,
  lines: readonly CarriedLine[],
  corners: readonly number[] = [],
): OpenedForm {
  let form: Opening = {
    mesh,
    regionOf,
    sourceTriangle: Uint32Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t),
    lines: lines.map((line) => line.path),
    openings: [],
  };
  // Each round opens one tube; a form has few.
  for (let round = 0; ; round++) {
    const cut = [
      ...lines.flatMap((line, i) =>
        line.cut === false ? [] : [{ id: line.id, path: form.lines[i], closed: line.closed }],
      ),
      ...form.openings.map(({ path }, i) => ({ id: `opening-${i + 1}`, path })),
    ];
    const cutting = cutIntoPatches(form.mesh, { regionOf: form.regionOf, lines: cut, corners });
    const tube = cutting.patches.find(isTube);
    const path = tube && shortestOpening(tube, junctions(cutting, tube, corners));
    if (!tube || !path || round === MOST_TUBES) return { ...form, cutting };
    form = insertOpening(
      form,
      lines,
      path.points.map((point) => onForm(tube, point)),
      path.length,
    );
  }
}

/** True where a patch has more than one loop and one of them is a rim of the form all round. */
export function isTube(patch: Patch): boolean {
  return patch.loops.length > 1 && patch.loops.some((loop) => loop.every((edge) => edge.rim !== undefined));
}

/** Vertices of a patch where at least three seams meet or a corner was asked for. */
function junctions(cutting: PatchCutting, tube: Patch, corners: readonly number[]): Set<number> {
  const arms = new Map<number, number>();
  const source = new Map(cutting.patches.map((patch) => [patch.id, patch.sourceVertex]));
  for (const { a } of cutting.seams) {
    for (const v of [a.path[0], a.path[a.path.length - 1]]) {
      const place = source.get(a.patch)![v];
      arms.set(place, (arms.get(place) ?? 0) + 1);
    }
  }
  const found = new Set<number>();
  tube.sourceVertex.forEach((place, v) => {
    if ((arms.get(place) ?? 0) > 2 || corners.includes(place)) found.add(v);
  });
  return found;
}

function shortestOpening(patch: Patch, stops: ReadonlySet<number>): GeodesicPath | undefined {
  const surface = geodesicSurface(patch.mesh, meshTopology(patch.mesh).twin);
  const rim = patch.loops.findIndex((loop) => loop.every((edge) => edge.rim !== undefined));
  const inner = patch.loops.filter((_, i) => i !== rim).flatMap(loopVertices);
  const tips = inner.filter((v) => isTip(patch, v));
  const target = loopVertices(patch.loops[rim]);
  const from = tips.length > 0 ? tips : target;
  const to = tips.length > 0 ? target : inner;
  let best: GeodesicPath | undefined;
  for (let k = 0; k < Math.min(STARTS, from.length); k++) {
    const start = from[Math.floor((k * from.length) / Math.min(STARTS, from.length))];
    const path = geodesicPath(surface, start, to);
    if (path && (!best || path.length < best.length)) best = path;
  }
  if (!best) return undefined;
  const ends = [best.points[0].vertex, best.points[best.points.length - 1].vertex];
  const [first, last] = ends.map((v) => (tips.includes(v) ? v : nearestStop(patch, v, stops)));
  return first === ends[0] && last === ends[1] ? best : (geodesicPath(surface, first, [last]) ?? best);
}

/** The nearest of the stops along the border from a border vertex when there is one so near; else the vertex itself. */
function nearestStop(patch: Patch, v: number, stops: ReadonlySet<number>): number {
  const around = patch.loops.map(loopVertices).find((loop) => loop.includes(v))!;
  const at = around.indexOf(v);
  let nearest = v;
  let least = NEAR_JUNCTION;
  for (const step of [1, around.length - 1]) {
    let gone = 0;
    for (let i = at, k = 0; k < around.length && gone < least; k++, i = (i + step) % around.length) {
      if (stops.has(around[i])) {
        least = gone;
        nearest = around[i];
      }
      gone += pathLength(patch.mesh.positions, [around[i], around[(i + step) % around.length]]);
    }
  }
  return nearest;
}

function loopVertices(loop: Patch["loops"][number]): number[] {
  return loop.flatMap((edge) => edge.path.slice(0, -1));
}

/** A vertex where the border turns back on itself: both of its border neighbours stem from one vertex of the form. */
function isTip(patch: Patch, v: number): boolean {
  for (const loop of patch.loops) {
    const around = loopVertices(loop);
    const i = around.indexOf(v);
    if (i < 0) continue;
    const before = around[(i + around.length - 1) % around.length];
    const after = around[(i + 1) % around.length];
    return around.length > 2 && patch.sourceVertex[before] === patch.sourceVertex[after];
  }
  return false;
}

/** A point of a path over a patch, as a point of the form. */
function onForm(patch: Patch, point: GraphPoint): SurfacePoint {
  const weights: [number, number, number] = [0, 0, 0];
  if (point.half >= 0) {
    const corner = point.half % 3;
    weights[corner] = 1 - point.t;
    weights[(corner + 1) % 3] = point.t;
    return { triangle: patch.sourceTriangle[Math.floor(point.half / 3)], weights };
  }
  const h = patch.mesh.triangles.indexOf(point.vertex);
  weights[h % 3] = 1;
  return { triangle: patch.sourceTriangle[Math.floor(h / 3)], weights };
}

function insertOpening(
  form: Opening,
  lines: readonly CarriedLine[],
  path: readonly SurfacePoint[],
  length: number,
): Opening {
  const kept = [
    ...form.lines.map((run, i) => ({ path: run, closed: lines[i].closed === true })),
    ...form.openings.map((opening) => ({ path: opening.path, closed: false })),
  ];
  const refined = refineAlong(form.mesh, kept, form.regionOf, [path], { snap: SNAP });
  const base = Uint32Array.from(refined.refinement.baseTriangle);
  return {
    mesh: refined.refinement.toMesh(),
    regionOf: Int32Array.from(base, (t) => form.regionOf[t]),
    sourceTriangle: base.map((t) => form.sourceTriangle[t]),
    lines: refined.fixed.slice(0, lines.length),
    openings: [
      ...form.openings.map((opening, i) => ({ ...opening, path: refined.fixed[lines.length + i] })),
      { path: refined.cuts[0], length },
    ],
  };
}

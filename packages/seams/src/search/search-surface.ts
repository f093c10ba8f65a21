import {
  inTriangle,
  MeshRefinement,
  meshTopology,
  supportVertices,
  surfacePosition,
  triangleArea,
  type SurfacePoint,
  type TriangleMesh,
} from "@peltry/geometry";
import type { MirrorMap } from "../mirror-map";
import { roomOf, type FabricBox } from "./fabric-box";
import { refineCorners } from "./refine-corners";
import type { SearchPatch } from "./search-patches";

/** Everything about the form that the search needs and never changes. */
export interface SearchSurface {
  readonly mesh: TriangleMesh;
  /** The mesh with given seams and region borders marked. */
  readonly root: MeshRefinement;
  readonly twin: Int32Array;
  readonly regionOf: Int32Array;
  readonly boxes: readonly FabricBox[];
  /** Cost of a mm of seam in each triangle; Infinity where none may go. */
  readonly weight: Float64Array;
  readonly directionWeight?: (triangle: number, x: number, y: number, z: number) => number;
  /** Unit pile direction of each triangle, in its plane. */
  readonly pile: Float64Array;
  /** Some fabric has a grain. */
  readonly grain: boolean;
  readonly totalArea: number;
  readonly snap: number;
  /** Rounds of averaging that make about 10 mm. */
  readonly smoothRounds: number;
  /** Small spots a little over the limit are left to be eased in. */
  readonly eased?: boolean;
  /** Sharp corners of the mesh are divided. */
  readonly fine: boolean;
  readonly pileLimitOf: (patch: SearchPatch) => number;
  /** Width of the cloth that a patch is cut from, mm; Infinity when not limited. */
  readonly widthLimitOf: (patch: SearchPatch) => number;
  /** How the surface maps onto itself across the plane of symmetry. */
  readonly mirror?: MirrorMap | undefined;
  /** Work done for the plan so far, in triangles times steps. */
  readonly work: { spent: number };
}

/** Input of {@link makeSearchSurface}. */
export interface SearchSurfaceInput {
  readonly mesh: TriangleMesh;
  readonly regionOf: Int32Array;
  readonly boxes: readonly FabricBox[];
  readonly fixed: readonly (readonly number[])[];
  readonly weight: Float64Array;
  readonly directionWeight?: (triangle: number, x: number, y: number, z: number) => number;
  readonly pile: Float64Array;
  readonly pileLimits: readonly number[];
  readonly widths?: readonly number[];
  readonly mirror?: MirrorMap | undefined;
  readonly work?: { spent: number };
  readonly fine?: boolean;
}

/** Mark of given seams and of region borders. */
export const GIVEN_MARK = 1;
/** First mark of the search's own cuts. */
export const FIRST_MARK = 10;

/** Prepares a form for the search. */
export function makeSearchSurface(input: SearchSurfaceInput): SearchSurface {
  const { mesh, regionOf } = input;
  const root = new MeshRefinement(mesh);
  for (const path of input.fixed) root.markPath(path, GIVEN_MARK);
  for (let h = 0; h < root.twin.length; h++) {
    const g = root.twin[h];
    if (g > h && regionOf[Math.floor(h / 3)] !== regionOf[Math.floor(g / 3)]) root.markEdge(h, GIVEN_MARK);
  }
  if (input.fine) refineCorners(root, roomOf(input.boxes));
  const count = mesh.triangles.length / 3;
  let totalArea = 0;
  for (let t = 0; t < count; t++) totalArea += triangleArea(mesh, t);
  const meanEdge = Math.sqrt((totalArea / Math.max(1, count)) * 2.3);
  return {
    mesh,
    root,
    twin: meshTopology(mesh).twin,
    regionOf,
    boxes: input.boxes,
    weight: input.weight,
    directionWeight: input.directionWeight,
    pile: input.pile,
    grain:
      input.boxes.some((box) => !box.isotropic) ||
      input.pileLimits.some((x) => x < 180) ||
      (input.widths?.some(Number.isFinite) ?? false),
    totalArea,
    snap: 0.12,
    smoothRounds: meanEdge > 5 ? 1 : meanEdge > 2.5 ? 2 : 3,
    widthLimitOf: (patch) => input.widths?.[patch.regionOf[0]] ?? Infinity,
    pileLimitOf: (patch) => input.pileLimits[patch.regionOf[0]] ?? 180,
    mirror: input.mirror,
    work: input.work ?? { spent: 0 },
    fine: input.fine ?? false,
  };
}

/** A triangle that holds both points. */
export function sharedTriangle(surface: SearchSurface, a: SurfacePoint, b: SurfacePoint): number {
  const { root, mesh } = surface;
  if (inTriangle(mesh, b, a.triangle)) return a.triangle;
  if (inTriangle(mesh, a, b.triangle)) return b.triangle;
  for (const t of root.baseStar(supportVertices(mesh, a)[0])) {
    if (inTriangle(mesh, a, t) && inTriangle(mesh, b, t)) return t;
  }
  return -1;
}

/** Length and cost from the start to each point of a path. */
export function pathStations(
  surface: SearchSurface,
  path: readonly SurfacePoint[],
): { length: Float64Array; cost: Float64Array } {
  const length = new Float64Array(path.length);
  const cost = new Float64Array(path.length);
  let before = surfacePosition(surface.mesh, path[0]);
  for (let i = 1; i < path.length; i++) {
    const here = surfacePosition(surface.mesh, path[i]);
    const x = here[0] - before[0];
    const y = here[1] - before[1];
    const z = here[2] - before[2];
    const d = Math.hypot(x, y, z);
    let w = 1;
    const t = sharedTriangle(surface, path[i - 1], path[i]);
    if (t >= 0) {
      w = surface.weight[t];
      if (surface.directionWeight && d > 0) w *= surface.directionWeight(t, x / d, y / d, z / d);
      if (!Number.isFinite(w)) w = 1e6;
    }
    length[i] = length[i - 1] + d;
    cost[i] = cost[i - 1] + w * d;
    before = here;
  }
  return { length, cost };
}

/** A place between two that lie in one triangle, by its share of the way; the second where they do not. */
export function placeBetween(
  surface: SearchSurface,
  from: SurfacePoint,
  to: SurfacePoint,
  t: number,
): SurfacePoint {
  const triangle = sharedTriangle(surface, from, to);
  const a = inTriangle(surface.mesh, from, triangle);
  const b = inTriangle(surface.mesh, to, triangle);
  if (!a || !b) return to;
  const mix = (k: number): number => a.weights[k] * (1 - t) + b.weights[k] * t;
  return { triangle, weights: [mix(0), mix(1), mix(2)] };
}

/** The part of a path between two lengths from its start. */
export function subPath(
  surface: SearchSurface,
  path: readonly SurfacePoint[],
  from: number,
  to: number,
): SurfacePoint[] {
  const { length } = pathStations(surface, path);
  const at = (s: number): SurfacePoint => {
    let i = 1;
    while (i < path.length - 1 && length[i] < s) i++;
    const span = length[i] - length[i - 1];
    const t = span > 0 ? Math.max(0, Math.min(1, (s - length[i - 1]) / span)) : 0;
    if (t <= 1e-6) return path[i - 1];
    if (t >= 1 - 1e-6) return path[i];
    return placeBetween(surface, path[i - 1], path[i], t);
  };
  const out: SurfacePoint[] = [at(from)];
  for (let i = 0; i < path.length; i++)
    if (length[i] > from + 1e-6 && length[i] < to - 1e-6) out.push(path[i]);
  out.push(at(to));
  return out;
}

/** The path on the other side of the plane of symmetry. */
export function mirrorPath(surface: SearchSurface, path: readonly SurfacePoint[]): SurfacePoint[] {
  const { triangle, corner } = surface.mirror!;
  return path.map((point) => {
    const weights: [number, number, number] = [0, 0, 0];
    for (let k = 0; k < 3; k++) weights[corner[3 * point.triangle + k]] = point.weights[k];
    return { triangle: triangle[point.triangle], weights };
  });
}

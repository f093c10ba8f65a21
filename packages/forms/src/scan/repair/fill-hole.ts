// Approaches tried: fans and ear clipping in a best plane (fold over where the rim is not flat), least-area triangulation
// of the rim refined and bent to carry the surface on (this one).
import { vertexDistance } from "@peltry/geometry";
import { triangulateRim } from "./triangulate-rim";
import { PatchMesh } from "./patch-mesh";
import { fairPatch } from "./fair-patch";

/** A patch for a hole: new vertices and triangles. */
export interface HolePatch {
  /** x, y, z of the new vertices. */
  readonly positions: readonly number[];
  /** Corners: below `rim.length` a rim vertex, from there on a new vertex. */
  readonly triangles: readonly number[];
}

/**
 * A patch that closes a border loop with triangles of about the rim's size, bent so that it carries on from the surface
 * around it.
 *
 * @param rim - vertices of the loop, surface on the left
 * @param around - for each rim vertex a point one step into the surface, x, y, z
 * @source Liepa, Filling Holes in Meshes, 2003 (least-area triangulation, refinement, fairing)
 */
export function fillHole(positions: Float64Array, rim: readonly number[], around: Float64Array): HolePatch {
  // The patch runs the other way round, so that its winding agrees with the surface.
  const order = rim.slice().reverse();
  const points: number[] = [];
  for (const v of order) points.push(positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]);
  const ring = Float64Array.from(order, (_, i) => rim.length - 1 - i);
  const patch = new PatchMesh(points, triangulateRim(points), order.length);
  let edge = 0;
  for (let i = 0; i < rim.length; i++)
    edge += vertexDistance(positions, rim[i], rim[(i + 1) % rim.length]) / rim.length;
  if (rim.length > 4) {
    patch.refine(1.35 * edge);
    const support: number[] = [];
    for (const i of ring) support.push(around[3 * i], around[3 * i + 1], around[3 * i + 2]);
    fairPatch(patch, support);
  }
  const back = (v: number): number => (v < rim.length ? rim.length - 1 - v : v);
  return { positions: patch.points.slice(3 * rim.length), triangles: patch.triangles.map(back) };
}

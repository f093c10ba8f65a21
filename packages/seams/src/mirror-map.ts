import { createSurfaceLocator, vertexPoint, type TriangleMesh } from "@peltry/geometry";
import { distance } from "./lines-in-space";
import type { Plane } from "./mirror-plane";

/** How a mesh maps onto itself when it is mirrored in a plane. */
export interface MirrorMap {
  /** Triangle on the other side, and for each corner the corner of that triangle that it falls on. */
  readonly triangle: Int32Array;
  readonly corner: Uint8Array;
  /** Distance of each vertex from the plane, mm, signed. */
  readonly side: Float64Array;
}

/** Largest distance from a vertex's image to the vertex that it falls on, as a share of the mean edge. */
const TOLERANCE = 0.02;

/**
 * Pairs the triangles of a mesh across a plane.
 *
 * @returns undefined when the mesh is not its own mirror image, triangle for triangle, or a label differs
 */
export function findMirrorMap(
  mesh: TriangleMesh,
  plane: Plane,
  labels: ArrayLike<number>,
): MirrorMap | undefined {
  const { triangles } = mesh;
  const n = mesh.positions.length / 3;
  const locator = createSurfaceLocator(mesh);
  const partner = new Int32Array(n);
  const side = new Float64Array(n);
  for (let v = 0; v < n; v++) {
    const p = vertexPoint(mesh, v);
    side[v] = plane.side(p);
    const image = plane.image(p);
    const { place } = locator.nearest(image);
    let best = -1;
    let least = Infinity;
    let edge = 0;
    for (let k = 0; k < 3; k++) {
      const w = triangles[3 * place.triangle + k];
      const gap = distance(vertexPoint(mesh, w), image);
      edge = Math.max(edge, gap);
      if (gap < least) {
        least = gap;
        best = w;
      }
    }
    if (least > TOLERANCE * edge) return undefined;
    partner[v] = best;
  }
  const key = (a: number, b: number, c: number): string => [a, b, c].sort((x, y) => x - y).join();
  const byCorners = new Map<string, number>();
  const count = triangles.length / 3;
  for (let t = 0; t < count; t++)
    byCorners.set(key(triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]), t);
  const triangle = new Int32Array(count);
  const corner = new Uint8Array(3 * count);
  for (let t = 0; t < count; t++) {
    const images = [0, 1, 2].map((k) => partner[triangles[3 * t + k]]);
    const other = byCorners.get(key(images[0], images[1], images[2]));
    if (other === undefined || labels[other] !== labels[t]) return undefined;
    triangle[t] = other;
    for (let k = 0; k < 3; k++) {
      for (let j = 0; j < 3; j++) if (triangles[3 * other + j] === images[k]) corner[3 * t + k] = j;
    }
  }
  return { triangle, corner, side };
}

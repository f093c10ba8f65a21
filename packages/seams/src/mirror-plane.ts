import type { Point3 } from "@peltry/geometry";

/** A plane of symmetry. */
export interface Plane {
  /** Distance of a point from it, mm, signed. */
  readonly side: (p: Point3) => number;
  /** The point of the plane nearest to one. */
  readonly foot: (p: Point3) => Point3;
  /** The mirror image of a point. */
  readonly image: (p: Point3) => Point3;
}

export function createPlane(given: { readonly point: Point3; readonly normal: Point3 }): Plane {
  const size = Math.hypot(...given.normal) || 1;
  const normal = given.normal.map((x) => x / size);
  const side = (p: Point3): number => normal.reduce((sum, x, k) => sum + x * (p[k] - given.point[k]), 0);
  const moved = (p: Point3, by: number): Point3 => [
    p[0] - by * normal[0],
    p[1] - by * normal[1],
    p[2] - by * normal[2],
  ];
  return { side, foot: (p) => moved(p, side(p)), image: (p) => moved(p, 2 * side(p)) };
}

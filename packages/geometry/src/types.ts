/** A point in the flat: x to the right, y up, mm. */
export type Point = readonly [number, number];

/** A point in space: y up, mm. */
export type Point3 = readonly [number, number, number];

/** A closed outline, counter-clockwise, the first point not repeated at the end. Holes run clockwise. */
export type Outline = readonly Point[];

/** An open run of points. */
export type Polyline = readonly Point[];

/** Triangles in space. */
export interface TriangleMesh {
  /** x, y, z of each vertex in turn, mm. */
  readonly positions: Float64Array;
  /** Three vertex indices a triangle, counter-clockwise seen from outside. */
  readonly triangles: Uint32Array;
}

/** Axis-aligned box. */
export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

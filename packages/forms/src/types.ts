import type { TriangleMesh } from "@peltry/geometry";

/** A run of mesh vertices, each joined to the next by a mesh edge. */
export interface FormCurve {
  readonly id: string;
  readonly name: string;
  /**
   * `drawn`: a line that the maker drew and wants as a seam; `border`: between two regions; `rim`: where the form ends;
   * `level`: a girth line, not a seam.
   */
  readonly kind: "drawn" | "border" | "rim" | "level";
  /** Vertex indices in order. A closed curve does not repeat its first vertex. */
  readonly path: readonly number[];
  readonly closed: boolean;
}

/** A part of the surface that is made of one fabric. */
export interface FormRegion {
  readonly id: string;
  readonly name: string;
}

/** The outer surface of a costume part: what the panels have to cover. */
export interface Form {
  readonly name: string;
  /** mm, y up. */
  readonly mesh: TriangleMesh;
  readonly regions: readonly FormRegion[];
  /** Index into `regions`, one a triangle. */
  readonly regionOf: Int32Array;
  readonly curves: readonly FormCurve[];
  /** Named vertices, such as `crotch` or `kneecap`. */
  readonly landmarks: readonly { readonly id: string; readonly vertex: number }[];
  /** Unit direction in which the pile lies, x, y, z a triangle; absent: down the body. */
  readonly pile?: Float64Array;
  /** Plane of symmetry, where the form has one. */
  readonly symmetry?: {
    readonly point: readonly [number, number, number];
    readonly normal: readonly [number, number, number];
  };
  /** Inner surface (the body) with the same triangles, where padding lies between. */
  readonly inner?: Float64Array;
}

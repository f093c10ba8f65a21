import type { Issue } from "@peltry/issues";

/** Units that a mesh file can be in. */
export type LengthUnit = "mm" | "cm" | "dm" | "m" | "in" | "ft";

/** Formats that {@link readMesh} reads. */
export type MeshFormat = "obj" | "ply" | "stl" | "off" | "gltf";

/** What a format reader hands on: numbers as in the file, before any unit is applied. */
export interface RawMesh {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  /** r, g, b of each vertex, 0..255. */
  readonly colors?: Uint8Array | undefined;
  readonly groups?: readonly string[] | undefined;
  /** Index into `groups`, one a triangle. */
  readonly groupOf?: Int32Array | undefined;
  readonly faces: FaceCounts;
  /** Remarks on what was left out or mended while reading. */
  readonly notes: Issue[];
  /** The unit, where the file or its format says so. */
  readonly unit?: LengthUnit | undefined;
  /** True when the format holds no connectivity, so that equal points have to be joined. */
  readonly soup: boolean;
  /** `binary little-endian` and the like. */
  readonly encoding: string;
}

/** Faces as the file had them. */
export interface FaceCounts {
  readonly triangles: number;
  readonly quads: number;
  readonly larger: number;
}

/** Ceilings that keep a small file from asking for all the memory there is. */
export const MESH_LIMITS = Object.freeze({
  /** Ten times the largest mesh that the packages promise to work on. */
  vertices: 5_000_000,
  triangles: 5_000_000,
  /** Triangles made by placing the same data again and again: twice the largest mesh promised. */
  copied: 1_000_000,
  /** Parts of a scene, each with its own list of triangles; scans have one to a few hundred. */
  parts: 100_000,
  /** Nodes of a glTF scene. */
  nodes: 200_000,
  /** Corners of one face; even a flat cap has a few thousand. */
  corners: 100_000,
  /** Coordinates past this are not a thing to wear in any unit; their squares would overflow later. */
  coordinate: 1e12,
});

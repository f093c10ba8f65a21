import type { BlockSystem } from "./block-system";
import type { Sheet } from "./sheet";

/** What shapes a part: an energy of the maps of its triangles from rest to flat. */
export interface Energy {
  /** The energy at x, mm²; adds to `gradient`. Infinity where x is not allowed. */
  at(sheet: Sheet, x: Float64Array, gradient: Float64Array | null): number;
  /** Adds the second derivative at x, made positive semidefinite triangle by triangle. */
  addCurvature(system: BlockSystem, sheet: Sheet, x: Float64Array): void;
  /** Second derivative at rest against that of the Laplacian. */
  readonly stiffness: number;
  /** Whether it is infinite where a triangle is turned over: steps then end before one turns. */
  readonly guarded: boolean;
}

/** What acts on the vertices of all parts beside their triangles. */
export interface Extra {
  energy(x: Float64Array, gradient: Float64Array | null): number;
  /** Adds the second derivative for the vertices of a part. */
  addCurvature?(
    x: Float64Array,
    part: { readonly first: number; readonly sheet: Pick<Sheet, "vertexCount"> },
    system: BlockSystem,
  ): void;
  /** Largest multiple of the direction that stays allowed. */
  limitStep?(x: Float64Array, direction: Float64Array): number;
  /** Whether its energy may be negative. */
  readonly signed?: boolean;
}

/** Something that you own. */
export interface StashItem {
  /** Your own name for it, unique in the stash. */
  readonly id: string;
  /** Id of the catalogue entry. */
  readonly material: string;
  /** Rectangle, mm: along the grain or pile, across it. */
  readonly size?: { readonly alongMm: number; readonly acrossMm: number };
  /** Outline of an odd piece, mm, x across, y along the grain, counter-clockwise, not closed by repetition. */
  readonly outline?: readonly (readonly [number, number])[];
  /** For what is not a flat piece. */
  readonly amount?: { readonly value: number; readonly unit: "g" | "ml" | "m" | "pieces" };
  /** `#rrggbb`. */
  readonly colour?: string;
  readonly condition: "new" | "used" | "worn" | "stained" | "damaged" | "unknown";
  /** What you measured on this very piece; goes before the catalogue. */
  readonly measured?: {
    readonly massPerAreaGsm?: number;
    readonly pileLengthMm?: number;
    readonly stretchAlongPercent?: number;
    readonly stretchAcrossPercent?: number;
    readonly thicknessMm?: number;
  };
  readonly note?: string;
}

/** All that you own. */
export interface Stash {
  readonly version: 1;
  readonly items: readonly StashItem[];
}

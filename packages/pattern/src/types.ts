import type { Point } from "@peltry/geometry";

/**
 * What an edge of a panel is for.
 * - `seam`: sewn to another edge
 * - `dart`: one leg of a dart, sewn to the other leg
 * - `hem`: turned up and finished
 * - `fold`: lies on the fold of the cloth; the panel is opened about it
 * - `opening`: a closure (zip, hook-and-loop, snaps) or an entry
 * - `raw`: cut and left
 */
export type EdgeRole = "seam" | "dart" | "hem" | "fold" | "opening" | "raw";

/** A stretch of a panel's sew line between two corners. */
export interface Edge {
  readonly id: string;
  readonly role: EdgeRole;
  /**
   * Sew-line points, mm, y up, in the order of the outline. Both corners are included: the last point of an edge
   * equals the first point of the next.
   */
  readonly points: readonly Point[];
  /** The seam that this edge belongs to (roles `seam` and `dart`). */
  readonly seam?: string;
  /** Small marks along the edge that meet their partner on the other side of the seam. */
  readonly notches?: readonly Notch[];
  /** What a maker calls it. */
  readonly name?: string;
}

/** A mark at a length along an edge's sew line. */
export interface Notch {
  /** mm from the first point of the edge. */
  readonly at: number;
  /** One mark or two side by side; the partner edge carries the same kind. */
  readonly kind: "single" | "double";
  /** Match point of the seam that it stands for. */
  readonly match?: string;
}

/** One side of a seam. */
export interface EdgeRef {
  readonly panel: string;
  readonly edge: string;
}

/** A pair of places that lie on each other when sewn. */
export interface MatchPoint {
  readonly id: string;
  /** mm from the first point of side `a`'s edge. */
  readonly a: number;
  /** mm from the first point of side `b`'s edge. */
  readonly b: number;
}

/** Two edges sewn together. */
export interface Seam {
  readonly id: string;
  /** Letter printed on both sides: A, B, … Z, AA. */
  readonly letter: string;
  readonly a: EdgeRef;
  readonly b: EdgeRef;
  /**
   * True when side `b` is sewn end to start (its last point meets the first of `a`): the usual case, as outlines run
   * counter-clockwise.
   */
  readonly reversed: boolean;
  readonly matchPoints: readonly MatchPoint[];
  /** Which side is eased onto the other, and by how much of its length. */
  readonly ease?: { readonly side: "a" | "b"; readonly fraction: number };
  /** How it is sewn, in a maker's words. */
  readonly note?: string;
  readonly hand?: boolean;
}

/** A wedge taken out of a panel. Its legs are two neighbouring edges of role `dart` that meet at the tip. */
export interface Dart {
  readonly id: string;
  /** Ids of the legs, in outline order: into the tip, out of the tip. */
  readonly legs: readonly [string, string];
  readonly tip: Point;
  /** Width of the mouth, mm. */
  readonly intake: number;
  /** Leg length, mm. */
  readonly length: number;
  /** Cut out (each leg with allowance) or left in and folded. */
  readonly cut: boolean;
  /** Radius at the tip where the end is rounded, mm. */
  readonly tipRadius?: number;
}

/** Something drawn inside a panel. */
export interface Marking {
  readonly id: string;
  /**
   * `line`: a line to draw or top-stitch; `drill`: a single point; `area`: a closed outline, such as a spot;
   * `text`: words at a place.
   */
  readonly kind: "line" | "drill" | "area" | "text";
  readonly points: readonly Point[];
  readonly label?: string;
  /** Fabric of an area. */
  readonly fabric?: string;
  /** How an area is made: sewn on top, let in with the base cut away, or the pile shaved. */
  readonly method?: "applied" | "let-in" | "shaved";
  /** Direction of the area's own pile, degrees. */
  readonly pile?: number;
}

/** One flat piece of cloth. Knows nothing of allowance, paper or fabric pieces. */
export interface Panel {
  readonly id: string;
  readonly name: string;
  /** Fabric id. */
  readonly fabric: string;
  /** The outline: edges in counter-clockwise order, each ending where the next begins. */
  readonly edges: readonly Edge[];
  /** Inner outlines, clockwise. */
  readonly holes?: readonly (readonly Edge[])[];
  readonly darts: readonly Dart[];
  readonly markings: readonly Marking[];
  /** Direction in which the pile lies, degrees counter-clockwise from +x; −90 is down the page. */
  readonly pile?: number;
  /** Direction of greatest stretch, degrees. */
  readonly stretch?: number;
  /** Direction of the lengthwise grain, degrees. */
  readonly grain?: number;
  /** How many to cut of each hand. */
  readonly count: number;
  /** True when as many mirrored copies are cut as well. */
  readonly mirrored: boolean;
  /** `outer` unless said otherwise. */
  readonly layer?: "outer" | "lining" | "facing" | "padding" | "sole";
  readonly notes?: readonly string[];
}

/** Panels and the seams that join them. */
export interface Pattern {
  readonly format: "peltry-pattern";
  readonly version: 1;
  readonly name: string;
  readonly panels: readonly Panel[];
  readonly seams: readonly Seam[];
  /** Names of the fabrics by id. */
  readonly fabrics?: readonly { readonly id: string; readonly name: string; readonly pileMm?: number }[];
}

/** Usable strain range in one direction. */
export interface StrainRange {
  /** Largest usable stretch when worn, as a fraction: 0.15 is 15 %. */
  readonly max: number;
  /** Largest ease-in without a pucker, zero or negative: −0.03 is 3 % shorter. */
  readonly min: number;
  /** Relative stiffness, 1 by default. */
  readonly stiffness?: number;
}

/**
 * What a cloth can do, as plain numbers. `along` is the grain or pile direction, `across` at right angles to it;
 * `shear` is the change of the right angle between them in radians (for small angles the shear strain).
 * Strain is worn length over flat length, minus one.
 */
export interface FabricBehaviour {
  readonly along: StrainRange;
  readonly across: StrainRange;
  readonly shear: StrainRange;
}

import type { Issue } from "@peltry/issues";
import type { Outline, Point } from "@peltry/geometry";
import type { Panel, Pattern, Seam } from "@peltry/pattern";

/** A mark as drawn lines, in panel coordinates, mm. */
export interface PrintNotch {
  /** Lines to draw or cut at the cut line. */
  readonly strokes: readonly (readonly Point[])[];
  /** Place on the sew line and on the cut line; a thin line joins them when both are given. */
  readonly sew?: Point;
  readonly cut?: Point;
}

/**
 * What the allowance step adds to a panel: the result of `addAllowance` fits as it is. All in the panel's own
 * coordinates, mm.
 */
export interface CutLine {
  /** Outer cut line, counter-clockwise, not closed by repetition. */
  readonly cutLine: Outline;
  /** Inner cut lines, clockwise. */
  readonly holes?: readonly Outline[];
  /** When given, they replace the notches computed from the edges. */
  readonly notches?: readonly PrintNotch[];
  /** Cuts into the allowance along curves. */
  readonly clips?: readonly { readonly marks: readonly (readonly Point[])[] }[];
  /** Strips from which the pile is trimmed back; noted on the panel. */
  readonly trimStrips?: readonly { readonly width: number }[];
  /** Darts that are folded: where the fold leaves the cloth, and the tip. */
  readonly foldedDarts?: readonly { readonly tip: Point; readonly peak: Point }[];
  /** Further lines, such as the fold of a hem. */
  readonly lines?: readonly { readonly points: readonly Point[]; readonly label?: string }[];
}

/** One panel together with all that is to be printed on it. */
export interface PrintPiece {
  readonly panel: Panel;
  readonly cut?: CutLine;
  /** Name of the fabric in a maker's words; the panel's fabric id when absent. */
  readonly fabricName?: string;
  /** Names of the fabrics of its markings, by fabric id. */
  readonly markingFabrics?: Readonly<Record<string, string>>;
  /** How far short of its tip a folded dart is punched, mm. */
  readonly dartDrillMm?: number;
}

/** Pieces ready to be drawn. */
export interface PrintJob {
  readonly format: "peltry-print-job";
  readonly name: string;
  readonly pieces: readonly PrintPiece[];
  readonly seams: readonly Seam[];
  readonly issues: readonly Issue[];
}

/** What every writer takes: a pattern as it is (sew lines only), or a job made by `createPrintJob`. */
export type Printable = Pattern | PrintJob;

/** Cut lines by panel id: an outline alone, or with its holes, notches and clips. */
export type CutLines = Readonly<Record<string, Outline | CutLine>>;

/** What the same marks are called in every output, so that a viewer or editor can switch them. */
export type PrintLayer = "cut" | "sew" | "marks" | "text" | "guides";

/** Where a piece lies on the sheet: turned by `angle` degrees counter-clockwise about its origin, then shifted. */
export interface Placement {
  readonly panel: string;
  readonly angle: number;
  readonly dx: number;
  readonly dy: number;
}

import type { Issue } from "@peltry/issues";
import type { Outline, Point } from "@peltry/geometry";
import type { Panel, Pattern, Seam } from "@peltry/pattern";

/** A short mark drawn on a panel from one point to another: a notch, a clip, a trim tick. mm, panel coordinates. */
export interface PrintMark {
  readonly from: Point;
  readonly to: Point;
}

/** What the allowance step adds to a panel. All of it in the panel's own coordinates, mm. */
export interface CutLine {
  /** Outer cut line, counter-clockwise, not closed by repetition. */
  readonly outline: Outline;
  /** Cut lines of the panel's holes, clockwise. */
  readonly holes?: readonly Outline[];
  /** Notches as drawn lines; when given they replace the ones computed from the edges' notches. */
  readonly notches?: readonly PrintMark[];
  /** Cuts into the allowance along inward curves, and wedges along outward ones. */
  readonly clips?: readonly PrintMark[];
  /** Further lines, such as where the pile is trimmed back or a hem is folded. */
  readonly lines?: readonly { readonly points: readonly Point[]; readonly label?: string }[];
}

/** One panel together with all that is to be printed on it. */
export interface PrintPiece {
  readonly panel: Panel;
  readonly cut?: CutLine;
  /** Name of the fabric in a maker's words; the panel's fabric id when absent. */
  readonly fabricName?: string;
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

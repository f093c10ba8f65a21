import type { Issue } from "@peltry/issues";
import type { Point } from "@peltry/geometry";
import type { EdgeRole } from "@peltry/pattern";

/**
 * How the cut line turns a corner that sticks out.
 * - `mitred`: both cut lines run on until they meet; cut off square past the mitre limit
 * - `rounded`: an arc round the corner of the sew line
 * - `squared-to-before`: the allowance of the edge before the corner ends square, where its sew line, run on, meets the
 *   other cut line; `squared-to-after`: the same for the edge after it
 * - `turned-back`: the allowance of the hem (or of the edge named in `turned`) ends on the mirror image of its
 *   neighbour's cut line, so that it lies on the panel when folded up
 * - `stepped`: widths differ too much to meet: the wider strip ends square and the line steps to the narrower one
 * - `blended`: as `stepped`, with a slope in place of the step
 * - `butt`: both allowances end square at the corner of the sew line itself, as two separate flaps
 */
export type CornerTreatment =
  | "mitred"
  | "rounded"
  | "squared-to-before"
  | "squared-to-after"
  | "turned-back"
  | "stepped"
  | "blended"
  | "butt";

/** A treatment for one corner, or for all corners that match. */
export interface CornerRule {
  /** Id of the edge that ends at the corner; any when left out. */
  readonly before?: string;
  /** Id of the edge that begins at the corner; any when left out. */
  readonly after?: string;
  readonly treatment: CornerTreatment;
  /** Which edge's allowance is folded back (`turned-back`); the hem when left out, else the edge after. */
  readonly turned?: "before" | "after";
  /** How far past the corner a squared end reaches, mm; at least what the neighbour's width asks for. */
  readonly length?: number;
}

/** Shape of a notch in the cut edge. */
export type NotchShape = "slit" | "v-in" | "v-out" | "t" | "castle" | "check";

/** How a seam's allowance lies when finished: decides from which radius on it must be clipped. */
export type Pressing = "open" | "turned";

/** What to add, and how. Every field may be left out. */
export interface AllowanceRules {
  /** Width of every edge that no other rule names, mm; folds stay at 0. */
  readonly width?: number;
  /** Width by role, mm. */
  readonly roles?: Partial<Readonly<Record<EdgeRole, number>>>;
  /** Width by edge id, mm. */
  readonly edges?: Readonly<Record<string, number>>;
  /** How it is sewn: picks the default widths. */
  readonly stitch?: Stitch;
  /** What it is sewn from: picks the default widths. */
  readonly cloth?: Cloth;
  /** Treatment of every corner that no rule in `corners` names; `mitred` when left out. */
  readonly corner?: CornerTreatment;
  readonly corners?: readonly CornerRule[];
  /** Hems are turned back at their ends unless this is false. */
  readonly turnHems?: boolean;
  /** Longest mitre, as a multiple of the wider allowance; 4 when left out. */
  readonly mitreLimit?: number;
  /** Notch shape in the cut edge; a slit when left out. */
  readonly notch?: NotchShape;
  /** Notch depth, mm; held at half the allowance. */
  readonly notchDepth?: number;
  /** Strain that the cloth's cut edge takes without help, as a fraction; picks where curves are clipped. */
  readonly edgeStrain?: number;
  readonly pressing?: Pressing;
  /** Pile height, mm: where there is one the pile in the seam allowance is trimmed back. */
  readonly pileMm?: number;
  /** To which side the cloth of a folded dart is pressed: towards the edge after it, or before it. */
  readonly dartsPressed?: "after" | "before";
}

/** Ways of sewing that have their own usual widths. */
export type Stitch = "lockstitch" | "overlock" | "hand" | "ladder" | "zip" | "glued-butt";

/** Kinds of cloth that have their own usual widths. */
export type Cloth = "woven" | "knit" | "pile" | "foam";

/** The width that one edge was given, and why. */
export interface EdgeWidth {
  readonly edge: string;
  readonly role: EdgeRole;
  /** mm */
  readonly width: number;
  /** `rule` when the caller gave it, else the id of the row of the table of defaults. */
  readonly from: string;
}

/** What was done at one corner. */
export interface CornerResult {
  readonly before: string;
  readonly after: string;
  /** Corner of the sew line. */
  readonly point: Point;
  /** Inner angle of the panel, degrees: below 180 where the corner sticks out. */
  readonly angle: number;
  readonly asked: CornerTreatment;
  /** What was done; `inner` at a corner that turns inward, where the two strips overlap. */
  readonly used: CornerTreatment | "inner" | "none";
  /** Why it is not what was asked. */
  readonly why?: string;
  /** The points that the treatment gave to the cut line, before strips that overlap were joined. */
  readonly points: readonly Point[];
  /** Distance from the corner to the farthest of them over the wider allowance; 1 / sin(angle / 2) for a full mitre. */
  readonly ratio: number;
}

/** A notch, ready to draw and to cut. */
export interface NotchMark {
  readonly edge: string;
  /** mm along the sew line from the first point of the edge. */
  readonly at: number;
  readonly kind: "single" | "double";
  readonly match?: string;
  readonly shape: NotchShape | "tick";
  /** Place on the sew line. */
  readonly sew: Point;
  /** Place on the cut line. */
  readonly cut: Point;
  /** mm */
  readonly depth: number;
  /** Lines to draw or cut, on the cut line; inward unless the shape is `v-out`. */
  readonly strokes: readonly (readonly Point[])[];
}

/** A stretch of a curved edge whose allowance has to be snipped or notched so that it lies flat. */
export interface ClipRun {
  readonly edge: string;
  /** `snip` where the cut edge is shorter than the seam (a hollow), `notch` where it is longer (a bulge). */
  readonly kind: "snip" | "notch";
  /** mm along the edge. */
  readonly from: number;
  readonly to: number;
  /** Smallest radius of the run, mm. */
  readonly radius: number;
  /** Radius under which this width has to be clipped, mm. */
  readonly limit: number;
  /** Turn of the run, degrees. */
  readonly turn: number;
  /** Lines to cut, from the cut line to short of the sew line (snip), or the two sides of a wedge (notch). */
  readonly marks: readonly (readonly Point[])[];
}

/** Allowance from which the pile is trimmed back before sewing. */
export interface TrimStrip {
  readonly edge: string;
  readonly width: number;
  /** Closed outlines of the strip. */
  readonly outlines: readonly (readonly Point[])[];
}

/** A dart that is folded, not cut, with the cut line at its mouth shaped for the fold. */
export interface FoldedDart {
  readonly dart: string;
  /** To which edge its cloth is pressed. */
  readonly pressed: "before" | "after";
  readonly mouth: readonly [Point, Point];
  readonly tip: Point;
  /** Where the fold leaves the cloth. */
  readonly peak: Point;
}

/** A place where the allowances of two stretches run into each other. */
export interface Merge {
  /** Ids of the edges whose allowance meets, in outline order. */
  readonly edges: readonly string[];
  /** Sew line that lies behind the meeting, mm. */
  readonly length: number;
  /** Distance from the deepest of it to the cut line, mm. */
  readonly depth: number;
  readonly point: Point;
}

/** A panel with its allowance. Plain data. */
export interface PanelAllowance {
  /** Id of the panel, when a panel was given. */
  readonly panel?: string;
  /** Closed, counter-clockwise, never crossing or touching itself. */
  readonly cutLine: Point[];
  /** Inner cut lines, clockwise: holes of the panel, and pockets that the allowance closes off. */
  readonly holes: Point[][];
  /** The sew line that it was made for, after repairs. */
  readonly sewLine: Point[];
  readonly widths: EdgeWidth[];
  readonly corners: CornerResult[];
  readonly notches: NotchMark[];
  readonly clips: ClipRun[];
  readonly trimStrips: TrimStrip[];
  readonly foldedDarts: FoldedDart[];
  readonly merges: Merge[];
  /** Repairs and remarks; errors are thrown. */
  readonly issues: Issue[];
}

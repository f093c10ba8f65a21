import type { Issue, WorkOptions } from "@peltry/issues";
import type { Outline, Point, Polyline } from "@peltry/geometry";

/** A line inside a panel along which it may be split; rank 1 shows least. */
export interface HiddenLine {
  readonly points: Polyline;
  readonly rank: number;
}

/** A panel to lay out: its cut line and what the cloth allows. */
export interface LayoutPanel {
  readonly id: string;
  /** What a maker calls it; the id unless given. */
  readonly name?: string;
  /** Cut line, mm, y up, not closed by repetition. */
  readonly outline: Outline;
  /** Fabric id. Without one the panel goes on any piece. */
  readonly fabric?: string;
  /**
   * Allowed turns against the nap, degrees counter-clockwise: pile `[0]` (the default), smooth stretch `[0, 180]`;
   * `"free"` for cloth without a nap: any turn, tried in steps of `rotationStep`, then finer about where it lies.
   */
  readonly rotations?: readonly number[] | "free";
  /** Direction of the nap as drawn, degrees counter-clockwise from +x; 90 (up the page) unless given. */
  readonly napAngle?: number;
  /** How many to cut of each hand, 1 unless given. */
  readonly count?: number;
  /** True when as many mirrored copies are cut as well: the outline mirrored across the nap. */
  readonly mirrored?: boolean;
  /**
   * Half a panel that lies on the fold: the two ends of the fold line. `true` takes the longest side.
   * The panel is opened to the whole and cut single.
   */
  readonly onFold?: readonly [Point, Point] | boolean;
  /** Where it may be split when it fits nowhere. */
  readonly hiddenLines?: readonly HiddenLine[];
  /** Lowest cloth quality that it may lie on. Without one it keeps off every quality zone. */
  readonly minQuality?: number;
  /** Id of the piece that it must be cut from. */
  readonly piece?: string;
}

/** A patch of a piece whose cloth is worse (or better) than the rest. */
export interface QualityZone {
  readonly outline: Outline;
  readonly quality: number;
  /** What is wrong there, for the drawing. */
  readonly name?: string;
}

/** Cloth off the roll. It runs along its nap. */
export interface Roll {
  /** Usable width, mm. */
  readonly width: number;
  /** What there is, mm; as much as needed when not given. */
  readonly maxLength?: number;
  readonly costPerMetre?: number;
}

/** A piece of fabric: an odd piece (`outline`), a rectangle (`width` × `length`) or a roll. */
export interface FabricPiece {
  readonly id: string;
  readonly name?: string;
  /** Fabric id. Without one it takes any panel. */
  readonly fabric?: string;
  readonly outline?: Outline;
  /** mm across the nap. */
  readonly width?: number;
  /** mm along the nap. */
  readonly length?: number;
  readonly holes?: readonly Outline[];
  /** Direction of the nap on the piece, degrees counter-clockwise from +x; 90 (up) for rectangles and rolls. */
  readonly napAngle?: number;
  readonly zones?: readonly QualityZone[];
  readonly roll?: Roll;
  /** Price of touching the piece at all. */
  readonly cost?: number;
}

/** What counts as better. */
export type LayoutObjective = "fewest-pieces" | "least-cost" | "shortest-roll" | "largest-rest";

/** What {@link layOut} works with. */
export interface LayoutOptions extends WorkOptions {
  /** Cloth between two cut lines, mm; 0 unless given. */
  readonly gap?: number;
  /** Cloth between a cut line and the edge of the piece, mm; 0 unless given. */
  readonly edgeGap?: number;
  /** `fewest-pieces` unless given. */
  readonly objective?: LayoutObjective;
  /** Any integer; the same seed and evaluations give the same bytes. */
  readonly seed?: number;
  /** Positions that may be tried: the reproducible budget. */
  readonly evaluations?: number;
  /** Time budget, s; not reproducible. With `evaluations` the first to run out ends the work. */
  readonly seconds?: number;
  /** What `seconds` counts: the wall (default), this process's own CPU time where that is known, or your own clock. */
  readonly clock?: "wall" | "cpu" | (() => number);
  /** Step of free turns, degrees; 15 unless given. */
  readonly rotationStep?: number;
  /** Cloth added on both sides of a proposed split, mm; 10 unless given. */
  readonly splitAllowance?: number;
  /** Width to reckon with when cloth must be bought and no roll of that fabric is listed, mm; 1500 unless given. */
  readonly buyWidth?: number;
}

/** Where one panel lies. */
export interface Placement {
  /** Panel id. */
  readonly panel: string;
  /** Which of its copies, from 1. */
  readonly copy: number;
  /** Piece id. */
  readonly piece: string;
  /** Turn against the nap, degrees: one of the panel's allowed rotations. */
  readonly rotation: number;
  /** Turn of the drawn outline into the piece's coordinates, degrees: rotation + nap of the piece − nap of the panel. */
  readonly turn: number;
  /** The outline was mirrored across the panel's nap first. */
  readonly mirrored: boolean;
  /** Shift after mirroring and turning about the panel's origin, mm. */
  readonly x: number;
  readonly y: number;
  /** The cut line where it lies, piece coordinates, mm, counter-clockwise, on a grid of 0.001 mm. */
  readonly outline: Point[];
}

/** Part of a split proposal. */
export interface SplitPart {
  readonly outline: Point[];
  /** Pieces on which it fits by itself. */
  readonly pieces: string[];
}

/** One way to split a panel so that its parts fit singly. */
export interface SplitProposal {
  /** Lines in the panel's own coordinates. */
  readonly lines: {
    readonly points: Point[];
    readonly rank?: number;
    readonly kind: "hidden" | "along-nap" | "across-nap";
  }[];
  readonly parts: SplitPart[];
  /** Every part fits some piece by itself. */
  readonly fits: boolean;
  /** Added seam length, mm. */
  readonly seamLength: number;
}

/** Why a panel was left out. */
export type UnplacedCode =
  | "layout/too-wide"
  | "layout/too-long"
  | "layout/too-big"
  | "layout/against-nap"
  | "layout/off-nap"
  | "layout/bad-cloth"
  | "layout/no-room"
  | "layout/no-piece";

/** A panel that found no place, and why. */
export interface UnplacedPanel {
  readonly panel: string;
  readonly copy: number;
  readonly mirrored: boolean;
  readonly code: UnplacedCode;
  readonly reason: string;
  /** Largest scale at which it fits some piece by itself; 1 or more when only room is short. */
  readonly maxScale: number;
  /** Turns off its nap at which it would fit, degrees. */
  readonly fitsOffNap: number[];
  readonly splits: SplitProposal[];
}

/** The largest empty rectangle of a piece with sides along and across the nap. */
export interface Rest {
  readonly piece: string;
  /** Across the nap, mm. */
  readonly width: number;
  /** Along the nap, mm. */
  readonly length: number;
  readonly area: number;
  readonly corners: Point[];
}

/** Cloth to buy for the panels left out. */
export interface ClothToBuy {
  readonly fabric?: string;
  /** mm. */
  readonly width: number;
  /** mm, rounded up to 10. */
  readonly length: number;
  readonly cost?: number;
  readonly panels: string[];
  /** True when the panels were laid on that width, false when even a roll of it is too narrow. */
  readonly fits: boolean;
}

/** One piece as a printable drawing. */
export interface LayoutDrawing {
  readonly piece: string;
  readonly svg: string;
}

/** What {@link layOut} gives. Plain data. */
export interface Layout {
  readonly placements: Placement[];
  readonly unplaced: UnplacedPanel[];
  /** Length used of each roll by piece id, mm. */
  readonly usedLengths: Record<string, number>;
  /** Length used of all rolls, mm. */
  readonly usedLength: number;
  /** Cloth taken: whole odd pieces that are touched, and the used length of rolls; mm². */
  readonly usedArea: number;
  /** Area of the panels placed, mm². */
  readonly panelArea: number;
  /** Panel area over used area. */
  readonly density: number;
  readonly piecesTouched: string[];
  readonly cost: number;
  readonly rests: Rest[];
  readonly largestRest?: Rest;
  readonly toBuy: ClothToBuy[];
  readonly drawings: LayoutDrawing[];
  readonly issues: Issue[];
  /** Positions tried. */
  readonly evaluations: number;
  /** True when a signal ended the work: this is the best so far. */
  readonly cancelled: boolean;
}

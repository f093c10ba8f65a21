import type { FlatPanel, SeamLengths } from "@peltry/flatten";
import type { Point3, SurfacePoint, TriangleMesh } from "@peltry/geometry";
import type { Issue, WorkOptions } from "@peltry/issues";
import type { FabricBehaviour, StrainRange } from "@peltry/pattern";
import type { Patch, PatchSeam } from "./cut-into-patches";

/** What the plan needs to know about the fabric of a region. */
export interface SeamFabric {
  readonly name?: string | undefined;
  /** Limits along and across the grain, and of shear. */
  readonly behaviour?: FabricBehaviour | undefined;
  /** Limit in every direction, for cloth without a grain. */
  readonly anyDirection?: StrainRange | undefined;
  /** Factor on the cost of a mm of seam; 1 by default, more for cloth that is slow to sew. */
  readonly sewingCost?: number | undefined;
  /** Usable width of the cloth across the pile, mm; wider panels are split, evenly or where a seam is cheap. */
  readonly widthMm?: number | undefined;
  /** How far the pile may stray from straight down the panel, degrees, for 95 % of its area. */
  readonly maxPileAngle?: number | undefined;
}

/** A part of the form, by triangles, by a ball, or both (either counts). */
export interface SeamZone {
  readonly triangles?: ArrayLike<number> | undefined;
  readonly centre?: Point3 | undefined;
  /** mm. */
  readonly radius?: number | undefined;
  /** Factor on the cost inside: below 1 favours. Forbidden zones do not use it; 0.5 for favoured ones. */
  readonly factor?: number | undefined;
}

/** A cost of one mm of seam: one number, one a triangle, one a vertex, or asked at each triangle's middle. */
export type CostField = number | ArrayLike<number> | ((point: Point3, triangle: number) => number);

/** What seams cost. */
export interface SeamCost {
  /** Cost of a mm where it is seen; 1 by default, Infinity forbids. */
  readonly visibility?: CostField | undefined;
  /** Factor on a seam that runs along the pile, and on one across it; between them by direction. 1 by default. */
  readonly alongPile?: number | undefined;
  readonly acrossPile?: number | undefined;
  /** Price of a dart beside its length, and of a through seam, in mm of plain seam; 15 each by default. */
  readonly perDart?: number | undefined;
  readonly perSeam?: number | undefined;
}

/** Limits of what a person can sew well. Judgement, to be confirmed by makers; no source. */
export interface SewabilityRules {
  /** Shortest dart, mm. */
  readonly minDartLength: number;
  /** Narrowest dart at its mouth, mm; what is narrower is eased in. */
  readonly minDartWidth: number;
  /** Widest dart, degrees between its legs; wider ones are reported: sew them as seams. */
  readonly maxDartAngle: number;
  /** Smallest area of a panel, mm². */
  readonly minPanelArea: number;
  /** Narrowest neck of a panel, mm; narrower ones are reported, and under three tenths of it never suggested. */
  readonly minNeck: number;
  /** Smallest angle between a seam and the edge or seam that it meets, degrees. */
  readonly minJunctionAngle: number;
  /** Most seams that meet at one point. */
  readonly maxSeamsAtPoint: number;
  /**
   * The same in the plane of symmetry, where a cut and its image begin opposite each other: each is sewn on its half before
   * the seam between them. `maxSeamsAtPoint` when only that is set.
   */
  readonly maxSeamsOnPlane: number;
  /** Smallest radius of a bend in a seam, mm. */
  readonly minSeamRadius: number;
  /** Shortest arc of a seam or edge between two places where seams meet, mm. */
  readonly minArcLength: number;
}

/** A line to be sewn that the person has drawn: vertices, each joined to the next by a mesh edge. */
export interface GivenSeam {
  readonly id?: string | undefined;
  readonly path: readonly number[];
  readonly closed?: boolean | undefined;
}

/**
 * What the person says to a suggestion. Plain data for a project file: the place is kept as points in space, so that it
 * means the same when the plan is made again.
 */
export interface SeamDecision {
  /** `accept` and `lock` keep the cut as it is; `reject` bars a tube round it; `nudge` moves its end to `to`. */
  readonly action: "accept" | "lock" | "reject" | "nudge";
  readonly kind: SeamKind;
  /** The cut as points in space, mm. Darts run from the edge to the tip. */
  readonly line: readonly Point3[];
  /**
   * Radius of the barred tube, mm; by default half the length of the cut, 10 to 40, or narrower, down to 10, where no plan
   * keeps the limits otherwise.
   */
  readonly radius?: number | undefined;
  /** New place of the end of a nudged cut. */
  readonly to?: Point3 | undefined;
  /** Which end moves: the edge end (`root`) or the other (`tip`); `root` by default. */
  readonly end?: "root" | "tip" | undefined;
  /**
   * What else that plan suggested. The next plan begins with it, so that it comes quickly and leaves alone what nobody
   * complained of; without it, or where that leads nowhere, the search begins anew. Of several decisions the last one counts.
   */
  readonly rest?: readonly StandingCut[] | undefined;
}

/** A suggestion of a plan that nobody has decided about. Plain data, as {@link SeamDecision}. */
export interface StandingCut {
  readonly kind: SeamKind;
  /** Points in space, mm: one line, or two that belong together. */
  readonly lines: readonly (readonly Point3[])[];
}

/** Options of {@link planSeams}. */
export interface PlanOptions extends WorkOptions {
  /** Region index, one a triangle; all 0 by default. */
  readonly regions?: ArrayLike<number> | undefined;
  /** Fabrics by region index. */
  readonly fabrics?: readonly SeamFabric[] | undefined;
  /** Short way to say: strain within ± this fraction in every direction, for regions whose fabric says nothing. */
  readonly limit?: number | undefined;
  /** Lines that are seams anyway. */
  readonly fixed?: readonly (GivenSeam | readonly number[])[] | undefined;
  readonly forbidden?: readonly SeamZone[] | undefined;
  readonly favoured?: readonly SeamZone[] | undefined;
  readonly cost?: SeamCost | CostField | undefined;
  /**
   * Plane of symmetry: cuts come in mirror pairs (see `partner`), or are their own image, and a tube is opened in the plane. The
   * form must be its own image as a surface, within 0.15 edges of the search's mesh (some mm), with its regions and given
   * lines; its triangles need not be. What is barred on one side is barred on both. Where a side differs, the plan is made as
   * without symmetry, and the note `seams/symmetry-not-kept` says where.
   */
  readonly symmetry?: { readonly point: Point3; readonly normal: Point3 } | undefined;
  /** Way the pile lies: one direction for all, or x, y, z a triangle. Down, (0, −1, 0), by default. */
  readonly pile?: Point3 | Float64Array | undefined;
  readonly decisions?: readonly SeamDecision[] | undefined;
  readonly rules?: Partial<SewabilityRules> | undefined;
  /** `quick` keeps the first plan found, `thorough` tries more starts; `normal` by default. */
  readonly effort?: "quick" | "normal" | "thorough" | undefined;
  /** The search works on at most about this many triangles; 2000 to 3000 by default, more the more the form bends for its cloth. */
  readonly searchTriangles?: number | undefined;
}

/**
 * What an arc is. `given`: drawn by the person; `border`: between two regions; `opening`: needed to lay a tube or a
 * closed form flat at all; `seam`: from edge to edge; `dart`: ends inside; `fold`: from edge to edge in the plane of symmetry;
 * `gusset`: one side of a let-in wedge; `width`: because the cloth is not wide enough.
 */
export type SeamKind = "given" | "border" | "opening" | "seam" | "dart" | "fold" | "gusset" | "width";

/** One line of the seam plan. */
export interface SeamArc {
  readonly id: string;
  readonly kind: SeamKind;
  readonly origin: "person" | "form" | "suggestion";
  readonly state: "proposed" | "accepted" | "locked";
  /** Why it is there, in plain words. */
  readonly reason: string;
  /** mm. */
  readonly length: number;
  /** Weighted length, and with the fixed price of its kind; 0 for lines that are free. */
  readonly cost: number;
  readonly price: number;
  /** Largest share of a fabric's limit in use just before it was added, and after: 1 is the limit. */
  readonly strainBefore: number;
  readonly strainAfter: number;
  /** Vertices of the refined mesh. Darts run from the edge to the tip. */
  readonly path: readonly number[];
  readonly closed: boolean;
  /** The same as points in space, mm: what a decision keeps. */
  readonly line: readonly Point3[];
  /** The arc that mirrors it; none for one that is its own image. */
  readonly partner?: string | undefined;
  /** Darts: width of the mouth in the flat, mm, its angle, degrees, and the difference of its legs, mm. */
  readonly dart?:
    { readonly mouth: number; readonly angle: number; readonly legDifference: number } | undefined;
}

/** One panel of the plan, laid flat. */
export interface PlanPanel {
  readonly id: string;
  readonly region: number;
  /** Triangles of the refined mesh. */
  readonly triangles: Uint32Array;
  readonly patch: Patch;
  readonly flat: FlatPanel;
  /** Largest share of the fabric's limit in use, averaged over about 10 mm; share of the area over it by more than 5 %. */
  readonly use: {
    readonly peak: number;
    readonly overArea: number;
    readonly p50: number;
    readonly p95: number;
  };
  readonly widthMm: number;
  readonly lengthMm: number;
}

/** One point of the strain-against-length curve. */
export interface PlanCurvePoint {
  readonly cuts: number;
  /** Length and weighted cost of the suggested cuts so far, mm. */
  readonly length: number;
  readonly cost: number;
  /** Largest share of a fabric's limit in use: 1 is the limit. */
  readonly worst: number;
  readonly withinLimits: boolean;
}

/** What {@link planSeams} gives. Plain, cloneable data. */
export interface SeamPlan {
  /** The form with the cuts as mesh edges. */
  readonly mesh: TriangleMesh;
  /** Triangle of the given mesh for each triangle, and place on it for each vertex. */
  readonly sourceTriangle: Uint32Array;
  readonly sourcePoint: readonly SurfacePoint[];
  readonly regions: Int32Array;
  readonly arcs: readonly SeamArc[];
  readonly panels: readonly PlanPanel[];
  /** Pairs of panel edges that are sewn together, with their flat lengths. */
  readonly seams: readonly (PatchSeam & { readonly lengths: SeamLengths })[];
  readonly totals: {
    /** mm by kind. */
    readonly length: Readonly<Record<SeamKind, number>>;
    readonly count: Readonly<Record<SeamKind, number>>;
    /** Suggested cuts only. */
    readonly suggestedLength: number;
    readonly suggestedCost: number;
    readonly suggestedPrice: number;
  };
  readonly curve: readonly PlanCurvePoint[];
  readonly noExtraSeamsNeeded: boolean;
  /** Every panel is without flips and overlaps and inside its fabric's limits. */
  readonly withinLimits: boolean;
  /** False when the work was cancelled: then this is the best so far. */
  readonly complete: boolean;
  readonly issues: readonly Issue[];
}

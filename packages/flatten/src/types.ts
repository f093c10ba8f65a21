import type { Point, Point3, TriangleMesh } from "@peltry/geometry";
import type { Issue, WorkOptions } from "@peltry/issues";
import type { FabricBehaviour, StrainRange } from "@peltry/pattern";

/**
 * How a panel is shaped.
 * - `shape-preserving`: every triangle as near to its own size and shape as the whole allows (ARAP)
 * - `flip-free`: symmetric Dirichlet energy, which weighs shrinking and growing alike and is infinite at a flip
 * - `strain-limited`: stay inside the fabric's box of strain along, across and shear; the worst strain counts
 */
export type FlattenMode = "shape-preserving" | "flip-free" | "strain-limited";

/** Something an edge path or some vertices must keep to. Paths are vertex indices that follow mesh edges. */
export type FlattenConstraint =
  /** The path lies on one straight line, wherever that line ends up. */
  | { readonly kind: "straight"; readonly path: readonly number[] }
  /** Every edge of the path keeps its length in space. */
  | { readonly kind: "true-length"; readonly path: readonly number[] }
  /** The path is the fold of a mirrored panel: it lies on x = 0, the panel on one side of it. At most one. */
  | { readonly kind: "fold"; readonly path: readonly number[] }
  /** The vertices stay at the given places. The panel is then not turned to its grain. */
  | { readonly kind: "fixed"; readonly vertices: readonly number[]; readonly at: readonly Point[] };

/** What {@link flatten} takes beside the mesh. All optional. */
export interface FlattenOptions extends WorkOptions {
  /** What the cloth can do. Given one, the mode is `strain-limited` unless said otherwise. */
  readonly fabric?: FabricBehaviour | undefined;
  /** Limit on the stretch in every direction, for a cloth without a grain; used with or without `fabric`. */
  readonly anyDirection?: StrainRange | undefined;
  readonly mode?: FlattenMode | undefined;
  /**
   * Way the pile lies on the body: one direction for all, or x, y, z for each triangle. Only its part in the surface
   * counts. Down the body, (0, −1, 0), when not given.
   */
  readonly pile?: Point3 | Float64Array | undefined;
  /** Where the pile ends up in the panel, degrees counter-clockwise from +x; −90, down the page, by default. */
  readonly pileAngle?: number | undefined;
  /** Stretch that every part should have when worn, for negative ease: 0.1 makes the panel a tenth too small. */
  readonly targetStretch?: { readonly along?: number; readonly across?: number } | undefined;
  /** How strongly outline edges are pulled to their length in space; 0, not at all, by default. 1 is as strong as the cloth. */
  readonly edgeLengthWeight?: number | undefined;
  readonly constraints?: readonly FlattenConstraint[] | undefined;
  /** Several border loops: refuse them, or keep the longest as the outline and the others as inner outlines. */
  readonly holes?: "refuse" | "keep" | undefined;
  /** Stop when an iteration lowers the energy by less than this fraction; 1e−5 by default, 3e−4 for `strain-limited`. */
  readonly tolerance?: number | undefined;
  /** Cap on iterations of the shaping stage; 200 by default, 400 for `strain-limited`. */
  readonly maxIterations?: number | undefined;
  /** Start from these x, y (for instance an earlier result) instead of making a start. */
  readonly from?: Float64Array | undefined;
}

/** What {@link flattenPlain} takes beside the mesh. All optional. */
export interface PlainOptions extends Pick<
  FlattenOptions,
  "pile" | "pileAngle" | "targetStretch" | "tolerance" | "maxIterations" | "from" | "signal" | "onProgress"
> {
  readonly mode?: Exclude<FlattenMode, "strain-limited"> | undefined;
}

/** Strain of each triangle, worn length over flat length, minus one. */
export interface PanelStrain {
  /** Along the grain (the pile line) and across it, in the flat. */
  readonly along: Float64Array;
  readonly across: Float64Array;
  /** Change of the right angle between them, radians; positive when it closes. */
  readonly shear: Float64Array;
  /** Largest and smallest over all directions. */
  readonly major: Float64Array;
  readonly minor: Float64Array;
}

/** What can be checked about a panel without trusting how it was made. */
export interface FlatCheck {
  /** Triangles that are turned over or have no area, by exact predicates. */
  readonly flips: number;
  /** Pairs of outline sides that cross or touch, by exact predicates. */
  readonly overlaps: number;
  readonly flippedTriangles: readonly number[];
  /** Vertex quadruples a, b, c, d: side a–b meets side c–d. */
  readonly crossings: readonly (readonly [number, number, number, number])[];
}

/** The certificate of a panel. */
export interface FlatCertificate {
  readonly flips: number;
  readonly overlaps: number;
  /** Largest |strain| in any direction over all triangles that have area. */
  readonly maxStrain: number;
  /** |strain| in the worst direction that 95 % (or 50 %) of the area stays below. */
  readonly p95Strain: number;
  readonly p50Strain: number;
  /** As `p95Strain`, but of flat length over worn length, the measure usual in the literature on parameterisation. */
  readonly p95Distortion: number;
  /** Flat area over area in space. */
  readonly areaRatio: number;
  /** Flat outline length over outline length in space. */
  readonly outlineRatio: number;
  /** Largest difference between the two sides of a seam, mm; 0 without seams. */
  readonly seamMismatch: number;
  /** Mean energy of the mode per area (see the mode's source). */
  readonly energy: number;
  /** Share of the area that is beyond the fabric's limits, and by how much at worst; 0 without a fabric. */
  readonly overLimitArea: number;
  readonly overLimit: number;
  readonly converged: boolean;
  readonly iterations: number;
  /** Which start led to the result. */
  readonly start: "given" | "isometric-outline" | "convex-outline";
  /** ∫K over the inside, radians: what no flat panel can follow without strain. */
  readonly totalCurvature: number;
}

/** How far the pile strays from its wanted direction in the flat, degrees, by area. */
export interface PanelGrain {
  /** Wanted direction, degrees counter-clockwise from +x. */
  readonly angle: number;
  readonly p50: number;
  readonly p95: number;
  readonly max: number;
}

/** A flat panel. Plain, cloneable data. */
export interface FlatPanel {
  /** x, y of each vertex of the mesh, mm, y up. */
  readonly positions: Float64Array;
  readonly strain: PanelStrain;
  readonly certificate: FlatCertificate;
  readonly grain: PanelGrain;
  /** Border loops as vertex indices, the outline first (counter-clockwise), inner outlines after it (clockwise). */
  readonly loops: readonly (readonly number[])[];
  readonly mode: FlattenMode;
  /** What a person should know: limits not met, hard shapes, mended triangles. */
  readonly issues: readonly Issue[];
}

/** One patch of {@link flattenTogether}. */
export interface FlattenPatch extends Pick<
  FlattenOptions,
  | "fabric"
  | "anyDirection"
  | "mode"
  | "pile"
  | "pileAngle"
  | "targetStretch"
  | "edgeLengthWeight"
  | "constraints"
  | "holes"
  | "from"
> {
  readonly id: string;
  readonly mesh: TriangleMesh;
}

/** One side of a seam to be sewn: a path of vertices along the border of a patch. */
export interface SeamSide {
  readonly patch: string;
  readonly path: readonly number[];
}

/** Two paths sewn together: `a.path[i]` meets `b.path[i]`. */
export interface SeamPair {
  readonly id: string;
  readonly a: SeamSide;
  readonly b: SeamSide;
}

/** Lengths of the two sides of a seam in the flat, mm. */
export interface SeamLengths {
  readonly id: string;
  readonly lengthA: number;
  readonly lengthB: number;
  /** |lengthA − lengthB|. */
  readonly mismatch: number;
  /** Largest difference between the two sides measured from their start to any vertex, mm: how far a notch may be off. */
  readonly worstAlong: number;
}

/** Options of {@link flattenTogether}. */
export interface FlattenTogetherOptions
  extends Pick<FlattenOptions, "tolerance" | "maxIterations">, WorkOptions {
  /** Largest allowed difference between the sides of a seam, mm; 0.2 by default. */
  readonly seamTolerance?: number | undefined;
  /** How strongly seams pull before they are made exact; 5 by default. */
  readonly seamWeight?: number | undefined;
}

/** What {@link flattenTogether} gives. */
export interface FlatPanels {
  /** In the order of the patches. */
  readonly panels: readonly (FlatPanel & { readonly id: string })[];
  /** In the order of the seams. */
  readonly seams: readonly SeamLengths[];
  readonly issues: readonly Issue[];
}

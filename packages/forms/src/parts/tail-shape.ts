import type { Point3 } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Panel } from "@peltry/pattern";
import type { Join, MadePart } from "./made-part";
import type { Stated } from "./material-densities";
import { partNumber } from "./number";
import type { Sweep } from "./sweep";
import type { WornPiece } from "./worn-piece";

/** Shape, size and filling of a tail. Lengths in mm. */
export interface TailOptions {
  readonly name?: string | undefined;
  /** `cone`: one straight cone; `curved`: a tapered tube with a bend, of two sides; `puff`: a ball of gores. */
  readonly style?: "cone" | "curved" | "puff" | undefined;
  /** From base to tip along the side of a cone or the middle of a curved tail; diameter of a puff, mm. */
  readonly length: number;
  /** Girth of the base, mm. For a cone `circleFraction` may stand in its place: a third of a circle is 1/3. */
  readonly baseGirth?: number | undefined;
  readonly circleFraction?: number | undefined;
  /** Curved: girth at the tip, mm; 40 by default. And where it is fullest: girth there, at a share of the length. */
  readonly tipGirth?: number | undefined;
  readonly fullest?: { readonly at: number; readonly girth: number } | undefined;
  /** Curved: how far it turns up from base to the middle and from there to the tip, degrees; 60 and 0 by default. */
  readonly bendDeg?: readonly [number, number] | undefined;
  /** Share of a cone's girth that is cut from a second cloth below; 0 by default. */
  readonly underside?: { readonly share: number; readonly fabric: string } | undefined;
  /** Gores of a puff; 6 by default. */
  readonly gores?: number | undefined;
  readonly fabric?: string | undefined;
  readonly fabricGsm?: Stated | undefined;
  readonly stuffingKgPerM3?: Stated | undefined;
  /** Core wire through the length, mm diameter, and its metal. */
  readonly wire?: { readonly diameterMm: number; readonly metal: "steel" | "aluminium" } | undefined;
  /** Opening left in a seam for stuffing, mm; 120 by default, less on small tails. */
  readonly stuffingOpening?: number | undefined;
  /** Band that carries it: girth where it is worn, finished width, and overlap at its opening, mm. */
  readonly band?: { readonly girth: number; readonly width?: number; readonly overlap?: number } | undefined;
}

/** A tail with its figures. */
export interface MadeTail extends MadePart {
  /** mm³. */
  readonly stuffingVolume: number;
  /** Most that a cloth side has to stretch between its seams, as a fraction; 0 where the shape unrolls. */
  readonly sideStrain: number;
  /** Turning moment of the hanging tail about its base, N cm: what the band has to hold. */
  readonly baseMomentNcm: number;
}

/** What a style of tail comes to before it is weighed. */
export interface TailShape {
  readonly panels: readonly Panel[];
  readonly joins: readonly Join[];
  readonly sweep: Sweep;
  readonly volume: number;
  readonly skin: number;
  readonly centre: Point3;
  readonly skinCentre: Point3;
  readonly radius: number;
  /** Most that a side has to stretch between its seams. */
  readonly strain: number;
  readonly worn: readonly WornPiece[];
  readonly issues?: readonly Issue[];
}

export const LATER = "Leave open to turn and stuff, then close by hand with a ladder stitch.";

/** Joins of two sides that are parted at the stuffing opening. */
export function sideJoins(
  a: readonly [string, string],
  b: readonly [string, string],
  opening: boolean,
): Join[] {
  return ["low", "open", "high"].map((part): Join => ({
    a: [a[0], `${a[1]}-${part}`],
    b: [b[0], `${b[1]}-${part}`],
    ...(opening && part === "open" ? { note: LATER, hand: true } : {}),
  }));
}

/** Shares of the side, from the tip, between which the seam is left open to stuff. */
export function openingShare(options: TailOptions, side: number): [number, number] {
  const open = Math.min(partNumber(options.stuffingOpening ?? 120, "stuffingOpening", 20, 1000), 0.4 * side);
  const low = 0.85;
  return [low - open / side, low];
}

/** Values of a function at even steps from 0 to 1. */
export function line<T>(count: number, of: (t: number) => T): T[] {
  return Array.from({ length: count }, (_, k) => of(k / (count - 1)));
}

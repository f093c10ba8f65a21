import { middleOf, resolveValue } from "../query/resolve-value";
import type { MaterialEntry } from "../entry/types";
import { heatLimits, type Side } from "./heat-limit";
import { RATINGS, worseRating, type GlueCell, type Rating } from "./glue-table";

/** What a gate does to a rating: never better than `worst`, or one rank down; and the code that says why. */
export interface GateResult {
  readonly gate: "heat" | "flex" | "stretch" | "surface-energy" | "plasticiser" | "load";
  readonly code: string;
  readonly rating: Rating;
}

/** What the gates look at on one side of a joint. */
export interface GateFace {
  readonly entry?: MaterialEntry | undefined;
  readonly side: Side;
  readonly thicknessMm?: number | undefined;
  readonly primed?: boolean | undefined;
}

/** Hot work begins here, °C; below it no adhesive is applied hot. */
const HOT = 60;
/** Foam this thin is heated through, mm. */
const THIN_FOAM = 3;
/** Surfaces below this are hard to wet, mN/m. */
export const LOW_SURFACE_ENERGY = 35;
/** Glues that plasticised vinyl tolerates for a while; everything else softens. */
const PLASTICISER_TOLERANT = ["tape-acrylic", "cyanoacrylate-tough", "polyurethane-glue"];
const HEAT_CODES = ["HEAT", "HEAT_TEST", "MELTSOFT"];

/**
 * The adhesive is applied hotter than the surface tolerates. The glue table has weighed heat for the general entry of each
 * row, and wherever a cell speaks of heat; there only thin foam makes it worse. This gate is for what the table cannot
 * know: the particular fibre or polymer.
 */
export function heatGate(
  adhesive: MaterialEntry | undefined,
  face: GateFace,
  cell: GlueCell | undefined,
): GateResult | undefined {
  const applied = adhesive && resolveValue(adhesive, "applicationTemperature");
  if (!applied || applied.min < HOT || !face.entry) return undefined;
  // The gun on its lowest setting: that is what the cautions ask for.
  const lowest = applied.min;
  const limits = heatLimits(face.entry, face.side);
  const foam = resolveValue(face.entry, "polymerSoftening");
  const thickness = face.thicknessMm ?? resolveValue(face.entry, "thickness")?.max;
  const isFoam = face.entry.family.startsWith("foam-");
  const over = limits.find(({ value }) => lowest >= value);
  if (isFoam && thickness !== undefined && thickness <= THIN_FOAM && (over || (foam && lowest >= foam.min)))
    return { gate: "heat", code: "HEAT", rating: "damages" };
  const weighed =
    cell && (cell.substrate === face.entry.id || cell.reasonCodes.some((code) => HEAT_CODES.includes(code)));
  if (weighed) return undefined;
  if (limits.some((limit) => limit.softens && lowest >= limit.value + 20))
    return { gate: "heat", code: "HEAT", rating: "damages" };
  if (over || (foam && lowest >= foam.min))
    return { gate: "heat", code: "HEAT_TEST", rating: "workable-with-care" };
  return undefined;
}

/** A joint that flexes: stiff and brittle glue drops one rank. */
export function flexGate(cell: GlueCell | undefined): GateResult | undefined {
  const code = cell?.reasonCodes.find((one) => one === "STIFF" || one === "BRITTLE");
  if (!code || !cell) return undefined;
  return { gate: "flex", code, rating: dropRank(cell.rating) };
}

/** A joint that must go on stretching: a locking film works only as dots. */
export function stretchGate(cell: GlueCell | undefined): GateResult | undefined {
  if (!cell?.reasonCodes.includes("LOCK")) return undefined;
  return { gate: "stretch", code: "DOTS", rating: worseRating(cell.rating, "workable-with-care") };
}

/** True when a surface energy, mN/m, is in the class that few adhesives wet without a primer. */
export function isLowSurfaceEnergy(energy: number): boolean {
  return energy < LOW_SURFACE_ENERGY;
}

/** A waxy surface without a primer is never better than workable. */
export function surfaceEnergyGate(face: GateFace): GateResult | undefined {
  if (face.primed === true || !face.entry || face.entry.plasticised === true) return undefined;
  const energy = resolveValue(face.entry, "surfaceEnergy");
  if (!energy || !isLowSurfaceEnergy(middleOf(energy.picked))) return undefined;
  return { gate: "surface-energy", code: "LSE", rating: "workable-with-care" };
}

/** Plasticiser creeps out of vinyl into the glue line. */
export function plasticiserGate(adhesive: string, face: GateFace): GateResult | undefined {
  if (face.entry?.plasticised !== true) return undefined;
  const rating = PLASTICISER_TOLERANT.includes(adhesive) ? "workable-with-care" : "avoid";
  return { gate: "plasticiser", code: "PLAST", rating };
}

/** One rank worse, down to `avoid`: bending a joint breaks it, it does not ruin the material. */
export function dropRank(rating: Rating): Rating {
  if (rating === "recommended") return "workable-with-care";
  return RATINGS.indexOf(rating) < RATINGS.indexOf("avoid") ? "avoid" : rating;
}

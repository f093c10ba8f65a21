import { fail, type Issue } from "@peltry/issues";
import type { MaterialEntry } from "../entry/types";
import { entryOf } from "./catalogue";
import { requireWithin } from "./require";
import { resolveValue } from "./resolve-value";

/** Thermal resistance of one clo, m²·K/W. @source ISO 9920 */
export const CLO = 0.155;
/** Thermal resistance of one tog, m²·K/W; a tog is 0.645 clo. @source definition of the tog, BS 4745 (from memory) */
export const TOG = 0.1;

/** Thickness of cloth that gives one clo with the air that it holds: m²·K/W per mm of cloth plus air layer. */
const PER_MM = CLO / 11.5;

/** A figure with its spread, and where it comes from. */
export interface Estimate {
  readonly value: number;
  readonly min: number;
  readonly max: number;
  readonly basis: "figure" | "computed" | "from-memory";
  readonly source: string;
}

/** Mass and warmth of a piece of material. */
export interface MassAndWarmth {
  /** g; undefined when unknown. */
  readonly massG?: Estimate;
  /** Thermal resistance, m²·K/W, lying dry and loose; undefined when unknown. */
  readonly insulation?: Estimate;
  /** The same in clo. */
  readonly clo?: number;
  readonly issues: readonly Issue[];
}

/** Size of the piece. */
export interface PieceSize {
  /** m². */
  readonly areaM2: number;
  /** mm; for foams and fillings, and for the warmth of anything. */
  readonly thicknessMm?: number;
}

/**
 * How heavy and how warm a piece is.
 *
 * Mass from mass per area, else from density and thickness. Warmth from a measured resistance, else from conductivity and
 * thickness, else about 1 clo for every 11.5 mm of cloth with its air. Pressed, wet or in wind it is less.
 *
 * @throws `materials/unknown-material`, `materials/bad-measure`
 * @source R = d/λ; American Meteorological Society, Glossary of Meteorology, "clo": 0.64 cm of cloth and 0.51 cm of air
 */
export function massAndWarmth(piece: MaterialEntry | string, size: PieceSize): MassAndWarmth {
  const entry = entryOf(piece);
  const area = requireWithin("areaM2", size.areaM2, 0, 1000);
  const given =
    size.thicknessMm === undefined ? undefined : requireWithin("thicknessMm", size.thicknessMm, 0.001, 1000);
  const thickness = given ?? resolveValue(entry, "thickness")?.value;
  const massG = massOf(entry, area, thickness);
  const insulation = insulationOf(entry, thickness);
  const issues: Issue[] = [];
  const say = (code: string, message: string, fix: string) =>
    issues.push({ code, severity: "warning", message, at: { material: entry.id }, fix });
  if (!massG)
    say(
      "materials/mass-unknown",
      `${entry.name}: its mass is unknown.`,
      "Weigh a square of 20 cm and multiply by 25.",
    );
  if (massG?.basis === "from-memory")
    say(
      "materials/mass-from-memory",
      `${entry.name}: its mass is from memory.`,
      "Weigh a square of 20 cm and multiply by 25.",
    );
  if (!insulation)
    say(
      "materials/warmth-unknown",
      `${entry.name}: its warmth is unknown.`,
      "Give thicknessMm for a first estimate.",
    );
  return {
    ...(massG ? { massG } : {}),
    ...(insulation ? { insulation, clo: insulation.value / CLO } : {}),
    issues,
  };
}

function massOf(entry: MaterialEntry, area: number, thickness: number | undefined): Estimate | undefined {
  const perArea = resolveValue(entry, "massPerArea");
  const density = resolveValue(entry, "density");
  const found = perArea ?? (thickness === undefined ? undefined : density);
  if (!found) return undefined;
  // kg/m³ × mm is g/m².
  const factor = perArea ? area : area * thickness!;
  return {
    value: found.value * factor,
    min: found.min * factor,
    max: found.max * factor,
    basis: found.grade === "M" ? "from-memory" : perArea ? "figure" : "computed",
    source: found.picked.source,
  };
}

function insulationOf(entry: MaterialEntry, thickness: number | undefined): Estimate | undefined {
  const measured = resolveValue(entry, "insulation");
  if (measured)
    return {
      value: measured.value,
      min: measured.min,
      max: measured.max,
      basis: "figure",
      source: measured.picked.source,
    };
  if (thickness === undefined) return undefined;
  const conductivity = resolveValue(entry, "thermalConductivity");
  if (conductivity) {
    const metres = thickness / 1000;
    return {
      value: metres / conductivity.value,
      min: metres / conductivity.max,
      max: metres / conductivity.min,
      basis: "computed",
      source: conductivity.picked.source,
    };
  }
  const value = thickness * PER_MM;
  // Twice as much is quoted for dry loose pile that nothing presses; half is left when it is pressed.
  return { value, min: value / 2, max: value * 1.8, basis: "computed", source: "ams-clo" };
}

/**
 * Intrinsic insulation of clothes worn together, clo.
 *
 * @param garments insulation of each garment, clo
 * @throws `materials/bad-measure` for a garment outside 0 to 5 clo
 * @source ISO 9920, summation Icl = 0.835 ΣIclu + 0.161, as implemented in open-source thermal comfort code
 */
export function ensembleInsulation(garments: readonly number[]): number {
  if (garments.length === 0) return 0;
  const sum = garments.reduce(
    (total, clo, index) => total + requireWithin(`garments.${index}`, clo, 0, 5),
    0,
  );
  return 0.835 * sum + 0.161;
}

/** Share by which clothes enlarge the outer surface of a body: fcl = 1 + 0.28 Icl. @source ISO 9920, for 0.2 to 1.7 clo */
export function clothingAreaFactor(icl: number): number {
  return 1 + 0.28 * icl;
}

/** Insulation with the still air around it, clo: Icl + 0.7 / fcl. @source ISO 9920 */
export function totalInsulation(icl: number): number {
  return icl + 0.7 / clothingAreaFactor(icl);
}

/** How an insulation reads in words; above 1.7 clo the equations no longer speak of it. */
export function insulationBand(icl: number): "light" | "indoor" | "warm" | "outside the equations" {
  if (icl < 0.6) return "light";
  if (icl <= 1) return "indoor";
  return icl <= 1.7 ? "warm" : "outside the equations";
}

/**
 * Refuses clothes that the predicted heat strain model does not cover. Pile suits lie outside: no minutes are computed here.
 *
 * @throws `materials/outside-heat-model` outside 0.1 to 1 clo
 * @source ISO 7933 Annex A, as quoted in open-source thermal comfort code
 */
export function requireHeatModelRange(icl: number): number {
  if (icl >= 0.1 && icl <= 1) return icl;
  return fail(
    "materials/outside-heat-model",
    `Clothes of ${icl} clo lie outside the heat strain model.`,
    {},
    {
      found: icl,
      limit: "0.1 to 1 clo",
      fix: "Plan by signs, helpers and short turns, not by computed minutes.",
      source: "ISO 7933 Annex A",
    },
  );
}

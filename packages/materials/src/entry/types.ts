import type { CautionId } from "../generated/cautions";
import type { Family } from "./families";
import type { ConditionId, PropertyId } from "./properties";

/**
 * How far a source can be trusted: A regulation, standard, agency or reviewed paper; B data sheet, safety data sheet,
 * handbook or a secondary copy of a regulation; C trade page; M from memory.
 */
export type Grade = "A" | "B" | "C" | "M";

/** How far a value or an entry has been confirmed. Values from memory stay `unconfirmed`. */
export type Status = "unconfirmed" | "provisional" | "contributed" | "approved";

/** How a figure was got. */
export type Method =
  | "standard"
  | "datasheet-unstated"
  | "hand-test"
  | "ruler"
  | "kitchen-scale"
  | "thermometer"
  | "computed"
  | "trade-page"
  | "literature"
  | "memory";

/** One figure with everything that makes it comparable. `min` and `max` are the spread across products. */
export interface Measured {
  readonly unit: string;
  readonly typical?: number;
  readonly min?: number;
  readonly max?: number;
  /** Specimens and their standard deviation, only of a real series. */
  readonly n?: number;
  readonly sd?: number;
  readonly method: Method;
  /** Name of the standard when the method is `standard`. */
  readonly standard?: string;
  readonly conditions?: { readonly [key in ConditionId]?: number | string };
  /** Id of a source, of this entry or shared. */
  readonly source: string;
  readonly grade: Grade;
  readonly status: Status;
  readonly note?: string;
  /** Entries that name this one as a parent take the figure over where they have none. */
  readonly inherit?: boolean;
  /** Entry that the figure came from. */
  readonly inheritedFrom?: string;
}

/** Where something was read. */
export interface Source {
  readonly id: string;
  readonly kind:
    | "regulation"
    | "standard"
    | "paper"
    | "agency"
    | "handbook"
    | "datasheet"
    | "safety-data-sheet"
    | "trade-page"
    | "measurement"
    | "memory"
    | "computed";
  readonly title: string;
  readonly url?: string;
  /** Page, table or clause. */
  readonly locator?: string;
  /** ISO date or year. */
  readonly published?: string;
  readonly retrieved?: string;
}

/** Part of a cloth that fibres are listed for. */
export type ClothPart = "pile" | "backing" | "face" | "whole";

/** A fibre of one part; percent by mass. Without a percent the share is unknown. */
export interface FibreShare {
  readonly part: ClothPart;
  readonly fibre: string;
  readonly percentMin?: number;
  readonly percentMax?: number;
}

/** One component of a preparation, as its safety data sheet lists it. */
export interface Component {
  readonly cas: string;
  readonly name: string;
  readonly percentMin?: number;
  readonly percentMax?: number;
  readonly source: string;
  readonly grade: Grade;
}

/** H and P codes copied from a safety data sheet; never assigned here. */
export interface HazardCodes {
  readonly hStatements: readonly string[];
  readonly pStatements?: readonly string[];
  readonly signalWord?: "Danger" | "Warning";
  readonly source: string;
  /** Date of the data sheet, year at least. */
  readonly sdsDate: string;
}

/** What is known of an allergen. `unknown` unless a source says otherwise. */
export type AllergenState = "contains" | "may-contain" | "none" | "unknown";

/** How a care label would read, in words; the artwork of care symbols is not ours to ship. */
export interface Care {
  readonly wash: "machine" | "hand" | "sponge" | "none" | "unknown";
  readonly dry: "line" | "flat" | "tumble-low" | "no-tumble" | "unknown";
  readonly iron: "none" | "low" | "medium" | "high" | "unknown";
  readonly note?: string;
  readonly source: string;
  readonly grade: Grade;
}

/** How a paint, dye or coating behaves. */
export interface ColourBehaviour {
  /** `transparent` shows the ground through; `opaque` hides it. */
  readonly hiding: "opaque" | "semi-opaque" | "transparent" | "unknown";
  readonly film: "flexible" | "stiff" | "none" | "unknown";
  readonly carrier: "water" | "alcohol" | "solvent" | "none" | "unknown";
  /** Fibre names that a dye fixes to. */
  readonly fibres?: readonly string[];
  readonly source: string;
  readonly grade: Grade;
}

/** How the pile of a cloth lies. */
export interface Pile {
  readonly direction: "along" | "across" | "none" | "unknown";
  readonly construction: "sliver-knit" | "warp-knit" | "weft-knit" | "woven" | "tufted" | "unknown";
}

/** A second person's look at an entry. */
export interface Review {
  readonly by: string;
  /** ISO date. */
  readonly date: string;
  readonly scope: "values" | "safety";
}

/** A rule of a region that concerns an entry. */
export interface RegionNote {
  readonly region: string;
  readonly rule: string;
}

/** One material of the catalogue. Generic: never a brand. Plain data. */
export interface MaterialEntry {
  readonly schemaVersion: 1;
  readonly id: string;
  readonly name: string;
  readonly summary: string;
  readonly family: Family;
  readonly synonyms?: { readonly [language: string]: readonly string[] };
  readonly parents?: readonly string[];
  /** What it can stand in for. */
  readonly roles: readonly string[];
  /** Rows of the glue table: the face, and the back where it differs. */
  readonly substrates?: { readonly face: string; readonly back?: string };
  /** Column of the glue table, for adhesives and tapes. */
  readonly adhesive?: string;
  readonly fibres?: readonly FibreShare[];
  readonly pile?: Pile;
  readonly plasticised?: boolean;
  readonly cellType?: "open" | "closed";
  readonly care?: Care;
  readonly colour?: ColourBehaviour;
  readonly values: { readonly [property in PropertyId]?: readonly Measured[] };
  readonly components?: readonly Component[];
  readonly hazards?: HazardCodes;
  readonly allergens?: { readonly [allergen: string]: AllergenState };
  readonly cautions: readonly CautionId[];
  readonly regionNotes?: readonly RegionNote[];
  readonly notes?: readonly string[];
  readonly sources?: readonly Source[];
  readonly status: Status;
  readonly reviews?: readonly Review[];
  readonly listVersionAdded: string;
  readonly lastReviewed?: string;
  readonly contributors?: readonly string[];
  readonly deprecated?: {
    readonly since: string;
    readonly replacedBy: readonly string[];
    readonly reason: string;
  };
}

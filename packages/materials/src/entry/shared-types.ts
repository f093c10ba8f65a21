import type { Grade, MaterialEntry } from "./types";

/** A fibre, with the same value envelope as an entry. */
export interface Fibre {
  readonly id: string;
  readonly name: string;
  readonly kind: "synthetic" | "cellulose" | "protein" | "other" | "unknown";
  readonly values: MaterialEntry["values"];
  readonly note?: string;
}

/** A limit of exposure at work. Context for reading a data sheet: never a line between good and bad. */
export interface ExposureLimit {
  readonly body: string;
  readonly name: string;
  readonly kind: string;
  readonly value: number;
  readonly unit: string;
  /** Year of the limit, or `not stated`. */
  readonly year: string;
  readonly source: string;
  readonly grade: Grade;
}

/** A range with its source. */
export interface SourcedRange {
  readonly min: number;
  readonly max: number;
  readonly source: string;
  readonly grade: Grade;
}

/** A substance that data sheets list. */
export interface Substance {
  readonly cas: string;
  readonly name: string;
  /** g/mol. */
  readonly molarMass?: number;
  readonly molarMassSource?: string;
  readonly limits: readonly ExposureLimit[];
  readonly flashPointCel?: SourcedRange;
  readonly lowerFlammablePercent?: SourcedRange;
  readonly upperFlammablePercent?: SourcedRange;
  /** Hansen solubility parameters, MPa^0.5. */
  readonly hansen?: {
    readonly dD: number;
    readonly dP: number;
    readonly dH: number;
    readonly source: string;
    readonly grade: Grade;
  };
  readonly hStatements?: {
    readonly codes: readonly string[];
    readonly source: string;
    readonly grade: Grade;
  };
}

/** A rule of a region. */
export interface RegionRule {
  readonly id: string;
  readonly region: string;
  readonly title: string;
  readonly text: string;
  /** 3 forbids or limits by law, 2 sets a test, 1 is asked for in places. */
  readonly strictness: number;
  readonly source: string;
  readonly grade: Grade;
}

/** Regions and rules. */
export interface RegionTable {
  readonly regions: readonly { readonly id: string; readonly name: string }[];
  readonly rules: readonly RegionRule[];
}

/** A caution: what can happen, how to lower it, when to stop. */
export interface Caution {
  readonly id: string;
  readonly title: string;
  readonly appliesTo: string;
  readonly what: string;
  readonly lower: readonly string[];
  /** Signs to stop on. */
  readonly stopOn: readonly string[];
  readonly sources: readonly string[];
}

/** All cautions and the order of authority that each one ends with. */
export interface CautionTable {
  readonly refer: string;
  readonly cautions: readonly Caution[];
}

/** Rating, codes, basis, sources (texts joined by spaces), note. */
export type PackedCell = readonly (string | undefined)[];

/** The glue table as it is shipped. */
export interface GlueTable {
  readonly note: string;
  readonly adhesives: readonly { readonly id: string; readonly name: string }[];
  readonly substrates: readonly { readonly id: string; readonly name: string }[];
  readonly reasons: { readonly [code: string]: string };
  readonly cells: readonly (readonly (PackedCell | null)[])[];
}

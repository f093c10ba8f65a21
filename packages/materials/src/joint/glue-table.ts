import { GLUE_TABLE } from "../generated/adhesion";

/** How a glue does on a surface, worst last; `unknown` where nobody has rated the pair. */
export type Rating = "recommended" | "workable-with-care" | "unknown" | "avoid" | "damages";

/** Ratings from best to worst. Unknown stands before avoid: it warns and never passes. */
export const RATINGS: readonly Rating[] = [
  "recommended",
  "workable-with-care",
  "unknown",
  "avoid",
  "damages",
];

/** One cell of the glue table. */
export interface GlueCell {
  readonly adhesive: string;
  readonly substrate: string;
  readonly rating: Rating;
  readonly reasonCodes: readonly string[];
  /** `source`: a source speaks of this pair; `derived` from property data; `common-practice`: no source. */
  readonly basis: string;
  /** Ids of shared sources. */
  readonly sources: readonly string[];
  readonly note?: string;
}

const rows = new Map(GLUE_TABLE.adhesives.map(({ id }, index) => [id, index]));
const columns = new Map(GLUE_TABLE.substrates.map(({ id }, index) => [id, index]));

/** Adhesives of the glue table, in its order. */
export const gluedAdhesives: readonly { readonly id: string; readonly name: string }[] = GLUE_TABLE.adhesives;

/** Surfaces of the glue table, in its order. */
export const gluedSubstrates: readonly { readonly id: string; readonly name: string }[] =
  GLUE_TABLE.substrates;

/** One cell of the glue table, or undefined where the pair is not in it. */
export function glueCell(adhesive: string, substrate: string): GlueCell | undefined {
  const row = rows.get(adhesive);
  const column = columns.get(substrate);
  if (row === undefined || column === undefined) return undefined;
  const packed = GLUE_TABLE.cells[row]?.[column];
  if (!packed) return undefined;
  const [rating, codes, basis, sources, note] = packed as [Rating, string, string, string, string?];
  return {
    adhesive,
    substrate,
    rating,
    reasonCodes: codes.split(" "),
    basis,
    sources: sources.split(" "),
    ...(note === undefined ? {} : { note }),
  };
}

const GATE_TEXTS: Readonly<Record<string, string>> = {
  UNKNOWN: "nobody has rated this pair: test on offcuts, and do not count on it",
  MECHANICAL_BACKUP: "it carries weight over a person: sew, rivet or buckle it; glue only keeps it in place",
  DOTS: "only small dots, so that the cloth can still stretch",
};

/** What a reason code says, in plain words. */
export function reasonText(code: string): string {
  const known = [GLUE_TABLE.reasons, GATE_TEXTS].find((texts) => Object.hasOwn(texts, code));
  return known?.[code] ?? code;
}

/** All reason codes with their texts: those of the table, then those of the gates. */
export function reasonCodes(): Readonly<Record<string, string>> {
  return { ...GLUE_TABLE.reasons, ...GATE_TEXTS };
}

/** The worse of two ratings. */
export function worseRating(a: Rating, b: Rating): Rating {
  return RATINGS.indexOf(a) >= RATINGS.indexOf(b) ? a : b;
}

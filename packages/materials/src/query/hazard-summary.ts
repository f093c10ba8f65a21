import type { Issue } from "@peltry/issues";
import type { Caution, RegionRule, Substance } from "../entry/shared-types";
import type { HazardCodes, MaterialEntry } from "../entry/types";
import { CHEMICAL_FAMILIES } from "../entry/families";
import { SUBSTANCES } from "../generated/substances";
import { CAUTION_DEFERS_TO, cautionsOf, regionRules } from "./cautions";
import { entryOf } from "./catalogue";

/** Everything recorded about the hazards of some materials together. */
export interface HazardSummary {
  readonly cautions: readonly Caution[];
  /** Rules of the region, or of all regions, each named. */
  readonly rules: readonly RegionRule[];
  /** Codes copied from data sheets, with their date. */
  readonly codes: readonly { readonly material: string; readonly hazards: HazardCodes }[];
  /** Components that have limits or codes of their own. */
  readonly substances: readonly Substance[];
  readonly allergens: readonly {
    readonly material: string;
    readonly allergen: string;
    readonly state: string;
  }[];
  /** Whom all of this defers to. */
  readonly defersTo: string;
  readonly issues: readonly Issue[];
}

/**
 * Hazards, cautions and rules of some materials together. Unknown warns; an empty list means that no hazard is recorded
 * here, nothing more.
 *
 * @param region such as `EU`; all regions, strictest first, when not given
 * @throws `materials/unknown-material`
 */
export function hazardsOf(parts: readonly (MaterialEntry | string)[], region?: string): HazardSummary {
  const entries = parts.map((part) => entryOf(part));
  const numbers = new Set(entries.flatMap((entry) => (entry.components ?? []).map(({ cas }) => cas)));
  const allergens = entries.flatMap((entry) =>
    Object.entries(entry.allergens ?? {}).map(([allergen, state]) => ({
      material: entry.id,
      allergen,
      state: state!,
    })),
  );
  return {
    cautions: cautionsOf(entries),
    rules: regionRules(entries, region),
    codes: entries.flatMap((entry) =>
      entry.hazards ? [{ material: entry.id, hazards: entry.hazards }] : [],
    ),
    substances: SUBSTANCES.filter(({ cas }) => numbers.has(cas)),
    allergens,
    defersTo: CAUTION_DEFERS_TO,
    issues: [
      ...allergens
        .filter(({ state }) => state === "unknown")
        .map(({ material: id, allergen }) => ({
          code: "materials/allergen-unknown",
          severity: "warning" as const,
          message: `${id}: whether it holds ${allergen} is unknown.`,
          at: { material: id, path: ["allergens", allergen] },
          fix: "Ask the maker, and keep it off the skin of people with that allergy.",
        })),
      ...entries
        .filter((entry) => CHEMICAL_FAMILIES.includes(entry.family) && !entry.hazards)
        .map((entry) => ({
          code: "materials/hazards-unknown",
          severity: "warning" as const,
          message: `${entry.name}: no hazard codes are recorded here.`,
          at: { material: entry.id, path: ["hazards"] },
          fix: "Read section 2 of the safety data sheet of the product in hand.",
        })),
    ],
  };
}

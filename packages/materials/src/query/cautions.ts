import { fail } from "@peltry/issues";
import { CAUTIONS } from "../generated/caution-texts";
import { REGIONS } from "../generated/regions";
import type { Caution, RegionRule } from "../entry/shared-types";
import type { MaterialEntry } from "../entry/types";
import { nearestTexts } from "./nearest";
import { shownText } from "./require";

/** Whom every caution defers to, in order; print it once with any cautions. */
export const CAUTION_DEFERS_TO: string = CAUTIONS.refer;

/** All cautions, each written and reviewed once. */
export const cautions: readonly Caution[] = CAUTIONS.cautions;

let byId: Map<string, Caution> | undefined;

/**
 * The caution with this id: what can happen, how to lower it, which signs to stop on.
 *
 * @throws `materials/unknown-caution` with the nearest ids
 */
export function caution(id: string): Caution {
  byId ??= new Map(cautions.map((one) => [one.id, one]));
  const found = byId.get(id);
  if (found) return found;
  const shown = shownText(id);
  const near = nearestTexts(
    shown,
    cautions.map((one) => one.id),
    3,
  );
  return fail(
    "materials/unknown-caution",
    `No caution has the id "${shown}".`,
    {},
    {
      found: shown,
      fix:
        near.length > 0
          ? `Did you mean ${near.join(", ")}?`
          : `Known: ${cautions.map((one) => one.id).join(", ")}.`,
    },
  );
}

/** Cautions of some entries together, each once, in the order of the caution list. */
export function cautionsOf(entries: readonly Pick<MaterialEntry, "cautions">[]): readonly Caution[] {
  const ids = new Set<string>(entries.flatMap((entry) => entry.cautions));
  return cautions.filter(({ id }) => ids.has(id));
}

/**
 * Rules of a region that concern some entries. Without a region, or for one that has no rule here, all of them come back,
 * the strictest first, each naming its region.
 *
 * @param region such as `EU`, `US`, `US-CA`; a part of a country also gets the rules of the country
 */
export function regionRules(
  entries: readonly Pick<MaterialEntry, "regionNotes">[],
  region?: string,
): readonly RegionRule[] {
  const ids = new Set(entries.flatMap((entry) => (entry.regionNotes ?? []).map(({ rule }) => rule)));
  const rules = REGIONS.rules.filter(({ id }) => ids.has(id));
  const own =
    region === undefined
      ? []
      : rules.filter((rule) => rule.region === region || region.startsWith(`${rule.region}-`));
  return [...(own.length > 0 ? own : rules)].sort(
    (a, b) => b.strictness - a.strictness || (a.id < b.id ? -1 : 1),
  );
}

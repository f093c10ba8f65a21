import type { Issue } from "@peltry/issues";
import type { PropertyId } from "../entry/properties";
import type { MaterialEntry } from "../entry/types";
import { entryOf } from "./catalogue";
import { requireCloth, requireWithin } from "./require";
import { resolveValue } from "./resolve-value";

/** Usable strain in one direction, as plain numbers for the flattener. */
export interface BehaviourRange {
  /** Largest usable stretch when worn, as a fraction. */
  readonly max: number;
  /** Largest ease-in without a pucker, negative. */
  readonly min: number;
  /** Relative stiffness: 1 for a cloth without stretch, less the more it stretches. */
  readonly stiffness: number;
}

/** What a cloth can do when worn, and how sure that is. */
export interface MaterialBehaviour {
  readonly along: BehaviourRange;
  readonly across: BehaviourRange;
  /** Change of the right angle between along and across, radians. */
  readonly shear: BehaviourRange;
  /** Where each number comes from: a figure of the catalogue or the cautious default. */
  readonly basis: {
    readonly along: BehaviourBasis;
    readonly across: BehaviourBasis;
    readonly shear: "assumed";
  };
  readonly issues: readonly Issue[];
}

/** `measured` from a sourced figure, `from-memory` from an unsourced one, `assumed` where nothing is known. */
export type BehaviourBasis = "measured" | "from-memory" | "assumed";

/** Options of {@link fabricBehaviour}. */
export interface BehaviourOptions {
  /** Share of the stretch at hand load that is planned with; 0.8 by default: judgement, no source. */
  readonly usableShare?: number;
  /** Stretch that you measured on your own piece, percent at a firm hand pull on 10 cm: goes before the catalogue. */
  readonly measured?: { readonly alongPercent?: number; readonly acrossPercent?: number };
}

/** A fifth is kept back so that the cloth comes back and seams are not at their end. Judgement, no source. */
const USABLE_SHARE = 0.8;

/**
 * What is taken where no figure is known: 1 % stretch, 2 % ease-in, 4° of shear, which is a firm woven cloth.
 * Judgement, on the careful side: a panel made for it fits any cloth that gives more.
 */
const UNKNOWN_STRETCH = 0.01;

/** Ease-in and shear by how the cloth is made. Judgement, no source; measure your own cloth where it matters. */
const BUILDS = {
  firm: { easeIn: -0.02, shear: (4 * Math.PI) / 180 },
  knit: { easeIn: -0.03, shear: (12 * Math.PI) / 180 },
} as const;

/**
 * Usable stretch, ease-in and shear of a cloth as plain numbers, for `flatten` and `planSeams`.
 * Where the catalogue has no stretch the numbers of a firm woven cloth are taken, and `issues` says so.
 *
 * @param cloth an entry or its id
 * @returns fractions and radians; `basis` and `issues` say how sure they are
 * @throws `materials/not-a-cloth` for a material that is not sewn as cloth; `materials/unknown-material`;
 * `materials/bad-measure` for a stretch that is not a number from 0 to 400 or a share outside 0 to 1
 */
export function fabricBehaviour(
  cloth: MaterialEntry | string,
  options: BehaviourOptions = {},
): MaterialBehaviour {
  const entry = entryOf(cloth);
  requireCloth(entry);
  const share = requireWithin("usableShare", options.usableShare ?? USABLE_SHARE, 0, 1);
  const issues: Issue[] = [];
  const build = isKnit(entry) ? BUILDS.knit : BUILDS.firm;
  const along = stretchOf(entry, "stretchAlong", options.measured?.alongPercent, issues);
  const across = stretchOf(entry, "stretchAcross", options.measured?.acrossPercent, issues);
  const range = (percent: number | undefined): BehaviourRange => {
    const max = percent === undefined ? UNKNOWN_STRETCH : (percent / 100) * share;
    return { max, min: build.easeIn, stiffness: 1 / (1 + 10 * max) };
  };
  return {
    along: range(along.percent),
    across: range(across.percent),
    shear: { max: build.shear, min: -build.shear, stiffness: 0.3 },
    basis: { along: along.basis, across: across.basis, shear: "assumed" },
    issues,
  };
}

function stretchOf(
  entry: MaterialEntry,
  property: PropertyId & ("stretchAlong" | "stretchAcross"),
  own: number | undefined,
  issues: Issue[],
): { percent: number | undefined; basis: BehaviourBasis } {
  const way = property === "stretchAlong" ? "along" : "across";
  if (own !== undefined)
    return { percent: requireWithin(`measured.${way}Percent`, own, 0, 400), basis: "measured" };
  const found = resolveValue(entry, property);
  const fix = `Mark 10 cm ${way} the grain on a fold, pull firmly, and give what you read as measured.${way}Percent.`;
  const at = { material: entry.id, path: ["values", property] };
  if (!found) {
    issues.push({
      code: "materials/stretch-unknown",
      severity: "warning",
      message: `${entry.name}: stretch ${way} is unknown; ${UNKNOWN_STRETCH * 100} % is taken, as for a firm woven cloth.`,
      at,
      limit: UNKNOWN_STRETCH,
      fix,
    });
    return { percent: undefined, basis: "assumed" };
  }
  if (found.grade !== "M") return { percent: found.min, basis: "measured" };
  issues.push({
    code: "materials/stretch-from-memory",
    severity: "warning",
    message: `${entry.name}: stretch ${way} of ${found.min} to ${found.max} % is from memory; the low end is taken.`,
    at,
    found: found.min,
    fix,
  });
  return { percent: found.min, basis: "from-memory" };
}

/** Whether the cloth gives like a knit: by family, or by the construction of its back. */
function isKnit(entry: MaterialEntry): boolean {
  if (entry.pile) return /knit/.test(entry.pile.construction);
  return entry.family === "stretch-knit" || entry.family === "mesh";
}

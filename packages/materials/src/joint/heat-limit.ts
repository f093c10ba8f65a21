import { FIBRES } from "../generated/fibres";
import type { PropertyId } from "../entry/properties";
import type { ClothPart, MaterialEntry } from "../entry/types";
import { resolveValue } from "../query/resolve-value";

/** The lowest temperature that matters on one side of a material, and what sets it. */
export interface HeatLimit {
  /** °C. */
  readonly value: number;
  readonly property: PropertyId;
  /** Fibre that sets it, when a fibre does. */
  readonly fibre?: string;
  /** True when it is a softening, melting or decomposition point, not a figure for use. */
  readonly softens: boolean;
  readonly source: string;
  readonly grade: string;
}

/** Which side of a cloth is touched. */
export type Side = "face" | "back";

const USE: readonly PropertyId[] = ["ironMax", "glueGunMax"];
/** Wet shrinkage is left out: hot glue and irons meet dry leather. */
const CHANGE: readonly PropertyId[] = ["softening", "melting", "decomposition"];
const PARTS: Record<Side, readonly ClothPart[]> = {
  face: ["pile", "face", "whole"],
  back: ["backing", "whole"],
};

/**
 * Temperature limits of one side of a material, lowest first: its own figures and those of every fibre that may be there.
 * Where an entry lists several possible fibres, all count: the piece in hand may be any of them.
 *
 * @returns empty when nothing is known
 */
export function heatLimits(entry: MaterialEntry, side: Side): HeatLimit[] {
  const limits: HeatLimit[] = [];
  const add = (holder: Pick<MaterialEntry, "values">, fibre: string | undefined) => {
    for (const property of [...USE, ...CHANGE]) {
      const found = resolveValue(holder, property);
      if (!found) continue;
      limits.push({
        value: found.min,
        property,
        ...(fibre === undefined ? {} : { fibre }),
        softens: CHANGE.includes(property),
        source: found.picked.source,
        grade: found.grade,
      });
    }
  };
  add(entry, undefined);
  for (const share of entry.fibres ?? []) {
    if (!PARTS[side].includes(share.part)) continue;
    const fibre = FIBRES.find(({ id }) => id === share.fibre);
    if (fibre) add(fibre, fibre.name);
  }
  return limits.sort((a, b) => a.value - b.value || (a.property < b.property ? -1 : 1));
}

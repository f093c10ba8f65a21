import type { Issue } from "@peltry/issues";
import type { MaterialEntry } from "../entry/types";
import { entryOf } from "./catalogue";
import { resolveValue, unknownIssue } from "./resolve-value";

/** Direction and length of a pile. */
export interface PileFacts {
  /** `none` for cloth without a pile or with one that stands or curls. */
  readonly direction: "along" | "across" | "none" | "unknown";
  /** mm, undefined when there is no pile or its length is unknown. */
  readonly lengthMm?: { readonly value: number; readonly min: number; readonly max: number };
  /** Derived from the length: below 12 mm short, above 40 long. Judgement, no source. */
  readonly class: "none" | "short" | "medium" | "long" | "unknown";
  readonly construction: string;
  readonly issues: readonly Issue[];
}

const SHORT = 12;
const LONG = 40;

/**
 * Which way the pile of a cloth lies and how long it is.
 *
 * @throws `materials/unknown-material`
 */
export function pileOf(cloth: MaterialEntry | string): PileFacts {
  const entry = entryOf(cloth);
  if (!entry.pile) return { direction: "none", class: "none", construction: "none", issues: [] };
  const { direction, construction } = entry.pile;
  const length = resolveValue(entry, "pileLength");
  const fix = "Comb the pile straight and measure it with a ruler from the backing.";
  return {
    direction,
    construction,
    ...(length ? { lengthMm: { value: length.value, min: length.min, max: length.max } } : {}),
    class: length ? pileClass(length.value) : "unknown",
    issues: length ? [] : [unknownIssue(entry, "pileLength", fix)],
  };
}

function pileClass(mm: number): "short" | "medium" | "long" {
  if (mm < SHORT) return "short";
  return mm > LONG ? "long" : "medium";
}

import type { Issue } from "@peltry/issues";
import type { Care, MaterialEntry } from "../entry/types";
import { entryOf } from "./catalogue";

/** How to clean something made of several materials. */
export interface CleaningAnswer {
  readonly wash: Care["wash"];
  readonly dry: Care["dry"];
  readonly iron: Care["iron"];
  /** Ids of the entries that set each answer. */
  readonly because: { readonly wash: string; readonly dry: string; readonly iron: string };
  readonly notes: readonly string[];
  readonly issues: readonly Issue[];
}

const WASH: readonly Care["wash"][] = ["machine", "hand", "sponge", "none", "unknown"];
const DRY: readonly Care["dry"][] = ["tumble-low", "no-tumble", "line", "flat", "unknown"];
const IRON: readonly Care["iron"][] = ["high", "medium", "low", "none", "unknown"];
const UNKNOWN: Care = { wash: "unknown", dry: "unknown", iron: "unknown", source: "memory", grade: "M" };

/**
 * How to clean something made of these materials: the gentlest that any of them needs. Unknown counts as worst and warns.
 *
 * @throws `materials/unknown-material`
 */
export function cleaningOf(parts: readonly (MaterialEntry | string)[]): CleaningAnswer {
  const entries = parts.map((part) => entryOf(part));
  const pick = <T extends string>(key: "wash" | "dry" | "iron", order: readonly T[]) =>
    entries
      .map((entry) => ({ id: entry.id, value: (entry.care ?? UNKNOWN)[key] as T }))
      .reduce((worst, one) => (order.indexOf(one.value) > order.indexOf(worst.value) ? one : worst), {
        id: "",
        value: order[0]!,
      });
  const [wash, dry, iron] = [pick("wash", WASH), pick("dry", DRY), pick("iron", IRON)];
  return {
    wash: wash.value,
    dry: dry.value,
    iron: iron.value,
    because: { wash: wash.id, dry: dry.id, iron: iron.id },
    notes: [...new Set(entries.flatMap((entry) => entry.care?.note ?? []))],
    issues: entries
      .filter((entry) => entry.care === undefined || entry.care.wash === "unknown")
      .map((entry) => ({
        code: "materials/care-unknown",
        severity: "warning" as const,
        message: `${entry.name}: how to clean it is unknown.`,
        at: { material: entry.id },
        fix: "Read its label; wash a small piece first and measure it before and after.",
      })),
  };
}

import type { MaterialEntry, Measured } from "./types";
import { PROPERTY_IDS } from "./properties";

/**
 * Entries with the figures they take over from their parents: only values marked `inherit`, only where the entry has none
 * of its own, the nearest parent first.
 *
 * @param entries as read from their files; parents that are missing or go in a circle give nothing (the lint reports them)
 * @returns the same entries in the same order; each taken figure says `inheritedFrom`
 */
export function resolveInherited(entries: readonly MaterialEntry[]): MaterialEntry[] {
  const byId = new Map(entries.map((entry) => [entry.id, entry]));
  return entries.map((entry) => {
    const ancestors = ancestorsOf(entry, byId);
    if (ancestors.length === 0) return entry;
    const values: Record<string, readonly Measured[]> = {};
    for (const id of PROPERTY_IDS) {
      const own = entry.values[id];
      if (own && own.length > 0) values[id] = own;
      else {
        for (const ancestor of ancestors) {
          const given = (ancestor.values[id] ?? []).filter((value) => value.inherit === true);
          if (given.length === 0) continue;
          values[id] = given.map((value) => ({ ...value, inheritedFrom: ancestor.id }));
          break;
        }
      }
    }
    return { ...entry, values };
  });
}

/** Parents, then their parents, nearest first, each once; a circle ends the walk. */
function ancestorsOf(entry: MaterialEntry, byId: ReadonlyMap<string, MaterialEntry>): MaterialEntry[] {
  const found: MaterialEntry[] = [];
  const seen = new Set([entry.id]);
  let ring = entry.parents ?? [];
  while (ring.length > 0) {
    const next: string[] = [];
    for (const id of ring) {
      const parent = byId.get(id);
      if (!parent || seen.has(id)) continue;
      seen.add(id);
      found.push(parent);
      next.push(...(parent.parents ?? []));
    }
    ring = next;
  }
  return found;
}

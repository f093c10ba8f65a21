// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `coating`, by id. */
// prettier-ignore
export const coating: readonly MaterialEntry[] = [
];

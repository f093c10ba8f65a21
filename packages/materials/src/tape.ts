// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `tape`, by id. */
// prettier-ignore
export const tape: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"tape-acrylic","name":"Double-sided acrylic tape","family":"tape","summary":"Clear pressure-sensitive tape; special grades for waxy plastics.","roles":["glue-temporary","tape"],"adhesive":"tape-acrylic","values":{},"cautions":[],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
  {"schemaVersion":1,"id":"tape-duct","name":"Cloth duct tape","family":"tape","summary":"Cloth tape with rubber glue: body forms, quick repairs that leave residue.","synonyms":{"en":["duct tape","cloth tape"]},"roles":["glue-temporary","tape","body-form"],"adhesive":"tape-duct","values":{},"allergens":{"latex":"may-contain"},"cautions":["body-wrap","latex"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

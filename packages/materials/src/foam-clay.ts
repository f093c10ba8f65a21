// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `foam-clay`, by id. */
// prettier-ignore
export const foamClay: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"eva-clay","name":"EVA air-dry foam clay","family":"foam-clay","summary":"Very light clay that dries to a foam: details, toes, brows.","synonyms":{"en":["foam clay"]},"roles":["detail","hoof","horn"],"substrates":{"face":"eva-clay"},"values":{"density":[{"unit":"kg/m3","min":80,"max":300,"method":"memory","source":"memory","grade":"M","status":"unconfirmed","note":"dry; it shrinks while drying; no data sheet found"}]},"cautions":["foam-dust"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

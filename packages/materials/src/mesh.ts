// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `mesh`, by id. */
// prettier-ignore
export const mesh: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"power-mesh","name":"Power mesh","family":"mesh","summary":"Open knit with elastane: linings, pad pockets, vents.","synonyms":{"en":["power net","stretch mesh"]},"roles":["vent","lining-stretch","sleeve-stretch"],"substrates":{"face":"power-mesh"},"fibres":[{"part":"whole","fibre":"nylon"},{"part":"whole","fibre":"elastane"}],"care":{"wash":"hand","dry":"line","iron":"none","source":"common-practice","grade":"M"},"values":{"stretchAlong":[{"unit":"%","min":40,"max":90,"method":"memory","conditions":{"load":"hand"},"source":"memory","grade":"M","status":"unconfirmed"}],"stretchAcross":[{"unit":"%","min":40,"max":90,"method":"memory","conditions":{"load":"hand"},"source":"memory","grade":"M","status":"unconfirmed"}]},"cautions":["compression"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

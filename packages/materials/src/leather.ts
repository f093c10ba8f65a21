// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `leather`, by id. */
// prettier-ignore
export const leather: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"leather","name":"Leather","family":"leather","summary":"Tanned hide, the general entry.","roles":["strap","skin-smooth","sole-cover"],"substrates":{"face":"leather"},"fibres":[{"part":"whole","fibre":"leather","percentMin":100,"percentMax":100}],"care":{"wash":"sponge","dry":"flat","iron":"none","source":"common-practice","grade":"M"},"values":{"density":[{"unit":"kg/m3","min":850,"max":1000,"method":"memory","source":"memory","grade":"M","status":"unconfirmed"}],"shrinkage":[{"unit":"Cel","min":70,"max":85,"method":"memory","source":"memory","grade":"M","status":"unconfirmed","note":"wet, vegetable tanned; chrome tanned about 100"}]},"allergens":{"chromium":"may-contain","ptbp":"may-contain"},"cautions":["chromium-leather","cyanoacrylate-fibre","knife"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `filling`, by id. */
// prettier-ignore
export const filling: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"polyester-batting","name":"Polyester batting","family":"filling","summary":"Loose or quilted polyester wadding.","synonyms":{"en":["wadding","fibrefill"]},"roles":["filling","padding-soft","insulation"],"substrates":{"face":"polyester-batting"},"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}],"care":{"wash":"machine","dry":"line","iron":"none","note":"loses loft in the wash","source":"common-practice","grade":"M"},"values":{"density":[{"unit":"kg/m3","min":8,"max":20,"method":"memory","source":"memory","grade":"M","status":"unconfirmed"}],"massPerArea":[{"unit":"g/m2","min":200,"max":400,"method":"memory","source":"memory","grade":"M","status":"unconfirmed","note":"upholstery batting"}]},"cautions":["flame","heat-strain"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

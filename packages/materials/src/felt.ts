// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `felt`, by id. */
// prettier-ignore
export const felt: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"synthetic-felt","name":"Synthetic felt","family":"felt","summary":"Acrylic or polyester craft felt.","synonyms":{"en":["craft felt","polyester felt"]},"roles":["stiffener","detail"],"substrates":{"face":"synthetic-felt"},"fibres":[{"part":"whole","fibre":"polyester"},{"part":"whole","fibre":"acrylic"}],"care":{"wash":"hand","dry":"flat","iron":"low","source":"common-practice","grade":"M"},"values":{},"cautions":["flame"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
  {"schemaVersion":1,"id":"wool-felt","name":"Wool felt","family":"felt","summary":"Felted wool sheet, no grain, edges do not fray.","roles":["stiffener","detail"],"substrates":{"face":"wool-felt"},"fibres":[{"part":"whole","fibre":"wool"}],"care":{"wash":"hand","dry":"flat","iron":"medium","note":"felts and shrinks in a warm moving wash","source":"common-practice","grade":"M"},"values":{},"cautions":["cyanoacrylate-fibre"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `felt`, by id. */
// prettier-ignore
export const felt: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("felt", [
  {"id":"acrylic-felt","name":"Acrylic felt","summary":"Craft felt in sheets; pills and softens with heat.","parents":["synthetic-felt"],"roles":["detail"],"substrates":{"face":"synthetic-felt"},"fibres":[{"part":"whole","fibre":"acrylic","percentMin":100,"percentMax":100}],"cautions":["flame"]},
  {"id":"needle-felt-polyester","name":"Needled polyester felt","summary":"Thick needled sheet: soles, pads, stiff ears.","parents":["synthetic-felt"],"roles":["stiffener","padding-firm"],"substrates":{"face":"synthetic-felt"},"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}],"cautions":["flame"]},
  {"id":"synthetic-felt","name":"Synthetic felt","summary":"Acrylic or polyester craft felt.","synonyms":{"en":["craft felt","polyester felt"]},"roles":["stiffener","detail"],"substrates":{"face":"synthetic-felt"},"fibres":[{"part":"whole","fibre":"polyester"},{"part":"whole","fibre":"acrylic"}],"care":{"wash":"hand","dry":"flat","iron":"low","source":"common-practice","grade":"M"},"cautions":["flame"]},
  {"id":"wool-blend-felt","name":"Wool and viscose felt","summary":"Cheaper felt with wool.","parents":["wool-felt"],"roles":["detail","stiffener"],"substrates":{"face":"wool-felt"},"fibres":[{"part":"whole","fibre":"wool"},{"part":"whole","fibre":"viscose"}],"care":{"wash":"hand","dry":"flat","iron":"medium","source":"common-practice","grade":"M"},"cautions":["cyanoacrylate-fibre"]},
  {"id":"wool-felt","name":"Wool felt","summary":"Felted wool sheet, no grain, edges do not fray.","roles":["stiffener","detail"],"substrates":{"face":"wool-felt"},"fibres":[{"part":"whole","fibre":"wool"}],"care":{"wash":"hand","dry":"flat","iron":"medium","note":"felts and shrinks in a warm moving wash","source":"common-practice","grade":"M"},"cautions":["cyanoacrylate-fibre"]},
]);

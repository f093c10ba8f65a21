// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `filling`, by id. */
// prettier-ignore
export const filling: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("filling", [
  {"id":"cotton-batting","name":"Cotton batting","summary":"Heavy natural wadding; slow to dry.","roles":["filling","insulation"],"fibres":[{"part":"whole","fibre":"cotton","percentMin":100,"percentMax":100}],"cautions":["flame","cyanoacrylate-fibre"]},
  {"id":"foam-crumb","name":"Foam crumb","summary":"Shredded polyurethane foam: lumpy cheap fill.","roles":["filling","padding-soft"],"substrates":{"face":"pu-foam-open"},"cellType":"open","cautions":["foam-dust","flame","small-parts"]},
  {"id":"kapok","name":"Kapok","summary":"Very light plant fibre; dusty and quick to burn.","roles":["filling"],"fibres":[{"part":"whole","fibre":"kapok","percentMin":100,"percentMax":100}],"cautions":["fibre-dust","flame","cyanoacrylate-fibre"]},
  {"id":"plastic-pellets","name":"Plastic pellets","summary":"Weight for tail tips and paws.","roles":["weight"],"cautions":["small-parts"]},
  {"id":"polyester-batting","name":"Polyester batting","summary":"Loose or quilted polyester wadding.","synonyms":{"en":["wadding","fibrefill"]},"roles":["filling","padding-soft","insulation"],"substrates":{"face":"polyester-batting"},"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}],"care":{"wash":"machine","dry":"line","iron":"none","note":"loses loft in the wash","source":"common-practice","grade":"M"},"values":{"density":[{"min":8,"max":20}],"massPerArea":[{"min":200,"max":400,"note":"upholstery batting"}]},"cautions":["flame","heat-strain"]},
  {"id":"polyester-fibrefill","name":"Polyester fibrefill","summary":"Loose fill for tails and paws.","synonyms":{"en":["toy stuffing","polyfill"]},"roles":["filling"],"substrates":{"face":"polyester-batting"},"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}],"care":{"wash":"machine","dry":"tumble-low","iron":"none","source":"common-practice","grade":"M"},"values":{"density":[{"min":8,"max":20,"note":"as stuffed softly"}]},"cautions":["flame","small-parts"]},
  {"id":"polystyrene-beads","name":"Polystyrene beads","summary":"Feather-light fill that clings and escapes.","roles":["filling"],"substrates":{"face":"polystyrene-foam"},"values":{"density":[{"min":10,"max":30}]},"cautions":["small-parts","flame"]},
  {"id":"wool-batting","name":"Wool batting","summary":"Springy natural wadding; hard to light.","roles":["filling","insulation"],"fibres":[{"part":"whole","fibre":"wool","percentMin":100,"percentMax":100}],"cautions":["cyanoacrylate-fibre"]},
]);

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `woven`, by id. */
// prettier-ignore
export const woven: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"cotton-canvas","name":"Cotton canvas or twill","family":"woven","summary":"Strong plain cloth for carcasses, straps, soles and belts.","synonyms":{"en":["duck","twill","drill"]},"roles":["carcass","strap","sole-cover"],"substrates":{"face":"cotton-canvas"},"fibres":[{"part":"whole","fibre":"cotton","percentMin":100,"percentMax":100}],"care":{"wash":"machine","dry":"line","iron":"high","note":"shrinks at the first wash: wash before cutting","source":"common-practice","grade":"M"},"values":{"massPerArea":[{"unit":"g/m2","min":388,"max":610,"method":"computed","source":"duck","grade":"B","status":"provisional","note":"ducks number 12 to 8 by the number formula; light twills weigh less"}]},"cautions":["cyanoacrylate-fibre"],"status":"provisional","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `leather`, by id. */
// prettier-ignore
export const leather: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("leather", [
  {"id":"leather-chrome","name":"Leather, chrome tanned","summary":"Soft garment leather.","parents":["leather"],"roles":["skin-smooth"],"substrates":{"face":"leather"},"fibres":[{"part":"whole","fibre":"leather","percentMin":100,"percentMax":100}],"allergens":{"chromium":"may-contain"},"regionNotes":[],"values":{"shrinkage":[{"typical":100,"note":"wet, about"}]},"cautions":["chromium-leather","cyanoacrylate-fibre","knife"]},
  {"id":"leather-veg","name":"Leather, vegetable tanned","summary":"Stiff, can be wet-formed: straps, hoof cuffs.","parents":["leather"],"roles":["strap","skin-smooth"],"substrates":{"face":"leather"},"fibres":[{"part":"whole","fibre":"leather","percentMin":100,"percentMax":100}],"allergens":{"chromium":"unknown"},"values":{"shrinkage":[{"min":70,"max":85,"note":"wet"}]},"cautions":["cyanoacrylate-fibre","knife"]},
  {"id":"leather","name":"Leather","summary":"Tanned hide, the general entry.","roles":["strap","skin-smooth","sole-cover"],"substrates":{"face":"leather"},"fibres":[{"part":"whole","fibre":"leather","percentMin":100,"percentMax":100}],"care":{"wash":"sponge","dry":"flat","iron":"none","source":"common-practice","grade":"M"},"allergens":{"chromium":"may-contain","ptbp":"may-contain"},"values":{"density":[{"min":850,"max":1000}],"shrinkage":[{"min":70,"max":85,"note":"wet, vegetable tanned; chrome tanned about 100"}]},"cautions":["chromium-leather","ptbp-rosin","cyanoacrylate-fibre","knife"]},
  {"id":"suede-split","name":"Suede split","summary":"Napped inner split: paw pads.","parents":["leather"],"roles":["paw-pad","skin-smooth"],"substrates":{"face":"leather"},"fibres":[{"part":"whole","fibre":"leather","percentMin":100,"percentMax":100}],"allergens":{"chromium":"may-contain"},"cautions":["chromium-leather","cyanoacrylate-fibre","knife"]},
]);

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `wrap-film`, by id. */
// prettier-ignore
export const wrapFilm: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("wrap-film", [
  {"id":"cling-film","name":"Kitchen cling film","summary":"Thin film between skin and tape.","roles":["body-form"],"cautions":["body-wrap"]},
  {"id":"gummed-paper-tape","name":"Gummed paper tape","summary":"Paper strip wetted to stick: firm body forms without goo.","roles":["body-form"],"fibres":[{"part":"whole","fibre":"paper","percentMin":100,"percentMax":100}],"cautions":["body-wrap","cyanoacrylate-fibre"]},
  {"id":"plaster-bandage","name":"Plaster bandage","summary":"Gauze with plaster: sets hard and warms up: head and foot forms.","roles":["body-form","core"],"notes":["Plaster warms while it sets: thin layers, oil on skin, never a whole hand in a lump."],"cautions":["body-wrap","hot-glue-burn"]},
  {"id":"stretch-film","name":"Stretch film","summary":"Clinging packaging film: first layer of a body form.","synonyms":{"en":["pallet wrap"]},"roles":["body-form"],"fibres":[{"part":"whole","fibre":"polyethylene"}],"values":{"thickness":[{"min":0.006,"max":0.05,"method":"trade-page","source":"stretch-film","grade":"C","status":"unconfirmed","note":"light 6-12 µm, medium 13-20, heavy above 21"}]},"cautions":["body-wrap"]},
]);

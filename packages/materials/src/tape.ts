// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `tape`, by id. */
// prettier-ignore
export const tape: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("tape", [
  {"id":"double-sided-web-tape","name":"Wash-away basting tape","summary":"Holds a seam until it is sewn.","roles":["glue-temporary","tape"],"notes":["Not rated in the glue table: temporary only."]},
  {"id":"electrical-tape","name":"Vinyl electrical tape","summary":"Stretchy plasticised tape; leaves goo.","roles":["tape"],"plasticised":true,"values":{"surfaceEnergy":[{"min":33,"max":38,"method":"literature","source":"surface-energies","grade":"B","status":"provisional"}]},"status":"provisional"},
  {"id":"masking-tape","name":"Masking tape","summary":"Paper tape for marking forms and panels.","roles":["tape","marking"]},
  {"id":"seam-stay-tape","name":"Stay tape","summary":"Narrow woven tape sewn in to stop a seam from stretching.","roles":["stay"],"fibres":[{"part":"whole","fibre":"cotton"},{"part":"whole","fibre":"polyester"}],"cautions":["cyanoacrylate-fibre"]},
  {"id":"tape-acrylic","name":"Double-sided acrylic tape","summary":"Clear pressure-sensitive tape; special grades for waxy plastics.","roles":["glue-temporary","tape"],"adhesive":"tape-acrylic"},
  {"id":"tape-duct","name":"Cloth duct tape","summary":"Cloth tape with rubber glue: body forms, quick repairs that leave residue.","synonyms":{"en":["duct tape","cloth tape"]},"roles":["glue-temporary","tape","body-form"],"adhesive":"tape-duct","allergens":{"latex":"may-contain"},"cautions":["body-wrap","latex"]},
]);

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `foam-clay`, by id. */
// prettier-ignore
export const foamClay: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("foam-clay", [
  {"id":"epoxy-putty","name":"Epoxy putty","summary":"Two-part putty that sets hard: teeth, claws, horn tips.","synonyms":{"en":["epoxy clay"]},"roles":["detail","horn"],"components":[{"cas":"1675-54-3","name":"bisphenol A diglycidyl ether","source":"memory","grade":"M"}],"cautions":["epoxy","foam-dust"]},
  {"id":"eva-clay","name":"EVA air-dry foam clay","summary":"Very light clay that dries to a foam: details, toes, brows.","synonyms":{"en":["foam clay"]},"roles":["detail","hoof","horn"],"substrates":{"face":"eva-clay"},"values":{"density":[{"min":80,"max":300,"note":"dry; it shrinks while drying; no data sheet found"}]},"cautions":["foam-dust"]},
  {"id":"paper-clay","name":"Paper clay","summary":"Air-dry clay with paper pulp: hard, heavier, brittle.","roles":["detail","core"],"cautions":["foam-dust"]},
  {"id":"polymer-clay","name":"Polymer clay","summary":"Plasticised PVC clay, baked: small parts.","roles":["detail"],"notes":["Bake by the packet; burnt clay gives acid vapour."],"values":{"density":[{"min":1700,"max":1900}]},"cautions":["hot-cut-fume"]},
]);

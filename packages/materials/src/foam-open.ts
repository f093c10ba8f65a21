// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `foam-open`, by id. */
// prettier-ignore
export const foamOpen: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"pu-foam-open","name":"Open-cell polyurethane foam","family":"foam-open","summary":"Cushion foam for padding: soft, breathes a little, soaks up water.","synonyms":{"en":["upholstery foam","sofa foam","cushion foam","sponge foam"]},"roles":["padding","padding-soft"],"substrates":{"face":"pu-foam-open"},"cellType":"open","care":{"wash":"hand","dry":"line","iron":"none","note":"dries slowly: squeeze, do not wring","source":"common-practice","grade":"M"},"values":{"density":[{"unit":"kg/m3","min":15,"max":60,"method":"trade-page","source":"foam-densities","grade":"C","status":"unconfirmed","note":"packaging to high-resilience grades"},{"unit":"kg/m3","min":25,"max":35,"method":"trade-page","source":"foam-densities-2","grade":"C","status":"unconfirmed","note":"sofa cushions"}],"supportFactor":[{"unit":"1","min":1.5,"max":2.6,"method":"memory","source":"memory","grade":"M","status":"unconfirmed","note":"definition: PFA bulletin 4.3; the range itself is weakly sourced","inherit":true}]},"cautions":["hot-cut-fume","foam-dust","flame","heat-strain","knife"],"notes":["Firmness and density are independent: ask for both.","Never cut it with a hot wire."],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `dye`, by id. */
// prettier-ignore
export const dye: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("dye", [
  {"id":"acid-dye","name":"Acid dye","summary":"For wool, silk and nylon.","roles":["dye"],"colour":{"hiding":"transparent","film":"none","carrier":"water","fibres":["wool","silk","nylon","leather"],"source":"common-practice","grade":"M"},"values":{"dyeTemperature":[{"max":100,"method":"trade-page","source":"dye-faq","grade":"C","status":"unconfirmed","note":"nylon"}]},"cautions":["dye"]},
  {"id":"basic-dye","name":"Basic dye","summary":"For acrylic and modacrylic; strong and staining.","roles":["dye"],"colour":{"hiding":"transparent","film":"none","carrier":"water","fibres":["acrylic","modacrylic"],"source":"common-practice","grade":"M"},"cautions":["dye"]},
  {"id":"direct-dye","name":"All-purpose dye","summary":"Mixture of direct and acid dye for cotton, viscose, nylon, wool.","roles":["dye"],"colour":{"hiding":"transparent","film":"none","carrier":"water","fibres":["cotton","linen","viscose","nylon","wool","silk"],"source":"common-practice","grade":"M"},"cautions":["dye"]},
  {"id":"disperse-dye","name":"Disperse dye","summary":"For polyester and acetate; needs heat that pile does not stand.","roles":["dye"],"colour":{"hiding":"transparent","film":"none","carrier":"water","fibres":["polyester","nylon","acrylic"],"source":"common-practice","grade":"M"},"notes":["The bath is hotter than acrylic pile stands."],"values":{"dyeTemperature":[{"min":120,"max":130,"method":"literature","source":"britannica-dye","grade":"B","status":"provisional","note":"polyester under pressure; at the boil with a carrier"}]},"cautions":["dye"],"status":"provisional"},
  {"id":"reactive-dye","name":"Fibre-reactive dye","summary":"For cotton, linen, viscose; cold bath with soda.","roles":["dye"],"colour":{"hiding":"transparent","film":"none","carrier":"water","fibres":["cotton","linen","viscose","kapok","paper"],"source":"common-practice","grade":"M"},"cautions":["dye"]},
]);

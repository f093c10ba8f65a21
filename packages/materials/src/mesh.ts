// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `mesh`, by id. */
// prettier-ignore
export const mesh: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("mesh", [
  {"id":"athletic-mesh","name":"Athletic mesh","summary":"Holed polyester knit without elastane: vents, linings.","roles":["vent","lining"],"substrates":{"face":"power-mesh"},"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}],"care":{"wash":"machine","dry":"line","iron":"none","source":"common-practice","grade":"M"},"cautions":["flame"]},
  {"id":"needle-mesh-plastic","name":"Plastic canvas mesh","summary":"Stiff moulded grid: pads for bases, eyes, soles.","roles":["stiffener","see-through"],"fibres":[{"part":"whole","fibre":"polyethylene"}],"cautions":["vision"]},
  {"id":"power-mesh","name":"Power mesh","summary":"Open knit with elastane: linings, pad pockets, vents.","synonyms":{"en":["power net","stretch mesh"]},"roles":["vent","lining-stretch","sleeve-stretch"],"substrates":{"face":"power-mesh"},"fibres":[{"part":"whole","fibre":"nylon"},{"part":"whole","fibre":"elastane"}],"care":{"wash":"hand","dry":"line","iron":"none","source":"common-practice","grade":"M"},"values":{"stretchAlong":[{"min":40,"max":90,"conditions":{"load":"hand"}}],"stretchAcross":[{"min":40,"max":90,"conditions":{"load":"hand"}}],"elastaneContent":[{"min":10,"max":20,"method":"trade-page","source":"mesh-guide","grade":"C","status":"unconfirmed"}]},"cautions":["compression"]},
  {"id":"see-through-mesh","name":"See-through mesh","summary":"Coarse dark mesh to look through: eyes, mouths.","synonyms":{"en":["eye mesh"]},"roles":["see-through","vent"],"fibres":[{"part":"whole","fibre":"polyester"},{"part":"whole","fibre":"cotton"}],"notes":["Try it with the lamp behind you: backlight makes it opaque."],"cautions":["vision","flame","cyanoacrylate-fibre"]},
  {"id":"spacer-mesh","name":"Spacer mesh","summary":"Two mesh faces with upright threads between: lets air move under padding.","synonyms":{"en":["3D mesh","sandwich mesh"]},"roles":["vent","padding-breathable"],"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}],"care":{"wash":"machine","dry":"line","iron":"none","source":"common-practice","grade":"M"},"cautions":["flame"]},
  {"id":"tulle","name":"Tulle","summary":"Fine stiff net: sewing aids, shape under cloth.","roles":["stiffener","vent"],"fibres":[{"part":"whole","fibre":"nylon"},{"part":"whole","fibre":"polyester"}],"cautions":["flame"]},
]);

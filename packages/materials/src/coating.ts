// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `coating`, by id. */
// prettier-ignore
export const coating: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("coating", [
  {"id":"acrylic-clear","name":"Acrylic clear coat","summary":"Water-borne matt or gloss.","roles":["topcoat"],"colour":{"hiding":"transparent","film":"flexible","carrier":"water","source":"common-practice","grade":"M"}},
  {"id":"acrylic-gesso","name":"Gesso","summary":"White acrylic ground: gives paint a hold and hides dark foam.","roles":["primer"],"colour":{"hiding":"opaque","film":"stiff","carrier":"water","source":"common-practice","grade":"M"}},
  {"id":"flame-retardant-spray","name":"Flame retardant treatment","summary":"Salt or polymer treatment for cloth; washes out, changes the feel; proves nothing without a test.","roles":["treatment"],"colour":{"hiding":"transparent","film":"none","carrier":"water","source":"common-practice","grade":"M"},"regionNotes":[{"region":"US","rule":"nfpa-701"}],"notes":["Ask the venue which test it wants and have it done on the finished layers."],"cautions":["flame"]},
  {"id":"latex-coating","name":"Latex rubber coating","summary":"Brushed latex: skins, soles of soft paws.","roles":["seal","skin-smooth"],"colour":{"hiding":"semi-opaque","film":"flexible","carrier":"water","source":"common-practice","grade":"M"},"allergens":{"latex":"contains"},"cautions":["latex","ammonia","rubber-accel"]},
  {"id":"plastic-primer","name":"Adhesion primer for plastics","summary":"Solvent primer that gives paint and glue a hold on waxy plastics.","roles":["primer"],"colour":{"hiding":"transparent","film":"none","carrier":"solvent","source":"common-practice","grade":"M"},"cautions":["solvent-vapour","flammable"]},
  {"id":"polyurethane-clear-2k","name":"Two-part polyurethane clear coat","summary":"Hard clear with isocyanate hardener: not for spraying at home.","roles":["topcoat"],"colour":{"hiding":"transparent","film":"stiff","carrier":"solvent","source":"common-practice","grade":"M"},"components":[{"cas":"822-06-0","name":"hexamethylene diisocyanate","source":"hci-2021","grade":"A"}],"regionNotes":[{"region":"EU","rule":"reach-xvii-74"},{"region":"EU","rule":"eu-98-24-nco"}],"cautions":["isocyanate","solvent-vapour","flammable","airbrush"]},
  {"id":"polyurethane-clear-water","name":"Polyurethane clear coat, water-borne","summary":"Tougher water-borne clear for hooves.","roles":["topcoat"],"colour":{"hiding":"transparent","film":"flexible","carrier":"water","source":"common-practice","grade":"M"}},
  {"id":"pva-seal","name":"White glue seal coat","summary":"Thinned PVA on foam and card; cracks when bent.","roles":["primer","seal"],"colour":{"hiding":"transparent","film":"stiff","carrier":"water","source":"common-practice","grade":"M"}},
  {"id":"rubber-primer","name":"Rubber coating for foam","summary":"Brush-on liquid rubber: seals foam before paint.","roles":["primer","seal"],"colour":{"hiding":"opaque","film":"flexible","carrier":"water","source":"common-practice","grade":"M"},"allergens":{"latex":"unknown"},"cautions":["latex","ammonia"]},
]);

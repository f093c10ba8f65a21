// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";

/** Entries of the family `frame`, by id. */
// prettier-ignore
export const frame: readonly MaterialEntry[] = [
  {"schemaVersion":1,"id":"metal-wire","name":"Steel or aluminium wire, boning, rivets","family":"frame","summary":"Metal parts of a frame, the general entry.","roles":["frame"],"substrates":{"face":"metal-wire"},"values":{"density":[{"unit":"kg/m3","min":2700,"max":7850,"method":"memory","source":"memory","grade":"M","status":"unconfirmed"}]},"allergens":{"nickel":"unknown"},"cautions":["wire-ends","nickel"],"regionNotes":[{"region":"EU","rule":"reach-xvii-27"}],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
  {"schemaVersion":1,"id":"wood","name":"Wood or cork","family":"frame","summary":"Solid wood, plywood or cork for cores and bases.","roles":["core","frame","sole"],"substrates":{"face":"wood"},"values":{"density":[{"unit":"kg/m3","min":100,"max":800,"method":"memory","source":"memory","grade":"M","status":"unconfirmed"}]},"cautions":["foam-dust"],"status":"unconfirmed","listVersionAdded":"0.1.0","lastReviewed":"2026-11-25"},
];

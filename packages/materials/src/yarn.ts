// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import type { MaterialEntry } from "./entry/types";
import { unpackEntries } from "./entry/unpack";

/** Entries of the family `yarn`, by id. */
// prettier-ignore
export const yarn: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("yarn", [
  {"id":"cotton-thread","name":"Cotton sewing thread","summary":"For cloth that will be dyed with cotton dye.","roles":["thread"],"fibres":[{"part":"whole","fibre":"cotton","percentMin":100,"percentMax":100}],"cautions":["cyanoacrylate-fibre"]},
  {"id":"embroidery-thread","name":"Embroidery thread","summary":"Whiskers, noses, stitched lines.","roles":["thread","detail"],"fibres":[{"part":"whole","fibre":"cotton"},{"part":"whole","fibre":"viscose"},{"part":"whole","fibre":"polyester"}],"cautions":["cyanoacrylate-fibre"]},
  {"id":"nylon-upholstery-thread","name":"Nylon upholstery thread","summary":"Strong bonded thread for load seams and fur.","roles":["thread"],"fibres":[{"part":"whole","fibre":"nylon","percentMin":100,"percentMax":100}]},
  {"id":"polyester-thread","name":"Polyester sewing thread","summary":"All-purpose thread.","roles":["thread"],"fibres":[{"part":"whole","fibre":"polyester","percentMin":100,"percentMax":100}]},
  {"id":"synthetic-hair","name":"Synthetic wig fibre","summary":"Long fibre for manes and beards.","roles":["hair"],"fibres":[{"part":"whole","fibre":"modacrylic"},{"part":"whole","fibre":"polypropylene"}],"regionNotes":[{"region":"EU","rule":"en-71-2"}],"notes":["Some kinds take heat by their label, others melt."],"cautions":["flame","hot-glue-burn"]},
  {"id":"textured-stretch-thread","name":"Textured stretch thread","summary":"Soft bulky thread for overlock seams that stretch.","synonyms":{"en":["woolly nylon"]},"roles":["thread","thread-stretch"],"fibres":[{"part":"whole","fibre":"nylon"},{"part":"whole","fibre":"polyester"}]},
  {"id":"waxed-thread","name":"Waxed thread","summary":"Hand sewing of leather and foam.","roles":["thread"],"fibres":[{"part":"whole","fibre":"polyester"},{"part":"whole","fibre":"linen"}],"cautions":["cyanoacrylate-fibre"]},
  {"id":"worsted-yarn","name":"Knitting yarn, worsted weight","summary":"Manes, tufts, tail tips.","roles":["hair"],"fibres":[{"part":"whole","fibre":"acrylic"},{"part":"whole","fibre":"wool"}],"values":{"linearDensity":[{"min":450,"max":550,"note":"180-220 m per 100 g: read the label"}]},"cautions":["flame","cyanoacrylate-fibre"]},
]);

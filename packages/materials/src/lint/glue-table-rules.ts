import { asList, asObject, asTexts, shownAs } from "./loose";
import type { TableFault } from "./shared";

const RATED = ["recommended", "workable-with-care", "avoid", "damages"];
/** Reasons with which nothing can be recommended. */
const SPOILING = ["HEAT", "SOLV", "EXO_CELL", "LSE"];
/** Cotton, wool and the glues that cure on them in a rush. */
const RUSH = {
  adhesives: ["cyanoacrylate", "cyanoacrylate-tough"],
  substrates: ["cotton-canvas", "wool-felt"],
};

/** Checks the glue table: complete, every cell with known codes and a basis, and no rating that a measurement forbids. */
export function checkGlueTable(value: unknown): TableFault[] {
  const table = asObject(value);
  const cells = asObject(table?.["cells"]);
  const reasons = Object.keys(asObject(table?.["reasons"]) ?? {});
  const ids = (key: string) => asList(table?.[key]).map((item) => shownAs(asObject(item)?.["id"]));
  return ids("adhesives").flatMap((adhesive) =>
    ids("substrates").flatMap((substrate) => {
      const path = ["cells", adhesive, substrate];
      const cell = asObject(asObject(cells?.[adhesive])?.[substrate]);
      if (!cell)
        return [
          {
            path,
            message: `${adhesive} on ${substrate} is not rated.`,
            fix: "Rate the pair, with codes and basis.",
          },
        ];
      return cellFaults(adhesive, substrate, cell, reasons, path);
    }),
  );
}

function cellFaults(
  adhesive: string,
  substrate: string,
  cell: { readonly [key: string]: unknown },
  reasons: readonly string[],
  path: readonly (string | number)[],
): TableFault[] {
  const pair = `${adhesive} on ${substrate}`;
  const rating = shownAs(cell["rating"]);
  const codes = asTexts(cell["codes"]);
  const faults: TableFault[] = [];
  const say = (key: string, message: string, fix: string) =>
    faults.push({ path: [...path, key], message, fix });
  if (!RATED.includes(rating))
    say("rating", `${pair} has the rating "${rating}".`, `One of ${RATED.join(", ")}.`);
  if (codes.length === 0) say("codes", `${pair} gives no reason.`, "Add a reason code.");
  for (const code of codes)
    if (!reasons.includes(code))
      say("codes", `${pair} has the unknown code ${code}.`, "Use a code of reasons.");
  if (!["source", "derived", "common-practice"].includes(shownAs(cell["basis"])))
    say("basis", `${pair} does not say what its rating rests on.`, "source, derived or common-practice.");
  if (asTexts(cell["sources"]).length === 0)
    say("sources", `${pair} names no source.`, 'Name one, or "common-practice".');
  if (rating === "recommended")
    for (const code of codes)
      if (SPOILING.includes(code))
        say("rating", `${pair} is recommended in spite of ${code}.`, "Rate it lower.");
  if (RUSH.adhesives.includes(adhesive) && RUSH.substrates.includes(substrate) && rating !== "damages")
    say(
      "rating",
      `${pair} is rated above "damages": 3 g on cotton reached 91 °C (Jacques et al. 2020).`,
      'Write "damages".',
    );
  return faults;
}

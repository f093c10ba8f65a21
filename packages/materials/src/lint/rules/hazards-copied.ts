import { H_STATEMENTS } from "../h-statements";
import { entryRule, findSource } from "../context";
import { asObject, asTexts, shownAs } from "../loose";

/** H and P codes exist and were copied from a dated data sheet or regulation. */
export const hazardsCopied = entryRule(
  "hazards-copied",
  "Hazard codes are copied from a dated data sheet.",
  ({ entry }, context) => {
    const hazards = asObject(entry["hazards"]);
    if (!hazards) return [];
    const unknown = asTexts(hazards["hStatements"]).flatMap((code, index) =>
      H_STATEMENTS.includes(code)
        ? []
        : [
            {
              path: ["hazards", "hStatements", index],
              message: `${code} is not a hazard statement of the list.`,
              fix: "Copy the code as the data sheet prints it.",
              found: code,
            },
          ],
    );
    const kind = findSource(entry, hazards["source"], context)?.["kind"];
    if (kind === undefined || kind === "safety-data-sheet" || kind === "regulation") return unknown;
    return [
      ...unknown,
      {
        path: ["hazards", "source"],
        message: `Hazard codes are copied from a safety data sheet or a regulation, not from a ${shownAs(kind)}.`,
        fix: "Name the data sheet and its date, or take the codes out: nobody assigns them here.",
      },
    ];
  },
);

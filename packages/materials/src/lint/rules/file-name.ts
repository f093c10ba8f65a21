import { shownAs } from "../loose";
import { entryRule } from "../context";

/** Ids never change, so the file is named after the id and lies in the folder of its family. */
export const fileName = entryRule(
  "file-name",
  "The id equals the file name, the family its folder.",
  (document) => {
    const { entry, stem, folder } = document;
    return [
      ...(entry["id"] === stem
        ? []
        : [
            {
              path: ["id"],
              message: `The id is ${JSON.stringify(entry["id"]) ?? "missing"} but the file is named ${stem}.json.`,
              fix: `Write "id": "${stem}", or rename the file.`,
              found: shownAs(entry["id"]),
              limit: stem,
              repair: (draft: Record<string, unknown>) => {
                draft["id"] = stem;
              },
            },
          ]),
      ...(folder === "" || entry["family"] === folder
        ? []
        : [
            {
              path: ["family"],
              message: `The family is ${JSON.stringify(entry["family"]) ?? "missing"} but the file lies in ${folder}.`,
              fix: "Move the file into the folder of its family.",
              found: shownAs(entry["family"]),
              limit: folder,
            },
          ]),
    ];
  },
);

import type { LintDocument, LintRule } from "../context";

/** No two files have the same id. */
export const uniqueId: LintRule = {
  id: "unique-id",
  asks: "No two files have the same id.",
  check: ({ documents }) => {
    const first = new Map<unknown, LintDocument>();
    return documents.flatMap((document) => {
      const id = document.entry["id"];
      const other = first.get(id);
      if (!other) {
        first.set(id, document);
        return [];
      }
      return [
        {
          document,
          path: ["id"],
          message: `The id ${JSON.stringify(id) ?? "(none)"} is also that of ${other.path}.`,
          fix: "Give one of them a new id and file name.",
        },
      ];
    });
  },
};

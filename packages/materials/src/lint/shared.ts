import { isPeltryError, type Issue } from "@peltry/issues";
import { bannedWords } from "../check/banned-words";
import { isCasNumber } from "../check/cas-number";
import { readJson, type JsonDocument } from "./json-text";
import { allTexts, asList, asObject, asTexts, shownAs } from "./loose";
import { checkGlueTable } from "./glue-table-rules";

/** A fault of a shared table before it has a file and line. */
export interface TableFault {
  readonly path: readonly (string | number)[];
  readonly message: string;
  readonly fix: string;
}

/** Checks one of the tables that entries share: words everywhere, and the rules of its kind. */
export function lintShared(file: { readonly path: string; readonly text: string }): Issue[] {
  let document: JsonDocument;
  try {
    document = readJson(file.text, file.path);
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    return error.issues.map((issue) => ({ ...issue, at: { ...issue.at, path: [] } }));
  }
  const name = (file.path.split("/").at(-1) ?? "").replace(/\.json$/, "");
  const faults = [
    ...wordFaults(document.value),
    ...(Object.hasOwn(TABLES, name) ? TABLES[name]!(document.value) : []),
  ];
  return faults.map(({ path, message, fix }) => ({
    code: `materials/lint-shared-${name}`,
    severity: "error" as const,
    message,
    at: { file: file.path, ...document.placeOf(path), path },
    fix,
  }));
}

const TABLES: Readonly<Record<string, (value: unknown) => TableFault[]>> = {
  adhesion: checkGlueTable,
  cautions: (value) => {
    const list = asList(asObject(value)?.["cautions"]);
    return list.flatMap((caution, index) => {
      const stops = asTexts(asObject(caution)?.["stopOn"]);
      const lowers = asTexts(asObject(caution)?.["lower"]);
      const path = ["cautions", index];
      return [
        ...(stops.length > 0
          ? []
          : [{ path, message: "A caution names no sign to stop on.", fix: "Add stopOn." }]),
        ...(lowers.length > 0
          ? []
          : [{ path, message: "A caution does not say how to lower the risk.", fix: "Add lower." }]),
      ];
    });
  },
  substances: (value) =>
    asList(value).flatMap((item, index) => {
      const substance = asObject(item);
      const cas = shownAs(substance?.["cas"]);
      const undated = asList(substance?.["limits"]).flatMap((limit, at) =>
        typeof asObject(limit)?.["body"] === "string" && typeof asObject(limit)?.["year"] === "string"
          ? []
          : [
              {
                path: [index, "limits", at],
                message: "A limit has no body or year.",
                fix: "Limits change: give both.",
              },
            ],
      );
      if (isCasNumber(cas)) return undated;
      return [
        ...undated,
        { path: [index, "cas"], message: `${cas} is not a CAS number.`, fix: "Copy it again." },
      ];
    }),
  sources: (value) => {
    const ids = asList(value).map((source) => asObject(source)?.["id"]);
    return ids.flatMap((id, index) =>
      ids.indexOf(id) === index
        ? []
        : [{ path: [index, "id"], message: `The source "${shownAs(id)}" stands twice.`, fix: "Keep one." }],
    );
  },
};

function wordFaults(value: unknown): TableFault[] {
  return allTexts(value).flatMap(({ text, path }) =>
    bannedWords(text).map((word) => ({
      path,
      message: `The word "${word}" promises what nobody can promise.`,
      fix: "Say what can happen and how to lower it.",
    })),
  );
}

import { PeltryError, type Issue, type Place } from "@peltry/issues";
import { isAlias, isNode, LineCounter, parseDocument, type Document } from "yaml";
import type * as z from "zod";
import { projectSchema, type Project } from "./schema";

/** A project with the means to say where a value stands in its file. */
export interface ReadProject {
  readonly project: Project;
  /** Line and column of a value. */
  readonly place: (path: readonly (string | number)[]) => Place;
}

const LARGEST_FILE = 2_000_000;

/**
 * Reads a project file.
 *
 * @param text - YAML 1.2
 * @param file - its name, for messages
 * @throws `project/not-yaml` for text that is no YAML, `project/invalid` with every fault that the schema finds,
 * `project/too-large` over 2 MB; each issue has line and column and a mend
 */
export function readProject(text: string, file: string): ReadProject {
  if (text.length > LARGEST_FILE) {
    throw new PeltryError({
      code: "project/too-large",
      severity: "error",
      message: `The project file has ${text.length} characters.`,
      at: { file },
      found: text.length,
      limit: LARGEST_FILE,
      fix: "Keep meshes in files of their own and name them in the project.",
    });
  }
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, uniqueKeys: true });
  if (document.errors.length > 0)
    throw new PeltryError(document.errors.map((error) => yamlIssue(error, file, lines)));
  const place = (path: readonly (string | number)[]): Place => placeOf(document, lines, path, file);
  let data: unknown;
  try {
    data = document.toJS({ maxAliasCount: 50 });
  } catch (error) {
    throw new PeltryError({
      code: "project/not-yaml",
      severity: "error",
      message: `The file cannot be unfolded: ${String((error as Error).message)}.`,
      at: { file },
      fix: "Use few aliases, and none that contain themselves.",
    });
  }
  const parsed = projectSchema.safeParse(data);
  if (!parsed.success)
    throw new PeltryError(parsed.error.issues.flatMap((issue) => schemaIssues(issue, place)));
  return { project: parsed.data, place };
}

function yamlIssue(
  error: { code: string; message: string; pos: [number, number] },
  file: string,
  lines: LineCounter,
): Issue {
  const at = lines.linePos(error.pos[0]);
  const fixes: Record<string, string> = {
    TAB_AS_INDENT: "Indent with spaces, not tabs.",
    BAD_INDENT: "Line up the keys of one block.",
    DUPLICATE_KEY: "Keep one of the two keys.",
  };
  return {
    code: "project/not-yaml",
    severity: "error",
    message: `${error.message}.`.replace(/\.\.$/, "."),
    at: { file, line: at.line, column: at.col },
    fix: fixes[error.code] ?? "Check the indentation, quotes and brackets just before this place.",
  };
}

function placeOf(
  document: Document,
  lines: LineCounter,
  path: readonly (string | number)[],
  file: string,
): Place {
  // The value may be missing: then its nearest parent stands for it.
  for (let depth = path.length; depth >= 0; depth--) {
    const node: unknown = depth === 0 ? document.contents : document.getIn(path.slice(0, depth), true);
    if (isNode(node) && !isAlias(node) && node.range) {
      const at = lines.linePos(node.range[0]);
      return { file, line: at.line, column: at.col, path: [...path] };
    }
  }
  return { file, path: [...path] };
}

function schemaIssues(
  issue: z.core.$ZodIssue,
  place: (path: readonly (string | number)[]) => Place,
): Issue[] {
  const path = issue.path.map((key) => (typeof key === "symbol" ? String(key) : key));
  const base = { code: "project/invalid", severity: "error" as const };
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({
      ...base,
      message: `"${key}" is not a key that is known here.`,
      at: place([...path, key]),
      fix: "Check its spelling; `peltry init` writes a project with every key explained.",
    }));
  }
  if (issue.code === "invalid_union" && "discriminator" in issue && issue.discriminator) {
    return [
      {
        ...base,
        message: `This kind of part is not known.`,
        at: place(path),
        fix: "Known kinds: leg, boot-cover, scan, tail, ears, horn, headband, hood, half-mask.",
      },
    ];
  }
  const missing = issue.code === "invalid_type" && issue.input === undefined;
  const key = path[path.length - 1];
  return [
    {
      ...base,
      message: missing ? `"${String(key)}" is missing.` : `"${path.join(".")}": ${issue.message}.`,
      at: place(path),
      fix: missing ? `Add "${String(key)}:" here.` : "Correct the value.",
    },
  ];
}

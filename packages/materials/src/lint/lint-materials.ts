import { isPeltryError, type Issue } from "@peltry/issues";
import { createContext, type Finding, type LintDocument, type Loose } from "./context";
import { formatEntry } from "./format-entry";
import { readJson } from "./json-text";
import { asObject } from "./loose";
import { RULES } from "./rules";
import { lintShared } from "./shared";

/** A file of the catalogue: its path (`foam-open/my-foam.json`, any folders before it) and its text. */
export interface LintFile {
  readonly path: string;
  readonly text: string;
}

/** Options of {@link lintMaterials}. */
export interface LintOptions {
  /** Mend what can be mended; the new texts come back in `fixed`. */
  readonly fix?: boolean;
  /** Look only at the given files: do not take the shipped catalogue as known. */
  readonly alone?: boolean;
}

/** What {@link lintMaterials} gives. */
export interface LintResult {
  /** One issue a fault, by file and line; after mending, only what is left. */
  readonly issues: readonly Issue[];
  /** Files that were mended, with their new text. */
  readonly fixed: readonly LintFile[];
  /** Number of files that were looked at. */
  readonly files: number;
}

/** Mending can uncover a further fault that can be mended; more rounds than this never help. */
const MOST_ROUNDS = 4;

/**
 * Checks entries of the catalogue: shape, sources, statuses, units, ids across files, hazards, words.
 * One message a fault, with file, line, column, path and the mend. Never throws for what is in the files.
 *
 * @param files entries, and the tables of the folder `shared` where they are to be checked too
 * @remarks Browser-safe: the caller reads the files. About a millisecond a file.
 */
export function lintMaterials(files: readonly LintFile[], options: LintOptions = {}): LintResult {
  let current = files;
  const fixed = new Map<string, string>();
  for (let round = 0; ; round += 1) {
    const { findings, broken } = findAll(current, options.alone === true);
    const repairs =
      options.fix === true && round < MOST_ROUNDS ? repairAll(findings) : new Map<string, string>();
    if (repairs.size === 0) {
      const issues = [...broken, ...findings.map(issueOf)];
      return {
        issues: sortIssues(issues),
        fixed: [...fixed].map(([path, text]) => ({ path, text })),
        files: files.length,
      };
    }
    for (const [path, text] of repairs) fixed.set(path, text);
    current = current.map((file) => ({ path: file.path, text: repairs.get(file.path) ?? file.text }));
  }
}

interface RuledFinding extends Finding {
  readonly rule: string;
}

function findAll(files: readonly LintFile[], alone: boolean): { findings: RuledFinding[]; broken: Issue[] } {
  const broken: Issue[] = [];
  const documents: LintDocument[] = [];
  for (const file of files) {
    if (folderOf(file.path) === "shared") {
      broken.push(...lintShared(file));
      continue;
    }
    try {
      documents.push(openFile(file));
    } catch (error) {
      if (!isPeltryError(error)) throw error;
      broken.push(
        ...error.issues.map((issue) => ({ ...issue, at: { ...issue.at, path: issue.at.path ?? [] } })),
      );
    }
  }
  const context = createContext(documents, alone);
  const findings = RULES.flatMap((rule) =>
    rule.check(context).map((finding) => ({ ...finding, rule: rule.id })),
  );
  return { findings, broken };
}

function folderOf(path: string): string {
  return path.split("/").at(-2) ?? "";
}

function openFile(file: LintFile): LintDocument {
  const document = readJson(file.text, file.path);
  return {
    path: file.path,
    folder: folderOf(file.path),
    stem: (file.path.split("/").at(-1) ?? "").replace(/\.json$/, ""),
    text: file.text,
    document,
    entry: asObject(document.value) ?? ({} as Loose),
  };
}

function repairAll(findings: readonly RuledFinding[]): Map<string, string> {
  const drafts = new Map<LintDocument, Record<string, unknown>>();
  for (const { document, repair } of findings) {
    // A file that holds no object has nothing to mend.
    if (!document || !repair || asObject(document.document.value) === undefined) continue;
    const draft =
      drafts.get(document) ?? (JSON.parse(document.text.replace(/^\uFEFF/, "")) as Record<string, unknown>);
    repair(draft);
    drafts.set(document, draft);
  }
  const texts = [...drafts].map(
    ([document, draft]) => [document.path, formatEntry(draft), document.text] as const,
  );
  return new Map(texts.filter(([, text, old]) => text !== old).map(([path, text]) => [path, text]));
}

function issueOf({ rule, document, path, message, fix, severity, found, limit }: RuledFinding): Issue {
  return {
    code: `materials/lint-${rule}`,
    severity: severity ?? "error",
    message,
    at: { ...(document ? { file: document.path, ...document.document.placeOf(path) } : {}), path },
    fix,
    ...(found === undefined ? {} : { found }),
    ...(limit === undefined ? {} : { limit }),
  };
}

function sortIssues(issues: Issue[]): Issue[] {
  const text = (issue: Issue) => issue.at.file ?? "";
  return issues
    .map((issue, order) => ({ issue, order }))
    .sort(
      (a, b) =>
        (text(a.issue) < text(b.issue) ? -1 : text(a.issue) > text(b.issue) ? 1 : 0) ||
        (a.issue.at.line ?? 0) - (b.issue.at.line ?? 0) ||
        a.order - b.order,
    )
    .map(({ issue }) => issue);
}

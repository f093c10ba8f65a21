import { issueText, type Issue, type Place } from "./issue";

const MARK = Symbol.for("peltry.error");

/**
 * The one error class: wraps one or more issues, the first being the main one.
 * Recognise it with {@link isPeltryError}, which also works across copies of this package.
 * `structuredClone` strips any error of its own fields: send `error.issues` to or from a worker and
 * rebuild with `new PeltryError(issues)`.
 */
export class PeltryError extends Error {
  readonly [MARK] = true;
  /** Stable code of the first issue, such as `flatten/not-a-disk`. */
  readonly code: string;
  /** Plain, cloneable data. */
  readonly issues: readonly Issue[];

  constructor(issues: Issue | readonly Issue[]) {
    const list = (Array.isArray(issues) ? issues : [issues]) as readonly Issue[];
    super(list.map(issueText).join("\n"));
    this.name = "PeltryError";
    this.issues = list;
    this.code = list[0]?.code ?? "issues/none";
  }

  toJSON(): { name: string; code: string; issues: readonly Issue[] } {
    return { name: this.name, code: this.code, issues: this.issues };
  }
}

/** True for a {@link PeltryError} of any copy of this package. */
export function isPeltryError(value: unknown): value is PeltryError {
  return typeof value === "object" && value !== null && (value as { [MARK]?: unknown })[MARK] === true;
}

/** Throws one error-level issue. */
export function fail(code: string, message: string, at: Place = {}, more: Partial<Issue> = {}): never {
  throw new PeltryError({ code, severity: "error", message, at, ...more });
}

import { fail, PeltryError, type Issue } from "@peltry/issues";
import type { Panel, Pattern } from "../types";

// Whether a value has the form of a pattern at all: lists where lists belong, texts where texts do. For those who call
// from plain JavaScript; readPattern of the schema entry says more, and brings its library along.

type Tell = (path: readonly (string | number)[], wanted: string, found: unknown) => void;
type Form = (value: unknown, path: readonly (string | number)[], tell: Tell) => void;

const plain =
  (type: "string" | "number" | "boolean", wanted: string): Form =>
  (value, path, tell) => {
    if (typeof value !== type) tell(path, wanted, value);
  };
const text = plain("string", "a text");
const number = plain("number", "a number");
const flag = plain("boolean", "true or false");

const maybe =
  (form: Form): Form =>
  (value, path, tell) => {
    if (value !== undefined) form(value, path, tell);
  };

const list =
  (form: Form): Form =>
  (value, path, tell) => {
    if (!Array.isArray(value)) tell(path, "a list", value);
    else value.forEach((one, i) => form(one, [...path, i], tell));
  };

const object =
  (fields: Readonly<Record<string, Form>>): Form =>
  (value, path, tell) => {
    if (typeof value !== "object" || value === null) tell(path, "an object", value);
    else {
      for (const [key, form] of Object.entries(fields))
        form((value as Record<string, unknown>)[key], [...path, key], tell);
    }
  };

/** Only that they are pairs: what is in them is told by the checks of outlines, with the edge. */
const points: Form = (value, path, tell) => {
  if (!Array.isArray(value)) tell(path, "a list of points", value);
  else {
    const bad = value.findIndex((p) => !Array.isArray(p));
    if (bad >= 0) tell([...path, bad], "a pair of numbers", value[bad]);
  }
};
const point: Form = (value, path, tell) => {
  if (!Array.isArray(value)) tell(path, "a pair of numbers", value);
};

const edge = object({
  ...{ id: text, role: text, points, seam: maybe(text), name: maybe(text) },
  notches: maybe(list(object({ at: number, kind: text, match: maybe(text) }))),
});
const dart = object({ id: text, legs: list(text), tip: point, intake: number, length: number });
const marking = object({ id: text, kind: text, points, label: maybe(text), fabric: maybe(text) });
const side = object({ panel: text, edge: text });
const seam = object({
  ...{ id: text, letter: text, a: side, b: side },
  matchPoints: list(object({ id: text, a: number, b: number })),
});
const panel = object({
  ...{ id: text, name: text, fabric: text, edges: list(edge), holes: maybe(list(list(edge))) },
  ...{ darts: list(dart), markings: list(marking), notes: maybe(list(text)) },
  ...{ pile: maybe(number), stretch: maybe(number), grain: maybe(number) },
  ...{ count: number, mirrored: flag },
});
const fabric = object({ id: text, name: text, pileMm: maybe(number) });
const pattern = object({
  ...{ name: text, panels: list(panel), seams: list(seam), fabrics: maybe(list(fabric)) },
});

const TOLD = 5;

function faults(form: Form, value: unknown, at: Issue["at"]): Issue[] {
  const issues: Issue[] = [];
  form(value, [], (path, wanted, found) => {
    if (issues.length >= TOLD) return;
    const what = found === null ? "null" : Array.isArray(found) ? "a list" : typeof found;
    issues.push({
      code: "pattern/bad-form",
      severity: "error",
      message: `${path.length > 0 ? path.join(".") : "This"} is ${what === "undefined" ? "missing" : what}; ${wanted} belongs there.`,
      at: { ...at, path },
      found: what,
      limit: wanted,
      fix: "Build it by the types of @peltry/pattern, or read it with readPattern, which names every field.",
    });
  });
  return issues;
}

/** Where a value lacks the form of a pattern: `pattern/bad-form` with the path to each place; empty when it has it. */
export function patternFormFaults(value: unknown): Issue[] {
  return faults(pattern, value, {});
}

/**
 * Stops at what is not a pattern.
 *
 * @throws PeltryError `pattern/bad-form` with the path to each place
 */
export function assertPatternForm(value: unknown): asserts value is Pattern {
  const issues = patternFormFaults(value);
  if (issues.length > 0) throw new PeltryError(issues);
}

/**
 * Stops at what is not a panel.
 *
 * @throws PeltryError `pattern/bad-form` with the path to each place
 */
export function assertPanelForm(value: unknown): asserts value is Panel {
  const id = (value as { id?: unknown } | null | undefined)?.id;
  const issues = faults(panel, value, typeof id === "string" ? { panel: id } : {});
  if (issues.length > 0) throw new PeltryError(issues);
}

/** Stops at what is not a list of edges: the same for an outline without a panel. */
export function assertEdgesForm(value: unknown): void {
  const issues = faults(list(edge), value, {});
  if (issues.length > 0) throw new PeltryError(issues);
}

/**
 * Stops at options that are no object, or hold a number that is none or below zero.
 *
 * @throws PeltryError `pattern/bad-options`
 */
export function assertOptions(options: unknown): void {
  if (typeof options !== "object" || options === null || Array.isArray(options)) {
    fail(
      "pattern/bad-options",
      "The options are not an object.",
      {},
      { found: String(options), fix: "Pass an object, or leave them out." },
    );
  }
  for (const [key, value] of Object.entries(options)) {
    if (typeof value !== "number" || (Number.isFinite(value) && value >= 0)) continue;
    fail(
      "pattern/bad-options",
      `${key} is ${value}.`,
      { path: [key] },
      { found: String(value), limit: 0, fix: "Give a number of 0 or more." },
    );
  }
}

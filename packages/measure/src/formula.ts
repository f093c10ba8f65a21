import { power } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { shown } from "./check-number";
import { create, parseDependencies, type MathNode } from "mathjs/number";

/** What a formula may call, beside + − × ÷ ^ and brackets. Angles in degrees. */
const FUNCTIONS: ReadonlyMap<
  string,
  { readonly least: number; readonly most: number; readonly run: (...x: number[]) => number }
> = new Map([
  ["min", { least: 1, most: 16, run: Math.min }],
  ["max", { least: 1, most: 16, run: Math.max }],
  ["abs", { least: 1, most: 1, run: Math.abs }],
  ["sqrt", { least: 1, most: 1, run: Math.sqrt }],
  ["round", { least: 1, most: 1, run: Math.round }],
  ["floor", { least: 1, most: 1, run: Math.floor }],
  ["ceil", { least: 1, most: 1, run: Math.ceil }],
  ["sin", { least: 1, most: 1, run: (x) => Math.sin((x * Math.PI) / 180) }],
  ["cos", { least: 1, most: 1, run: (x) => Math.cos((x * Math.PI) / 180) }],
  ["tan", { least: 1, most: 1, run: (x) => Math.tan((x * Math.PI) / 180) }],
]);

/** Names of the functions that a formula may call. */
export const FORMULA_FUNCTIONS: readonly string[] = [...FUNCTIONS.keys()];

/** Caps on a formula: characters, brackets in brackets, steps of the calculation, powers, signs in a row. */
export const FORMULA_LIMITS = Object.freeze({ length: 240, depth: 24, steps: 240, powers: 2, signs: 3 });

const CONSTANTS: ReadonlyMap<string, number> = new Map([["pi", Math.PI]]);

/**
 * Value of a formula over named numbers, such as `0.5 * hip + max(ease, 20)`. Numbers only: the text is parsed, every
 * node is checked against a short list, and the tree is walked here, so that nothing in it is ever run as code.
 *
 * @param text + − * / ^, brackets, numbers, the names given, `pi`, and the functions of {@link FORMULA_FUNCTIONS}
 * (angles in degrees)
 * @param values numbers by name
 * @returns a finite number
 * @throws formula/too-long, formula/too-deep, formula/bad-text, formula/not-allowed, formula/unknown-name,
 * formula/not-finite; each within 10 ms
 */
export function evaluateFormula(text: string, values: Readonly<Record<string, number>> = {}): number {
  checkText(text);
  screen(text, values);
  let tree: MathNode;
  try {
    tree = parser()(text);
  } catch (error) {
    fail(
      "formula/bad-text",
      `The formula does not read: ${String((error as Error).message).slice(0, 80)}.`,
      { path: [text] },
      {
        found: text,
        fix: "Check brackets and signs.",
      },
    );
  }
  let steps = 0;
  const walk = (node: Checked, depth: number): number => {
    if (++steps > FORMULA_LIMITS.steps || depth > FORMULA_LIMITS.depth * 2) {
      fail(
        "formula/too-deep",
        "The formula has too many parts.",
        { path: [text] },
        { limit: FORMULA_LIMITS.steps, fix: "Split it in two." },
      );
    }
    switch (node.type) {
      case "ConstantNode":
        return typeof node.value === "number" ? node.value : refuse(text, "a constant that is no number");
      case "ParenthesisNode":
        return walk(node.content!, depth + 1);
      case "SymbolNode":
        return lookUp(text, node.name!, values);
      case "OperatorNode":
        return operate(
          text,
          node,
          node.args!.map((each) => walk(each, depth + 1)),
        );
      case "FunctionNode":
        return call(text, node, () => node.args!.map((each) => walk(each, depth + 1)));
      default:
        return refuse(text, node.type);
    }
  };
  const value = walk(tree as unknown as Checked, 0);
  if (Number.isFinite(value)) return value;
  fail(
    "formula/not-finite",
    "The formula gives no finite number.",
    { path: [text] },
    { found: String(value), fix: "Look for a division by zero or a root of a negative number." },
  );
}

let made: ((text: string) => MathNode) | undefined;

/** The parser alone, without the functions of the library: a third of its size. Made at first use. */
function parser(): (text: string) => MathNode {
  made ??= (create({ parseDependencies }) as unknown as { parse: (text: string) => MathNode }).parse;
  return made;
}

/** The parts of a parsed node that are looked at. */
interface Checked {
  readonly type: string;
  readonly value?: unknown;
  readonly name?: string;
  readonly op?: string;
  readonly content?: Checked;
  readonly args?: readonly Checked[];
  readonly fn?: Checked | string;
}

function checkText(text: string): void {
  if (typeof text !== "string") {
    fail("formula/bad-text", "A formula is a text.", {}, { found: typeof text, fix: "Write it in quotes." });
  }
  if (text.length > FORMULA_LIMITS.length) {
    fail(
      "formula/too-long",
      `The formula has ${text.length} characters.`,
      {},
      { found: text.length, limit: FORMULA_LIMITS.length, fix: "Split it in two." },
    );
  }
  const odd = /[^A-Za-z0-9_.,+\-*/^() ]/.exec(text);
  if (odd) {
    fail(
      "formula/not-allowed",
      `“${odd[0]}” has no place in a formula.`,
      { path: [text], index: odd.index },
      {
        found: odd[0],
        limit: "numbers, names, + - * / ^ ( ) and commas",
        fix: "Leave it out.",
      },
    );
  }
  // The parser recurses: refuse towers of brackets, signs and powers before it sees them.
  let depth = 0;
  for (const sign of text) {
    if (sign === "(") depth++;
    if (sign === ")") depth--;
    if (depth > FORMULA_LIMITS.depth) {
      fail(
        "formula/too-deep",
        "The formula has too many brackets in brackets.",
        { path: [text] },
        { limit: FORMULA_LIMITS.depth, fix: "Split it in two." },
      );
    }
  }
}

/** Looks at words and signs before the parser is asked, so that hostile text is turned away in well under a millisecond. */
function screen(text: string, values: Readonly<Record<string, number>>): void {
  const powers = text.split("^").length - 1;
  if (powers > FORMULA_LIMITS.powers || /(?:[-+*/^] *){4}/.test(text)) {
    fail(
      "formula/too-deep",
      "The formula has too many powers, or too many signs in a row.",
      { path: [text] },
      {
        found: powers,
        limit: `${FORMULA_LIMITS.powers} powers, ${FORMULA_LIMITS.signs} signs`,
        fix: "Write it more plainly.",
      },
    );
  }
  for (const [, word, bracket] of text.matchAll(/(?<![0-9.A-Za-z_])([A-Za-z_][A-Za-z0-9_.]*) *(\(?)/g)) {
    if (word.includes(".")) refuse(text, `a property: ${word}`);
    const isValue = Object.hasOwn(values, word) || CONSTANTS.has(word);
    if (bracket && !isValue && !FUNCTIONS.has(word)) refuse(text, `a call of ${word}`);
    if (!bracket && !isValue && FUNCTIONS.has(word)) refuse(text, `${word} without brackets`);
    if (!bracket) lookUp(text, word, values);
  }
}

function refuse(text: string, what: string): never {
  fail(
    "formula/not-allowed",
    `A formula may not hold ${what.slice(0, 60)}.`,
    { path: [text] },
    {
      found: what.slice(0, 60),
      limit: `+ - * / ^ ( ) ${FORMULA_FUNCTIONS.join(" ")}`,
      fix: "Use plain arithmetic and the functions listed.",
    },
  );
}

function lookUp(text: string, name: string, values: Readonly<Record<string, number>>): number {
  if (Object.hasOwn(values, name)) {
    const value = values[name];
    if (typeof value === "number" && Number.isFinite(value)) return value;
    fail(
      "formula/not-finite",
      `${name} is no finite number.`,
      { path: [text] },
      { found: shown(value), fix: "Give it a value." },
    );
  }
  const constant = CONSTANTS.get(name);
  if (constant !== undefined) return constant;
  fail(
    "formula/unknown-name",
    `“${name.slice(0, 40)}” has no value here.`,
    { path: [text] },
    {
      found: name.slice(0, 40),
      limit: Object.keys(values).slice(0, 40).join(", "),
      fix: "Use one of the names listed.",
    },
  );
}

function operate(text: string, node: Checked, args: readonly number[]): number {
  const [a, b] = args;
  if (args.length === 1 && node.op === "-") return -a;
  if (args.length === 1 && node.op === "+") return a;
  if (args.length === 2) {
    switch (node.op) {
      case "+":
        return a + b;
      case "-":
        return a - b;
      case "*":
        return a * b;
      case "/":
        return a / b;
      case "^":
        return power(a, b);
    }
  }
  return refuse(text, `the sign ${String(node.op)}`);
}

function call(text: string, node: Checked, args: () => number[]): number {
  const name =
    typeof node.fn === "string" ? node.fn : node.fn?.type === "SymbolNode" ? node.fn.name : undefined;
  const known = name === undefined ? undefined : FUNCTIONS.get(name);
  if (!known) return refuse(text, `a call of ${name ?? "something that has no name"}`);
  const count = node.args!.length;
  if (count < known.least || count > known.most) return refuse(text, `${name} with ${count} values`);
  return known.run(...args());
}

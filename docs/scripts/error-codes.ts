import { readdirSync, readFileSync, existsSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";

/** A stable code as the sources use it. */
export interface ErrorCode {
  readonly code: string;
  /** Message with its filled-in places as …; empty where a helper makes it. */
  readonly message: string;
  readonly fix: string;
  /** Folder of the package. */
  readonly package: string;
}

/** Every `package/kebab-case` code that the sources throw or return, with the first message and mend that stand beside it. */
export function collectErrorCodes(packagesFolder: string): ErrorCode[] {
  const found = new Map<string, ErrorCode>();
  for (const name of readdirSync(packagesFolder).sort()) {
    const source = join(packagesFolder, name, "src");
    if (existsSync(source)) for (const file of sourceFiles(source)) collectFrom(file, name, found);
  }
  return [...found.values()].sort((a, b) => (a.code < b.code ? -1 : 1));
}

function sourceFiles(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((item) =>
      item.isDirectory()
        ? item.name === "generated"
          ? []
          : sourceFiles(join(folder, item.name))
        : item.name.endsWith(".ts")
          ? [join(folder, item.name)]
          : [],
    );
}

const CODE =
  /^(work|formula|issues|geometry|materials|measure|pattern|forms|flatten|seams|allowance|layout|print|peltry|project|wear|run)\/[a-z0-9]+(-[a-z0-9]+)*$/;

function collectFrom(file: string, owner: string, found: Map<string, ErrorCode>): void {
  const tree = ts.createSourceFile(file, readFileSync(file, "utf8"), ts.ScriptTarget.ES2022, true);
  const visit = (node: ts.Node): void => {
    const codes = codesOf(node);
    if (codes.length > 0) {
      const { message, fix } = wordsOf(node);
      for (const code of codes) {
        const known = found.get(code);
        if (known && (known.message !== "" || message === "") && (known.fix !== "" || fix === "")) continue;
        found.set(code, {
          code,
          message: known?.message || message,
          fix: known?.fix || fix,
          package: known?.package ?? owner,
        });
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(tree);
}

/** Codes named by a call's first argument or by a `code:` property. */
function codesOf(node: ts.Node): string[] {
  const from = (value: ts.Node | undefined): string[] => {
    if (!value) return [];
    if (ts.isStringLiteralLike(value)) return CODE.test(value.text) ? [value.text] : [];
    if (ts.isConditionalExpression(value)) return [...from(value.whenTrue), ...from(value.whenFalse)];
    return [];
  };
  if (ts.isCallExpression(node)) return node.arguments.flatMap((argument) => from(argument));
  if (ts.isObjectLiteralExpression(node)) return from(propertyOf(node, "code"));
  return [];
}

function propertyOf(node: ts.ObjectLiteralExpression, name: string): ts.Expression | undefined {
  for (const property of node.properties) {
    if (ts.isPropertyAssignment(property) && property.name.getText() === name) return property.initializer;
  }
  return undefined;
}

function wordsOf(node: ts.Node): { message: string; fix: string } {
  if (ts.isObjectLiteralExpression(node)) {
    return { message: plain(propertyOf(node, "message")), fix: plain(propertyOf(node, "fix")) };
  }
  if (!ts.isCallExpression(node)) return { message: "", fix: "" };
  let [message, fix] = ["", ""];
  for (const argument of node.arguments) {
    if (ts.isObjectLiteralExpression(argument)) {
      fix ||= plain(propertyOf(argument, "fix"));
      message ||= plain(propertyOf(argument, "message"));
    } else if (message === "") {
      const words = plain(argument);
      if (words.includes(" ")) message = words;
    }
  }
  return { message, fix };
}

/** Text of a string or template, with … where a value goes. */
function plain(node: ts.Node | undefined): string {
  if (!node) return "";
  if (ts.isStringLiteralLike(node)) return node.text;
  if (ts.isTemplateExpression(node)) {
    return node.head.text + node.templateSpans.map((span) => `…${span.literal.text}`).join("");
  }
  if (ts.isBinaryExpression(node) && node.operatorToken.kind === ts.SyntaxKind.PlusToken) {
    return plain(node.left) + plain(node.right);
  }
  if (ts.isConditionalExpression(node)) return plain(node.whenTrue) || plain(node.whenFalse);
  if (ts.isParenthesizedExpression(node)) return plain(node.expression);
  return "";
}

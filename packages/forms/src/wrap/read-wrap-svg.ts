import { SaxesParser } from "saxes";
import { fail, isPeltryError, type Issue } from "@peltry/issues";
import { compose, type Affine, type Run } from "./curve-runs";
import { parseLength, shapeRuns, type Attributes } from "./svg-shapes";
import { parseTransform } from "./svg-transform";
import { MOST_POINTS, toDrawing, type DrawingOptions, type WrapDrawing } from "./wrap-drawing";
import { sourceText } from "./read-source";

/** Elements whose content is only drawn when something refers to it. */
const HIDDEN = new Set([
  "defs",
  "symbol",
  "clippath",
  "mask",
  "pattern",
  "marker",
  "metadata",
  "style",
  "script",
  "filter",
  "text",
  "foreignobject",
]);

interface Level {
  readonly matrix: Affine;
  readonly hidden: boolean;
  readonly name: string;
}

interface Element {
  readonly tag: string;
  readonly attributes: Attributes;
  readonly line: number;
  readonly children: Element[];
}

/**
 * Reads the outlines of wrap pieces from an SVG drawing: paths and basic shapes through all transforms and groups,
 * `use` of parts of the same file, true size by the page's width and viewBox. y is turned up.
 *
 * @param source - the file's bytes or text
 * @throws `forms/bad-call` for another source or option, `forms/bad-svg`, `forms/bad-path` with the line; `forms/entities-refused` for a file that defines entities
 * @source W3C, Scalable Vector Graphics (SVG) 2, chapter 8 (coordinate systems); 96 px = 25.4 mm (CSS Values 3)
 */
export function readWrapSvg(source: Uint8Array | string, options: DrawingOptions = {}): WrapDrawing {
  const root = parseXml(sourceText(source, options));
  if (root.tag !== "svg")
    fail(
      "forms/bad-svg",
      `The file's first element is “${root.tag.slice(0, 30)}”, not svg.`,
      { line: root.line },
      { fix: "Save the drawing as plain SVG." },
    );
  const issues: Issue[] = [];
  const page = pageScale(root, options, issues);
  const runs: Run[] = [];
  const byId = new Map<string, Element>();
  collectIds(root, byId);
  const budget = { points: 0, uses: 0 };
  for (const child of root.children)
    draw(child, { matrix: page.matrix, hidden: false, name: "" }, runs, byId, budget, 0);
  return toDrawing(runs, options, page.mmPerUnit, page.word, issues);
}

function parseXml(text: string): Element {
  const parser = new SaxesParser({ position: true });
  const top: Element = { tag: "", attributes: {}, line: 1, children: [] };
  const stack = [top];
  parser.on("error", (error) => {
    fail(
      "forms/bad-svg",
      `The SVG is no well-formed XML: ${error.message.slice(0, 120)}.`,
      { line: parser.line, column: parser.column },
      { fix: "Save the drawing again." },
    );
  });
  parser.on("doctype", (doctype) => {
    if (/<!ENTITY/i.test(doctype))
      fail(
        "forms/entities-refused",
        "The SVG defines entities, which are not read.",
        { line: parser.line },
        { fix: "Save the drawing as plain SVG." },
      );
  });
  parser.on("opentag", (node) => {
    if (stack.length > 500)
      fail(
        "forms/bad-svg",
        "The SVG nests more than 500 levels deep.",
        { line: parser.line },
        { limit: 500, fix: "Ungroup the drawing." },
      );
    const tag = node.name.replace(/^.*:/, "").toLowerCase();
    const element: Element = {
      tag,
      attributes: node.attributes as Attributes,
      line: parser.line,
      children: [],
    };
    stack[stack.length - 1].children.push(element);
    stack.push(element);
  });
  parser.on("closetag", () => void stack.pop());
  try {
    parser.write(text).close();
  } catch (error) {
    if (isPeltryError(error)) throw error;
    fail(
      "forms/bad-svg",
      "The SVG is no well-formed XML.",
      { line: parser.line },
      { fix: "Save the drawing again." },
    );
  }
  const [root] = top.children;
  if (!root)
    fail(
      "forms/bad-svg",
      "The file holds no element.",
      { line: 1 },
      { fix: "Save the drawing as plain SVG." },
    );
  return root;
}

function collectIds(element: Element, byId: Map<string, Element>): void {
  const stack = [element];
  while (stack.length > 0) {
    const here = stack.pop()!;
    if (here.attributes.id !== undefined && !byId.has(here.attributes.id)) byId.set(here.attributes.id, here);
    stack.push(...here.children);
  }
}

/** mm of a user unit, and the matrix from user units to mm with y up. */
function pageScale(
  root: Element,
  options: DrawingOptions,
  issues: Issue[],
): { matrix: Affine; mmPerUnit: number; word: string } {
  const { attributes, line } = root;
  const box = attributes.viewBox
    ?.trim()
    .split(/[\s,]+/)
    .map(Number);
  const hasBox = box?.length === 4 && box.every(Number.isFinite) && box[2] > 0 && box[3] > 0;
  const [x0, y0] = hasBox ? box : [0, 0];
  let unit = 25.4 / 96;
  let word = "1 unit is 1 px of 25.4/96 mm";
  // A page of no width, or less than none, states no size.
  const side = (text: string | undefined): number | undefined => {
    const mm = text === undefined || text.includes("%") ? 0 : parseLength(text, { line }) * (25.4 / 96);
    return mm > 0 && mm < Infinity ? mm : undefined;
  };
  const [width, height] = [side(attributes.width), side(attributes.height)];
  if (options.mmPerUnit !== undefined) {
    [unit, word] = [options.mmPerUnit, `1 unit is ${options.mmPerUnit} mm, as given`];
  } else if (hasBox && (width !== undefined || height !== undefined)) {
    // Both given: the smaller one fits, as the page is never stretched unevenly.
    unit = Math.min(
      width !== undefined ? width / box[2] : Infinity,
      height !== undefined ? height / box[3] : Infinity,
    );
    word = `${round(width ?? height!)} mm of page over ${box[width !== undefined ? 2 : 3]} units`;
  } else {
    issues.push({
      code: "forms/unit-guessed",
      severity: "note",
      message: `The SVG states no true size: ${word}.`,
      at: { line },
      fix: "Pass mmPerUnit, or save with a page size in mm.",
    });
  }
  return { matrix: [unit, 0, 0, -unit, -x0 * unit, y0 * unit], mmPerUnit: unit, word };
}

function round(x: number): number {
  return Math.round(x * 1000) / 1000;
}

function draw(
  element: Element,
  level: Level,
  runs: Run[],
  byId: ReadonlyMap<string, Element>,
  budget: { points: number; uses: number },
  depth: number,
): void {
  const { tag, attributes, line } = element;
  const invisible =
    attributes.display === "none" || /(^|;)\s*display\s*:\s*none/.test(attributes.style ?? "");
  if (HIDDEN.has(tag) || invisible || level.hidden) return;
  const name = attributes["inkscape:label"] ?? attributes.id ?? level.name;
  let matrix = compose(level.matrix, parseTransform(attributes.transform, { line }));
  if (tag === "use") return drawUse(element, { ...level, matrix, name }, runs, byId, budget, depth);
  if (tag === "svg")
    matrix = compose(matrix, [
      1,
      0,
      0,
      1,
      parseLength(attributes.x ?? "0", { line }),
      parseLength(attributes.y ?? "0", { line }),
    ]);
  for (const run of shapeRuns(tag, attributes, matrix, name, { line })) {
    budget.points += run.points.length;
    if (budget.points > MOST_POINTS)
      fail(
        "forms/drawing-too-large",
        `The drawing has more than ${MOST_POINTS} points.`,
        { line },
        { limit: MOST_POINTS, fix: "Keep only the outlines." },
      );
    runs.push(run);
  }
  for (const child of element.children)
    draw(child, { matrix, hidden: false, name }, runs, byId, budget, depth);
}

function drawUse(
  element: Element,
  level: Level,
  runs: Run[],
  byId: ReadonlyMap<string, Element>,
  budget: { points: number; uses: number },
  depth: number,
): void {
  const { attributes, line } = element;
  const href = attributes.href ?? attributes["xlink:href"] ?? "";
  const target = href.startsWith("#") ? byId.get(href.slice(1)) : undefined;
  if (!target) return;
  if (depth > 20 || ++budget.uses > 10_000)
    fail(
      "forms/bad-svg",
      `The “use” on line ${line} goes round in circles or copies too much.`,
      { line },
      { limit: 20, fix: "Unlink the copies in the drawing program." },
    );
  const shift: Affine = [
    1,
    0,
    0,
    1,
    parseLength(attributes.x ?? "0", { line }),
    parseLength(attributes.y ?? "0", { line }),
  ];
  const inner: Level = { ...level, matrix: compose(level.matrix, shift) };
  if (target.tag === "symbol")
    for (const child of target.children) draw(child, inner, runs, byId, budget, depth + 1);
  else draw(target, inner, runs, byId, budget, depth + 1);
}

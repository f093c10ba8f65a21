import { fail } from "@peltry/issues";
import { TextScanner } from "./text-scanner";

/** Number types of PLY under their sized names. */
export type PlyType = "int8" | "uint8" | "int16" | "uint16" | "int32" | "uint32" | "float32" | "float64";

/** One value, or a list of values with its count before it, of an element. */
export interface PlyProperty {
  readonly name: string;
  readonly type: PlyType;
  /** Type of the count, for a list. */
  readonly list?: PlyType;
}

/** A table of the file. */
export interface PlyElement {
  readonly name: string;
  readonly count: number;
  readonly properties: PlyProperty[];
  /** Line of the header. */
  readonly line: number;
}

/** What stands before the data. */
export interface PlyHeader {
  readonly format: "ascii" | "little" | "big";
  readonly elements: PlyElement[];
  readonly comments: string[];
  /** Byte at which the data starts. */
  readonly bodyAt: number;
  readonly bodyLine: number;
}

const TYPES: Readonly<Record<string, PlyType>> = {
  char: "int8",
  uchar: "uint8",
  short: "int16",
  ushort: "uint16",
  int: "int32",
  uint: "uint32",
  float: "float32",
  double: "float64",
  int8: "int8",
  uint8: "uint8",
  int16: "int16",
  uint16: "uint16",
  int32: "int32",
  uint32: "uint32",
  float32: "float32",
  float64: "float64",
};

/**
 * Reads the header of a PLY file.
 *
 * @throws `forms/bad-header` with the line
 */
export function parsePlyHeader(bytes: Uint8Array): PlyHeader {
  // No sane header is longer; a binary file without end_header must not be searched to its end.
  const scan = new TextScanner(bytes, 0, Math.min(bytes.length, 200_000));
  if (scan.word() !== "ply") bad(scan, "the file does not start with “ply”");
  scan.nextLine();
  let format: PlyHeader["format"] | undefined;
  const elements: PlyElement[] = [];
  const comments: string[] = [];
  for (; ; scan.nextLine()) {
    if (scan.done) bad(scan, "“end_header” is missing");
    const word = scan.word();
    if (word === "end_header") break;
    if (word === "" || word.startsWith("#")) continue;
    if (word === "comment" || word === "obj_info") comments.push(scan.rest());
    else if (word === "format") format = parseFormat(scan);
    else if (word === "element") elements.push(parseElement(scan, elements));
    else if (word === "property") {
      const element = elements.at(-1);
      if (!element) bad(scan, "a property stands before any element");
      element.properties.push(parseProperty(scan));
    } else bad(scan, `“${word.slice(0, 30)}” is no word of a PLY header`);
  }
  if (!format) bad(scan, "the format line is missing");
  scan.nextLine();
  return { format, elements, comments, bodyAt: scan.pos, bodyLine: scan.line };
}

function parseFormat(scan: TextScanner): PlyHeader["format"] {
  const word = scan.word();
  if (word === "ascii") return "ascii";
  if (word === "binary_little_endian") return "little";
  if (word === "binary_big_endian") return "big";
  return bad(scan, `“${word.slice(0, 30)}” is no PLY format`);
}

function parseElement(scan: TextScanner, before: readonly PlyElement[]): PlyElement {
  const name = scan.word();
  const count = scan.integer();
  if (name === "") bad(scan, "an element has no name");
  if (count < 0 || count > 4294967295) bad(scan, `the count of “${name.slice(0, 30)}” is ${count}`);
  if (before.length >= 100) bad(scan, "there are more than 100 elements");
  if (before.some((element) => element.name === name))
    bad(scan, `there are two elements “${name.slice(0, 30)}”`);
  return { name, count, properties: [], line: scan.line };
}

function parseProperty(scan: TextScanner): PlyProperty {
  const first = scan.word();
  if (first !== "list") return { type: typeOf(first, scan), name: scan.word() };
  const list = typeOf(scan.word(), scan);
  if (list.startsWith("float")) bad(scan, "the count of a list cannot be a fraction");
  const type = typeOf(scan.word(), scan);
  return { list, type, name: scan.word() };
}

function typeOf(word: string, scan: TextScanner): PlyType {
  if (!Object.hasOwn(TYPES, word)) bad(scan, `“${word.slice(0, 30)}” is no PLY number type`);
  return TYPES[word];
}

function bad(scan: TextScanner, what: string): never {
  fail(
    "forms/bad-header",
    `The PLY header is broken: ${what} (line ${scan.line}).`,
    { line: scan.line, byte: scan.pos },
    {
      fix: "Export the mesh again; text before the data must not be edited with a word processor.",
    },
  );
}

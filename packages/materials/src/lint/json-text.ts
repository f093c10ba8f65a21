import { fail, type Place } from "@peltry/issues";

/** A JSON document that remembers where each value stands. */
export interface JsonDocument {
  readonly value: unknown;
  /** Line and column, from 1, of the value at a path, else of its nearest ancestor. */
  readonly placeOf: (path: readonly (string | number)[]) => { line: number; column: number };
  /** Paths of keys that stand twice in one object. */
  readonly repeatedKeys: readonly (readonly (string | number)[])[];
}

const MAX_DEPTH = 40;
const MAX_LENGTH = 2_000_000;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
// eslint-disable-next-line no-control-regex -- JSON forbids control characters in texts.
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
const WORDS: readonly (readonly [string, unknown])[] = [
  ["true", true],
  ["false", false],
  ["null", null],
];

/**
 * Reads JSON and keeps the place of every value, for messages that name a line.
 *
 * @param file name for messages
 * @returns objects without a prototype, so that a key `__proto__` is just a key
 * @throws `materials/bad-json` with line and column; also for more than 2 million characters or 40 levels
 */
export function readJson(text: string, file?: string): JsonDocument {
  if (typeof text !== "string")
    return fail("materials/bad-json", "This is no text.", file === undefined ? {} : { file }, {
      found: typeof text,
      fix: "Give the text of the file.",
    });
  const places = new Map<string, number>();
  const repeated: (string | number)[][] = [];
  let at = 0;

  const stop = (what: string, fix: string): never =>
    fail("materials/bad-json", what, placeAt(text, at, file), { fix });
  const skip = () => {
    while (at < text.length && " \t\r\n".includes(text[at]!)) at += 1;
  };
  const expect = (mark: string) => {
    skip();
    if (text[at] !== mark)
      stop(
        `Expected "${mark}" but found ${shown(text, at)}.`,
        "Look for a missing comma, quote or bracket just before.",
      );
    at += 1;
  };
  const readString = (): string => {
    STRING.lastIndex = at;
    const match = STRING.exec(text);
    if (!match)
      return stop(
        `Expected a text in double quotes but found ${shown(text, at)}.`,
        "Put it in double quotes.",
      );
    at = STRING.lastIndex;
    return JSON.parse(match[0]) as string;
  };
  const readList = (path: (string | number)[], depth: number): unknown[] => {
    const list: unknown[] = [];
    at += 1;
    skip();
    if (text[at] === "]") {
      at += 1;
      return list;
    }
    for (;;) {
      list.push(readValue([...path, list.length], depth));
      skip();
      if (text[at] === "]") {
        at += 1;
        return list;
      }
      expect(",");
    }
  };
  const readObject = (path: (string | number)[], depth: number): object => {
    const object = Object.create(null) as Record<string, unknown>;
    at += 1;
    skip();
    if (text[at] === "}") {
      at += 1;
      return object;
    }
    for (;;) {
      skip();
      const key = readString();
      if (key in object) repeated.push([...path, key]);
      expect(":");
      object[key] = readValue([...path, key], depth);
      skip();
      if (text[at] === "}") {
        at += 1;
        return object;
      }
      expect(",");
    }
  };
  const readValue = (path: (string | number)[], depth: number): unknown => {
    if (depth > MAX_DEPTH) stop(`The file is nested deeper than ${MAX_DEPTH} levels.`, "Flatten it.");
    skip();
    places.set(pathKey(path), at);
    if (text[at] === "{") return readObject(path, depth + 1);
    if (text[at] === "[") return readList(path, depth + 1);
    if (text[at] === '"') return readString();
    for (const [word, value] of WORDS)
      if (text.startsWith(word, at)) {
        at += word.length;
        return value;
      }
    NUMBER.lastIndex = at;
    const match = NUMBER.exec(text);
    if (!match)
      return stop(
        `Expected a value but found ${shown(text, at)}.`,
        "Write a text, number, list or object there.",
      );
    at = NUMBER.lastIndex;
    return Number(match[0]);
  };

  if (text.length > MAX_LENGTH)
    stop("The file has more than 2 million characters.", "Give one entry a file.");
  if (text.charCodeAt(0) === 0xfeff) at = 1;
  const value = readValue([], 0);
  skip();
  if (at < text.length) stop(`Something stands after the end: ${shown(text, at)}.`, "Delete it.");
  const lineStarts = lineStartsOf(text);
  return {
    value,
    repeatedKeys: repeated,
    placeOf: (path) => {
      for (let length = path.length; length >= 0; length -= 1) {
        const offset = places.get(pathKey(path.slice(0, length)));
        if (offset !== undefined) return lineAndColumn(lineStarts, offset);
      }
      return { line: 1, column: 1 };
    },
  };
}

function pathKey(path: readonly (string | number)[]): string {
  return path.join("\u0000");
}

function shown(text: string, at: number): string {
  if (at >= text.length) return "the end of the file";
  return JSON.stringify(text.slice(at, at + 12).split("\n")[0] || "the end of the line");
}

function lineStartsOf(text: string): number[] {
  const starts = [0];
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) starts.push(at + 1);
  return starts;
}

function lineAndColumn(starts: readonly number[], offset: number): { line: number; column: number } {
  let line = 0;
  while (line + 1 < starts.length && starts[line + 1]! <= offset) line += 1;
  return { line: line + 1, column: offset - starts[line]! + 1 };
}

function placeAt(text: string, at: number, file: string | undefined): Place {
  return {
    ...(file === undefined ? {} : { file }),
    ...lineAndColumn(lineStartsOf(text), Math.min(at, text.length)),
  };
}

import { fail, type Issue } from "@peltry/issues";
import { GrowingFloats } from "./growing-array";
import { MESH_LIMITS, type RawMesh } from "./raw-mesh";
import { statedUnit } from "./units";
import { latin, TextScanner } from "./text-scanner";
import { noteCommas } from "./read-obj";

const HEADER = 84;
const FACET = 50;

/**
 * Reads an STL file, text or binary. Binary files whose header says “solid” are told from text by their length and by
 * what follows.
 *
 * @source 3D Systems, StereoLithography Interface Specification, 1988 (the format's layout; from memory)
 */
export function readStl(bytes: Uint8Array): RawMesh {
  return isTextStl(bytes) ? readText(bytes) : readBinary(bytes);
}

function claimed(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

/** Text: starts with “solid”, is not exactly as long as its binary count says, and shows a facet or its end soon. */
function isTextStl(bytes: Uint8Array): boolean {
  let at = 0;
  while (at < 64 && bytes[at] <= 32) at++;
  if (bytes[0] === 0xef) at = 3;
  if (latin(bytes, at, Math.min(bytes.length, at + 5)).toLowerCase() !== "solid") return false;
  if (bytes.length >= HEADER && HEADER + FACET * claimed(bytes) === bytes.length) return false;
  const start = latin(bytes, at, Math.min(bytes.length, at + 2000)).toLowerCase();
  return /\bfacet\b|\bendsolid\b/.test(start) || !start.includes("\0");
}

function readBinary(bytes: Uint8Array): RawMesh {
  if (bytes.length < HEADER) {
    fail(
      "forms/truncated",
      `A binary STL has a header of ${HEADER} bytes; the file has ${bytes.length}.`,
      { byte: bytes.length },
      {
        found: bytes.length,
        limit: HEADER,
        fix: "The file is cut short or is no STL: copy or export it again.",
      },
    );
  }
  const count = claimed(bytes);
  const room = Math.floor((bytes.length - HEADER) / FACET);
  if (count > room) {
    fail(
      "forms/truncated",
      `The header claims ${count} triangles, ${HEADER + FACET * count} bytes; the file has ${bytes.length} bytes, room for ${room}.`,
      { byte: bytes.length },
      {
        found: room,
        limit: count,
        fix: "The file is cut short or its count is wrong: copy or export it again.",
      },
    );
  }
  if (count > MESH_LIMITS.triangles) tooMany(count);
  const notes: Issue[] = [];
  const rest = bytes.length - HEADER - FACET * count;
  if (rest > 0) {
    notes.push({
      code: "forms/bytes-left-over",
      severity: "note",
      message: `${rest} bytes after the last triangle were left out.`,
      at: { byte: bytes.length - rest },
    });
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const positions = new Float64Array(9 * count);
  for (let t = 0; t < count; t++) {
    // The stored normal is not used: the winding says the same and is more often right.
    for (let k = 0; k < 9; k++) positions[9 * t + k] = view.getFloat32(HEADER + FACET * t + 12 + 4 * k, true);
  }
  const colors = readColors(bytes, count, notes);
  return {
    ...soup(positions, notes, "binary little-endian", latin(bytes, 0, 80)),
    ...(colors ? { colors } : {}),
  };
}

/** Five bits each to 0..255. */
const FIVE_BITS = Uint8Array.from({ length: 32 }, (_, x) => Math.round((x * 255) / 31));
const OWN = 0x8000;
const WHITE = [255, 255, 255] as const;

/**
 * Colours of the facets, given to their corners: the two trailing bytes of a facet hold five bits a channel in one of two
 * ways. Where the header says `COLOR=` with four bytes, red lies lowest and a set top bit means that colour; else blue lies
 * lowest and a set top bit means that the facet has a colour at all. White where none is.
 *
 * @source public descriptions of the format's two colour conventions (from memory)
 */
function readColors(bytes: Uint8Array, count: number, notes: Issue[]): Uint8Array | undefined {
  const said = latin(bytes, 0, 80).indexOf("COLOR=");
  const whole = said >= 0 && said + 10 <= 80 ? bytes.subarray(said + 6, said + 9) : undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const bits = (t: number): number => view.getUint16(HEADER + FACET * t + 48, true);
  let [own, odd] = [0, 0];
  for (let t = 0; t < count; t++) {
    const value = bits(t);
    if (value >= OWN) own++;
    else if (value > 0) odd++;
  }
  const redLow = whole !== undefined;
  if (!redLow && own === 0) {
    if (odd > 0)
      notes.push({
        code: "forms/stl-attributes",
        severity: "note",
        message: `${odd} facets carry a number in their last two bytes that is no colour by either convention; it was left out.`,
        at: {},
        found: odd,
        fix: "Export as PLY or glTF where the colours matter.",
      });
    return undefined;
  }
  notes.push({
    code: "forms/stl-colours",
    severity: "note",
    message: `Colours were read from the last two bytes of the facets, five bits each, ${redLow ? "red lowest, as the header’s COLOR= says" : "blue lowest, as usual without COLOR= in the header"}.`,
    at: {},
    fix: "Where red and blue look swapped, export as PLY or glTF.",
  });
  const out = new Uint8Array(9 * count);
  for (let t = 0; t < count; t++) {
    const value = bits(t);
    const low = FIVE_BITS[value & 31];
    const middle = FIVE_BITS[(value >> 5) & 31];
    const high = FIVE_BITS[(value >> 10) & 31];
    const isOwn = redLow ? value < OWN && own + odd > 0 : value >= OWN;
    const rgb = isOwn ? (redLow ? [low, middle, high] : [high, middle, low]) : (whole ?? WHITE);
    for (let k = 0; k < 9; k++) out[9 * t + k] = rgb[k % 3];
  }
  return out;
}

function readText(bytes: Uint8Array): RawMesh {
  const scan = new TextScanner(bytes);
  const points = new GrowingFloats();
  const notes: Issue[] = [];
  let title = "";
  let corners = 0;
  let ended = false;
  for (; !scan.done; scan.nextLine()) {
    // Some writers put several words on a line.
    while (!scan.atLineEnd()) {
      const word = scan.word().toLowerCase();
      if (word === "vertex") {
        for (let k = 0; k < 3; k++) points.push(scan.number());
        corners++;
      } else if (word === "endloop") {
        if (corners !== 3) badFacet(scan, corners);
        corners = 0;
      } else if (word === "facet") ended = false;
      else if (word === "solid") {
        ended = false;
        title += scan.rest();
      } else if (word === "endsolid") {
        ended = true;
        scan.rest();
      } else if (word === "normal") for (let k = 0; k < 3 && !scan.atLineEnd(); k++) scan.word();
      else if (!WORDS.has(word) && !scan.done) {
        fail(
          "forms/bad-number",
          `“${word.slice(0, 30)}” on line ${scan.line} is no word of a text STL.`,
          { line: scan.line, byte: scan.pos },
          {
            found: word.slice(0, 30),
            fix: "The file is damaged or of another format: export it again.",
          },
        );
      }
    }
    if (points.length > 9 * MESH_LIMITS.triangles) tooMany(points.length / 9);
  }
  if (corners !== 0 || !ended) {
    fail(
      "forms/truncated",
      `The text STL ends at line ${scan.line} without “endsolid”, after ${Math.floor(points.length / 9)} triangles.`,
      { line: scan.line, byte: bytes.length },
      {
        found: Math.floor(points.length / 9),
        fix: "The file is cut short: copy or export it again.",
      },
    );
  }
  if (scan.commas > 0) noteCommas(scan, notes);
  return soup(points.done(), notes, "text", title);
}

const WORDS = new Set(["outer", "loop", "endfacet"]);

function badFacet(scan: TextScanner, corners: number): never {
  fail(
    "forms/bad-facet",
    `The facet that ends on line ${scan.line} has ${corners} corners.`,
    { line: scan.line },
    {
      found: corners,
      limit: 3,
      fix: "The file is damaged: export it again.",
    },
  );
}

function tooMany(count: number): never {
  fail(
    "forms/mesh-too-large",
    `The file has ${count} triangles.`,
    {},
    { found: count, limit: MESH_LIMITS.triangles, fix: "Thin the scan out first." },
  );
}

function soup(positions: Float64Array, notes: Issue[], encoding: string, title: string): RawMesh {
  const triangles = new Uint32Array(positions.length / 3);
  for (let i = 0; i < triangles.length; i++) triangles[i] = i;
  const faces = { triangles: triangles.length / 3, quads: 0, larger: 0 };
  return { positions, triangles, faces, notes, unit: statedUnit(title), soup: true, encoding };
}

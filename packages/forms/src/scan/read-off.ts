import { fail, type Issue } from "@peltry/issues";
import { FaceColors } from "./face-colors";
import { GrowingFloats, GrowingInts } from "./growing-array";
import { MESH_LIMITS, type RawMesh } from "./raw-mesh";
import { noteCommas } from "./read-obj";
import { TextScanner } from "./text-scanner";
import { triangulateFace } from "./triangulate-face";

/**
 * Reads a text OFF file, also with vertex colours (COFF), normals (NOFF) and texture coordinates (STOFF).
 *
 * @source Geomview manual, OFF file format (The Geometry Center, 1996)
 */
export function readOff(bytes: Uint8Array): RawMesh {
  const scan = new TextScanner(bytes);
  scan.skipSpace();
  const { coloured, normals } = readHeading(scan);
  const [vertexCount, faceCount] = readCounts(scan);
  const claim = vertexCount * 6 + faceCount * 8;
  if (claim > scan.end - scan.pos + 16) {
    fail(
      "forms/truncated",
      `The header claims ${vertexCount} vertices and ${faceCount} faces, at least ${claim} bytes; ${scan.end - scan.pos} are left.`,
      { line: scan.line },
      {
        found: scan.end - scan.pos,
        limit: claim,
        fix: "The file is cut short or its counts are wrong: export it again.",
      },
    );
  }
  if (vertexCount > MESH_LIMITS.vertices || faceCount > MESH_LIMITS.triangles) {
    fail(
      "forms/mesh-too-large",
      `The header claims ${vertexCount} vertices and ${faceCount} faces.`,
      { line: scan.line },
      { limit: MESH_LIMITS.triangles, fix: "Thin the scan out first." },
    );
  }
  const notes: Issue[] = [];
  const positions = new Float64Array(3 * vertexCount);
  const rgb = new GrowingFloats();
  let fraction = false;
  for (let v = 0; v < vertexCount; v++) {
    startRow(scan, "vertex", v, vertexCount);
    for (let k = 0; k < 3; k++) positions[3 * v + k] = scan.number();
    if (normals) for (let k = 0; k < 3; k++) scan.number();
    if (coloured) {
      for (let k = 0; k < 3; k++) {
        const before = scan.points;
        rgb.push(scan.number());
        if (scan.points > before) fraction = true;
      }
    }
    // Alpha and texture coordinates are stepped over with the rest of the line.
    scan.nextLine();
  }
  const { painted, ...built } = readFaces(scan, faceCount, vertexCount, positions);
  return {
    ...built,
    positions,
    colors: coloured ? toBytes(rgb, fraction) : painted.toVertices(built.triangles, vertexCount),
    notes: finish(scan, notes),
    soup: false,
    encoding: "text",
  };
}

function finish(scan: TextScanner, notes: Issue[]): Issue[] {
  if (scan.commas > 0) noteCommas(scan, notes);
  return notes;
}

/**
 * Colour after the corners of a face: three or four whole numbers 0 to 255, or fractions. A single number names an entry of
 * a colour map that the file does not hold; it is left aside.
 */
function faceColour(scan: TextScanner): [number, number, number] | undefined {
  const values: number[] = [];
  const before = scan.points;
  while (values.length < 4 && !scan.atLineEnd()) values.push(scan.number());
  if (values.length < 3) return undefined;
  const factor = scan.points > before && Math.max(...values) <= 1.001 ? 255 : 1;
  return [factor * values[0], factor * values[1], factor * values[2]];
}

function toBytes(rgb: GrowingFloats, fraction: boolean): Uint8Array {
  let most = 0;
  for (let i = 0; i < rgb.length; i++) most = Math.max(most, rgb.data[i]);
  const factor = fraction && most <= 1.001 ? 255 : 1;
  return Uint8Array.from(rgb.done(), (x) => Math.max(0, Math.min(255, Math.round(x * factor))));
}

function readHeading(scan: TextScanner): { coloured: boolean; normals: boolean } {
  const word = scan.word();
  const match = /^(ST)?(C)?(N)?(4)?(n)?OFF$/.exec(word);
  if (!match) {
    fail(
      "forms/bad-header",
      `“${word.slice(0, 30)}” does not start an OFF file.`,
      { line: scan.line },
      { fix: "Check the file's format." },
    );
  }
  if (match[4] || match[5]) {
    fail(
      "forms/not-supported",
      `${word} files hold points in other than three dimensions.`,
      { line: scan.line },
      { fix: "Export as plain OFF, PLY or OBJ." },
    );
  }
  scan.skipBlanks();
  if (/^binary/i.test(peek(scan))) {
    fail(
      "forms/not-supported",
      "Binary OFF files are not supported.",
      { line: scan.line },
      { fix: "Export as text OFF or as PLY." },
    );
  }
  return { coloured: Boolean(match[2]), normals: Boolean(match[3]) };
}

function peek(scan: TextScanner): string {
  const from = scan.pos;
  const word = scan.word();
  scan.pos = from;
  return word;
}

function readCounts(scan: TextScanner): [number, number] {
  scan.skipSpace();
  const vertices = scan.integer();
  const faces = scan.integer();
  // The edge count is not used and sometimes left out.
  scan.nextLine();
  if (vertices < 0 || faces < 0) {
    fail(
      "forms/bad-header",
      `The OFF file claims ${vertices} vertices and ${faces} faces.`,
      { line: scan.line },
      { fix: "Export it again." },
    );
  }
  return [vertices, faces];
}

function startRow(scan: TextScanner, what: string, index: number, count: number): void {
  scan.skipSpace();
  if (!scan.done) return;
  fail(
    "forms/truncated",
    `The file ends at line ${scan.line}, before ${what} ${index} of ${count}.`,
    { line: scan.line, byte: scan.pos },
    {
      found: index,
      limit: count,
      fix: "The file is cut short: copy or export it again.",
    },
  );
}

function readFaces(
  scan: TextScanner,
  faceCount: number,
  vertexCount: number,
  positions: Float64Array,
): Pick<RawMesh, "triangles" | "faces"> & { painted: FaceColors } {
  const triangles = new GrowingInts();
  const painted = new FaceColors();
  const faces = { triangles: 0, quads: 0, larger: 0 };
  for (let f = 0; f < faceCount; f++) {
    startRow(scan, "face", f, faceCount);
    const size = scan.integer();
    const corners: number[] = [];
    for (let k = 0; k < size; k++) {
      const v = scan.integer();
      if (v < 0 || v >= vertexCount) {
        fail(
          "forms/bad-index",
          `Face ${f} on line ${scan.line} names vertex ${v}; the file has ${vertexCount}.`,
          { line: scan.line, triangle: f },
          {
            found: v,
            limit: `0 to ${vertexCount - 1}`,
            fix: "The file is damaged: export it again.",
          },
        );
      }
      corners.push(v);
    }
    if (size === 3) faces.triangles++;
    else if (size === 4) faces.quads++;
    else if (size > 4) faces.larger++;
    let made = size === 3 ? 1 : 0;
    if (size === 3) for (const v of corners) triangles.push(v);
    else if (size > 3) made = triangulateFace(corners, positions, triangles);
    const colour = faceColour(scan);
    if (colour) painted.add(made, ...colour);
    scan.nextLine();
  }
  return { triangles: Uint32Array.from(triangles.done()), faces, painted };
}

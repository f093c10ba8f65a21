import { fail, type Issue } from "@peltry/issues";
import { GrowingFloats, GrowingInts } from "./growing-array";
import { MESH_LIMITS, type LengthUnit, type RawMesh } from "./raw-mesh";
import { TextScanner } from "./text-scanner";
import { triangulateFace } from "./triangulate-face";
import { statedUnit } from "./units";

/**
 * Reads a Wavefront OBJ: positions with or without colours, faces of any size with texture and normal indices (left
 * aside), indices from the end, groups with blanks in their names.
 *
 * @source Wavefront Technologies, Object Files (.obj), appendix B1 of the Advanced Visualizer manual, version 3.0
 */
export function readObj(bytes: Uint8Array): RawMesh {
  const scan = new TextScanner(bytes);
  const positions = new GrowingFloats();
  const colors = new GrowingFloats();
  const corners = new GrowingInts();
  /** First corner and line of each face. */
  const faceStart = new GrowingInts();
  const faceLine = new GrowingInts();
  const faceGroup = new GrowingInts();
  const groups: string[] = [];
  const groupIndex = new Map<string, number>();
  const notes: Issue[] = [];
  let group = -1;
  let unit: LengthUnit | undefined;
  let coloured = 0;
  let unknown = 0;
  let lines = 0;

  for (; !scan.done; scan.nextLine()) {
    if (scan.atLineEnd()) {
      if (scan.bytes[scan.pos] === 35) unit ??= statedUnit(scan.rest());
      continue;
    }
    const word = scan.word();
    if (word === "v") {
      coloured += readVertex(scan, positions, colors) ? 1 : 0;
      if (positions.length > 3 * MESH_LIMITS.vertices) tooMany("vertices", scan.line);
    } else if (word === "f") {
      readFace(scan, positions.length / 3, corners, faceStart, faceLine);
      faceGroup.push(group);
      if (faceStart.length > MESH_LIMITS.triangles) tooMany("faces", scan.line);
    } else if (word === "g" || word === "o") {
      const name = scan.rest() || "default";
      group = groupIndex.get(name) ?? -1;
      if (group < 0) {
        group = groups.push(name) - 1;
        groupIndex.set(name, group);
      }
    } else if (word === "l" || word === "p") lines++;
    else if (!KNOWN.has(word) && ++unknown > 50 && positions.length === 0) {
      fail(
        "forms/not-a-mesh",
        `“${word.slice(0, 20)}” on line ${scan.line} is no line of an OBJ file.`,
        { line: scan.line },
        {
          fix: "Check that this is the mesh file, or pass the right format.",
        },
      );
    }
  }
  if (lines > 0) notes.push(note("forms/lines-left-out", `${lines} line and point elements were left out.`));
  if (scan.commas > 0) noteCommas(scan, notes);
  return {
    ...build(positions, corners, faceStart, faceLine, faceGroup, notes),
    ...colourPart(),
    notes,
    unit,
    soup: false,
    encoding: "text",
    groups,
  };

  function colourPart(): { colors?: Uint8Array } {
    const count = positions.length / 3;
    if (coloured === 0) return {};
    if (coloured < count) {
      notes.push(
        note(
          "forms/colours-missing",
          `${count - coloured} of ${count} vertices have no colour and count as white.`,
        ),
      );
    }
    // Fractions by custom; some writers put 0..255.
    let most = 0;
    for (let i = 0; i < colors.length; i++) if (colors.data[i] > most) most = colors.data[i];
    const factor = most > 1.001 ? 1 : 255;
    const out = new Uint8Array(3 * count);
    for (let i = 0; i < out.length; i++) {
      const value = colors.data[i];
      out[i] = value < 0 ? 255 : Math.min(255, Math.round(value * factor));
    }
    return { colors: out };
  }
}

const KNOWN = new Set(
  "v vt vn vp f l p g o s usemtl mtllib usemap maplib shadow_obj trace_obj lod bevel c_interp d_interp cstype deg bmat step curv curv2 surf parm trim hole scrv sp end con mg ctech stech call csh".split(
    " ",
  ),
);

function note(code: string, message: string): Issue {
  return { code, severity: "note", message, at: {} };
}

function tooMany(what: string, line: number): never {
  fail(
    "forms/mesh-too-large",
    `The file has more than ${MESH_LIMITS.vertices} ${what}.`,
    { line },
    {
      limit: MESH_LIMITS.vertices,
      fix: "Thin the scan out first: 200,000 triangles hold all that a needle can follow.",
    },
  );
}

/** @throws `forms/mixed-decimals` */
export function noteCommas(scan: TextScanner, notes: Issue[]): void {
  if (scan.points > 0) {
    fail(
      "forms/mixed-decimals",
      `The file has numbers with decimal commas (${scan.commas}) and with decimal points (${scan.points}).`,
      {},
      { fix: "Export again with decimal points." },
    );
  }
  notes.push({
    code: "forms/decimal-commas",
    severity: "warning",
    message: `${scan.commas} numbers had decimal commas and were read as such.`,
    at: {},
    fix: "Export with decimal points to be sure.",
  });
}

/** Reads x y z, and colours where the line goes on; says whether it did. */
function readVertex(scan: TextScanner, positions: GrowingFloats, colors: GrowingFloats): boolean {
  for (let k = 0; k < 3; k++) positions.push(scan.number());
  let count = 0;
  const extra = [-1, -1, -1, -1];
  for (; count < 4 && !scan.atLineEnd(); count++) extra[count] = scan.number();
  if (count >= 3)
    for (let k = 0; k < 3; k++) colors.push(Number.isNaN(extra[k]) ? -1 : Math.max(0, extra[k]));
  else for (let k = 0; k < 3; k++) colors.push(-1);
  return count >= 3;
}

function readFace(
  scan: TextScanner,
  vertexCount: number,
  corners: GrowingInts,
  faceStart: GrowingInts,
  faceLine: GrowingInts,
): void {
  faceStart.push(corners.length);
  faceLine.push(scan.line);
  while (!scan.atLineEnd()) {
    const column = scan.column;
    const index = scan.integer();
    // Texture and normal indices follow after slashes.
    while (scan.bytes[scan.pos] > 32 && scan.pos < scan.end) scan.pos++;
    const vertex = index < 0 ? vertexCount + index : index - 1;
    if (index === 0 || vertex < 0 || vertex > 2e9) badIndex(index, scan.line, column, vertexCount);
    corners.push(vertex);
  }
}

function badIndex(index: number, line: number, column: number | undefined, count: number): never {
  fail(
    "forms/bad-index",
    `A face on line ${line} names vertex ${index}; the file has ${count}.`,
    { line, ...(column ? { column } : {}) },
    {
      found: index,
      limit: `1 to ${count}`,
      fix: "The file is damaged or cut short: export it again.",
    },
  );
}

function build(
  positions: GrowingFloats,
  corners: GrowingInts,
  faceStart: GrowingInts,
  faceLine: GrowingInts,
  faceGroup: GrowingInts,
  notes: Issue[],
): Pick<RawMesh, "positions" | "triangles" | "groupOf" | "faces"> {
  const points = positions.done();
  const count = points.length / 3;
  const triangles = new GrowingInts();
  const groupOf = new GrowingInts();
  const faces = { triangles: 0, quads: 0, larger: 0 };
  let thin = 0;
  for (let f = 0; f < faceStart.length; f++) {
    const from = faceStart.data[f];
    const to = f + 1 < faceStart.length ? faceStart.data[f + 1] : corners.length;
    for (let i = from; i < to; i++) {
      if (corners.data[i] >= count) badIndex(corners.data[i] + 1, faceLine.data[f], undefined, count);
    }
    const size = to - from;
    if (size < 3) {
      thin++;
      continue;
    }
    if (size === 3) faces.triangles++;
    else if (size === 4) faces.quads++;
    else faces.larger++;
    let made = 1;
    if (size === 3) for (let i = from; i < to; i++) triangles.push(corners.data[i]);
    else made = triangulateFace(Array.from(corners.data.subarray(from, to)), points, triangles);
    for (let k = 0; k < made; k++) groupOf.push(faceGroup.data[f]);
  }
  if (thin > 0)
    notes.push(note("forms/faces-left-out", `${thin} faces with fewer than three corners were left out.`));
  return { positions: points, triangles: Uint32Array.from(triangles.done()), groupOf: groupOf.done(), faces };
}

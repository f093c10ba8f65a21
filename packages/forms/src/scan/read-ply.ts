import { fail, type Issue } from "@peltry/issues";
import { FaceColors } from "./face-colors";
import { GrowingFloats, GrowingInts } from "./growing-array";
import { binarySource, textSource, type PlySource } from "./ply-source";
import { parsePlyHeader, type PlyElement, type PlyHeader } from "./ply-header";
import { MESH_LIMITS, type RawMesh } from "./raw-mesh";
import { statedUnit } from "./units";
import { triangulateFace } from "./triangulate-face";
import { noteCommas } from "./read-obj";

/**
 * Reads a PLY file: text or binary of either byte order, colours as bytes, 16-bit or fractions, lists of any type, faces
 * of any size, triangle strips; elements and properties that it does not know are stepped over.
 *
 * @source G. Turk, The PLY Polygon File Format, Stanford 1994
 */
export function readPly(bytes: Uint8Array): RawMesh {
  const header = parsePlyHeader(bytes);
  const source = header.format === "ascii" ? textSource(bytes, header) : binarySource(bytes, header);
  const notes: Issue[] = [];
  let vertices: { positions: Float64Array; colors?: Uint8Array } | undefined;
  const lists = new FaceLists();
  for (const element of header.elements) {
    checkClaim(element, header, bytes);
    if (element.name === "vertex" && !vertices) vertices = readVertices(element, source);
    else if (element.name === "face") readLists(element, source, FACE_NAMES, lists, false);
    else if (element.name === "tristrips") readLists(element, source, FACE_NAMES, lists, true);
    else skipElement(element, source);
  }
  if (!vertices)
    fail(
      "forms/not-a-mesh",
      "The PLY file has no vertices.",
      { line: 1 },
      { fix: "Export it again as a mesh." },
    );
  if (source.scan && source.scan.commas > 0) noteCommas(source.scan, notes);
  const unit = header.comments.map(statedUnit).find((u) => u !== undefined);
  const { painted, ...built } = buildFaces(lists, vertices.positions, notes);
  return {
    ...built,
    positions: vertices.positions,
    colors: vertices.colors ?? painted.toVertices(built.triangles, vertices.positions.length / 3),
    notes,
    unit,
    soup: false,
    encoding: header.format === "ascii" ? "text" : `binary ${header.format}-endian`,
  };
}

const FACE_NAMES = ["vertex_indices", "vertex_index"];

/** Smallest number of bytes that an element can take: a lying count is refused before anything is set aside for it. */
function checkClaim(element: PlyElement, header: PlyHeader, bytes: Uint8Array): void {
  const least = element.properties.reduce(
    (sum, property) =>
      sum + (header.format === "ascii" ? 2 : property.list ? SIZE[property.list] : SIZE[property.type]),
    0,
  );
  const room = bytes.length - header.bodyAt + 1;
  if (element.count * least > room) {
    fail(
      "forms/truncated",
      `The header claims ${element.count} × “${element.name}”, at least ${element.count * least} bytes; the file has ${room - 1} after its header.`,
      { byte: header.bodyAt, line: element.line },
      {
        found: room - 1,
        limit: element.count * least,
        fix: "The file is cut short or its header is wrong: export it again.",
      },
    );
  }
  const limit = element.name === "face" ? MESH_LIMITS.triangles : MESH_LIMITS.vertices;
  if (element.count > limit && (element.name === "vertex" || element.name === "face" || least === 0)) {
    fail(
      "forms/mesh-too-large",
      `The header claims ${element.count} × “${element.name}”.`,
      { line: element.line },
      {
        found: element.count,
        limit,
        fix: "Thin the scan out first.",
      },
    );
  }
}

const SIZE = { int8: 1, uint8: 1, int16: 2, uint16: 2, int32: 4, uint32: 4, float32: 4, float64: 8 } as const;

function readVertices(
  element: PlyElement,
  source: PlySource,
): { positions: Float64Array; colors?: Uint8Array } {
  const at = (names: string[]): number =>
    element.properties.findIndex((p) => !p.list && names.includes(p.name));
  const axes = ["x", "y", "z"].map((name) => at([name]));
  if (axes.some((i) => i < 0)) {
    fail(
      "forms/not-a-mesh",
      "The vertices of the PLY file have no x, y and z.",
      { line: element.line },
      { fix: "Export it again as a mesh." },
    );
  }
  const rgb = colourColumns(element);
  const { count, properties } = element;
  const positions = new Float64Array(3 * count);
  const colors = rgb ? new Uint8Array(3 * count) : undefined;
  const factor = rgb ? colourFactor(properties[rgb[0]].type) : 1;
  const row = new Float64Array(properties.length);
  for (let v = 0; v < count; v++) {
    source.row(element, row, v);
    for (let k = 0; k < 3; k++) positions[3 * v + k] = row[axes[k]];
    if (colors && rgb) {
      for (let k = 0; k < 3; k++)
        colors[3 * v + k] = Math.max(0, Math.min(255, Math.round(row[rgb[k]] * factor)));
    }
  }
  return colors ? { positions, colors } : { positions };
}

/** Columns of red, green and blue; undefined when one is missing. */
function colourColumns(element: PlyElement): number[] | undefined {
  const columns = [
    ["red", "r", "diffuse_red"],
    ["green", "g", "diffuse_green"],
    ["blue", "b", "diffuse_blue"],
  ].map((names) => element.properties.findIndex((p) => !p.list && names.includes(p.name)));
  return columns.every((i) => i >= 0) ? columns : undefined;
}

function colourFactor(type: keyof typeof SIZE): number {
  if (type === "float32" || type === "float64") return 255;
  return type === "uint16" || type === "int16" ? 255 / 65535 : 1;
}

/** Corner lists of all faces, end to end. */
class FaceLists {
  readonly corners = new GrowingInts();
  readonly start = new GrowingInts();
  readonly strip = new GrowingInts();
  /** Where each face stood: a byte in binary files, a line in text. */
  readonly where = new GrowingInts();
  /** r, g, b of each face, where all have one. */
  readonly rgb = new GrowingFloats();
  inBytes = false;
}

function readLists(
  element: PlyElement,
  source: PlySource,
  names: string[],
  lists: FaceLists,
  strip: boolean,
): void {
  const index = element.properties.findIndex((p) => p.list && names.includes(p.name));
  if (index < 0) {
    if (element.count === 0) return;
    fail(
      "forms/not-a-mesh",
      "The faces of the PLY file have no vertex_indices.",
      { line: element.line },
      { fix: "Export it again as a mesh." },
    );
  }
  lists.inBytes = !source.scan;
  const rgb = colourColumns(element);
  const row = rgb && new Float64Array(element.properties.length);
  const factor = rgb ? colourFactor(element.properties[rgb[0]].type) : 1;
  for (let f = 0; f < element.count; f++) {
    lists.start.push(lists.corners.length);
    lists.strip.push(strip ? 1 : 0);
    lists.where.push(source.place());
    source.list(element, index, lists.corners, f, row);
    if (rgb && row) for (const k of rgb) lists.rgb.push(row[k] * factor);
  }
}

function skipElement(element: PlyElement, source: PlySource): void {
  const nowhere = new GrowingInts();
  for (let i = 0; i < element.count; i++) {
    nowhere.length = 0;
    source.list(element, -1, nowhere, i);
  }
}

function buildFaces(
  lists: FaceLists,
  positions: Float64Array,
  notes: Issue[],
): Pick<RawMesh, "triangles" | "faces"> & { painted: FaceColors } {
  const triangles = new GrowingInts();
  const painted = new FaceColors();
  const { rgb } = lists;
  const paint = (f: number, made: number): void => {
    if (rgb.length === 3 * start.length)
      painted.add(made, rgb.data[3 * f], rgb.data[3 * f + 1], rgb.data[3 * f + 2]);
  };
  const faces = { triangles: 0, quads: 0, larger: 0 };
  const vertexCount = positions.length / 3;
  const { corners, start } = lists;
  let thin = 0;
  for (let f = 0; f < start.length; f++) {
    const from = start.data[f];
    const to = f + 1 < start.length ? start.data[f + 1] : corners.length;
    for (let i = from; i < to; i++) {
      const v = corners.data[i];
      if ((v < 0 || v >= vertexCount) && !(lists.strip.data[f] && v === -1)) {
        fail(
          "forms/bad-index",
          `Face ${f} names vertex ${v}; the file has ${vertexCount}.`,
          { ...(lists.inBytes ? { byte: lists.where.data[f] } : { line: lists.where.data[f] }), triangle: f },
          {
            found: v,
            limit: `0 to ${vertexCount - 1}`,
            fix: "The file is damaged or of another byte order than it says: export it again.",
          },
        );
      }
    }
    if (lists.strip.data[f]) {
      const made = pushStrip(corners.data.subarray(from, to), triangles);
      faces.triangles += made;
      paint(f, made);
      continue;
    }
    const size = to - from;
    if (size < 3) thin++;
    else if (size === 3) {
      faces.triangles++;
      for (let i = from; i < to; i++) triangles.push(corners.data[i]);
      paint(f, 1);
    } else {
      if (size === 4) faces.quads++;
      else faces.larger++;
      paint(f, triangulateFace(Array.from(corners.data.subarray(from, to)), positions, triangles));
    }
  }
  if (thin > 0) {
    notes.push({
      code: "forms/faces-left-out",
      severity: "note",
      message: `${thin} faces with fewer than three corners were left out.`,
      at: {},
    });
  }
  return { triangles: Uint32Array.from(triangles.done()), faces, painted };
}

/** Strips with −1 between them; every second triangle turns. */
function pushStrip(strip: Int32Array, out: GrowingInts): number {
  let from = 0;
  let count = 0;
  for (let i = 0; i < strip.length; i++) {
    if (strip[i] === -1) {
      from = i + 1;
      continue;
    }
    if (i - from < 2) continue;
    const odd = (i - from) % 2 === 1;
    const [a, b, c] = [strip[i - 2], strip[i - 1], strip[i]];
    if (a === b || b === c || a === c) continue;
    out.push(odd ? b : a);
    out.push(odd ? a : b);
    out.push(c);
    count++;
  }
  return count;
}

import { fail } from "@peltry/issues";
import type { TriangleMesh } from "@peltry/geometry";
import { flatPieces } from "./flat-pieces";
import { utf8 } from "./internal/utf8";
import { checkOptions, createPrintJob } from "./print-job";
import type { Printable } from "./types";

/** One piece of cloth in space together with its flat shape. */
export interface GlbPiece {
  readonly name: string;
  /** The worn surface, mm. */
  readonly mesh: TriangleMesh;
  /** Flat coordinates, x and y of each vertex in turn, mm. */
  readonly flat: Float64Array;
  /** Colour of the whole piece, red, green, blue from 0 to 1. */
  readonly color?: readonly [number, number, number];
  /** Colours as red, green, blue from 0 to 1: one a vertex or one a triangle (vertices are then split). */
  readonly colors?: {
    readonly per: "vertex" | "triangle";
    readonly values: Float64Array | Float32Array | readonly number[];
  };
}

/** Options of {@link writeGlb}. */
export interface GlbOptions {
  readonly name?: string;
  /** mm of flat cloth that one texture repeat covers: UV = flat ÷ this. Default 100. */
  readonly textureMm?: number;
}

/**
 * A binary glTF 2.0 of pieces in space (metres, y up, as the format wants) whose texture coordinates are the flat panel, so that
 * any viewer shows the cloth's print and grain in place. The flat coordinates in mm are UV × `textureMm`, v downward
 * as the format has it; `extras.flatMm` of each mesh says so.
 *
 * @param given - at least one piece in space; or a pattern, which gives its panels lying flat side by side
 * @throws `print/empty-glb`, `print/bad-glb-piece`, `print/not-finite`, and for a pattern the codes of `createPrintJob`
 * @source Khronos glTF 2.0 specification, sections 3.6 (accessors), 3.7 (meshes) and 4 (GLB container)
 */
export function writeGlb(given: readonly GlbPiece[] | Printable, options: GlbOptions = {}): Uint8Array {
  checkOptions(options);
  const job = Array.isArray(given) ? undefined : createPrintJob(given as Printable);
  const pieces: readonly GlbPiece[] = job ? flatPieces(job) : (given as readonly GlbPiece[]);
  if (pieces.length === 0) {
    fail(
      "print/empty-glb",
      "There is no piece to write.",
      {},
      { fix: "Pass at least one piece with its mesh." },
    );
  }
  const textureMm = options.textureMm ?? 100;
  if (!(textureMm > 0) || !Number.isFinite(textureMm)) {
    fail(
      "print/bad-length",
      `The texture size is ${String(textureMm)} mm.`,
      {},
      { fix: "Give a positive number of mm." },
    );
  }
  const chunk = new BinaryChunk();
  const meshes: object[] = [];
  const materials: object[] = [];
  for (const piece of pieces) {
    checkPiece(piece);
    meshes.push(writeMesh(chunk, piece, textureMm, materials.length));
    materials.push(material(piece));
  }
  const json = {
    asset: { version: "2.0", generator: "@peltry/print" },
    scene: 0,
    scenes: [{ name: options.name ?? job?.name ?? "Form", nodes: pieces.map((_, i) => i) }],
    nodes: pieces.map((piece, i) => ({ name: piece.name, mesh: i })),
    meshes,
    materials,
    accessors: chunk.accessors,
    bufferViews: chunk.views,
    buffers: [{ byteLength: chunk.length }],
  };
  return container(utf8(JSON.stringify(json)), chunk.bytes());
}

const FLOAT = 5126;
const UNSIGNED_INT = 5125;
const ARRAY = 34962;
const ELEMENTS = 34963;

/** The binary part: views and accessors of tightly packed four-byte values. */
class BinaryChunk {
  readonly views: object[] = [];
  readonly accessors: object[] = [];
  readonly #parts: (Float32Array | Uint32Array)[] = [];
  length = 0;

  add(values: Float32Array | Uint32Array, type: "SCALAR" | "VEC2" | "VEC3", bounds: boolean): number {
    const width = { SCALAR: 1, VEC2: 2, VEC3: 3 }[type];
    const index = values instanceof Uint32Array;
    this.views.push({
      buffer: 0,
      byteOffset: this.length,
      byteLength: values.byteLength,
      target: index ? ELEMENTS : ARRAY,
    });
    this.accessors.push({
      bufferView: this.views.length - 1,
      componentType: index ? UNSIGNED_INT : FLOAT,
      count: values.length / width,
      type,
      ...(bounds && minMax(values, width)),
    });
    this.#parts.push(values);
    this.length += values.byteLength;
    return this.accessors.length - 1;
  }

  bytes(): Uint8Array {
    const bytes = new Uint8Array(this.length);
    const view = new DataView(bytes.buffer);
    let at = 0;
    for (const part of this.#parts) {
      for (const value of part) {
        if (part instanceof Uint32Array) view.setUint32(at, value, true);
        else view.setFloat32(at, value, true);
        at += 4;
      }
    }
    return bytes;
  }
}

function minMax(values: Float32Array | Uint32Array, width: number): { min: number[]; max: number[] } {
  const min = new Array<number>(width).fill(Infinity);
  const max = new Array<number>(width).fill(-Infinity);
  values.forEach((value, i) => {
    min[i % width] = Math.min(min[i % width]!, value);
    max[i % width] = Math.max(max[i % width]!, value);
  });
  return { min, max };
}

function writeMesh(chunk: BinaryChunk, piece: GlbPiece, textureMm: number, materialIndex: number): object {
  const split = piece.colors?.per === "triangle";
  const { triangles, positions } = piece.mesh;
  // One colour a triangle needs corners of its own.
  const corners = split ? triangles : Uint32Array.from({ length: positions.length / 3 }, (_, i) => i);
  const indices = split ? Uint32Array.from(triangles, (_, i) => i) : Uint32Array.from(triangles);
  const space = new Float32Array(corners.length * 3);
  const uv = new Float32Array(corners.length * 2);
  corners.forEach((vertex, i) => {
    for (let k = 0; k < 3; k++) space[3 * i + k] = positions[3 * vertex + k]! / 1000;
    uv[2 * i] = piece.flat[2 * vertex]! / textureMm;
    uv[2 * i + 1] = -piece.flat[2 * vertex + 1]! / textureMm;
  });
  const attributes: Record<string, number> = {
    POSITION: chunk.add(space, "VEC3", true),
    NORMAL: chunk.add(normals(space, indices), "VEC3", false),
    TEXCOORD_0: chunk.add(uv, "VEC2", false),
  };
  if (piece.colors)
    attributes["COLOR_0"] = chunk.add(cornerColors(piece.colors, corners.length), "VEC3", false);
  return {
    name: piece.name,
    primitives: [
      { attributes, indices: chunk.add(indices, "SCALAR", false), material: materialIndex, mode: 4 },
    ],
    extras: { flatMm: `TEXCOORD_0 × ${textureMm}, second coordinate negated` },
  };
}

function cornerColors(colors: NonNullable<GlbPiece["colors"]>, corners: number): Float32Array {
  const values = new Float32Array(corners * 3);
  const repeat = colors.per === "triangle" ? 3 : 1;
  for (let i = 0; i < corners; i++) {
    const from = Math.floor(i / repeat);
    for (let k = 0; k < 3; k++) values[3 * i + k] = Math.min(1, Math.max(0, colors.values[3 * from + k]!));
  }
  return values;
}

/** Unit normals, triangles weighted by area; a vertex of no area points up. */
function normals(space: Float32Array, indices: Uint32Array): Float32Array {
  const sums = new Float64Array(space.length);
  for (let t = 0; t < indices.length; t += 3) {
    const [a, b, c] = [3 * indices[t]!, 3 * indices[t + 1]!, 3 * indices[t + 2]!];
    const u = [0, 1, 2].map((k) => space[b + k]! - space[a + k]!);
    const v = [0, 1, 2].map((k) => space[c + k]! - space[a + k]!);
    const n = [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!];
    for (const at of [a, b, c]) for (let k = 0; k < 3; k++) sums[at + k]! += n[k]!;
  }
  const out = new Float32Array(space.length);
  for (let i = 0; i < sums.length; i += 3) {
    const length = Math.hypot(sums[i]!, sums[i + 1]!, sums[i + 2]!);
    if (length > 0) for (let k = 0; k < 3; k++) out[i + k] = sums[i + k]! / length;
    else out[i + 1] = 1;
  }
  return out;
}

function material(piece: GlbPiece): object {
  const [r, g, b] = piece.color ?? (piece.colors ? [1, 1, 1] : [0.75, 0.7, 0.62]);
  return {
    name: piece.name,
    doubleSided: true,
    pbrMetallicRoughness: { baseColorFactor: [r, g, b, 1], metallicFactor: 0, roughnessFactor: 0.9 },
  };
}

function checkPiece(piece: GlbPiece): void {
  const at = { panel: piece.name };
  const vertices = piece.mesh.positions.length / 3;
  const bad = (message: string): never =>
    fail("print/bad-glb-piece", `Piece “${piece.name}”: ${message}`, at, {
      fix: "Give matching positions, triangles and flat coordinates.",
    });
  if (!Number.isInteger(vertices) || vertices < 3)
    bad(`${piece.mesh.positions.length} position values are no list of points.`);
  if (piece.mesh.triangles.length < 3 || piece.mesh.triangles.length % 3 !== 0)
    bad("there is no whole triangle.");
  if (piece.flat.length !== vertices * 2)
    bad(`${vertices} vertices but ${piece.flat.length} flat coordinates.`);
  piece.mesh.triangles.forEach((v) => v < vertices || bad(`vertex ${v} of ${vertices} does not exist.`));
  const triangles = piece.mesh.triangles.length / 3;
  const wanted = piece.colors?.per === "triangle" ? triangles * 3 : vertices * 3;
  if (piece.colors && piece.colors.values.length !== wanted)
    bad(`${piece.colors.values.length} colour values, not ${wanted}.`);
  for (const [what, values] of [
    ["position", piece.mesh.positions],
    ["flat coordinate", piece.flat],
    ["colour", piece.colors?.values ?? []],
  ] as const) {
    for (let i = 0; i < values.length; i++) {
      if (!Number.isFinite(values[i])) {
        fail(
          "print/not-finite",
          `Piece “${piece.name}”: ${what} value ${i} is ${values[i]}.`,
          { ...at, index: i },
          { fix: "Every value is a finite number." },
        );
      }
    }
  }
}

/** Header, JSON chunk padded with blanks, binary chunk padded with zeros. */
function container(json: Uint8Array, binary: Uint8Array): Uint8Array {
  const jsonLength = Math.ceil(json.length / 4) * 4;
  const binaryLength = Math.ceil(binary.length / 4) * 4;
  const total = 12 + 8 + jsonLength + 8 + binaryLength;
  const bytes = new Uint8Array(total);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, 0x46546c67, true);
  view.setUint32(4, 2, true);
  view.setUint32(8, total, true);
  view.setUint32(12, jsonLength, true);
  view.setUint32(16, 0x4e4f534a, true);
  bytes.fill(0x20, 20, 20 + jsonLength);
  bytes.set(json, 20);
  view.setUint32(20 + jsonLength, binaryLength, true);
  view.setUint32(24 + jsonLength, 0x004e4942, true);
  bytes.set(binary, 28 + jsonLength);
  return bytes;
}

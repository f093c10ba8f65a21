import { fail, isPeltryError, PeltryError, type Issue } from "@peltry/issues";
import type { TriangleMesh } from "@peltry/geometry";
import { detectFormat } from "./detect-format";
import { readGltf } from "./gltf/read-gltf";
import { shown } from "../parts/number";
import { plainText } from "./plain-text";
import { MESH_LIMITS, type FaceCounts, type LengthUnit, type MeshFormat, type RawMesh } from "./raw-mesh";
import { readObj } from "./read-obj";
import { readOff } from "./read-off";
import { readPly } from "./read-ply";
import { readStl } from "./read-stl";
import { MM_PER_UNIT, settleUnit, type UnitReport } from "./units";
import { joinEqualPoints } from "./weld";

/** How {@link readMesh} reads. */
export interface ReadMeshOptions {
  /** Format of the bytes; found out when left away. `glb` is the same as `gltf`. */
  readonly format?: MeshFormat | "glb" | undefined;
  /** Unit of the file's numbers; taken from the file, its format or its size when left away. */
  readonly unit?: LengthUnit | undefined;
}

/** A mesh out of a file, in mm, and what was found on the way. */
export interface ReadMesh {
  readonly mesh: TriangleMesh;
  /** r, g, b of each vertex, 0..255, as stored. */
  readonly colors?: Uint8Array;
  /** Names of the file's groups or nodes. */
  readonly groups?: readonly string[];
  /** Index into `groups`, one a triangle; −1 for none. */
  readonly groupOf?: Int32Array;
  readonly report: ReadReport;
}

/** What {@link readMesh} found. */
export interface ReadReport {
  readonly format: MeshFormat;
  /** `text`, `binary little-endian` … */
  readonly encoding: string;
  readonly unit: UnitReport;
  readonly vertices: number;
  readonly triangles: number;
  /** Faces as the file had them, before larger ones were cut into triangles. */
  readonly faces: FaceCounts;
  /** Vertices joined because the format holds no connectivity. */
  readonly joinedVertices: number;
  /** Vertices left out because a coordinate was no number, and triangles that hung on them. */
  readonly badVertices: number;
  readonly badTriangles: number;
  /** Size of the box, mm. */
  readonly sizeMm: readonly [number, number, number];
  readonly issues: readonly Issue[];
}

/**
 * Reads a triangle mesh from the bytes of an OBJ, PLY, STL, OFF, GLB or glTF file: positions in mm, triangles as the
 * file winds them, vertex colours where there are any. Larger faces are cut into triangles. Nothing outside the bytes is
 * read. The file's own axes are kept.
 *
 * @param bytes - the whole file
 * @throws `forms/not-a-mesh` when the bytes are none of these formats or hold no triangle
 * @throws `forms/truncated` when the file ends early or claims more than it holds
 * @throws `forms/bad-index`, `forms/bad-number`, `forms/bad-header`, `forms/bad-facet`, `forms/bad-gltf` when it is damaged
 * @throws `forms/node-cycle`, `forms/external-file`, `forms/not-supported`, `forms/mesh-too-large`
 * @remarks Linear in the file. A 150,000-triangle binary PLY takes under 0.1 s. Vertex colours of glTF are taken as
 * stored, since most scanning programs store display values there.
 */
export function readMesh(bytes: Uint8Array, options: ReadMeshOptions = {}): ReadMesh {
  checkCall(bytes, options);
  const notes: Issue[] = [];
  const plain = plainText(bytes, notes);
  const format = options.format === "glb" ? "gltf" : (options.format ?? detectFormat(plain));
  const raw = readRaw(plain, format);
  if (raw.triangles.length === 0) {
    fail(
      "forms/not-a-mesh",
      `The ${format.toUpperCase()} file has ${raw.positions.length / 3} points and no triangle.`,
      {},
      {
        found: 0,
        limit: 1,
        fix: "Export the surface as a mesh, not as points or curves.",
      },
    );
  }
  const clean = dropBadVertices(raw);
  const joined = raw.soup
    ? joinEqualPoints(clean.positions, clean.triangles, clean.colors)
    : { ...clean, joined: 0 };
  const { unit, issues } = settleUnit(longestSide(joined.positions), {
    stated: raw.unit,
    given: options.unit,
    // What printers of solid things are fed with counts in mm.
    customary: format === "stl" ? "mm" : undefined,
  });
  const positions = joined.positions.map((x) => x * unit.mmPerUnit);
  const groups = raw.groups && raw.groups.length > 0 ? { groups: raw.groups, groupOf: clean.groupOf! } : {};
  return {
    mesh: { positions, triangles: joined.triangles },
    ...(joined.colors ? { colors: joined.colors } : {}),
    ...groups,
    report: {
      format,
      encoding: raw.encoding,
      unit,
      vertices: positions.length / 3,
      triangles: joined.triangles.length / 3,
      faces: raw.faces,
      joinedVertices: joined.joined,
      badVertices: clean.badVertices,
      badTriangles: clean.badTriangles,
      sizeMm: boxSize(positions),
      issues: [...notes, ...raw.notes, ...clean.issues, ...issues],
    },
  };
}

function checkCall(bytes: Uint8Array, options: ReadMeshOptions): void {
  if (!ArrayBuffer.isView(bytes) || bytes.BYTES_PER_ELEMENT !== 1) {
    fail(
      "forms/bad-call",
      "readMesh wants the file's bytes as a Uint8Array.",
      {},
      { found: typeof bytes, fix: "Read the file into a Uint8Array first." },
    );
  }
  if (bytes.length === 0)
    fail(
      "forms/not-a-mesh",
      "The file is empty.",
      { byte: 0 },
      { found: 0, fix: "Copy or export it again." },
    );
  if (
    options.unit !== undefined &&
    !(typeof options.unit === "string" && Object.hasOwn(MM_PER_UNIT, options.unit))
  ) {
    fail(
      "forms/bad-call",
      `“${shown(options.unit)}” is no unit.`,
      {},
      { limit: Object.keys(MM_PER_UNIT).join(", "), fix: "Pass one of these units." },
    );
  }
}

function readRaw(bytes: Uint8Array, format: MeshFormat): RawMesh {
  try {
    switch (format) {
      case "obj":
        return readObj(bytes);
      case "ply":
        return readPly(bytes);
      case "stl":
        return readStl(bytes);
      case "off":
        return readOff(bytes);
      case "gltf":
        return readGltf(bytes);
      default:
        return fail(
          "forms/bad-call",
          `“${shown(format)}” is no mesh format.`,
          {},
          { limit: "obj, ply, stl, off, gltf", fix: "Pass one of these formats." },
        );
    }
  } catch (error) {
    if (isPeltryError(error)) throw error;
    // A reader that trips over a hostile file still owes one typed error.
    const why =
      error instanceof RangeError ? "it claims more than there is" : "its parts do not fit together";
    throw new PeltryError({
      code: "forms/broken-file",
      severity: "error",
      message: `The ${format.toUpperCase()} file cannot be read: ${why}.`,
      at: {},
      fix: "Export the mesh again.",
    });
  }
}

interface CleanMesh {
  positions: Float64Array;
  triangles: Uint32Array;
  colors?: Uint8Array | undefined;
  groupOf?: Int32Array | undefined;
  badVertices: number;
  badTriangles: number;
  issues: Issue[];
}

/** Leaves out vertices with a coordinate that is no number or absurdly large, and the triangles on them. */
function dropBadVertices(raw: RawMesh): CleanMesh {
  const count = raw.positions.length / 3;
  const place = new Int32Array(count);
  let kept = 0;
  let first = -1;
  for (let v = 0; v < count; v++) {
    let good = true;
    for (let k = 0; k < 3; k++)
      if (!(Math.abs(raw.positions[3 * v + k]) <= MESH_LIMITS.coordinate)) good = false;
    place[v] = good ? kept++ : -1;
    if (!good && first < 0) first = v;
  }
  const bad = count - kept;
  if (bad === 0) return { ...raw, badVertices: 0, badTriangles: 0, issues: [] };
  if (bad > Math.max(1, 0.02 * count)) {
    fail(
      "forms/bad-coordinates",
      `${bad} of ${count} vertices have a coordinate that is no finite number, vertex ${first} the first.`,
      { vertex: first },
      {
        found: bad,
        limit: Math.floor(0.02 * count),
        fix: "The file is damaged or of another byte order than it says: export it again.",
      },
    );
  }
  const positions = new Float64Array(3 * kept);
  const colors = raw.colors ? new Uint8Array(3 * kept) : undefined;
  for (let v = 0; v < count; v++) {
    if (place[v] < 0) continue;
    for (let k = 0; k < 3; k++) {
      positions[3 * place[v] + k] = raw.positions[3 * v + k];
      if (colors) colors[3 * place[v] + k] = raw.colors![3 * v + k];
    }
  }
  const all = raw.triangles.length / 3;
  const keep: number[] = [];
  for (let t = 0; t < all; t++) {
    if (
      place[raw.triangles[3 * t]] >= 0 &&
      place[raw.triangles[3 * t + 1]] >= 0 &&
      place[raw.triangles[3 * t + 2]] >= 0
    )
      keep.push(t);
  }
  const triangles = new Uint32Array(3 * keep.length);
  keep.forEach((t, i) => {
    for (let k = 0; k < 3; k++) triangles[3 * i + k] = place[raw.triangles[3 * t + k]];
  });
  const badTriangles = all - keep.length;
  return {
    positions,
    triangles,
    colors,
    groupOf: raw.groupOf ? Int32Array.from(keep, (t) => raw.groupOf![t]) : undefined,
    badVertices: bad,
    badTriangles,
    issues: [
      {
        code: "forms/bad-coordinates",
        severity: "warning",
        message: `${bad} vertices with a coordinate that is no finite number were left out, with ${badTriangles} triangles; vertex ${first} of the file is the first.`,
        at: { vertex: first },
        found: bad,
        fix: "Fill the hole when repairing, or export the scan again.",
      },
    ],
  };
}

function boxSize(positions: Float64Array): [number, number, number] {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const k = i % 3;
    if (positions[i] < low[k]) low[k] = positions[i];
    if (positions[i] > high[k]) high[k] = positions[i];
  }
  return [0, 1, 2].map((k) => (high[k] >= low[k] ? high[k] - low[k] : 0)) as [number, number, number];
}

function longestSide(positions: Float64Array): number {
  return Math.max(...boxSize(positions));
}

import { fail, type Issue } from "@peltry/issues";
import { MESH_LIMITS } from "../raw-mesh";
import { claimedCount, readAccessor, type AccessorData } from "./accessor";
import type { GltfFile } from "./container";
import { entryAt, listAt, objectAt, type Json } from "./json-value";
import type { Paint, Paints } from "./material";
import { sampleTexture } from "./texture";

type Path = readonly (string | number)[];

/** How much one mesh of the file is, found without reading any of its data. */
export interface MeshSize {
  readonly parts: number;
  /** At most so many; strips that turn corners give fewer. */
  readonly triangles: number;
  readonly vertices: number;
  /** Numbers to be read from accessors. */
  readonly numbers: number;
}

/** A mesh of the file in its own frame, before any node places it. */
export interface LoadedMesh {
  readonly positions: Float64Array;
  /** r, g, b of each vertex, 0..255. */
  readonly colors: Uint8Array;
  readonly triangles: Uint32Array;
  readonly coloured: boolean;
  readonly textured: boolean;
  /** True when some part has indices, so that its triangles share vertices. */
  readonly indexed: boolean;
  /** Parts of points or lines, which were left out. */
  readonly skipped: number;
}

/**
 * Counts what a mesh would take to build: a few thousand bytes of JSON can ask for the same mesh again and again, and must
 * be refused before the memory is gone.
 *
 * @throws `forms/bad-gltf` and the like when a part names what is not there
 */
export function measureMesh(file: GltfFile, mesh: Json, index: number): MeshSize {
  const size = { parts: 0, triangles: 0, vertices: 0, numbers: 0 };
  const sets = new Set<string>();
  for (const { primitive, mode, path } of partsOf(mesh, index)) {
    size.parts++;
    if (!isFaces(mode)) continue;
    const attributes = objectAt(primitive.attributes, [...path, "attributes"]);
    const vertices = positionCount(file, attributes, path);
    const corners =
      primitive.indices === undefined
        ? vertices
        : accessorCount(file, primitive.indices, [...path, "indices"]);
    size.triangles += trianglesIn(mode, corners);
    size.numbers += primitive.indices === undefined ? 0 : corners;
    const key = vertexSet(attributes);
    if (sets.has(key)) continue;
    sets.add(key);
    size.vertices += vertices;
    size.numbers += 3 * vertices;
    for (const name of PAINTED)
      if (attributes[name] !== undefined)
        size.numbers += 4 * accessorCount(file, attributes[name], [...path, "attributes", name]);
  }
  return size;
}

/**
 * Reads a mesh of the file: its parts one after the other, those over the same vertices joined.
 *
 * @param size - from {@link measureMesh}
 */
export function loadMesh(
  file: GltfFile,
  mesh: Json,
  index: number,
  size: MeshSize,
  paints: Paints,
  notes: Issue[],
): LoadedMesh {
  const positions = new Float64Array(3 * size.vertices);
  const colors = new Uint8Array(3 * size.vertices).fill(255);
  const triangles = new Uint32Array(3 * size.triangles);
  /** Vertices that some triangle has used: the first part to use a vertex paints it. */
  const used = new Uint8Array(size.vertices);
  const sets = new Map<string, { base: number; count: number; own: AccessorData | undefined }>();
  let [vertexCount, length, skipped] = [0, 0, 0];
  let [coloured, textured, indexed] = [false, false, false];
  for (const { primitive, mode, path } of partsOf(mesh, index)) {
    if (!isFaces(mode)) {
      skipped++;
      continue;
    }
    refuseDraco(primitive, path);
    const attributes = objectAt(primitive.attributes, [...path, "attributes"]);
    const key = vertexSet(attributes);
    let set = sets.get(key);
    if (!set) {
      const points = readPoints(file, attributes, path);
      positions.set(points.values, 3 * vertexCount);
      const own =
        attributes.COLOR_0 === undefined
          ? undefined
          : readAccessor(file, attributes.COLOR_0, false, [...path, "attributes", "COLOR_0"]);
      set = { base: vertexCount, count: points.count, own };
      sets.set(key, set);
      vertexCount += points.count;
    }
    const indices =
      primitive.indices === undefined
        ? undefined
        : readAccessor(file, primitive.indices, true, [...path, "indices"]);
    if (indices) indexed = true;
    const count = indices ? indices.count : set.count;
    if (indices) checkIndices(indices, set.count, path);
    if (mode === 4 && count % 3 !== 0) {
      notes.push({
        code: "forms/indices-left-over",
        severity: "note",
        message: `${count % 3} indices after the last triangle of ${path.join(".")} were left out.`,
        at: {},
      });
    }
    const from = length;
    length = pushTriangles(triangles, length, indices?.values, count, set.base, mode);
    const paint = paints.of(primitive.material);
    const uv =
      paint.picture && !set.own && attributes[paint.texcoord] !== undefined
        ? readAccessor(file, attributes[paint.texcoord], false, [...path, "attributes", paint.texcoord])
        : undefined;
    for (let i = from; i < length; i++) {
      const v = triangles[i];
      if (used[v]) continue;
      used[v] = 1;
      paintVertex(colors, v, v - set.base, set.own, uv, paint);
    }
    if (set.own || uv || paint.stated) coloured = true;
    if (uv) textured = true;
  }
  return {
    positions,
    colors,
    triangles: length === triangles.length ? triangles : triangles.slice(0, length),
    coloured,
    textured,
    indexed,
    skipped,
  };
}

function partsOf(mesh: Json, index: number): { primitive: Json; mode: number; path: Path }[] {
  const list = listAt(mesh.primitives, ["meshes", index, "primitives"]);
  if (list.length > MESH_LIMITS.parts) tooManyParts(list.length);
  return list.map((entry, i) => {
    const path = ["meshes", index, "primitives", i];
    const primitive = objectAt(entry, path);
    return { primitive, mode: Number(primitive.mode ?? 4), path };
  });
}

export function tooManyParts(found: number): never {
  fail(
    "forms/mesh-too-large",
    `The scene has ${found} mesh parts or more once every node is placed.`,
    { path: ["nodes"] },
    { found, limit: MESH_LIMITS.parts, fix: "Join the parts, or export a single mesh." },
  );
}

/** Triangles, strips and fans; the other modes are points and lines. */
function isFaces(mode: number): boolean {
  return mode === 4 || mode === 5 || mode === 6;
}

function trianglesIn(mode: number, corners: number): number {
  return mode === 4 ? Math.floor(corners / 3) : Math.max(0, corners - 2);
}

/** Attributes that give a vertex its colour. */
const PAINTED = ["COLOR_0", "TEXCOORD_0", "TEXCOORD_1"] as const;

/** Parts of one mesh often share their vertices: read once, so that they stay joined. */
function vertexSet(attributes: Json): string {
  return ["POSITION", ...PAINTED].map((name) => Number(attributes[name] ?? -1)).join();
}

function accessorCount(file: GltfFile, index: unknown, path: Path): number {
  const accessor = entryAt(listAt(file.json.accessors, ["accessors"]), index, "accessors", path);
  return claimedCount(file, accessor, ["accessors", Number(index)]).count;
}

function positionCount(file: GltfFile, attributes: Json, path: Path): number {
  if (attributes.POSITION === undefined)
    fail(
      "forms/bad-gltf",
      "A mesh part of the glTF file has no positions.",
      { path },
      { fix: "Export the mesh again." },
    );
  return accessorCount(file, attributes.POSITION, [...path, "attributes", "POSITION"]);
}

function readPoints(file: GltfFile, attributes: Json, path: Path): AccessorData {
  const points = readAccessor(file, attributes.POSITION, false, [...path, "attributes", "POSITION"]);
  if (points.width !== 3)
    fail(
      "forms/bad-gltf",
      "Positions of the glTF file are not of type VEC3.",
      { path },
      { fix: "Export the mesh again." },
    );
  return points;
}

function refuseDraco(primitive: Json, path: Path): void {
  if (objectAt(primitive.extensions, [...path, "extensions"]).KHR_draco_mesh_compression === undefined)
    return;
  fail(
    "forms/not-supported",
    "The mesh is packed with Draco mesh compression, which is not supported.",
    { path },
    { fix: "Export as GLB without mesh compression." },
  );
}

function checkIndices(indices: AccessorData, vertexCount: number, path: Path): void {
  const { values } = indices;
  for (let i = 0; i < values.length; i++) {
    if (values[i] >= 0 && values[i] < vertexCount) continue;
    fail(
      "forms/bad-index",
      `Index ${i} of ${path.join(".")} names vertex ${values[i]}; it has ${vertexCount}.`,
      { path: [...path, "indices"], index: i },
      {
        found: values[i],
        limit: `0 to ${vertexCount - 1}`,
        fix: "The file is damaged: export it again.",
      },
    );
  }
}

/** Writes the triangles of a part; gives where the next part goes on. */
function pushTriangles(
  out: Uint32Array,
  from: number,
  indices: Float64Array | undefined,
  count: number,
  base: number,
  mode: number,
): number {
  const corner = (i: number): number => base + (indices ? indices[i] : i);
  const total = trianglesIn(mode, count);
  let at = from;
  for (let t = 0; t < total; t++) {
    let [i, j, k] = [3 * t, 3 * t + 1, 3 * t + 2];
    if (mode === 5) [i, j, k] = t % 2 === 0 ? [t, t + 1, t + 2] : [t + 1, t, t + 2];
    else if (mode === 6) [i, j, k] = [t + 1, t + 2, 0];
    const a = corner(i);
    const b = corner(j);
    const c = corner(k);
    // Strips repeat indices to turn corners.
    if (mode !== 4 && (a === b || b === c || a === c)) continue;
    out[at++] = a;
    out[at++] = b;
    out[at++] = c;
  }
  return at;
}

function paintVertex(
  colors: Uint8Array,
  v: number,
  row: number,
  own: AccessorData | undefined,
  uv: AccessorData | undefined,
  paint: Paint,
): void {
  if (own && row < own.count) for (let k = 0; k < 3; k++) colors[3 * v + k] = toByte(own, row, k);
  else if (uv && row < uv.count)
    sampleTexture(paint.picture!, finite(uv.values[2 * row]), finite(uv.values[2 * row + 1]), colors, 3 * v);
  else for (let k = 0; k < 3; k++) colors[3 * v + k] = paint.colour[k];
}

function toByte(data: AccessorData, row: number, k: number): number {
  const value = data.values[row * data.width + k];
  // Whole numbers without the normalised mark are 0..255 or 0..65535 all the same.
  const factor =
    data.componentType === 5126 || value <= 1 ? 255 : data.componentType === 5123 ? 255 / 65535 : 1;
  return Math.max(0, Math.min(255, Math.round((value || 0) * factor)));
}

function finite(x: number): number {
  return Number.isFinite(x) ? x : 0;
}

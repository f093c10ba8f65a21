import { fail, type Issue } from "@peltry/issues";
import { MESH_LIMITS, type RawMesh } from "../raw-mesh";
import { openGltf, type GltfFile } from "./container";
import { entryAt, listAt, objectAt, type Json } from "./json-value";
import { loadMesh, measureMesh, tooManyParts, type LoadedMesh, type MeshSize } from "./load-mesh";
import { Paints } from "./material";
import { determinant, placeMeshes, type PlacedMesh } from "./nodes";

/**
 * Reads a GLB file or a glTF text with its data embedded: node transforms, indexed and plain triangles, strips and fans,
 * vertex colours of every component type, colours from an embedded texture, sparse accessors. glTF is in metres by rule.
 *
 * @source Khronos Group, glTF 2.0 Specification, sections 3.4 (metres), 3.5 (nodes), 3.7.2 (meshes)
 */
export function readGltf(bytes: Uint8Array): RawMesh {
  const file = openGltf(bytes);
  refuseExtensions(file.json);
  const placed = placeMeshes(file.json);
  const wanted = measureScene(file, placed);
  return placeAll(file, placed, wanted);
}

/** Extensions that change nothing about where the triangles are. */
const HARMLESS =
  /^(KHR_materials_|KHR_lights_|KHR_texture_transform|KHR_mesh_quantization|KHR_texture_basisu|EXT_texture_|KHR_xmp|MSFT_texture_)/;

function refuseExtensions(json: Json): void {
  for (const name of listAt(json.extensionsRequired, ["extensionsRequired"])) {
    const text = String(name).slice(0, 60);
    if (HARMLESS.test(text)) continue;
    const what = /draco/i.test(text)
      ? "Draco mesh compression"
      : /meshopt/i.test(text)
        ? "meshopt compression"
        : "an extension";
    fail(
      "forms/not-supported",
      `The glTF file needs ${what} (${text}), which is not supported.`,
      { path: ["extensionsRequired"] },
      {
        found: text,
        fix: "Export as GLB without mesh compression.",
      },
    );
  }
}

/** Meshes that the scene uses, how large each is and how often it is placed. */
interface Wanted {
  readonly meshes: Map<number, { readonly json: Json; readonly size: MeshSize; copies: number }>;
  readonly vertices: number;
  readonly triangles: number;
}

/** Adds up what the scene would take. @throws `forms/mesh-too-large` before anything is built */
function measureScene(file: GltfFile, placed: readonly PlacedMesh[]): Wanted {
  const list = listAt(file.json.meshes, ["meshes"]);
  const meshes: Wanted["meshes"] = new Map();
  let [parts, vertices, triangles, numbers] = [0, 0, 0, 0];
  const most = roomFor(file);
  for (const { mesh, node } of placed) {
    const index = Number(mesh);
    let entry = meshes.get(index);
    if (!entry) {
      const json = entryAt(list, mesh, "meshes", ["nodes", node, "mesh"]);
      entry = { json, size: measureMesh(file, json, index), copies: 0 };
      meshes.set(index, entry);
      numbers += entry.size.numbers;
    }
    entry.copies++;
    parts += entry.size.parts;
    vertices += entry.size.vertices;
    triangles += entry.size.triangles;
    if (parts > MESH_LIMITS.parts) tooManyParts(parts);
    // One vertex takes at most 15 numbers, one triangle three indices.
    if (vertices > most || triangles > most || numbers > 18 * most) tooMany(most);
  }
  return { meshes, vertices, triangles };
}

/** Vertices or triangles that a file may ask for: those that its bytes can hold, or a million for a crowd of copies. */
function roomFor(file: GltfFile): number {
  return Math.min(MESH_LIMITS.triangles, Math.max(MESH_LIMITS.copied, file.byteCount / 3));
}

function placeAll(file: GltfFile, placed: readonly PlacedMesh[], wanted: Wanted): RawMesh {
  const notes: Issue[] = [];
  const paints = new Paints(file, notes);
  const loaded = new Map<number, LoadedMesh>();
  const positions = new Float64Array(3 * wanted.vertices);
  const colors = new Uint8Array(3 * wanted.vertices);
  const triangles = new Uint32Array(3 * wanted.triangles);
  const groupOf = new Int32Array(wanted.triangles);
  const groups: string[] = [];
  let [vertexAt, cornerAt, skipped, skinned] = [0, 0, 0, 0];
  let [coloured, textured, indexed] = [false, false, false];
  for (const { mesh, node, matrix, skinned: hasSkin } of placed) {
    const index = Number(mesh);
    const entry = wanted.meshes.get(index)!;
    let own = loaded.get(index);
    if (!own) {
      own = loadMesh(file, entry.json, index, entry.size, paints, notes);
      coloured ||= own.coloured;
      textured ||= own.textured;
      indexed ||= own.indexed;
      // Kept only while copies are still to come.
      if (entry.copies > 1) loaded.set(index, own);
    }
    if (--entry.copies === 0) loaded.delete(index);
    const base = vertexAt / 3;
    transform(own.positions, matrix, positions, vertexAt);
    colors.set(own.colors, vertexAt);
    vertexAt += own.positions.length;
    groupOf.fill(groups.length, cornerAt / 3, (cornerAt + own.triangles.length) / 3);
    cornerAt = copyTriangles(own.triangles, base, determinant(matrix) < 0, triangles, cornerAt);
    groups.push(groupName(file.json, node, entry.json, groups.length));
    skipped += own.skipped;
    if (hasSkin) skinned++;
  }
  const note = (code: string, message: string): void => {
    notes.push({ code, severity: "note", message, at: {} });
  };
  if (skinned > 0)
    note("forms/skin-left-out", `${skinned} meshes have a skeleton: they are read in the resting pose.`);
  if (skipped > 0)
    note("forms/lines-left-out", `${skipped} mesh parts made of points or lines were left out.`);
  return {
    positions,
    triangles: triangles.slice(0, cornerAt),
    colors: coloured ? colors : undefined,
    groups,
    groupOf: groupOf.slice(0, cornerAt / 3),
    faces: { triangles: cornerAt / 3, quads: 0, larger: 0 },
    notes,
    unit: "m",
    // Seams of a texture split vertices that are one point of the scan.
    soup: (!indexed && cornerAt > 0) || textured,
    encoding: file.binary ? "binary (GLB)" : "text (glTF)",
  };
}

function transform(from: Float64Array, m: readonly number[], to: Float64Array, at: number): void {
  for (let i = 0; i < from.length; i += 3) {
    const x = from[i];
    const y = from[i + 1];
    const z = from[i + 2];
    for (let k = 0; k < 3; k++) to[at + i + k] = m[k] * x + m[4 + k] * y + m[8 + k] * z + m[12 + k];
  }
}

/** A transform that mirrors turns triangles round. */
function copyTriangles(
  from: Uint32Array,
  base: number,
  mirrored: boolean,
  to: Uint32Array,
  at: number,
): number {
  const [second, third] = mirrored ? [2, 1] : [1, 2];
  for (let i = 0; i < from.length; i += 3) {
    to[at + i] = base + from[i];
    to[at + i + 1] = base + from[i + second];
    to[at + i + 2] = base + from[i + third];
  }
  return at + from.length;
}

function groupName(json: Json, node: number, mesh: Json, index: number): string {
  const { name } = objectAt(listAt(json.nodes, ["nodes"])[node], ["nodes", node]);
  const named = [name, mesh.name].find((x): x is string => typeof x === "string");
  return (named ?? `mesh ${index + 1}`).slice(0, 200);
}

function tooMany(most: number): never {
  fail(
    "forms/mesh-too-large",
    `The scene has more than ${Math.floor(most)} vertices or triangles once every node is placed.`,
    { path: ["nodes"] },
    {
      limit: Math.floor(most),
      fix: "Thin the scan out first, or export a single mesh.",
    },
  );
}

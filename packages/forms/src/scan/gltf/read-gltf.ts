import { fail, type Issue } from "@peltry/issues";
import { GrowingFloats, GrowingInts } from "../growing-array";
import { MESH_LIMITS, type RawMesh } from "../raw-mesh";
import { readAccessor, type AccessorData } from "./accessor";
import { openGltf, type GltfFile } from "./container";
import { entryAt, listAt, objectAt, type Json } from "./json-value";
import { materialPaint, type Paint } from "./material";
import { determinant, placeMeshes, type PlacedMesh } from "./nodes";
import { sampleTexture } from "./texture";

/**
 * Reads a GLB file or a glTF text with its data embedded: node transforms, indexed and plain triangles, strips and fans,
 * vertex colours of every component type, colours from an embedded texture, sparse accessors. glTF is in metres by rule.
 *
 * @source Khronos Group, glTF 2.0 Specification, sections 3.4 (metres), 3.5 (nodes), 3.7.2 (meshes)
 */
export function readGltf(bytes: Uint8Array): RawMesh {
  const file = openGltf(bytes);
  refuseExtensions(file.json);
  const build = new Build(file);
  for (const placed of placeMeshes(file.json)) build.addMesh(placed);
  return build.done();
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

class Build {
  private readonly positions = new GrowingFloats();
  private readonly triangles = new GrowingInts();
  private readonly groupOf = new GrowingInts();
  private readonly colors = new GrowingInts();
  private readonly groups: string[] = [];
  private readonly notes: Issue[] = [];
  private readonly paints = new Map<number, Paint>();
  private coloured = false;
  private textured = false;
  private soup = true;
  private skipped = 0;

  constructor(private readonly file: GltfFile) {}

  addMesh(placed: PlacedMesh): void {
    const { json } = this.file;
    const mesh = entryAt(listAt(json.meshes, ["meshes"]), placed.mesh, "meshes", [
      "nodes",
      placed.node,
      "mesh",
    ]);
    if (placed.skinned)
      this.note(
        "forms/skin-left-out",
        `Node ${placed.node} has a skeleton: its mesh is read in the resting pose.`,
      );
    const node = objectAt(listAt(json.nodes, ["nodes"])[placed.node], ["nodes", placed.node]);
    const group =
      this.groups.push(String(node.name ?? mesh.name ?? `mesh ${this.groups.length + 1}`).slice(0, 200)) - 1;
    // Primitives of one mesh often share their vertices: read once, so that they stay joined.
    const shared = new Map<string, number>();
    listAt(mesh.primitives, ["meshes", Number(placed.mesh), "primitives"]).forEach((entry, i) => {
      const path = ["meshes", Number(placed.mesh), "primitives", i];
      this.addPrimitive(objectAt(entry, path), placed, group, shared, path);
    });
  }

  private addPrimitive(
    primitive: Json,
    placed: PlacedMesh,
    group: number,
    shared: Map<string, number>,
    path: (string | number)[],
  ): void {
    const mode = primitive.mode ?? 4;
    if (mode !== 4 && mode !== 5 && mode !== 6) {
      this.skipped++;
      return;
    }
    if (objectAt(primitive.extensions, [...path, "extensions"]).KHR_draco_mesh_compression !== undefined) {
      fail(
        "forms/not-supported",
        "The mesh is packed with Draco mesh compression, which is not supported.",
        { path },
        { fix: "Export as GLB without mesh compression." },
      );
    }
    const attributes = objectAt(primitive.attributes, [...path, "attributes"]);
    const paint = this.paint(primitive.material);
    const key = JSON.stringify([
      attributes.POSITION,
      attributes.COLOR_0,
      paint.key,
      paint.key >= 0 ? attributes[paint.texcoord] : -1,
    ]);
    let base = shared.get(key);
    if (base === undefined) {
      base = this.addVertices(attributes, paint, placed, path);
      shared.set(key, base);
    }
    const count = readCount(this.file, attributes.POSITION);
    const indices =
      primitive.indices === undefined
        ? undefined
        : readAccessor(this.file, primitive.indices, true, [...path, "indices"]);
    if (indices) this.soup = false;
    this.addTriangles(indices, count, base, Number(mode), group, determinant(placed.matrix) < 0, path);
  }

  private addVertices(attributes: Json, paint: Paint, placed: PlacedMesh, path: (string | number)[]): number {
    if (attributes.POSITION === undefined)
      fail(
        "forms/bad-gltf",
        "A mesh part of the glTF file has no positions.",
        { path },
        { fix: "Export the mesh again." },
      );
    const points = readAccessor(this.file, attributes.POSITION, false, [...path, "attributes", "POSITION"]);
    if (points.width !== 3)
      fail(
        "forms/bad-gltf",
        "Positions of the glTF file are not of type VEC3.",
        { path },
        { fix: "Export the mesh again." },
      );
    const base = this.positions.length / 3;
    if (base + points.count > MESH_LIMITS.vertices) this.tooMany();
    const m = placed.matrix;
    for (let v = 0; v < points.count; v++) {
      const [x, y, z] = [points.values[3 * v], points.values[3 * v + 1], points.values[3 * v + 2]];
      for (let k = 0; k < 3; k++) this.positions.push(m[k] * x + m[4 + k] * y + m[8 + k] * z + m[12 + k]);
    }
    this.addColors(attributes, paint, points.count, path);
    return base;
  }

  private addColors(attributes: Json, paint: Paint, count: number, path: (string | number)[]): void {
    const own =
      attributes.COLOR_0 === undefined
        ? undefined
        : readAccessor(this.file, attributes.COLOR_0, false, [...path, "attributes", "COLOR_0"]);
    const uv =
      paint.picture && attributes[paint.texcoord] !== undefined
        ? readAccessor(this.file, attributes[paint.texcoord], false, [...path, "attributes", paint.texcoord])
        : undefined;
    const rgb = new Uint8Array(3);
    for (let v = 0; v < count; v++) {
      if (own && v < own.count) for (let k = 0; k < 3; k++) rgb[k] = toByte(own, v, k);
      else if (uv && v < uv.count)
        sampleTexture(paint.picture!, finite(uv.values[2 * v]), finite(uv.values[2 * v + 1]), rgb, 0);
      else for (let k = 0; k < 3; k++) rgb[k] = paint.colour[k];
      for (let k = 0; k < 3; k++) this.colors.push(rgb[k]);
    }
    if (own || uv || paint.stated) this.coloured = true;
    if (uv && !own) this.textured = true;
  }

  private addTriangles(
    indices: AccessorData | undefined,
    vertexCount: number,
    base: number,
    mode: number,
    group: number,
    mirrored: boolean,
    path: (string | number)[],
  ): void {
    const count = indices ? indices.count : vertexCount;
    const at = (i: number): number => {
      const v = indices ? indices.values[i] : i;
      if (v >= vertexCount) {
        fail(
          "forms/bad-index",
          `Index ${i} of ${path.join(".")} names vertex ${v}; it has ${vertexCount}.`,
          { path: [...path, "indices"], index: i },
          {
            found: v,
            limit: `0 to ${vertexCount - 1}`,
            fix: "The file is damaged: export it again.",
          },
        );
      }
      return base + v;
    };
    if (mode === 4 && count % 3 !== 0)
      this.note(
        "forms/indices-left-over",
        `${count % 3} indices after the last triangle of ${path.join(".")} were left out.`,
      );
    const total = mode === 4 ? Math.floor(count / 3) : Math.max(0, count - 2);
    if (this.triangles.length / 3 + total > MESH_LIMITS.triangles) this.tooMany();
    for (let t = 0; t < total; t++) {
      const [a, b, c] =
        mode === 4
          ? [at(3 * t), at(3 * t + 1), at(3 * t + 2)]
          : mode === 6
            ? [at(t + 1), at(t + 2), at(0)]
            : t % 2 === 0
              ? [at(t), at(t + 1), at(t + 2)]
              : [at(t + 1), at(t), at(t + 2)];
      // Strips repeat indices to turn corners.
      if (mode !== 4 && (a === b || b === c || a === c)) continue;
      this.triangles.push(a);
      this.triangles.push(mirrored ? c : b);
      this.triangles.push(mirrored ? b : c);
      this.groupOf.push(group);
    }
  }

  private paint(material: unknown): Paint {
    const key = material === undefined ? -1 : Number(material);
    let paint = this.paints.get(key);
    if (!paint) {
      paint = materialPaint(this.file, material, this.notes);
      this.paints.set(key, paint);
    }
    return paint;
  }

  private note(code: string, message: string): void {
    this.notes.push({ code, severity: "note", message, at: {} });
  }

  private tooMany(): never {
    fail(
      "forms/mesh-too-large",
      `The scene has more than ${MESH_LIMITS.triangles} vertices or triangles once every node is placed.`,
      { path: ["nodes"] },
      {
        limit: MESH_LIMITS.triangles,
        fix: "Thin the scan out first, or export a single mesh.",
      },
    );
  }

  done(): RawMesh {
    if (this.skipped > 0)
      this.note("forms/lines-left-out", `${this.skipped} mesh parts made of points or lines were left out.`);
    const triangles = Uint32Array.from(this.triangles.done());
    return {
      positions: this.positions.done(),
      triangles,
      colors: this.coloured ? Uint8Array.from(this.colors.done()) : undefined,
      groups: this.groups,
      groupOf: this.groupOf.done(),
      faces: { triangles: triangles.length / 3, quads: 0, larger: 0 },
      notes: this.notes,
      unit: "m",
      // Seams of a texture split vertices that are one point of the scan.
      soup: (this.soup && triangles.length > 0) || this.textured,
      encoding: this.file.binary ? "binary (GLB)" : "text (glTF)",
    };
  }
}

function readCount(file: GltfFile, index: unknown): number {
  return Number(entryAt(listAt(file.json.accessors, ["accessors"]), index, "accessors", ["POSITION"]).count);
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

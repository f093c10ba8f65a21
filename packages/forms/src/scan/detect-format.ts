import { fail } from "@peltry/issues";
import type { MeshFormat } from "./raw-mesh";
import { latin } from "./text-scanner";

/**
 * The format of a mesh file from its bytes; names and endings are not asked.
 *
 * @throws `forms/not-a-mesh` when it is none of the known ones
 */
export function detectFormat(bytes: Uint8Array): MeshFormat {
  const skip = bytes[0] === 0xef && bytes[1] === 0xbb ? 3 : 0;
  const start = latin(bytes, skip, Math.min(bytes.length, skip + 4000));
  const trimmed = start.trimStart();
  if (start.startsWith("glTF")) return "gltf";
  if (/^ply[\r\n \t]/.test(start)) return "ply";
  if (/^(?:\s|#[^\n\r]*[\n\r])*(?:ST)?C?N?4?n?OFF\b/.test(start)) return "off";
  if (trimmed.startsWith("{")) return "gltf";
  if (isBinaryStl(bytes)) return "stl";
  if (/^solid\b/i.test(trimmed) && (/\bfacet\b|\bendsolid\b/i.test(start) || bytes.length >= 84))
    return "stl";
  if (
    !start.slice(0, 1000).includes("\0") &&
    /^[ \t]*(?:v|vn|vt|f|o|g|mtllib|usemtl|#)[ \t]/m.test(start) &&
    looksLikeObj(start)
  )
    return "obj";
  const other = unsupported(start);
  if (other) {
    fail(
      "forms/not-supported",
      `This is ${other}, which is not supported.`,
      { byte: 0 },
      { fix: "Export as OBJ, PLY, STL, OFF or GLB." },
    );
  }
  if (bytes.length >= 84 && start.slice(0, 84).includes("\0") === true && plausibleStl(bytes)) return "stl";
  return fail(
    "forms/not-a-mesh",
    "The bytes are no OBJ, PLY, STL, OFF, GLB or glTF file.",
    { byte: 0 },
    {
      found: JSON.stringify(start.slice(0, 16)),
      fix: "Export the mesh as one of these, or pass the format.",
    },
  );
}

function count(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

function isBinaryStl(bytes: Uint8Array): boolean {
  return bytes.length >= 84 && 84 + 50 * count(bytes) === bytes.length;
}

/** A cut-off or padded binary STL: the first facet holds believable numbers. */
function plausibleStl(bytes: Uint8Array): boolean {
  if (bytes.length < 134 || count(bytes) === 0) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let k = 0; k < 12; k++) {
    const x = Math.abs(view.getFloat32(84 + 4 * k, true));
    if (!(x === 0 || (x > 1e-12 && x < 1e9))) return false;
  }
  return true;
}

/** At least one line of geometry among the first, or only comments so far. */
function looksLikeObj(start: string): boolean {
  const lines = start.split(/[\r\n]+/).map((line) => line.trim());
  const telling = lines.filter((line) => line !== "" && !line.startsWith("#"));
  if (telling.length === 0) return true;
  const known = telling.filter((line) => /^(v|vn|vt|vp|f|o|g|s|l|p|mtllib|usemtl)\b/.test(line));
  return known.length >= 0.5 * telling.length;
}

function unsupported(start: string): string | undefined {
  if (start.startsWith("Kaydara FBX") || start.startsWith("; FBX")) return "an FBX file";
  if (start.startsWith("PK\x03\x04")) return "a ZIP archive (3MF, USDZ or a packed mesh)";
  if (start.startsWith("BLENDER")) return "a Blender file";
  if (/^\s*<\?xml[\s\S]*<COLLADA/.test(start)) return "a COLLADA file";
  if (/^\s*(<\?xml[^>]*>\s*)?<(x3d|svg|html|!doctype)/i.test(start)) return "an XML or web page file";
  if (start.startsWith("#VRML")) return "a VRML file";
  if (start.startsWith("DRACO")) return "a Draco-packed mesh";
  if (/^#usda|^PXR-USDC/.test(start)) return "a USD file";
  if (start.startsWith("\x1f\x8b")) return "a gzip archive";
  if (start.startsWith("solid")) return undefined;
  return undefined;
}

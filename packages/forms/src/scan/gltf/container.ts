import { fail } from "@peltry/issues";
import { utf8 } from "../text-scanner";
import { MESH_LIMITS } from "../raw-mesh";
import { broken, countAt, listAt, objectAt, type Json } from "./json-value";

/** A glTF file taken apart: its JSON and the bytes of its buffers. Nothing outside the given bytes is ever read. */
export interface GltfFile {
  readonly json: Json;
  readonly buffers: readonly Uint8Array[];
  /** Bytes of all buffers together. */
  readonly byteCount: number;
  readonly binary: boolean;
}

const MAGIC = 0x46546c67;
const CHUNK_JSON = 0x4e4f534a;
const CHUNK_BIN = 0x004e4942;

/**
 * Opens a GLB container or a glTF text with embedded buffers.
 *
 * @source Khronos Group, glTF 2.0 Specification, sections 3.6.1 (buffers) and 4 (GLB)
 */
export function openGltf(bytes: Uint8Array): GltfFile {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const binary = bytes.length >= 4 && view.getUint32(0, true) === MAGIC;
  const { text, chunk } = binary ? openGlb(bytes, view) : { text: bytes, chunk: undefined };
  const json = parse(text);
  const version = objectAt(json.asset, ["asset"]).version;
  if (typeof version !== "string" || !version.startsWith("2")) {
    fail(
      "forms/not-supported",
      `glTF version ${typeof version === "string" ? version.slice(0, 20) : "unknown"} is not supported.`,
      { path: ["asset", "version"] },
      {
        limit: "2.x",
        fix: "Export as glTF 2.0 or GLB.",
      },
    );
  }
  const buffers = listAt(json.buffers, ["buffers"]).map((entry, i) =>
    openBuffer(objectAt(entry, ["buffers", i]), i, chunk),
  );
  const byteCount = buffers.reduce((sum, buffer) => sum + buffer.length, 0);
  return { json, buffers, byteCount, binary };
}

function openGlb(bytes: Uint8Array, view: DataView): { text: Uint8Array; chunk: Uint8Array | undefined } {
  if (bytes.length < 20) cut(bytes.length, 20);
  const version = view.getUint32(4, true);
  if (version !== 2) {
    fail(
      "forms/not-supported",
      `GLB version ${version} is not supported.`,
      { byte: 4 },
      { found: version, limit: 2, fix: "Export as GLB version 2." },
    );
  }
  const total = view.getUint32(8, true);
  if (total > bytes.length) cut(bytes.length, total);
  let text: Uint8Array | undefined;
  let chunk: Uint8Array | undefined;
  for (let at = 12; at + 8 <= total;) {
    const length = view.getUint32(at, true);
    const type = view.getUint32(at + 4, true);
    if (at + 8 + length > total) cut(total, at + 8 + length);
    const body = bytes.subarray(at + 8, at + 8 + length);
    if (type === CHUNK_JSON) text ??= body;
    else if (type === CHUNK_BIN) chunk ??= body;
    at += 8 + length;
  }
  if (!text)
    fail("forms/bad-gltf", "The GLB file has no JSON part.", { byte: 12 }, { fix: "Export the mesh again." });
  return { text, chunk };
}

function cut(found: number, limit: number): never {
  fail(
    "forms/truncated",
    `The GLB file should hold ${limit} bytes; it has ${found}.`,
    { byte: found },
    { found, limit, fix: "The file is cut short: copy or export it again." },
  );
}

/** Objects and lists that the JSON may hold: five for each node allowed. Counted before they are built. */
const MOST_PARTS = 5 * MESH_LIMITS.nodes;

function parse(text: Uint8Array): Json {
  let parts = 0;
  for (let i = 0; i < text.length; i++) if (text[i] === 0x7b || text[i] === 0x5b) parts++;
  if (parts > MOST_PARTS)
    fail(
      "forms/mesh-too-large",
      `The JSON of the glTF file has ${parts} objects and lists.`,
      {},
      { found: parts, limit: MOST_PARTS, fix: "Export a single mesh." },
    );
  let value: unknown;
  try {
    value = JSON.parse(utf8(text, text[0] === 0xef ? 3 : 0).replace(/\0+$/, ""));
  } catch (error) {
    const why = error instanceof Error ? error.message.slice(0, 120) : "unreadable";
    fail(
      "forms/bad-gltf",
      `The JSON of the glTF file cannot be read: ${why}.`,
      {},
      { fix: "Export the mesh again." },
    );
  }
  return objectAt(value, ["the file"]);
}

function openBuffer(entry: Json, index: number, chunk: Uint8Array | undefined): Uint8Array {
  const length = countAt(entry.byteLength, ["buffers", index, "byteLength"]);
  const path = ["buffers", index];
  let data: Uint8Array;
  if (entry.uri === undefined) {
    if (index !== 0 || !chunk) broken(path, "has no data");
    data = chunk;
  } else data = embeddedData(entry.uri, path);
  if (data.length < length) {
    fail(
      "forms/truncated",
      `Buffer ${index} claims ${length} bytes and has ${data.length}.`,
      { path },
      {
        found: data.length,
        limit: length,
        fix: "The file is cut short or its header is wrong: export it again.",
      },
    );
  }
  return data.subarray(0, length);
}

/**
 * Bytes of a `data:` address.
 *
 * @throws `forms/external-file` for any other address
 */
export function embeddedData(uri: unknown, path: readonly (string | number)[]): Uint8Array {
  if (typeof uri !== "string") broken(path, "has an address that is no text");
  if (!/^data:/i.test(uri)) {
    fail(
      "forms/external-file",
      `The glTF file keeps its data in another file (“${uri.slice(0, 60)}”), which is not read.`,
      { path: [...path, "uri"] },
      {
        found: uri.slice(0, 60),
        fix: "Export as a single GLB file.",
      },
    );
  }
  const comma = uri.indexOf(",");
  const head = uri.slice(0, comma);
  if (comma < 0 || head.length > 200 || !/;base64$/i.test(head))
    broken(path, "has an embedded part that is not base64");
  return base64(uri, comma + 1, path);
}

function base64(text: string, from: number, path: readonly (string | number)[]): Uint8Array {
  let end = text.length;
  while (end > from && text.charCodeAt(end - 1) === 61) end--;
  const out = new Uint8Array(Math.floor(((end - from) * 3) / 4));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (let i = from; i < end; i++) {
    const c = text.charCodeAt(i);
    const value =
      c >= 65 && c <= 90
        ? c - 65
        : c >= 97 && c <= 122
          ? c - 71
          : c >= 48 && c <= 57
            ? c + 4
            : c === 43 || c === 45
              ? 62
              : c === 47 || c === 95
                ? 63
                : -1;
    if (value < 0) broken(path, `has a character that is not base64 at ${i - from}`);
    held = ((held << 6) | value) & 0xffffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      out[at++] = (held >> bits) & 255;
    }
  }
  return out.subarray(0, at);
}

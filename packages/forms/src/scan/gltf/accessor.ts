import { fail } from "@peltry/issues";
import type { GltfFile } from "./container";
import { broken, countAt, entryAt, listAt, objectAt, type Json } from "./json-value";

/** Numbers of an accessor, one row an entry. */
export interface AccessorData {
  readonly values: Float64Array;
  readonly count: number;
  readonly width: number;
  readonly componentType: number;
}

const WIDTH: Readonly<Record<string, number>> = {
  SCALAR: 1,
  VEC2: 2,
  VEC3: 3,
  VEC4: 4,
  MAT2: 4,
  MAT3: 9,
  MAT4: 16,
};
const SIZE: Readonly<Record<number, number>> = { 5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4 };
/** Largest value, by which a normalised whole number is divided. */
const FULL: Readonly<Record<number, number>> = {
  5120: 127,
  5121: 255,
  5122: 32767,
  5123: 65535,
  5125: 4294967295,
  5126: 1,
};

/**
 * Reads an accessor: any component type, stride, normalised or not, sparse or not.
 *
 * @param whole - true to take whole numbers as they are, for indices
 * @source Khronos Group, glTF 2.0 Specification, sections 3.6.2 (accessors) and 3.6.2.3 (sparse)
 */
export function readAccessor(
  file: GltfFile,
  index: unknown,
  whole: boolean,
  path: readonly (string | number)[],
): AccessorData {
  const accessors = listAt(file.json.accessors, ["accessors"]);
  const accessor = entryAt(accessors, index, "accessors", path);
  const at = ["accessors", Number(index)];
  const { count, width } = claimedCount(file, accessor, at);
  const componentType = countAt(accessor.componentType, [...at, "componentType"]);
  if (!Object.hasOwn(SIZE, componentType)) broken([...at, "componentType"], `${componentType} is unknown`);
  const scale = whole || accessor.normalized !== true ? 1 : 1 / FULL[componentType];
  refuseCompressed(accessor, at);
  const values = new Float64Array(count * width);
  if (accessor.bufferView !== undefined) {
    readView(
      file,
      accessor.bufferView,
      countAt(accessor.byteOffset, [...at, "byteOffset"], 0),
      count,
      width,
      componentType,
      at,
      (row, k, x) => {
        values[row * width + k] = x * scale;
      },
    );
  }
  if (accessor.sparse !== undefined)
    readSparse(
      file,
      objectAt(accessor.sparse, [...at, "sparse"]),
      values,
      count,
      width,
      componentType,
      scale,
      at,
    );
  return { values, count, width, componentType };
}

/** How many rows an accessor claims; refused where that is out of all proportion to the file. */
export function claimedCount(
  file: GltfFile,
  accessor: Json,
  at: readonly (string | number)[],
): { count: number; width: number } {
  const type = String(accessor.type);
  if (!Object.hasOwn(WIDTH, type)) broken([...at, "type"], "is unknown");
  const width = WIDTH[type];
  const count = countAt(accessor.count, [...at, "count"]);
  const limit = Math.max(100_000, file.byteCount);
  if (count * width > limit) {
    fail(
      "forms/truncated",
      `Accessor ${at[1]} claims ${count} entries; the file has ${file.byteCount} bytes of data.`,
      { path: [...at, "count"] },
      {
        found: count,
        limit: Math.floor(limit / width),
        fix: "The file is damaged: export it again.",
      },
    );
  }
  return { count, width };
}

function refuseCompressed(accessor: Json, at: readonly (string | number)[]): void {
  if (accessor.bufferView !== undefined || accessor.sparse !== undefined || accessor.extensions === undefined)
    return;
  fail(
    "forms/not-supported",
    `Accessor ${at[1]} is compressed by an extension.`,
    { path: at },
    { fix: "Export without mesh compression." },
  );
}

function readView(
  file: GltfFile,
  viewIndex: unknown,
  offset: number,
  count: number,
  width: number,
  componentType: number,
  at: readonly (string | number)[],
  keep: (row: number, column: number, value: number) => void,
): void {
  const view = bufferView(file, viewIndex, at);
  const size = SIZE[componentType];
  const stride = view.stride || size * width;
  const end = count === 0 ? 0 : offset + stride * (count - 1) + size * width;
  if (stride < size * width) broken(at, `has rows of ${size * width} bytes with a stride of ${stride}`);
  if (end > view.data.length) {
    fail(
      "forms/truncated",
      `Accessor ${at[1]} wants ${end} bytes of a buffer view of ${view.data.length}.`,
      { path: at },
      {
        found: view.data.length,
        limit: end,
        fix: "The file is cut short or damaged: export it again.",
      },
    );
  }
  const data = new DataView(view.data.buffer, view.data.byteOffset, view.data.byteLength);
  for (let row = 0; row < count; row++) {
    for (let k = 0; k < width; k++)
      keep(row, k, component(data, offset + row * stride + k * size, componentType));
  }
}

function component(data: DataView, at: number, type: number): number {
  switch (type) {
    case 5120:
      return data.getInt8(at);
    case 5121:
      return data.getUint8(at);
    case 5122:
      return data.getInt16(at, true);
    case 5123:
      return data.getUint16(at, true);
    case 5125:
      return data.getUint32(at, true);
    default:
      return data.getFloat32(at, true);
  }
}

/** Bytes and stride of a buffer view. */
export function bufferView(
  file: GltfFile,
  index: unknown,
  path: readonly (string | number)[],
): { data: Uint8Array; stride: number } {
  const view = entryAt(listAt(file.json.bufferViews, ["bufferViews"]), index, "bufferViews", path);
  const at = ["bufferViews", Number(index)];
  const extensions = objectAt(view.extensions, [...at, "extensions"]);
  if (extensions.EXT_meshopt_compression !== undefined || extensions.KHR_meshopt_compression !== undefined) {
    fail(
      "forms/not-supported",
      `Buffer view ${at[1]} is compressed (meshopt), which is not supported.`,
      { path: at },
      { fix: "Export without mesh compression." },
    );
  }
  const buffer = countAt(view.buffer, [...at, "buffer"]);
  if (buffer >= file.buffers.length)
    broken([...at, "buffer"], `names buffer ${buffer} of ${file.buffers.length}`);
  const offset = countAt(view.byteOffset, [...at, "byteOffset"], 0);
  const length = countAt(view.byteLength, [...at, "byteLength"]);
  if (offset + length > file.buffers[buffer].length) {
    fail(
      "forms/truncated",
      `Buffer view ${at[1]} ends at byte ${offset + length} of a buffer of ${file.buffers[buffer].length}.`,
      { path: at },
      {
        found: file.buffers[buffer].length,
        limit: offset + length,
        fix: "The file is cut short or damaged: export it again.",
      },
    );
  }
  return {
    data: file.buffers[buffer].subarray(offset, offset + length),
    stride: countAt(view.byteStride, [...at, "byteStride"], 0),
  };
}

function readSparse(
  file: GltfFile,
  sparse: Json,
  values: Float64Array,
  count: number,
  width: number,
  componentType: number,
  scale: number,
  at: readonly (string | number)[],
): void {
  const changed = countAt(sparse.count, [...at, "sparse", "count"]);
  if (changed > count) broken([...at, "sparse", "count"], `is ${changed} of ${count}`);
  const indices = objectAt(sparse.indices, [...at, "sparse", "indices"]);
  const entries = objectAt(sparse.values, [...at, "sparse", "values"]);
  const indexType = countAt(indices.componentType, [...at, "sparse", "indices", "componentType"]);
  if (![5121, 5123, 5125].includes(indexType))
    broken([...at, "sparse", "indices", "componentType"], "is unknown");
  const where = new Uint32Array(changed);
  readView(
    file,
    indices.bufferView,
    countAt(indices.byteOffset, at, 0),
    changed,
    1,
    indexType,
    at,
    (row, _, x) => {
      if (x >= count) broken([...at, "sparse"], `names entry ${x} of ${count}`);
      where[row] = x;
    },
  );
  readView(
    file,
    entries.bufferView,
    countAt(entries.byteOffset, at, 0),
    changed,
    width,
    componentType,
    at,
    (row, k, x) => {
      values[where[row] * width + k] = x * scale;
    },
  );
}

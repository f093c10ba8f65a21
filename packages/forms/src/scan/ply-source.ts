import { fail } from "@peltry/issues";
import type { GrowingInts } from "./growing-array";
import type { PlyElement, PlyHeader, PlyType } from "./ply-header";
import { TextScanner } from "./text-scanner";

/** Where the rows of a PLY file come from: text or bytes. */
export interface PlySource {
  /** Reads one row of plain values; lists in it count as 0. */
  row(element: PlyElement, into: Float64Array, index: number): void;
  /** Reads one row and keeps the list at `property` (none for −1), and its plain values where `row` is given. */
  list(element: PlyElement, property: number, into: GrowingInts, index: number, row?: Float64Array): void;
  /** Byte or line of the next row. */
  place(): number;
  readonly scan?: TextScanner;
}

const SIZE: Readonly<Record<PlyType, number>> = {
  int8: 1,
  uint8: 1,
  int16: 2,
  uint16: 2,
  int32: 4,
  uint32: 4,
  float32: 4,
  float64: 8,
};

type Reader = (view: DataView, at: number, little: boolean) => number;
const READ: Readonly<Record<PlyType, Reader>> = {
  int8: (view, at) => view.getInt8(at),
  uint8: (view, at) => view.getUint8(at),
  int16: (view, at, little) => view.getInt16(at, little),
  uint16: (view, at, little) => view.getUint16(at, little),
  int32: (view, at, little) => view.getInt32(at, little),
  uint32: (view, at, little) => view.getUint32(at, little),
  float32: (view, at, little) => view.getFloat32(at, little),
  float64: (view, at, little) => view.getFloat64(at, little),
};

/** Rows from bytes. */
export function binarySource(bytes: Uint8Array, header: PlyHeader): PlySource {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = header.format === "little";
  let at = header.bodyAt;
  const need = (size: number, element: PlyElement, index: number): void => {
    if (at + size <= bytes.length) return;
    fail(
      "forms/truncated",
      `The file ends at byte ${bytes.length}, inside “${element.name}” ${index} of ${element.count}.`,
      { byte: bytes.length },
      { found: index, limit: element.count, fix: "The file is cut short: copy or export it again." },
    );
  };
  const count = (property: PlyElement["properties"][number], element: PlyElement, index: number): number => {
    need(SIZE[property.list!], element, index);
    const length = READ[property.list!](view, at, little);
    at += SIZE[property.list!];
    if (length < 0) {
      fail(
        "forms/bad-index",
        `“${element.name}” ${index} has a list of ${length} entries.`,
        { byte: at },
        { found: length, fix: "The file is damaged: export it again." },
      );
    }
    need(length * SIZE[property.type], element, index);
    return length;
  };
  return {
    place: () => at,
    row(element, into, index) {
      const { properties } = element;
      for (let i = 0; i < properties.length; i++) {
        const property = properties[i];
        if (property.list) {
          const length = count(property, element, index);
          at += length * SIZE[property.type];
          into[i] = 0;
          continue;
        }
        need(SIZE[property.type], element, index);
        into[i] = READ[property.type](view, at, little);
        at += SIZE[property.type];
      }
    },
    list(element, wanted, into, index, row) {
      const { properties } = element;
      for (let i = 0; i < properties.length; i++) {
        const property = properties[i];
        const size = SIZE[property.type];
        if (!property.list) {
          need(size, element, index);
          if (row) row[i] = READ[property.type](view, at, little);
          at += size;
          continue;
        }
        const length = count(property, element, index);
        if (i === wanted) {
          const read = READ[property.type];
          for (let k = 0; k < length; k++) into.push(read(view, at + k * size, little));
        }
        at += length * size;
      }
    },
  };
}

/** Rows from text: one row a line. */
export function textSource(bytes: Uint8Array, header: PlyHeader): PlySource {
  const scan = new TextScanner(bytes, header.bodyAt);
  scan.line = header.bodyLine;
  const start = (element: PlyElement, index: number): void => {
    scan.skipSpace();
    if (!scan.done) return;
    fail(
      "forms/truncated",
      `The file ends at line ${scan.line}, before “${element.name}” ${index} of ${element.count}.`,
      { line: scan.line, byte: bytes.length },
      { found: index, limit: element.count, fix: "The file is cut short: copy or export it again." },
    );
  };
  const each = (
    element: PlyElement,
    index: number,
    keep: (property: number, value: number) => void,
  ): void => {
    start(element, index);
    for (let i = 0; i < element.properties.length; i++) {
      if (!element.properties[i].list) {
        keep(i, scan.number());
        continue;
      }
      const length = scan.integer();
      if (length < 0 || length > scan.end - scan.pos) {
        fail(
          "forms/bad-index",
          `Line ${scan.line} has a list of ${length} entries.`,
          { line: scan.line },
          { found: length, fix: "The file is damaged: export it again." },
        );
      }
      for (let k = 0; k < length; k++) keep(i, scan.number());
    }
    scan.nextLine();
  };
  return {
    scan,
    place: () => scan.line,
    row(element, into, index) {
      into.fill(0);
      each(element, index, (property, value) => {
        into[property] = value;
      });
    },
    list(element, wanted, into, index, row) {
      each(element, index, (property, value) => {
        if (property !== wanted) {
          if (row) row[property] = value;
          return;
        }
        into.push(Number.isInteger(value) && Math.abs(value) < 2e9 ? value : -2);
      });
    },
  };
}

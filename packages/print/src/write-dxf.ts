import { boundingBox, stationAt, type Outline, type Point } from "@peltry/geometry";
import { edgesOutline, type Edge } from "@peltry/pattern";
import { dartPoints } from "./dart-points";
import { countText } from "./draw-label";
import { numberText } from "./internal/number-text";
import { utf8 } from "./internal/utf8";
import { outermost } from "./place-piece";
import { createPrintJob, type PrintJobOptions } from "./print-job";
import type { Printable, PrintJob, PrintPiece } from "./types";

/** Options of {@link writeDxf}. */
export type DxfOptions = PrintJobOptions;

/**
 * Layers of the open pattern-interchange standard; layer names are the numbers.
 *
 * @source ASTM D6673-10, layer table
 */
export const DXF_LAYERS = Object.freeze({
  boundary: "1",
  turnPoints: "2",
  curvePoints: "3",
  notches: "4",
  mirror: "6",
  grain: "7",
  internal: "8",
  cutOut: "11",
  drill: "13",
  sewLine: "14",
  annotation: "15",
} as const);

type LayerNumber = (typeof DXF_LAYERS)[keyof typeof DXF_LAYERS];

/**
 * An ASCII DXF drawing for other pattern and cutting programs: mm, one block a piece, the standard's layers.
 * The boundary is the cut line, or the sew line where there is none. Seams between pieces have no place in this format;
 * their letters are written as annotation.
 *
 * @param pattern - a pattern (sew lines only) or a job
 * @returns bytes of the file, ASCII; other letters as `\U+XXXX`
 * @throws the codes of `createPrintJob`
 * @source ASTM D6673-10 for layers, blocks and piece texts (the texts from memory)
 */
export function writeDxf(pattern: Printable, options: DxfOptions = {}): Uint8Array {
  const job = createPrintJob(pattern, options);
  const names = blockNames(job);
  const dxf = new DxfText();
  writeHeader(dxf, job);
  writeTables(dxf);
  dxf.section("BLOCKS", () => job.pieces.forEach((piece, i) => writeBlock(dxf, job, piece, names[i]!)));
  dxf.section("ENTITIES", () => {
    dxf.text("1", [0, -20], 5, `Style Name: ${job.name}`);
    dxf.text("1", [0, -30], 5, "Units: METRIC");
    let x = 0;
    job.pieces.forEach((piece, i) => {
      const box = boundingBox(outermost(piece));
      dxf
        .put(0, "INSERT")
        .put(8, "1")
        .put(2, names[i]!)
        .point([x - box.minX, -box.minY]);
      x += box.maxX - box.minX + 20;
    });
  });
  dxf.put(0, "EOF");
  return utf8(dxf.toString());
}

/** Group codes and values, a line each. */
class DxfText {
  readonly #lines: string[] = [];

  put(code: number, value: string | number): this {
    this.#lines.push(String(code), typeof value === "number" ? numberText(value, 6) : plain(value));
    return this;
  }

  point([x, y]: Point, code = 10): this {
    return this.put(code, x)
      .put(code + 10, y)
      .put(code + 20, "0");
  }

  section(name: string, body: () => void): void {
    this.put(0, "SECTION").put(2, name);
    body();
    this.put(0, "ENDSEC");
  }

  polyline(layer: LayerNumber, points: readonly Point[], closed: boolean): void {
    this.put(0, "POLYLINE")
      .put(8, layer)
      .put(66, "1")
      .point([0, 0])
      .put(70, closed ? "1" : "0");
    for (const p of points) this.put(0, "VERTEX").put(8, layer).point(p);
    this.put(0, "SEQEND").put(8, layer);
  }

  line(layer: LayerNumber, a: Point, b: Point): void {
    this.put(0, "LINE").put(8, layer).point(a).point(b, 11);
  }

  dot(layer: LayerNumber, at: Point): void {
    this.put(0, "POINT").put(8, layer).point(at);
  }

  text(layer: LayerNumber, at: Point, height: number, text: string): void {
    this.put(0, "TEXT").put(8, layer).point(at).put(40, height).put(1, text);
  }

  toString(): string {
    return `${this.#lines.join("\r\n")}\r\n`;
  }
}

function writeHeader(dxf: DxfText, job: PrintJob): void {
  const box = boundingBox(job.pieces.flatMap(outermost));
  dxf.section("HEADER", () => {
    dxf.put(9, "$ACADVER").put(1, "AC1009");
    dxf.put(9, "$INSBASE").point([0, 0]);
    dxf.put(9, "$EXTMIN").point([box.minX, box.minY]);
    dxf.put(9, "$EXTMAX").point([box.maxX, box.maxY]);
    dxf.put(9, "$MEASUREMENT").put(70, "1");
    dxf.put(9, "$INSUNITS").put(70, "4");
  });
}

function writeTables(dxf: DxfText): void {
  const layers = Object.values(DXF_LAYERS);
  dxf.section("TABLES", () => {
    dxf.put(0, "TABLE").put(2, "LTYPE").put(70, "1");
    dxf
      .put(0, "LTYPE")
      .put(2, "CONTINUOUS")
      .put(70, "0")
      .put(3, "Solid line")
      .put(72, "65")
      .put(73, "0")
      .put(40, "0");
    dxf.put(0, "ENDTAB");
    dxf.put(0, "TABLE").put(2, "LAYER").put(70, String(layers.length));
    layers.forEach((name, i) => {
      dxf
        .put(0, "LAYER")
        .put(2, name)
        .put(70, "0")
        .put(62, String((i % 6) + 1))
        .put(6, "CONTINUOUS");
    });
    dxf.put(0, "ENDTAB");
  });
}

function writeBlock(dxf: DxfText, job: PrintJob, piece: PrintPiece, name: string): void {
  const { panel } = piece;
  dxf.put(0, "BLOCK").put(8, "1").put(2, name).put(70, "0").point([0, 0]).put(3, name);
  writeOutlines(dxf, piece);
  writeMarks(dxf, piece);
  writeTexts(dxf, job, piece);
  if (panel.grain !== undefined || panel.pile !== undefined) {
    const [a, b] = grainLine(outermost(piece), panel.grain ?? panel.pile!);
    dxf.line(DXF_LAYERS.grain, a, b);
  }
  dxf.put(0, "ENDBLK").put(8, "1");
}

function writeOutlines(dxf: DxfText, piece: PrintPiece): void {
  const { panel, cut } = piece;
  const sew = edgesOutline(panel.edges);
  const boundary = cut?.cutLine ?? sew;
  dxf.polyline(DXF_LAYERS.boundary, boundary, true);
  // Every point of the boundary is either a corner (turn point) or on a curve.
  const corners = new Set(cornersOf(boundary));
  boundary.forEach((p, i) => dxf.dot(corners.has(i) ? DXF_LAYERS.turnPoints : DXF_LAYERS.curvePoints, p));
  dxf.polyline(DXF_LAYERS.sewLine, sew, true);
  for (const edge of panel.edges) {
    if (edge.role === "fold") dxf.line(DXF_LAYERS.mirror, edge.points[0]!, edge.points.at(-1)!);
  }
  const holes = (panel.holes ?? []).map(edgesOutline);
  for (const hole of holes) dxf.polyline(DXF_LAYERS.sewLine, hole, true);
  for (const hole of cut?.holes ?? holes) dxf.polyline(DXF_LAYERS.cutOut, hole, true);
}

/** Points where the outline turns by more than 20°. */
function cornersOf(outline: Outline): number[] {
  const n = outline.length;
  return outline.flatMap((p, i) => {
    const a = outline[(i + n - 1) % n]!;
    const b = outline[(i + 1) % n]!;
    const ux = p[0] - a[0];
    const uy = p[1] - a[1];
    const vx = b[0] - p[0];
    const vy = b[1] - p[1];
    const turn = Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
    return turn > (20 * Math.PI) / 180 ? [i] : [];
  });
}

function writeMarks(dxf: DxfText, piece: PrintPiece): void {
  const { panel, cut } = piece;
  if (cut?.notches) {
    for (const { strokes } of cut.notches) {
      for (const stroke of strokes) dxf.polyline(DXF_LAYERS.notches, stroke, false);
    }
  } else {
    for (const edge of [...panel.edges, ...(panel.holes ?? []).flat()]) {
      for (const at of notchLengths(edge)) dxf.dot(DXF_LAYERS.notches, stationAt(edge.points, at).point);
    }
  }
  for (const run of cut?.clips ?? [])
    for (const mark of run.marks) dxf.polyline(DXF_LAYERS.internal, mark, false);
  for (const line of cut?.lines ?? []) dxf.polyline(DXF_LAYERS.internal, line.points, false);
  for (const point of dartPoints(piece)) dxf.dot(DXF_LAYERS.drill, point);
  for (const marking of panel.markings) {
    if (marking.kind === "drill") marking.points.forEach((p) => dxf.dot(DXF_LAYERS.drill, p));
    if (marking.kind === "line") dxf.polyline(DXF_LAYERS.internal, marking.points, false);
    if (marking.kind === "area") dxf.polyline(DXF_LAYERS.internal, marking.points, true);
    if (marking.label && marking.points[0])
      dxf.text(DXF_LAYERS.annotation, marking.points[0], 3, marking.label);
  }
}

function notchLengths(edge: Edge): number[] {
  return (edge.notches ?? []).flatMap((notch) =>
    notch.kind === "double" ? [notch.at - 2, notch.at + 2] : [notch.at],
  );
}

function writeTexts(dxf: DxfText, job: PrintJob, piece: PrintPiece): void {
  const { panel } = piece;
  const box = boundingBox(outermost(piece));
  const middle: Point = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
  const lines = [
    `Piece Name: ${panel.name}`,
    `Size: ${job.name}`,
    `Quantity: ${panel.count * (panel.mirrored ? 2 : 1)}`,
    `Material: ${piece.fabricName ?? panel.fabric}`,
    `Annotation: ${countText(panel)}`,
  ];
  lines.forEach((text, i) => dxf.text(DXF_LAYERS.boundary, [middle[0], middle[1] - i * 6], 4, text));
  const letters = new Map(job.seams.map((seam) => [seam.id, seam.letter]));
  for (const edge of [...panel.edges, ...(panel.holes ?? []).flat()]) {
    if (edge.seam === undefined) continue;
    const at = edge.points[Math.floor(edge.points.length / 2)]!;
    dxf.text(DXF_LAYERS.annotation, at, 4, letters.get(edge.seam) ?? edge.seam);
  }
}

function grainLine(outline: Outline, degrees: number): [Point, Point] {
  const box = boundingBox(outline);
  const half = Math.min(box.maxX - box.minX, box.maxY - box.minY) * 0.4;
  const x = (box.minX + box.maxX) / 2;
  const y = (box.minY + box.maxY) / 2;
  const dx = Math.cos((degrees * Math.PI) / 180) * half;
  const dy = Math.sin((degrees * Math.PI) / 180) * half;
  return [
    [x - dx, y - dy],
    [x + dx, y + dy],
  ];
}

/** Block names of capital letters, digits and underscores, each once. */
function blockNames(job: PrintJob): string[] {
  const used = new Set<string>();
  return job.pieces.map(({ panel }) => {
    const base =
      panel.id
        .toUpperCase()
        .replace(/[^A-Z0-9_]+/g, "_")
        .slice(0, 24) || "PIECE";
    let name = base;
    for (let i = 2; used.has(name); i++) name = `${base}_${i}`;
    used.add(name);
    return name;
  });
}

/** One line of printable ASCII; other letters as `\U+XXXX`, which drawing programs read back. */
function plain(text: string): string {
  return text
    .replace(/\p{Cc}+/gu, " ")
    .replace(/[\u0080-\uffff]/g, (c) => `\\U+${c.charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}`);
}

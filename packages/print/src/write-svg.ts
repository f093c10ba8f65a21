import { boundingBox, type Box, type Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { drawPanel, type DrawOptions } from "./draw-panel";
import { LINE_STYLES, type DrawItem, type LineStyle, type PathItem } from "./drawing";
import { numberText } from "./internal/number-text";
import { utf8 } from "./internal/utf8";
import { LAYERS } from "./layers";
import type { PageOptions } from "./page-options";
import type { PaperSize } from "./paper";
import { placePiece } from "./place-piece";
import { createPrintJob, type PrintJobOptions } from "./print-job";
import { tilePages } from "./tile-pages";
import type { Placement, Printable, PrintJob } from "./types";

/** Options of {@link writeSvg}. */
export interface SvgOptions extends PrintJobOptions, DrawOptions {
  /** Only this panel, as drawn. */
  readonly panel?: string;
  /** `sheet` packs the panels side by side, `as-drawn` keeps their own coordinates. Default sheet. */
  readonly arrange?: "sheet" | "as-drawn";
  /** Width to pack to: a roll 914.4 mm wide by default. */
  readonly page?: PaperSize | PageOptions;
  /** Blank border, mm. Default 10. */
  readonly margin?: number;
  /** Language of the texts, such as `en`. Default en. */
  readonly language?: string;
}

/**
 * A drawing in mm as SVG: one user unit is one millimetre, one named group a layer and in it one a panel.
 *
 * @param pattern - a pattern (sew lines only) or a job
 * @returns UTF-8 bytes of the file
 * @throws `print/unknown-panel` and the codes of `createPrintJob`
 * @source W3C Scalable Vector Graphics 2, section 8 (width and height in mm with a viewBox in the same unit)
 */
export function writeSvg(pattern: Printable, options: SvgOptions = {}): Uint8Array {
  const job = chosen(createPrintJob(pattern, options), options.panel);
  const seams = new Map(job.seams.map((seam) => [seam.id, seam]));
  const places = arrangement(job, options);
  const items = job.pieces.flatMap((piece, i) => drawPanel(placePiece(piece, i, places[i]!), seams, options));
  const margin = options.margin ?? 10;
  const box = grown(boundingBox(items.flatMap(itemPoints)), margin);
  const names = new Map(job.pieces.map((piece) => [piece.panel.id, piece.panel.name]));
  return utf8(svgText(job, items, box, names, options.language ?? "en"));
}

function chosen(job: PrintJob, panel: string | undefined): PrintJob {
  if (panel === undefined) return job;
  const pieces = job.pieces.filter((piece) => piece.panel.id === panel);
  if (pieces.length === 0) {
    fail(
      "print/unknown-panel",
      `There is no panel “${panel}”.`,
      { panel },
      {
        limit: job.pieces.map((piece) => piece.panel.id).join(", "),
        fix: "Use the id of one of the pattern's panels.",
      },
    );
  }
  return { ...job, name: `${job.name}: ${pieces[0]!.panel.name}`, pieces };
}

function arrangement(job: PrintJob, options: SvgOptions): readonly Placement[] {
  if (options.arrange === "as-drawn" || options.panel !== undefined) {
    return job.pieces.map((piece) => ({ panel: piece.panel.id, angle: 0, dx: 0, dy: 0 }));
  }
  return tilePages(job, options.page ?? { size: { roll: 914.4 }, turn: "none", gap: 10 }).placements;
}

function svgText(
  job: PrintJob,
  items: readonly DrawItem[],
  box: Box,
  names: ReadonlyMap<string, string>,
  language: string,
): string {
  const width = numberText(box.maxX - box.minX);
  const height = numberText(box.maxY - box.minY);
  const place = ([x, y]: Point): string => `${numberText(x - box.minX)},${numberText(box.maxY - y)}`;
  const lines = [
    `<?xml version="1.0" encoding="UTF-8"?>`,
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}" xml:lang="${escape(language)}" role="img" aria-labelledby="title desc" font-family="DejaVu Sans, Arial, sans-serif">`,
    `<title id="title">${escape(job.name)}</title>`,
    `<desc id="desc">${escape(`Sewing pattern at true scale: ${job.pieces.length} panels. One unit is one millimetre; the drawing is ${width} mm wide.`)}</desc>`,
    `<rect id="paper" width="${width}" height="${height}" fill="#fff"/>`,
  ];
  for (const layer of LAYERS) {
    const own = items.filter((item) => item.layer === layer.id);
    if (own.length === 0) continue;
    lines.push(`<g id="${slug(layer.name)}"><title>${layer.name}</title>`);
    for (const panel of names.keys()) {
      const of = own.filter((item) => item.panel === panel);
      if (of.length === 0) continue;
      lines.push(
        `<g id="${slug(layer.name)}--${escape(idText(panel))}" data-panel="${escape(panel)}"><title>${escape(names.get(panel)!)}</title>`,
      );
      for (const item of of) lines.push(item.kind === "path" ? pathTag(item, place) : textTag(item, place));
      lines.push("</g>");
    }
    lines.push("</g>");
  }
  lines.push("</svg>", "");
  return lines.join("\n");
}

function pathTag(item: PathItem, place: (p: Point) => string): string {
  const d = `M${item.points.map(place).join("L")}${item.closed ? "Z" : ""}`;
  if (item.filled) return `<path class="${item.role}" d="${d}" fill="#000"/>`;
  const style: LineStyle = LINE_STYLES[item.style];
  const dash = style.dash ? ` stroke-dasharray="${style.dash.join(" ")}"` : "";
  return `<path class="${item.role}" d="${d}" fill="none" stroke="${grayText(style.gray ?? 0)}" stroke-width="${style.width}"${dash} stroke-linejoin="round"/>`;
}

function textTag(item: Extract<DrawItem, { kind: "text" }>, place: (p: Point) => string): string {
  const [x, y] = place(item.at).split(",");
  const turn = item.angle === 0 ? "" : ` transform="rotate(${numberText(-item.angle, 3)} ${x} ${y})"`;
  const anchor = item.align === "middle" ? ` text-anchor="middle"` : "";
  return `<text class="${item.role}" x="${x}" y="${y}" font-size="${numberText(item.size)}"${anchor}${turn}>${escape(item.text)}</text>`;
}

function itemPoints(item: DrawItem): readonly Point[] {
  return item.kind === "path" ? item.points : [item.at];
}

function grown(box: Box, by: number): Box {
  return { minX: box.minX - by, minY: box.minY - by, maxX: box.maxX + by, maxY: box.maxY + by };
}

function grayText(gray: number): string {
  const part = Math.round(gray * 255)
    .toString(16)
    .padStart(2, "0");
  return `#${part}${part}${part}`;
}

function slug(name: string): string {
  return name.toLowerCase().replace(/\s+/g, "-");
}

/** An id that XML accepts: letters, digits, dots, dashes and underscores stay, the rest is written as its code. */
function idText(id: string): string {
  return [...id].map((c) => (/[A-Za-z0-9._-]/.test(c) ? c : `_${c.codePointAt(0)!.toString(16)}_`)).join("");
}

function escape(text: string): string {
  return [...text]
    .filter((c) => c >= " " || c === "\t" || c === "\n")
    .join("")
    .replace(
      /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]|[\ufffe\uffff]/g,
      "\ufffd",
    )
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;");
}

import type { Box, Point } from "@peltry/geometry";
import type { Issue, WorkOptions } from "@peltry/issues";
import { throwIfCancelled } from "@peltry/issues";
import { drawCover } from "./cover";
import { drawPageGuides } from "./page-guides";
import { drawPanel, type DrawOptions } from "./draw-panel";
import type { DrawItem, MeasureText } from "./drawing";
import type { PageOptions } from "./page-options";
import type { PaperSize } from "./paper";
import { createPdf } from "./pdf/document";
import type { PageDrawing } from "./pdf/page-content";
import { placePiece } from "./place-piece";
import type { PrintJobOptions } from "./print-job";
import { tilePages, type TilePage, type Tiling } from "./tile-pages";
import type { Printable } from "./types";

/** Options of {@link writePdf}. */
export interface PdfOptions extends PrintJobOptions, Omit<DrawOptions, "measureText">, WorkOptions {
  /** Paper, orientation, margins, overlap. A4 by default. Not used when a tiling is given. */
  readonly page?: PaperSize | PageOptions;
  /** Bytes of a TrueType or OpenType font, embedded in part; needed for letters beyond Western European ones. */
  readonly font?: Uint8Array;
  /** Title that a viewer shows; the pattern's name by default. */
  readonly title?: string;
  /** Language of the texts, such as `en`. Default en. */
  readonly language?: string;
  /** First page with check squares, page map and list of panels. Default true. */
  readonly cover?: boolean;
  /** Called for each remark, such as letters that the font lacks. */
  readonly onIssue?: (issue: Issue) => void;
}

/**
 * The pattern as a PDF at true scale, tiled over pages. Layers (sew line, cut line, markings, text, guides) can be
 * switched in a viewer. Same input, same bytes.
 *
 * @param pattern - a pattern (sew lines only), a job, or a tiling made by `tilePages`
 * @returns bytes of the file
 * @throws `print/bad-font`, `work/cancelled` and the codes of `tilePages`
 * @source ISO 32000-1: 8.11 optional content, 12.2 viewer preferences, 14.8 tagged PDF, 14.11.2 page boxes
 */
export async function writePdf(pattern: Printable | Tiling, options: PdfOptions = {}): Promise<Uint8Array> {
  const tiling = isTiling(pattern) ? pattern : tilePages(pattern, options.page, options);
  const pdf = await createPdf({
    title: options.title ?? tiling.job.name,
    language: options.language ?? "en",
    font: options.font,
  });
  const pages = [
    ...(options.cover === false ? [] : coverPages(tiling, pdf.font.measure)),
    ...tilePageDrawings(tiling, options, pdf.font.measure),
  ];
  throwIfCancelled(options.signal);
  const { bytes, issues } = await pdf.write(pages, "paper");
  for (const issue of [...tiling.issues, ...issues]) options.onIssue?.(issue);
  return bytes;
}

function isTiling(value: Printable | Tiling): value is Tiling {
  return (value as { format?: unknown } | null)?.format === "peltry-tiling";
}

function coverPages(tiling: Tiling, measure: MeasureText): PageDrawing[] {
  const { width, height, left, bottom } = tiling.frame;
  return drawCover(tiling, measure).map((items, i) => ({
    width,
    height,
    views: [{ items, shift: [left, bottom] as Point }],
    label: i === 0 ? "Start" : `Start ${i + 1}`,
    alt: `Check squares of 100 mm and 4 in, and a map of ${tiling.pages.length} pages for ${tiling.job.name}.`,
  }));
}

function tilePageDrawings(tiling: Tiling, options: PdfOptions, measure: MeasureText): PageDrawing[] {
  const { job, frame } = tiling;
  const seams = new Map(job.seams.map((seam) => [seam.id, seam]));
  const items: DrawItem[] = [];
  job.pieces.forEach((piece, i) => {
    throwIfCancelled(options.signal);
    options.onProgress?.({ stage: "draw panels", done: i / job.pieces.length });
    items.push(
      ...drawPanel(placePiece(piece, i, tiling.placements[i]!), seams, { ...options, measureText: measure }),
    );
  });
  // A line on the frame itself shows in full: half of the widest stroke may stand in the margin.
  const reach = Math.min(0.5, frame.left, frame.right, frame.top, frame.bottom);
  return tiling.pages.map((page) => {
    const window: Box = {
      minX: page.x - reach,
      minY: page.y - reach,
      maxX: page.x + page.width + reach,
      maxY: page.y + page.height + reach,
    };
    const guides = [...drawPageGuides(tiling, page), ...pageTag(tiling, page)];
    const shift: Point = [frame.left - page.x, frame.bottom - page.y];
    return {
      width: frame.width,
      height: frame.height,
      views: [{ items: [...guides, ...items], shift, window }],
      label: page.name,
      alt: pageAlt(tiling, page),
    };
  });
}

function pageTag(tiling: Tiling, page: TilePage): DrawItem[] {
  const words = `${page.name} · page ${page.number} of ${tiling.pages.length} · ${tiling.job.name}`;
  return [
    {
      kind: "text",
      layer: "guides",
      text: words,
      at: [page.x + 7, page.y + page.height - 5],
      size: 3,
      angle: 0,
      align: "start",
      role: "page-tag",
    },
  ];
}

function pageAlt(tiling: Tiling, page: TilePage): string {
  const names = new Map(tiling.job.pieces.map((piece) => [piece.panel.id, piece.panel.name]));
  const shown = page.panels.map((id) => names.get(id) ?? id).join(", ");
  return `Row ${page.row}, column ${page.column} of the pattern at true scale, showing parts of: ${shown}.`;
}

import { simplifyPolyline, TOLERANCE, type Box, type Point } from "@peltry/geometry";
import type { Issue, WorkOptions } from "@peltry/issues";
import { fail, throwIfCancelled } from "@peltry/issues";
import { copyShopPage, drawTitleBlock, TITLE_BLOCK } from "./copy-shop";
import { drawCover } from "./cover";
import { drawPageGuides } from "./page-guides";
import { boxItems, drawPageTag } from "./page-tag";
import { drawPanel, type DrawOptions } from "./draw-panel";
import type { DrawItem, MeasureText } from "./drawing";
import { fewerPoints } from "./internal/fewer-points";
import { jointLines } from "./joints";
import { pageFrames, type PageOptions } from "./page-options";
import type { PaperSize } from "./paper";
import type { PdfMaker } from "./pdf/document";
import type { PageDrawing } from "./pdf/page-content";
import { placePiece } from "./place-piece";
import { checkOptions, createPrintJob, type PrintJobOptions } from "./print-job";
import { drawProjectorPages, type ProjectorOptions } from "./projector";
import { pageOptions, tilePages, type TilePage, type Tiling } from "./tile-pages";
import type { Printable } from "./types";
import { boxesMeet } from "./used-tiles";

/** Options of {@link writePdf}. */
export interface PdfOptions
  extends PrintJobOptions, ProjectorOptions, WorkOptions, Pick<DrawOptions, "edgeLengths"> {
  /**
   * `tiles`: pages to be joined; `copy-shop`: large sheets or a roll with panels kept whole (A0 unless `page` says
   * otherwise); `projector`: one panel a page, light on black, after a page for setting up. Default tiles.
   */
  readonly output?: "tiles" | "copy-shop" | "projector";
  /** Paper, orientation, margins, overlap. A4 by default. Not used when a tiling is given, nor for a projector. */
  readonly page?: PaperSize | PageOptions;
  /**
   * Bytes of a TrueType or OpenType font, embedded in part. The bundled one has Latin, Greek and Cyrillic letters;
   * letters that a font lacks are replaced and reported.
   */
  readonly font?: Uint8Array;
  /** Title that a viewer shows; the pattern's name by default. */
  readonly title?: string;
  /** Language of the texts, such as `en`. Default en. */
  readonly language?: string;
  /** First page of tiles with check squares, page map and list of panels. Default true. */
  readonly cover?: boolean;
  /** Called for each remark, such as letters that the font lacks. */
  readonly onIssue?: (issue: Issue) => void;
}

/**
 * The pattern as a PDF at true scale. Layers (sew line, cut line, markings, text, guides) can be switched in a viewer.
 * Same input, same bytes.
 *
 * @param pattern - a pattern (sew lines only), a job, or a tiling made by `tilePages`
 * @returns bytes of the file
 * @throws `print/bad-font`, `print/bad-output`, `work/cancelled` and the codes of `tilePages`
 * @source ISO 32000-1: 8.11 optional content, 12.2 viewer preferences, 14.8 tagged PDF, 14.11.2 page boxes
 */
export async function writePdf(pattern: Printable | Tiling, options: PdfOptions = {}): Promise<Uint8Array> {
  checkOptions(options);
  const output = options.output ?? "tiles";
  if (output !== "tiles" && output !== "copy-shop" && output !== "projector") {
    fail(
      "print/bad-output",
      `There is no output called “${String(output)}”.`,
      {},
      {
        found: String(output),
        limit: "tiles, copy-shop, projector",
        fix: "Use one of these.",
      },
    );
  }
  // Laid out before the font is opened, so that a broken pattern or page is told at once.
  const laid = output === "projector" ? undefined : layOnPages(pattern, output, options);
  const job = laid?.job ?? (isTiling(pattern) ? pattern.job : createPrintJob(pattern, options));
  // The PDF library is large: those who only write drawings never load it.
  const { createPdf } = await import("./pdf/document");
  const pdf = await createPdf({
    title: options.title ?? job.name,
    language: options.language ?? "en",
    font: options.font,
  });
  const { measure } = pdf.font;
  if (laid) {
    const cover = output === "tiles" || laid.reserve === undefined;
    const front = options.cover === false || !cover ? [] : coverPages(laid, measure);
    const issues = output === "copy-shop" ? [...laid.issues, ...tiledPanels(laid)] : laid.issues;
    return finish(pdf, [...front, ...tilePageDrawings(laid, options, measure)], issues, options);
  }
  const shown = drawProjectorPages(job, options, { ...options, measureText: measure });
  return finish(pdf, shown.pages, [...job.issues, ...shown.issues], options);
}

function layOnPages(pattern: Printable | Tiling, output: "tiles" | "copy-shop", options: PdfOptions): Tiling {
  if (isTiling(pattern)) return pattern;
  const page = pageOptions(options.page ?? {});
  if (output === "tiles") return tilePages(pattern, page, options);
  const sheet = copyShopPage(page);
  const holdsBlock = pageFrames(sheet).every(
    (frame) => frame.tileWidth >= TITLE_BLOCK.width && frame.tileHeight >= TITLE_BLOCK.height,
  );
  const block = holdsBlock && sheet.arrange !== "as-drawn" && options.cover !== false;
  return tilePages(pattern, sheet, { ...options, ...(block && { reserve: TITLE_BLOCK }) });
}

/** Panels that a copy shop's sheet does not hold whole. */
function tiledPanels({ job, pages, frame }: Tiling): Issue[] {
  return job.pieces.flatMap(({ panel }): Issue[] => {
    const on = pages.filter((page) => page.panels.includes(panel.id)).map((page) => page.name);
    if (on.length < 2) return [];
    return [
      {
        code: "print/panel-tiled",
        severity: "warning",
        message: `Panel “${panel.name}” is larger than a sheet of ${frame.paper}: it runs over ${on.join(", ")}, to be joined.`,
        at: { panel: panel.id },
        found: on.length,
        limit: 1,
        fix: "Use a larger sheet or a roll.",
      },
    ];
  });
}

async function finish(
  pdf: PdfMaker,
  pages: readonly PageDrawing[],
  issues: readonly Issue[],
  options: PdfOptions,
): Promise<Uint8Array> {
  throwIfCancelled(options.signal);
  const written = await pdf.write(pages, options.output === "projector" ? "projector" : "paper");
  for (const issue of [...issues, ...written.issues]) options.onIssue?.(issue);
  options.onProgress?.({ stage: "write", done: 1 });
  return written.bytes;
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
  const boxed = boxItems(drawSheet(tiling, options, measure), measure);
  // A line on the frame itself shows in full: half of the widest stroke may stand in the margin.
  const reach = Math.min(0.5, frame.left, frame.right, frame.top, frame.bottom);
  return tiling.pages.map((page) => {
    const window: Box = {
      minX: page.x - reach,
      minY: page.y - reach,
      maxX: page.x + page.width + reach,
      maxY: page.y + page.height + reach,
    };
    // Only what is on the page is looked at when its marks are set.
    const around = wider(window);
    const near = boxed.filter(({ box }) => boxesMeet(box, around));
    const guides = drawPageGuides(tiling, page, near, measure);
    const short = `${page.name} · page ${page.number} of ${tiling.pages.length}`;
    const wordings = [`${short} · ${job.name}`, short, page.name];
    const tag = drawPageTag(page, wordings, [...near, ...boxItems(guides, measure)], measure);
    const shift: Point = [frame.left - page.x, frame.bottom - page.y];
    return {
      width: frame.width,
      height: frame.height,
      views: [{ items: [...guides, tag, ...near.map(({ item }) => item)], shift, window }],
      label: page.name,
      alt: pageAlt(tiling, page),
    };
  });
}

/** All panels, and the title block where there is one, in sheet coordinates. */
function drawSheet(tiling: Tiling, options: PdfOptions, measure: MeasureText): DrawItem[] {
  const { job } = tiling;
  const seams = new Map(job.seams.map((seam) => [seam.id, seam]));
  const drawing = { edgeLengths: options.edgeLengths, measureText: measure, joints: jointLines(tiling) };
  const panels = job.pieces.map((piece, i) => {
    throwIfCancelled(options.signal);
    options.onProgress?.({ stage: "draw panels", done: (i / job.pieces.length) * 0.5 });
    return drawPanel(placePiece(piece, i, tiling.placements[i]!), seams, drawing);
  });
  return [...(tiling.reserve ? drawTitleBlock(tiling, measure) : []), ...panels.flat().map(slim)];
}

const MANY_POINTS = 60;

/** A line of many points without those that no printer would show. */
function slim(item: DrawItem): DrawItem {
  if (item.kind === "text" || item.points.length < MANY_POINTS) return item;
  const { points, closed } = item;
  if (!closed) return { ...item, points: simplifyPolyline(points, TOLERANCE.flattenCurve) };
  return { ...item, points: fewerPoints(points, TOLERANCE.flattenCurve) };
}

// Marks reach a little over a joint: both pages have to see the same lines when they choose where to set them.
const MARKS_REACH = 15;

function wider({ minX, minY, maxX, maxY }: Box): Box {
  return {
    minX: minX - MARKS_REACH,
    minY: minY - MARKS_REACH,
    maxX: maxX + MARKS_REACH,
    maxY: maxY + MARKS_REACH,
  };
}

function pageAlt(tiling: Tiling, page: TilePage): string {
  const names = new Map(tiling.job.pieces.map((piece) => [piece.panel.id, piece.panel.name]));
  const shown = page.panels.map((id) => names.get(id) ?? id).join(", ");
  return `Row ${page.row}, column ${page.column} of the pattern at true scale, showing parts of: ${shown}.`;
}

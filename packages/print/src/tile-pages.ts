import { boundingBox, placePoints, type Box, type Point } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { fewerPoints } from "./internal/fewer-points";
import { PAGE_DEFAULTS, pageFrames, type PageFrame, type PageOptions } from "./page-options";
import type { PaperSize } from "./paper";
import { footprint, outermost } from "./place-piece";
import { packPieces, poses, type PackedBox, type Pose } from "./pack-pieces";
import { createPrintJob, type PrintJobOptions } from "./print-job";
import { tileCount } from "./tile-count";
import type { Placement, Printable, PrintJob, PrintPiece } from "./types";
import { boxesMeet, outlineMeetsBox, tileBox, usedTiles } from "./used-tiles";

/** One printed page of a tiled sheet. */
export interface TilePage {
  /** `R2C3` is row 2, column 3, both from 1 at the top left. */
  readonly name: string;
  /** Counts printed pages from 1, row by row. */
  readonly number: number;
  readonly row: number;
  readonly column: number;
  /** Lower left corner of the printable part on the sheet, mm. */
  readonly x: number;
  readonly y: number;
  /** Printable part, mm. */
  readonly width: number;
  readonly height: number;
  /** Ids of the panels that show on the page. */
  readonly panels: readonly string[];
}

/** A sheet cut into pages. Plain data: it can be written, sent to a worker or kept. */
export interface Tiling {
  readonly format: "peltry-tiling";
  readonly job: PrintJob;
  readonly frame: PageFrame;
  readonly rows: number;
  readonly columns: number;
  /** Whole sheet, mm. */
  readonly width: number;
  readonly height: number;
  readonly placements: readonly Placement[];
  /** Outermost line of each panel where it lies on the sheet, in the order of the job's pieces. */
  readonly outlines: readonly (readonly Point[])[];
  /** Pages that have something on them, row by row from the top left. */
  readonly pages: readonly TilePage[];
  /** Tiles of the grid that are left out as blank. */
  readonly blankPages: number;
  /** Pages needed if every panel began on a page of its own. */
  readonly pagesUnpacked: number;
  /** `pagesUnpacked` less the pages printed; 0 with `arrange: "as-drawn"`. */
  readonly pagesSaved: number;
  /** Box kept free in the upper left corner of the first page, mm. */
  readonly reserve?: { readonly width: number; readonly height: number };
  readonly issues: readonly Issue[];
}

/** Options of {@link tilePages} beside the page. */
export interface TileOptions extends PrintJobOptions {
  /** Kept free in the upper left corner of the first page, for a title block, mm. */
  readonly reserve?: { readonly width: number; readonly height: number };
}

/**
 * Lays the panels out on paper and cuts the sheet into pages: in the orientation, order and turns that need the fewest
 * pages of those tried; pages with nothing on them are left out.
 *
 * @param pattern - a pattern (sew lines only) or a job
 * @param page - a paper name or options; A4 with 10 mm overlap by default
 * @throws `print/page-too-small`, `print/overlap-too-big`, `print/unknown-paper` and the codes of `createPrintJob`
 * @remarks Boxes round the panels never overlap. About n² in the number of panels.
 */
export function tilePages(
  pattern: Printable,
  page: PaperSize | PageOptions = {},
  options: TileOptions = {},
): Tiling {
  const job = createPrintJob(pattern, options);
  const settings = pageOptions(page);
  let best: Candidate | undefined;
  const ways = job.pieces.map((piece) => poses(footprint(piece), settings.turn ?? PAGE_DEFAULTS.turn));
  for (const frame of pageFrames(settings)) {
    for (const candidate of candidates(job, ways, frame, settings, options)) {
      if (!best || better(candidate, best)) best = candidate;
    }
  }
  if (!best) {
    return fail(
      "print/panel-too-wide",
      "A panel is wider than the sheet in every way it may be turned.",
      {},
      {
        fix: "Use a wider roll, or tile the pattern over smaller pages.",
      },
    );
  }
  const outlines = job.pieces.map((piece, i) => movePoints(outermost(piece), best.placements[i]!));
  return toTiling(
    job,
    { ...best, used: usedTiles([...outlines, ...drawnInside(job, best)], best) },
    outlines,
    settings,
    options,
  );
}

/** The options behind a paper name, size or options object. */
export function pageOptions(page: PaperSize | PageOptions | null | undefined): PageOptions {
  if (page === null || page === undefined) return {};
  if (typeof page !== "object") return { size: page };
  if ("roll" in page) return { size: page };
  return "width" in page ? { size: page } : page;
}

interface Candidate {
  readonly frame: PageFrame;
  readonly rows: number;
  readonly columns: number;
  readonly placements: readonly Placement[];
  readonly used: ReadonlySet<number>;
  readonly length: number;
  readonly joins: number;
}

const MOST_COLUMNS = 14;
const MANY_PANELS = 90;

function candidates(
  job: PrintJob,
  pieces: readonly Pose[][],
  frame: PageFrame,
  page: PageOptions,
  options: TileOptions,
): Candidate[] {
  if ((page.arrange ?? PAGE_DEFAULTS.arrange) === "as-drawn") return [asDrawn(job, frame)];
  const step = frame.tileWidth - frame.overlap;
  const fewest = Math.max(
    ...pieces.map((ways) =>
      Math.min(...ways.map((way) => tileCount(way.width, frame.tileWidth, frame.overlap))),
    ),
  );
  const area = pieces.reduce((sum, [way]) => sum + way!.width * way!.height, 0);
  const square = Math.ceil(Math.sqrt(area) / step);
  const most = frame.roll
    ? fewest
    : Math.max(fewest, Math.min(MOST_COLUMNS, Math.max(fewest + 3, square + 2)));
  const rules = {
    frame,
    gap: page.gap ?? PAGE_DEFAULTS.gap,
    whole: page.whole ?? false,
    reserve: options.reserve,
  };
  const found: Candidate[] = [];
  const many = job.pieces.length > MANY_PANELS;
  for (const columns of widths(fewest, most, many ? 3 : job.pieces.length > 24 ? 5 : 7)) {
    for (const order of orders(pieces).slice(0, many ? 1 : 2)) {
      const packed = packPieces(pieces, order, { ...rules, columns });
      if (packed) found.push(measured(job, frame, columns, packed, options.reserve?.height));
    }
  }
  if (!options.reserve)
    found.push(
      oneByOne(
        job,
        frame,
        fewest,
        pieces.map((ways) => ways[0]!),
      ),
    );
  return found;
}

/** Up to `count` whole numbers spread from the fewest to the most columns. */
function widths(fewest: number, most: number, count: number): number[] {
  const spread = Array.from({ length: count }, (_, i) =>
    Math.round(fewest + ((most - fewest) * i) / (count - 1)),
  );
  return [...new Set(spread)];
}

/** Largest first, by area and by longest side. */
function orders(pieces: readonly (readonly Pose[])[]): number[][] {
  const keys = [
    ({ width, height }: Pose): number => width * height,
    ({ width, height }: Pose): number => Math.max(width, height),
  ];
  return keys.map((key) =>
    pieces.map((_, i) => i).sort((a, b) => key(pieces[b]![0]!) - key(pieces[a]![0]!) || a - b),
  );
}

/** Every panel upright on pages of its own, one under another: what packing is measured against. */
function oneByOne(
  job: PrintJob,
  frame: PageFrame,
  fewest: number,
  ways: readonly PackedBox["pose"][],
): Candidate {
  const stepY = frame.tileHeight - frame.overlap;
  let row = 0;
  let columns = fewest;
  const packed = ways.map((pose, index): PackedBox => {
    const top = row * stepY;
    row += tileCount(pose.height, frame.tileHeight, frame.overlap);
    columns = Math.max(columns, tileCount(pose.width, frame.tileWidth, frame.overlap));
    return { index, pose, x: 0, top };
  });
  return measured(job, frame, columns, packed);
}

function measured(
  job: PrintJob,
  given: PageFrame,
  columns: number,
  packed: readonly PackedBox[],
  reserved = 0,
): Candidate {
  const length = Math.max(reserved, ...packed.map((box) => box.top + box.pose.height));
  const frame = cutToLength(given, length);
  const rows = tileCount(length, frame.tileHeight, frame.overlap);
  const height = rows * (frame.tileHeight - frame.overlap) + frame.overlap;
  const placements = [...packed]
    .sort((a, b) => a.index - b.index)
    .map(({ index, pose, x, top }): Placement => ({
      panel: job.pieces[index]!.panel.id,
      angle: pose.angle,
      dx: x - pose.minX,
      dy: height - top - pose.height - pose.minY,
    }));
  return counted(job, { frame, rows, columns, placements, length });
}

/** No cutter takes less, mm. */
const SHORTEST = 50;

/** A roll is cut where its use ends. */
function cutToLength(frame: PageFrame, length: number): PageFrame {
  if (!frame.roll || length > frame.tileHeight) return frame;
  const tileHeight = Math.max(length, SHORTEST, 2 * frame.overlap + 1);
  return { ...frame, tileHeight, height: tileHeight + frame.bottom + frame.top };
}

function asDrawn(job: PrintJob, given: PageFrame): Candidate {
  const box = boundingBox(job.pieces.flatMap(footprint));
  const length = box.maxY - box.minY;
  const frame = cutToLength(given, length);
  const columns = tileCount(box.maxX - box.minX, frame.tileWidth, frame.overlap);
  const rows = tileCount(length, frame.tileHeight, frame.overlap);
  const height = rows * (frame.tileHeight - frame.overlap) + frame.overlap;
  const placements = job.pieces.map((piece): Placement => ({
    panel: piece.panel.id,
    angle: 0,
    dx: -box.minX,
    dy: height - box.maxY,
  }));
  return counted(job, { frame, rows, columns, placements, length });
}

function counted(job: PrintJob, parts: Omit<Candidate, "used" | "joins">): Candidate {
  // The best layout is counted again on the outlines as they are.
  const outlines = job.pieces.map((piece, i) => movePoints(coarse(piece), parts.placements[i]!));
  const used = usedTiles(outlines, parts);
  const boxes = outlines.map(boundingBox);
  let joins = 0;
  for (const tile of used) {
    const box = tileBox(parts, Math.floor(tile / parts.columns), tile % parts.columns);
    joins += boxes.filter((one) => boxesMeet(one, box)).length;
  }
  return { ...parts, used, joins };
}

function better(a: Candidate, b: Candidate): boolean {
  return less(
    [a.used.size, a.frame.roll ? a.length : 0, a.joins, a.rows * a.columns, a.length],
    [b.used.size, b.frame.roll ? b.length : 0, b.joins, b.rows * b.columns, b.length],
  );
}

function less(a: readonly number[], b: readonly number[]): boolean {
  const i = a.findIndex((value, k) => Math.abs(value - b[k]!) > 1e-9);
  return i >= 0 && a[i]! < b[i]!;
}

function toTiling(
  job: PrintJob,
  best: Candidate,
  outlines: readonly (readonly Point[])[],
  page: PageOptions,
  options: TileOptions,
): Tiling {
  const { frame, rows, columns, placements, used } = best;
  const tiles = new Set(used);
  const boxes = outlines.map(boundingBox);
  if (options.reserve) tiles.add(0);
  const pages = [...tiles]
    .sort((a, b) => a - b)
    .map((tile, i) => {
      const row = Math.floor(tile / columns);
      const column = tile % columns;
      const box = tileBox(best, row, column);
      const panels = job.pieces
        .filter((_, k) => boxesMeet(boxes[k]!, box) && outlineMeetsBox(outlines[k]!, box))
        .map((piece) => piece.panel.id);
      return tilePage(box, row, column, i + 1, panels);
    });
  const packing = (page.arrange ?? PAGE_DEFAULTS.arrange) === "pack";
  const pagesUnpacked = packing ? unpackedPages(job, frame) : pages.length;
  return {
    format: "peltry-tiling",
    job,
    frame,
    rows,
    columns,
    width: columns * (frame.tileWidth - frame.overlap) + frame.overlap,
    height: rows * (frame.tileHeight - frame.overlap) + frame.overlap,
    placements,
    outlines,
    pages,
    blankPages: rows * columns - pages.length,
    pagesUnpacked,
    pagesSaved: Math.max(0, pagesUnpacked - pages.length),
    ...(options.reserve && { reserve: options.reserve }),
    issues: job.issues,
  };
}

function tilePage(box: Box, row: number, column: number, number: number, panels: string[]): TilePage {
  return {
    name: `R${row + 1}C${column + 1}`,
    number,
    row: row + 1,
    column: column + 1,
    x: box.minX,
    y: box.minY,
    width: box.maxX - box.minX,
    height: box.maxY - box.minY,
    panels,
  };
}

function unpackedPages(job: PrintJob, frame: PageFrame): number {
  return job.pieces.reduce((sum, piece) => sum + asDrawn({ ...job, pieces: [piece] }, frame).used.size, 0);
}

/** Markings, which may reach past the outline of their panel. */
function drawnInside(job: PrintJob, { placements }: Candidate): Point[][] {
  return job.pieces.flatMap((piece, i) =>
    piece.panel.markings
      .filter(({ points }) => points.length > 1)
      .map(({ points }) => movePoints(points, placements[i]!)),
  );
}

const coarseOutlines = new WeakMap<PrintPiece, readonly Point[]>();

/** The outline with fewer points, half a millimetre off at most: enough to compare layouts by. */
function coarse(piece: PrintPiece): readonly Point[] {
  let points = coarseOutlines.get(piece);
  if (!points) {
    points = fewerPoints(outermost(piece), 0.5);
    coarseOutlines.set(piece, points);
  }
  return points;
}

function movePoints(points: readonly Point[], { angle, dx, dy }: Placement): Point[] {
  return placePoints(points, (angle * Math.PI) / 180, dx, dy);
}

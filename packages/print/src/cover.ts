import { boundingBox, type Point } from "@peltry/geometry";
import { countText } from "./draw-label";
import type { DrawItem, LineStyleName, MeasureText } from "./drawing";
import { findRoom, Obstacles } from "./internal/find-room";
import { fewerPoints } from "./internal/fewer-points";
import { Items } from "./internal/items";
import { numberText } from "./internal/number-text";
import type { Tiling } from "./tile-pages";

/** 4 in, mm. */
const FOUR_INCHES = 101.6;

/**
 * The first page: title, check squares, the page map, what the lines mean, and the list of panels; what does not fit
 * goes on further pages. Each page is a drawing in coordinates of the printable part, origin at its lower left.
 */
export function drawCover(tiling: Tiling, measure: MeasureText): DrawItem[][] {
  const { tileWidth: width, tileHeight: height } = tiling.frame;
  const flow = new Flow(height);
  const title = Math.min(6, height / 12);
  flow.page.text(fitted(tiling.job.name, title, width, measure), [0, height - title], title, "title");
  flow.top -= title * 1.7;
  for (const words of summary(tiling)) flow.rows(wrapped(words, 3, width, measure), 3, "summary");
  const side = checkSide(Math.min(width, flow.top - 2));
  flow.top -= 2;
  const beside = width - side.inch - 6;
  const top = flow.take(side.inch + 6);
  drawCheckSquares(flow.page, [0, top - side.inch], side);
  const wide = beside >= 130;
  if (wide) drawLegendRows(flow.page, [width - 58, top - 6], 1, 58);
  if (beside >= 60)
    drawMap(flow.page, tiling, [side.inch + 6, top - side.inch], beside - (wide ? 64 : 0), side.inch);
  else {
    const room = Math.min(95, height * 0.5);
    const mapTop = flow.take(room + 6);
    drawMap(flow.page, tiling, [0, mapTop - room], width, room);
  }
  if (!wide) drawLegend(flow, width);
  drawPanelList(flow, tiling, measure);
  return flow.pages.map((one) => one.list);
}

/** Pages that are filled from the top down. */
class Flow {
  readonly pages: Items[] = [new Items()];
  top: number;

  constructor(readonly height: number) {
    this.top = height;
  }

  get page(): Items {
    return this.pages[this.pages.length - 1]!;
  }

  /** The height at which something as tall as this may begin: on a new page where this one has no more room. */
  take(tall: number): number {
    if (this.top - tall < 0 && this.top < this.height) {
      this.pages.push(new Items());
      this.top = this.height;
    }
    const top = this.top;
    this.top -= tall;
    return top;
  }

  rows(rows: readonly string[], size: number, role: string): void {
    for (const row of rows) {
      // Taking room may begin a new page: first the room, then the page.
      const top = this.take(size * 1.4);
      this.page.text(row, [0, top - size], size, role);
    }
  }
}

function summary(tiling: Tiling): string[] {
  const { frame, pages, blankPages, pagesSaved, rows, columns } = tiling;
  const sheets = plural(pages.length, "page");
  const saved = pagesSaved > 0 ? ` Packing the panels saved ${pagesSaved}.` : "";
  const blank = blankPages > 0 ? ` ${plural(blankPages, "blank page")} left out.` : "";
  const joint =
    frame.overlap > 0
      ? `Where two pages show halves of a mark, trim the left or upper margin of the later page and lay it on the dotted line of the earlier one (${numberText(frame.overlap, 1)} mm overlap). Pages without marks are not joined.`
      : "Where two pages show halves of a mark, trim both along the frame and join the edges. Pages without marks are not joined.";
  return [
    `${sheets} of ${frame.paper}, ${frame.orientation}: ${plural(rows, "row")}, ${plural(columns, "column")}.${blank}${saved}`,
    "Print at 100 % (“actual size”), then measure the squares below before cutting anything.",
    joint,
  ];
}

function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** Sides of the two check squares, mm; halved on paper too small for them. */
export function checkSide(room: number): { readonly metric: number; readonly inch: number } {
  let factor = 1;
  while (FOUR_INCHES * factor > room && factor > 0.05) factor /= 2;
  return { metric: 100 * factor, inch: FOUR_INCHES * factor };
}

/** The two squares share their lower left corner. The metric one is solid, the inch one dashed. */
export function drawCheckSquares(
  page: Items,
  [x, y]: Point,
  side: { readonly metric: number; readonly inch: number },
): void {
  page.box(x, y, side.inch, side.inch, "checkInch", "check-square-inch");
  page.box(x, y, side.metric, side.metric, "check", "check-square-metric");
  for (let at = 10; at < side.metric; at += 10) {
    const tick = at === 50 ? 4 : 2.5;
    page.line(
      [
        [x + at, y],
        [x + at, y + tick],
      ],
      "guide",
      "check-tick",
    );
    page.line(
      [
        [x, y + at],
        [x + tick, y + at],
      ],
      "guide",
      "check-tick",
    );
  }
  const inches = side.inch / 25.4;
  const middle = x + side.metric / 2;
  const lines: [string, number][] = [
    [`solid square: ${numberText(side.metric)} mm`, 4],
    [`dashed square: ${numberText(inches)} in`, 4],
    ["measure both ways;", 3],
    ["0.5 mm off is the most to accept", 3],
  ];
  const scale = Math.min(1, side.metric / 100);
  lines.forEach(([words, size], i) => {
    page.text(words, [middle, y + side.metric / 2 + (10 - i * 6.5) * scale], size * scale, "check-text", {
      align: "middle",
    });
  });
}

/** What the small map shows of an outline, mm. */
const MAP_DETAIL = 0.1;

/** All pages in small, with their names and the panels' outlines. */
function drawMap(page: Items, tiling: Tiling, [x, y]: Point, width: number, height: number): void {
  const title = 5;
  page.text("Page map", [x, y + height - 3.5], 3.5, "map-title");
  const scale = Math.min(width / tiling.width, (height - title - 2) / tiling.height, 0.16);
  const top = y + height - title - 2;
  const place = ([sx, sy]: Point): Point => [x + sx * scale, top - (tiling.height - sy) * scale];
  tiling.outlines.forEach((outline, i) => {
    const shape = fewerPoints(outline, MAP_DETAIL / scale).map(place);
    page.line(shape, "leader", "map-panel", { closed: true });
    const box = boundingBox(shape);
    const size = Math.min(3.4, (box.maxX - box.minX) * 0.5, (box.maxY - box.minY) * 0.5);
    const [cx, cy] = middleOf(shape, size);
    page.text(`${i + 1}`, [cx, cy - size * 0.36], size, "map-number", { align: "middle" });
  });
  for (const tile of tiling.pages) {
    const [left, bottom] = place([tile.x, tile.y]);
    const [wide, tall] = [tile.width * scale, tile.height * scale];
    page.box(left, bottom, wide, tall, "guide", "map-page");
    const size = Math.min(2.2, wide * 0.2, tall * 0.3);
    page.text(tile.name, [left + 0.6, bottom + tall - size - 0.3], size, "map-name");
  }
}

/** Where a number of a size stands free inside an outline, as near to its middle as may be. */
function middleOf(outline: readonly Point[], size: number): Point {
  const obstacles = new Obstacles();
  obstacles.addLine(outline, true);
  return findRoom(outline, obstacles, { width: 1.5 * size, height: 1.2 * size, angle: 0 }, 1.3).centre;
}

const LEGEND: readonly [LineStyleName, string][] = [
  ["cut", "cut here"],
  ["sew", "sew line"],
  ["fold", "fold of the cloth"],
  ["line", "draw or top-stitch"],
  ["area", "spot, stripe or patch"],
  ["dart", "middle of a dart"],
];

function drawLegend(flow: Flow, width: number): void {
  const columns = Math.max(1, Math.floor(width / 62));
  const top = flow.take(10 + Math.ceil(LEGEND.length / columns) * 5);
  flow.page.text("Lines", [0, top - 3.5], 3.5, "legend-title");
  drawLegendRows(flow.page, [0, top - 9], columns, width);
}

/** A sample of each kind of line with its meaning. */
export function drawLegendRows(page: Items, [left, top]: Point, columns: number, width: number): void {
  const layer = { cut: "cut", sew: "sew", fold: "sew", line: "marks", area: "marks", dart: "marks" } as const;
  LEGEND.forEach(([style, words], i) => {
    const x = left + (i % columns) * (width / columns);
    const y = top - Math.floor(i / columns) * 5;
    page.line(
      [
        [x, y],
        [x + 18, y],
      ],
      style,
      "legend-line",
      { layer: layer[style as keyof typeof layer] },
    );
    page.text(words, [x + 20, y - 1], 3, "legend-text");
  });
}

/** A line for each panel: number, name, how many, fabric and the pages it is on. */
function drawPanelList(flow: Flow, tiling: Tiling, measure: MeasureText): void {
  const size = 2.8;
  const top = flow.take(16);
  flow.page.text("Panels", [0, top - 6], 3.5, "list-title");
  flow.top = top - 9;
  for (const [i, piece] of tiling.job.pieces.entries()) {
    const { panel } = piece;
    const on = tiling.pages.filter((tile) => tile.panels.includes(panel.id)).map((tile) => tile.name);
    const words = [
      `${i + 1} · ${fitted(panel.name, size, tiling.frame.tileWidth, measure)}`,
      countText(panel),
      piece.fabricName ?? panel.fabric,
      on.length > 6 ? `${on.slice(0, 5).join(" ")} … ${on.at(-1)}` : on.join(" "),
    ].join(" · ");
    flow.rows(wrapped(words, size, tiling.frame.tileWidth, measure), size, "list-row");
  }
}

/** A text broken into rows that fit a width; a word longer than a row stays whole. */
export function wrapped(words: string, size: number, width: number, measure: MeasureText): string[] {
  const rows: string[] = [];
  let row = "";
  for (const word of words.split(" ")) {
    const longer = row === "" ? word : `${row} ${word}`;
    if (row !== "" && measure(longer, size) > width) {
      rows.push(row);
      row = word;
    } else {
      row = longer;
    }
  }
  return row === "" ? rows : [...rows, row];
}

/** A text cut short with an ellipsis where it is too wide. */
export function fitted(words: string, size: number, width: number, measure: MeasureText): string {
  if (measure(words, size) <= width) return words;
  const letters = [...words];
  let fits = 0;
  let tooLong = letters.length;
  while (tooLong - fits > 1) {
    const middle = (fits + tooLong) >> 1;
    if (measure(`${letters.slice(0, middle).join("")}…`, size) <= width) fits = middle;
    else tooLong = middle;
  }
  return `${letters.slice(0, fits).join("")}…`;
}

import type { Point } from "@peltry/geometry";
import { countText } from "./draw-label";
import type { DrawItem, LineStyleName, MeasureText } from "./drawing";
import { Items } from "./internal/items";
import { numberText } from "./internal/number-text";
import type { Tiling } from "./tile-pages";

/** 4 in, mm. */
const FOUR_INCHES = 101.6;

/**
 * The first page: title, check squares, the page map, what the lines mean, and the list of panels. More pages follow
 * when the list is long. Each page is a drawing in coordinates of the printable part, origin at its lower left.
 */
export function drawCover(tiling: Tiling, measure: MeasureText): DrawItem[][] {
  const { tileWidth: width, tileHeight: height } = tiling.frame;
  const page = new Items();
  let top = height;
  page.text(fitted(tiling.job.name, 6, width, measure), [0, top - 6], 6, "title");
  top -= 10;
  for (const words of summary(tiling)) {
    for (const row of wrapped(words, 3, width, measure)) {
      page.text(row, [0, top - 3], 3, "summary");
      top -= 4.2;
    }
  }
  top -= 2;
  const side = checkSide(Math.min(width, height));
  drawCheckSquares(page, [0, top - side.inch], side);
  const beside = width - side.inch - 6;
  const pages = [page];
  if (beside >= 60) {
    drawMap(page, tiling, [side.inch + 6, top - side.inch], beside, side.inch);
  }
  top -= side.inch + 6;
  if (beside < 60) {
    const room = Math.min(95, Math.max(40, top - 40));
    drawMap(page, tiling, [0, top - room], width, room);
    top -= room + 6;
  }
  top = drawLegend(page, top, width);
  drawPanelList(pages, tiling, top - 4, measure);
  return pages.map((one) => one.list);
}

function summary(tiling: Tiling): string[] {
  const { frame, pages, blankPages, pagesSaved, rows, columns } = tiling;
  const sheets = pages.length === 1 ? "1 page" : `${pages.length} pages`;
  const saved = pagesSaved > 0 ? ` Packing the panels saved ${pagesSaved}.` : "";
  const blank = blankPages > 0 ? ` ${blankPages} blank ones are left out.` : "";
  const joint =
    frame.overlap > 0
      ? `Trim the left and upper margin of each page, lay it on the dashed line of the page before: ${numberText(frame.overlap, 1)} mm overlap.`
      : "Trim every page along its frame and join the edges.";
  return [
    `${sheets} of ${frame.paper}, ${frame.orientation}, ${rows} rows and ${columns} columns.${blank}${saved}`,
    "Print at 100 % (“actual size”), then measure the squares below before cutting anything.",
    joint,
  ];
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

/** All pages in small, with their names and the panels' outlines. */
function drawMap(page: Items, tiling: Tiling, [x, y]: Point, width: number, height: number): void {
  const title = 5;
  page.text("Page map", [x, y + height - 3.5], 3.5, "map-title");
  const scale = Math.min(width / tiling.width, (height - title - 2) / tiling.height, 0.16);
  const top = y + height - title - 2;
  const place = ([sx, sy]: Point): Point => [x + sx * scale, top - (tiling.height - sy) * scale];
  for (const outline of tiling.outlines)
    page.line(outline.map(place), "leader", "map-panel", { closed: true });
  for (const tile of tiling.pages) {
    const [left, bottom] = place([tile.x, tile.y]);
    page.box(left, bottom, tile.width * scale, tile.height * scale, "guide", "map-page");
    const size = Math.min(3.2, tile.width * scale * 0.24, tile.height * scale * 0.5);
    page.text(
      tile.name,
      [left + (tile.width * scale) / 2, bottom + (tile.height * scale) / 2 - size * 0.35],
      size,
      "map-name",
      { align: "middle" },
    );
  }
}

const LEGEND: readonly [LineStyleName, string][] = [
  ["cut", "cut here"],
  ["sew", "sew line"],
  ["fold", "fold of the cloth"],
  ["line", "draw or top-stitch"],
  ["area", "spot, stripe or patch"],
  ["dart", "middle of a dart"],
];

function drawLegend(page: Items, top: number, width: number): number {
  page.text("Lines", [0, top - 3.5], 3.5, "legend-title");
  const columns = Math.max(1, Math.floor(width / 62));
  const layer = { cut: "cut", sew: "sew", fold: "sew", line: "marks", area: "marks", dart: "marks" } as const;
  LEGEND.forEach(([style, words], i) => {
    const x = (i % columns) * (width / columns);
    const y = top - 9 - Math.floor(i / columns) * 5;
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
  return top - 9 - Math.ceil(LEGEND.length / columns) * 5;
}

/** A line for each panel: number, name, how many, fabric and the pages it is on. */
function drawPanelList(pages: Items[], tiling: Tiling, from: number, measure: MeasureText): void {
  const { tileWidth: width, tileHeight: height } = tiling.frame;
  const size = 2.8;
  const leading = 4;
  let page = pages[0]!;
  let top = from;
  const heading = (): void => {
    page.text("Panels", [0, top - 3.5], 3.5, "list-title");
    top -= 8;
  };
  if (top > 20) heading();
  for (const [i, piece] of tiling.job.pieces.entries()) {
    const { panel } = piece;
    const on = tiling.pages.filter((tile) => tile.panels.includes(panel.id)).map((tile) => tile.name);
    const words = [
      `${i + 1} · ${panel.name}`,
      countText(panel),
      piece.fabricName ?? panel.fabric,
      on.length > 6 ? `${on.slice(0, 5).join(" ")} … ${on.at(-1)}` : on.join(" "),
    ].join(" · ");
    const rows = wrapped(words, size, width, measure);
    if (top - rows.length * leading < 4) {
      page = new Items();
      pages.push(page);
      top = height;
      heading();
    }
    for (const row of rows) {
      page.text(row, [0, top - size], size, "list-row");
      top -= leading;
    }
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
  let short = [...words];
  while (short.length > 1 && measure(`${short.join("")}…`, size) > width) short = short.slice(0, -1);
  return `${short.join("")}…`;
}

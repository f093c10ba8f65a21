import type { Box, Point } from "@peltry/geometry";
import { guessTextWidth, type DrawItem, type LineStyleName, type MeasureText } from "./drawing";
import { hitsIn, type BoxedItem } from "./page-tag";
import { numberText } from "./internal/number-text";
import { isJoined } from "./joints";
import type { TilePage, Tiling } from "./tile-pages";

/** Length of half a match mark along the joint, and its reach from the joint, mm. */
const MARK_HALF = 4;
const MARK_REACH = 7;

/**
 * What helps to join pages: the frame with its rulers, the line where the neighbour is laid, and marks of two halves
 * that meet across each joint. All in sheet coordinates.
 *
 * The joint between two pages is the left (upper) frame line of the page to the right (below). The page before shows
 * its half of a mark on its side of that line, the page after the other half.
 */
export function drawPageGuides(
  tiling: Tiling,
  page: TilePage,
  content: readonly BoxedItem[] = [],
  measure: MeasureText = guessTextWidth,
): DrawItem[] {
  const items: DrawItem[] = [];
  const { x, y, width, height } = page;
  const frame: Point[] = [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
  line(items, frame, "page-frame", { closed: true });
  drawRulers(items, page);
  const { overlap } = tiling.frame;
  const neighbour = (rows: number, columns: number): string | undefined => {
    const other = tiling.pages.find(
      ({ row, column }) => row === page.row + rows && column === page.column + columns,
    );
    return other && isJoined(tiling, page, other) ? other.name : undefined;
  };
  const right = neighbour(0, 1);
  const left = neighbour(0, -1);
  const below = neighbour(1, 0);
  const above = neighbour(-1, 0);
  // Both pages of a joint look for its spots in the same way, so that they find the same ones.
  const free = (box: Box): number => hitsIn(box, content, measure);
  const jointRight = x + width - overlap;
  const jointBelow = y + overlap;
  if (right) {
    if (overlap > 0)
      line(
        items,
        [
          [jointRight, y],
          [jointRight, y + height],
        ],
        "joint",
        { style: "joint" },
      );
    for (const at of sideSpots(jointRight, page, free)) sideMark(items, [jointRight, at], -1, right);
  }
  if (left) for (const at of sideSpots(x, page, free)) sideMark(items, [x, at], 1, left);
  if (below) {
    if (overlap > 0)
      line(
        items,
        [
          [x, jointBelow],
          [x + width, jointBelow],
        ],
        "joint",
        { style: "joint" },
      );
    for (const at of levelSpots(jointBelow, page, free)) levelMark(items, [at, jointBelow], 1, below);
  }
  if (above)
    for (const at of levelSpots(y + height, page, free)) levelMark(items, [at, y + height], -1, above);
  return items;
}

const REACH = MARK_REACH + 4;

/** Two heights on an upright joint, one in each half, where the marks cover least of the drawing. */
function sideSpots(x: number, page: TilePage, hits: (box: Box) => number): number[] {
  return spots(page.height, (at) =>
    hits({
      minX: x - REACH,
      maxX: x + REACH,
      minY: page.y + at - MARK_HALF - 1,
      maxY: page.y + at + MARK_HALF + 3,
    }),
  ).map((at) => page.y + at);
}

function levelSpots(y: number, page: TilePage, hits: (box: Box) => number): number[] {
  return spots(page.width, (at) =>
    hits({
      minX: page.x + at - MARK_HALF - 1,
      maxX: page.x + at + MARK_HALF + 7,
      minY: y - REACH,
      maxY: y + REACH,
    }),
  ).map((at) => page.x + at);
}

function spots(length: number, hits: (at: number) => number): number[] {
  return [0.25, 0.75].map((middle) => {
    let best = middle * length;
    let fewest = Infinity;
    for (const shift of [0, 0.04, -0.04, 0.08, -0.08, 0.12, -0.12, 0.16, -0.16, 0.19, -0.19]) {
      const at = (middle + shift) * length;
      // Numbers of the ruler stand at every 50 mm, and the page's name to the right of the mark.
      const next = 50 * Math.ceil((at - 7) / 50);
      const ruler = next < at + 13 ? 0.5 : 0;
      const found = hits(at) + ruler;
      if (found < fewest) {
        fewest = found;
        best = at;
      }
    }
    return best;
  });
}

interface LineOptions {
  readonly closed?: boolean;
  readonly style?: LineStyleName;
  readonly filled?: boolean;
}

function line(items: DrawItem[], points: readonly Point[], role: string, options: LineOptions = {}): void {
  const { closed = false, style = "guide", filled } = options;
  items.push({ kind: "path", layer: "guides", style, points, closed, role, ...(filled && { filled }) });
}

function text(items: DrawItem[], words: string, at: Point, size: number, angle = 0): void {
  items.push({
    kind: "text",
    layer: "guides",
    text: words,
    at,
    size,
    angle,
    align: "middle",
    role: "guide-text",
  });
}

/** Half of a lozenge beside an upright joint: −1 the left half (shaded), 1 the right half. */
function sideMark(items: DrawItem[], [x, y]: Point, side: 1 | -1, name: string): void {
  const half: Point[] = [
    [x, y + MARK_HALF],
    [x, y - MARK_HALF],
    [x + side * MARK_REACH, y],
  ];
  if (side < 0) line(items, half, "match-shade", { closed: true, filled: true });
  line(items, half, "match-mark", { closed: true, style: "ring" });
  line(
    items,
    [
      [x, y],
      [x + side * (MARK_REACH + 3), y],
    ],
    "match-line",
    { style: "ring" },
  );
  text(items, name, [x + side * (MARK_REACH + 1), y + MARK_HALF - 1], 2.2);
}

/** Half of a lozenge above (1, shaded) or below (−1) a level joint. */
function levelMark(items: DrawItem[], [x, y]: Point, side: 1 | -1, name: string): void {
  const half: Point[] = [
    [x - MARK_HALF, y],
    [x + MARK_HALF, y],
    [x, y + side * MARK_REACH],
  ];
  if (side > 0) line(items, half, "match-shade", { closed: true, filled: true });
  line(items, half, "match-mark", { closed: true, style: "ring" });
  line(
    items,
    [
      [x, y],
      [x, y + side * (MARK_REACH + 3)],
    ],
    "match-line",
    { style: "ring" },
  );
  text(items, name, [x + MARK_HALF + 2.5, y + side * 4 - 0.8], 2.2);
}

/** The lower and the left frame line carry a tick every 10 mm, a longer one with its number every 50 mm. */
function drawRulers(items: DrawItem[], { x, y, width, height }: TilePage): void {
  for (let at = 10; at <= width - 2; at += 10) {
    const tick = at % 50 === 0 ? 3.5 : 2;
    line(
      items,
      [
        [x + at, y],
        [x + at, y + tick],
      ],
      "ruler-tick",
    );
    if (at % 50 === 0) text(items, numberText(at, 0), [x + at, y + 4], 1.8);
  }
  for (let at = 10; at <= height - 2; at += 10) {
    const tick = at % 50 === 0 ? 3.5 : 2;
    line(
      items,
      [
        [x, y + at],
        [x + tick, y + at],
      ],
      "ruler-tick",
    );
    if (at % 50 === 0) text(items, numberText(at, 0), [x + 5, y + at - 0.6], 1.8);
  }
}

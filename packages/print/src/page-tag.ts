import { boundingBox, type Box, type Point } from "@peltry/geometry";
import type { DrawItem, MeasureText, TextItem } from "./drawing";
import type { TilePage } from "./tile-pages";
import { segmentMeetsBox } from "./used-tiles";

const SIZE = 3;

/**
 * The page's name and number at the first place where no line runs through it; on a crowded page the shorter wording.
 *
 * @param wordings - the longest first
 */
export function drawPageTag(
  page: TilePage,
  wordings: readonly string[],
  items: readonly BoxedItem[],
  measure: MeasureText,
): TextItem {
  let best: { words: string; at: Point; hits: number } | undefined;
  for (const words of wordings) {
    const width = measure(words, SIZE);
    for (const at of places(page, width)) {
      const hits = hitsIn(around(at, width), items, measure);
      if (!best || hits < best.hits) best = { words, at, hits };
      if (hits === 0) return tag(best);
    }
  }
  return tag(best!);
}

function around([x, y]: Point, width: number): Box {
  return { minX: x - 1, minY: y - 1, maxX: x + width + 1, maxY: y + SIZE };
}

function tag({ words, at }: { words: string; at: Point }): TextItem {
  return {
    kind: "text",
    layer: "guides",
    text: words,
    at,
    size: SIZE,
    angle: 0,
    align: "start",
    role: "page-tag",
  };
}

/** From the top down: left, right, middle. */
function places({ x, y, width, height }: TilePage, text: number): Point[] {
  const lefts = [x + 8, x + width - text - 14, x + (width - text) / 2];
  const spots: Point[] = [];
  for (let rise = height - 6; rise > 8; rise -= 9) {
    for (const left of lefts) spots.push([Math.max(x + 8, left), y + rise]);
  }
  return spots.length > 0 ? spots : [[x + 1, y + 1]];
}

/** A thing on a page with the box round it. */
export interface BoxedItem {
  readonly item: DrawItem;
  readonly box: Box;
}

/** The things with their boxes, so that a search need not look at each point of each. */
export function boxItems(items: readonly DrawItem[], measure: MeasureText): BoxedItem[] {
  return items.map((item) => ({
    item,
    box:
      item.kind === "path"
        ? boundingBox(item.points)
        : grown(boundingBox(textLine(item, measure)), item.size / 2),
  }));
}

/** How many lines and texts run through a box. */
export function hitsIn(box: Box, items: readonly BoxedItem[], measure: MeasureText): number {
  let hits = 0;
  for (const { item, box: own } of items) {
    if (own.minX > box.maxX || own.maxX < box.minX || own.minY > box.maxY || own.maxY < box.minY) continue;
    if (item.kind === "text") hits += textMeets(item, box, measure) ? 1 : 0;
    else hits += pathHits(item.points, item.closed, box);
  }
  return hits;
}

function pathHits(points: readonly Point[], closed: boolean, box: Box): number {
  let hits = 0;
  for (let i = closed ? 0 : 1; i < points.length; i++) {
    const a = points[i === 0 ? points.length - 1 : i - 1]!;
    const b = points[i]!;
    if (segmentMeetsBox(a[0], a[1], b[0], b[1], box)) hits++;
  }
  return hits;
}

function textMeets(item: TextItem, box: Box, measure: MeasureText): boolean {
  const [a, b] = textLine(item, measure);
  return segmentMeetsBox(a[0], a[1], b[0], b[1], grown(box, item.size / 2));
}

/** The middle line of a text, half way up its small letters. */
function textLine(item: TextItem, measure: MeasureText): [Point, Point] {
  const width = measure(item.text, item.size);
  const turn = (item.angle * Math.PI) / 180;
  const start = item.align === "middle" ? -width / 2 : 0;
  const up = item.size * 0.35;
  const end = (t: number): Point => [
    item.at[0] + Math.cos(turn) * t - Math.sin(turn) * up,
    item.at[1] + Math.sin(turn) * t + Math.cos(turn) * up,
  ];
  return [end(start), end(start + width)];
}

function grown(box: Box, by: number): Box {
  return { minX: box.minX - by, minY: box.minY - by, maxX: box.maxX + by, maxY: box.maxY + by };
}

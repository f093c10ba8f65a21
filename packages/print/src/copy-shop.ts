import type { Point } from "@peltry/geometry";
import { checkSide, drawCheckSquares, drawLegendRows, fitted } from "./cover";
import type { DrawItem, MeasureText } from "./drawing";
import { Items } from "./internal/items";
import type { PageOptions } from "./page-options";
import type { Tiling } from "./tile-pages";

/** Room of the title block on a copy-shop sheet, mm. */
export const TITLE_BLOCK = Object.freeze({ width: 182, height: 122 });

/** Copy-shop paper where nothing else is said: one A0 sheet, panels whole, no overlap. */
export function copyShopPage(page: PageOptions): PageOptions {
  return { ...page, size: page.size ?? "A0", overlap: page.overlap ?? 0, whole: page.whole ?? true };
}

/** Title, check squares and what the lines mean, in the upper left corner of the sheet; sheet coordinates. */
export function drawTitleBlock(tiling: Tiling, measure: MeasureText): DrawItem[] {
  const { width, height } = TITLE_BLOCK;
  const block = new Items();
  block.text(fitted(tiling.job.name, 6, width - 4, measure), [2, height - 9], 6, "title");
  const side = checkSide(FOUR_INCH_ROOM);
  drawCheckSquares(block, [2, 4], side);
  const left = side.inch + 8;
  block.text("Print at 100 %, then measure", [left, height - 21], 3.2, "summary");
  block.text("both squares before cutting.", [left, height - 26], 3.2, "summary");
  drawLegendRows(block, [left, height - 36], 1, width - left);
  const up = tiling.height - height;
  const move = ([x, y]: Point): Point => [x, y + up];
  return block.list.map((item) =>
    item.kind === "path" ? { ...item, points: item.points.map(move) } : { ...item, at: move(item.at) },
  );
}

const FOUR_INCH_ROOM = 102;

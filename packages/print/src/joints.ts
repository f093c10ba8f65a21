import type { Box, Point } from "@peltry/geometry";
import type { TilePage, Tiling } from "./tile-pages";
import { outlineMeetsBox } from "./used-tiles";

// Butt joints have no width; a panel that reaches this far to both sides of one has to be joined there.
const HAIR = 0.01;

/** Whether some panel runs across from one page to its neighbour, so that the two must be joined. */
export function isJoined(tiling: Tiling, a: TilePage, b: TilePage): boolean {
  const first = pageBox(a);
  const second = pageBox(b);
  const strip: Box = {
    minX: Math.max(first.minX, second.minX) - HAIR,
    minY: Math.max(first.minY, second.minY) - HAIR,
    maxX: Math.min(first.maxX, second.maxX) + HAIR,
    maxY: Math.min(first.maxY, second.maxY) + HAIR,
  };
  const shared = new Set(a.panels.filter((id) => b.panels.includes(id)));
  return tiling.outlines.some(
    (outline, i) =>
      shared.has(tiling.job.pieces[i]!.panel.id) &&
      outlineMeetsBox(outline, strip) &&
      !insideBox(outline, first) &&
      !insideBox(outline, second),
  );
}

/** All lines along which pages begin or end inside the sheet. */
export function jointLines({ frame, rows, columns, width, height }: Tiling): [Point, Point][] {
  const lines: [Point, Point][] = [];
  for (let column = 1; column < columns; column++) {
    const x = column * (frame.tileWidth - frame.overlap);
    for (const at of new Set([x, x + frame.overlap]))
      lines.push([
        [at, 0],
        [at, height],
      ]);
  }
  for (let row = 1; row < rows; row++) {
    const y = row * (frame.tileHeight - frame.overlap);
    for (const at of new Set([y, y + frame.overlap]))
      lines.push([
        [0, at],
        [width, at],
      ]);
  }
  return lines;
}

function pageBox({ x, y, width, height }: TilePage): Box {
  return { minX: x, minY: y, maxX: x + width, maxY: y + height };
}

function insideBox(outline: readonly Point[], box: Box): boolean {
  return outline.every(
    ([x, y]) => x >= box.minX - HAIR && x <= box.maxX + HAIR && y >= box.minY - HAIR && y <= box.maxY + HAIR,
  );
}

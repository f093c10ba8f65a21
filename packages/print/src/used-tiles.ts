import { boundingBox, type Box, type Outline, type Point } from "@peltry/geometry";
import type { PageFrame } from "./page-options";

/** Grid of tiles over a sheet; row 0 is the top one. Sheet coordinates: mm, y up, origin at the lower left. */
export interface TileGrid {
  readonly frame: PageFrame;
  readonly rows: number;
  readonly columns: number;
}

/** The tile's box on the sheet. */
export function tileBox({ frame, rows }: TileGrid, row: number, column: number): Box {
  const minX = column * (frame.tileWidth - frame.overlap);
  const minY = (rows - 1 - row) * (frame.tileHeight - frame.overlap);
  return { minX, minY, maxX: minX + frame.tileWidth, maxY: minY + frame.tileHeight };
}

/**
 * Which tiles have to be printed, as row · columns + column. A tile is blank when no part of any outline, border or
 * inside, lies on it alone; what lies in an overlap needs only one of the tiles that share it.
 */
export function usedTiles(outlines: readonly Outline[], grid: TileGrid): Set<number> {
  const columns = slabs(grid.columns, grid.frame.tileWidth, grid.frame.overlap);
  const rows = slabs(grid.rows, grid.frame.tileHeight, grid.frame.overlap);
  const boxes = outlines.map(boundingBox);
  const regions: { tiles: number[] }[] = [];
  for (const y of rows) {
    for (const x of columns) {
      const region: Box = { minX: x.from, maxX: x.to, minY: y.from, maxY: y.to };
      if (!outlines.some((outline, i) => boxesMeet(boxes[i]!, region) && outlineMeetsBox(outline, region)))
        continue;
      regions.push({
        tiles: y.tiles.flatMap((row) =>
          x.tiles.map((column) => (grid.rows - 1 - row) * grid.columns + column),
        ),
      });
    }
  }
  const used = new Set<number>();
  // Regions of one tile first, then those of two, then four: each takes a new tile only if none of its own is used.
  for (const size of [1, 2, 4]) {
    for (const { tiles } of regions) {
      if (tiles.length === size && !tiles.some((tile) => used.has(tile))) used.add(tiles[0]!);
    }
  }
  return used;
}

/** The line of tiles cut where their overlaps begin and end: which tiles show each stretch. */
function slabs(
  count: number,
  tile: number,
  overlap: number,
): { from: number; to: number; tiles: number[] }[] {
  const step = tile - overlap;
  const list: { from: number; to: number; tiles: number[] }[] = [];
  for (let i = 0; i < count; i++) {
    list.push({
      from: i * step + (i > 0 ? overlap : 0),
      to: i + 1 < count ? (i + 1) * step : i * step + tile,
      tiles: [i],
    });
    if (i + 1 < count && overlap > 0)
      list.push({ from: (i + 1) * step, to: (i + 1) * step + overlap, tiles: [i, i + 1] });
  }
  return list;
}

/** True when two boxes share some area. */
export function boxesMeet(a: Box, b: Box): boolean {
  return a.minX < b.maxX && b.minX < a.maxX && a.minY < b.maxY && b.minY < a.maxY;
}

// A border that only touches the edge of a tile is printed on the neighbour; a tenth of a micrometre is no line.
const TOUCH = 1e-4;

/** True when the border or the inside of an outline reaches into a box. */
export function outlineMeetsBox(outline: Outline, box: Box): boolean {
  const inner: Box = {
    minX: box.minX + TOUCH,
    minY: box.minY + TOUCH,
    maxX: box.maxX - TOUCH,
    maxY: box.maxY - TOUCH,
  };
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    if (segmentMeetsBox(outline[j]![0], outline[j]![1], outline[i]![0], outline[i]![1], inner)) return true;
  }
  return isInside([(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2], outline);
}

/** Even–odd crossing count in floating point: for points known to be well away from the border. */
export function isInside([x, y]: Point, outline: Outline): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const [ax, ay] = outline[j]!;
    const [bx, by] = outline[i]!;
    if (ay > y !== by > y && x < ax + ((bx - ax) * (y - ay)) / (by - ay)) inside = !inside;
  }
  return inside;
}

/** True when a segment has a point in a box (Liang and Barsky 1984). */
export function segmentMeetsBox(ax: number, ay: number, bx: number, by: number, box: Box): boolean {
  const { minX, minY, maxX, maxY } = box;
  // Most segments lie wholly to one side.
  if (
    (ax < minX && bx < minX) ||
    (ax > maxX && bx > maxX) ||
    (ay < minY && by < minY) ||
    (ay > maxY && by > maxY)
  ) {
    return false;
  }
  const dx = bx - ax;
  const dy = by - ay;
  let from = 0;
  let to = 1;
  if (dx !== 0) {
    const t = (minX - ax) / dx;
    const u = (maxX - ax) / dx;
    from = Math.max(from, Math.min(t, u));
    to = Math.min(to, Math.max(t, u));
  }
  if (dy !== 0) {
    const t = (minY - ay) / dy;
    const u = (maxY - ay) / dy;
    from = Math.max(from, Math.min(t, u));
    to = Math.min(to, Math.max(t, u));
  }
  return from <= to;
}

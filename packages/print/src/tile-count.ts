import { fail } from "@peltry/issues";

/**
 * How many tiles cover a length when neighbours share an overlap: max(1, ⌈(W − o)/(w − o)⌉).
 *
 * @param length - W, mm
 * @param tile - w, printable length of one tile, mm
 * @param overlap - o, mm
 * @throws `print/overlap-too-big` when the overlap is not less than the tile
 * @source derived here: n tiles reach n·w − (n − 1)·o
 */
export function tileCount(length: number, tile: number, overlap: number): number {
  if (!(tile > overlap) || !(overlap >= 0) || !Number.isFinite(length)) {
    fail(
      "print/overlap-too-big",
      `Tiles of ${tile} mm cannot overlap by ${overlap} mm.`,
      {},
      {
        found: overlap,
        limit: tile,
        fix: "Make the overlap smaller than the tile.",
      },
    );
  }
  // A billionth of a tile is rounding, not another page.
  return Math.max(1, Math.ceil((length - overlap) / (tile - overlap) - 1e-9));
}

import type { Room } from "./world";

/**
 * One item at one turn about to be tried at many places of a bin: for each other item there, where a position falls in
 * the table of the two, u = u0 + ux·x + uy·y and v = v0 + vx·x + vy·y in cells. Saves most of a look-up's work.
 */
export interface Probe {
  /** The search that it was made for: what lies elsewhere has moved since, once this is old. */
  stamp: number;
  item: number;
  room: Room;
  count: number;
  /** u0, ux, uy, v0, vx, vy of each other item. */
  readonly lines: Float64Array;
  /** Table of each other item with this one. */
  readonly tables: Int32Array;
  readonly weights: Float64Array;
}

/** Numbers a line of a probe. */
export const PER_LINE = 6;

export function createProbe(item: number, room: Room, most: number): Probe {
  return {
    stamp: -1,
    item,
    room,
    count: 0,
    lines: new Float64Array(PER_LINE * most),
    tables: new Int32Array(most),
    weights: new Float64Array(most),
  };
}

/** Copies into `out` what a position within `reach` of (x, y) along both axes can touch. */
export function narrowProbe(
  from: Probe,
  out: Probe,
  [x, y]: readonly [number, number],
  reach: number,
  cells: number,
): void {
  const { lines } = from;
  out.item = from.item;
  out.room = from.room;
  let n = 0;
  for (let k = 0; k < from.count; k++) {
    const o = PER_LINE * k;
    const u = lines[o] + lines[o + 1] * x + lines[o + 2] * y;
    const du = (Math.abs(lines[o + 1]) + Math.abs(lines[o + 2])) * reach;
    if (u + du < 0 || u - du >= cells) continue;
    const v = lines[o + 3] + lines[o + 4] * x + lines[o + 5] * y;
    const dv = (Math.abs(lines[o + 4]) + Math.abs(lines[o + 5])) * reach;
    if (v + dv < 0 || v - dv >= cells) continue;
    const to = PER_LINE * n;
    for (let m = 0; m < PER_LINE; m++) out.lines[to + m] = lines[o + m];
    out.tables[n] = from.tables[k];
    out.weights[n] = from.weights[k];
    n++;
  }
  out.count = n;
}

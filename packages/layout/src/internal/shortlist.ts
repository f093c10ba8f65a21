import type { Room } from "./world";

/** A place for one item and its weighted loss. */
export interface Place {
  bin: number;
  room: Room;
  x: number;
  y: number;
  value: number;
}

/** Places that are refined by descent. @source three: Gardeyn et al. 2025, arXiv 2509.13329, Table 1 */
const KEPT = 3;

/** The best few places of one search, best first. Its objects are used again from search to search. */
export class Shortlist {
  readonly places: Place[] = [];
  count = 0;

  /** Loss that a place must stay under to be listed. */
  bound(): number {
    return this.count < KEPT ? Infinity : this.places[KEPT - 1].value;
  }

  /** Lists a place, unless a better one is close by: both would descend to the same spot. */
  add(bin: number, room: Room, x: number, y: number, value: number, close: number): void {
    const { places } = this;
    let out = 0;
    while (out < this.count && !isTwin(places[out], bin, room, x, y, close)) out++;
    if (out < this.count && places[out].value <= value) return;
    if (out === KEPT) out--;
    if (out === this.count) this.count++;
    const place = (places[out] ??= { bin, room, x, y, value });
    let k = out;
    for (; k > 0 && places[k - 1].value > value; k--) places[k] = places[k - 1];
    places[k] = place;
    place.bin = bin;
    place.room = room;
    place.x = x;
    place.y = y;
    place.value = value;
  }
}

function isTwin(p: Place, bin: number, room: Room, x: number, y: number, close: number): boolean {
  return p.bin === bin && p.room === room && Math.abs(p.x - x) < close && Math.abs(p.y - y) < close;
}

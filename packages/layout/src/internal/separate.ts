import type { Budget } from "./budget";
import type { Snapshot, State } from "./state";
import type { Place } from "./shortlist";
import { isOpen, type Room } from "./world";

/** How hard {@link separate} tries. */
export interface Effort {
  /** Passes without a better loss that end a round. */
  readonly patience: number;
  /** Rounds without a clearly better loss that end the search. */
  readonly strikes: number;
}

/** @source 200 passes and 3 rounds while exploring, 100 and 5 while compressing: Gardeyn et al. 2025, Table 1 */
export const EXPLORE: Effort = { patience: 200, strikes: 3 };
export const COMPRESS: Effort = { patience: 100, strikes: 5 };

const WIDE_SAMPLES = 50;
const NEAR_SAMPLES = 25;
/** Samples nearer than this share of the item's size count as one. */
const TWIN_SHARE = 0.05;

/** Random numbers and buffers of one search. */
export interface Searcher {
  readonly state: State;
  readonly random: () => number;
  readonly budget: Budget;
}

/**
 * Moves overlapping items about until nothing overlaps, by guided local search. Leaves the state at the least loss
 * found.
 *
 * @returns the least loss: 0 means a valid layout
 * @source overlap removal of Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329; guided local search for
 * packing: Egeblad, Nielsen and Odgaard 2007; Umetani et al. 2009 (the last two from memory)
 */
export function separate(s: Searcher, effort: Effort): number {
  const { state, budget } = s;
  state.resetWeights();
  const start = state.spare(0);
  const winner = state.spare(1);
  let best: Snapshot = state.save();
  let strikes = 0;
  while (best.loss > 0 && strikes < effort.strikes && !budget.spent()) {
    const before = best.loss;
    let idle = 0;
    while (idle < effort.patience && !budget.spent()) {
      moveBest(s, start, winner);
      const loss = state.totalLoss();
      if (loss === 0) return 0;
      if (loss < best.loss) {
        idle = loss < 0.98 * best.loss ? 0 : idle + 1;
        best = state.save();
      } else idle++;
      state.updateWeights();
    }
    strikes = best.loss < 0.98 * before ? 0 : strikes + 1;
    state.restore(best);
  }
  return best.loss;
}

/** Orders tried in each pass. @source three workers a pass: Gardeyn et al. 2025 */
const ORDERS = 3;

/** One pass in several random orders from the same start, the best kept. */
function moveBest(s: Searcher, start: State, winner: State): void {
  const { state } = s;
  state.copyTo(start);
  let least = Infinity;
  for (let k = 0; k < ORDERS; k++) {
    if (k > 0) start.copyTo(state);
    moveItems(s);
    const value = state.totalWeightedLoss();
    if (value === 0) return;
    if (value < least) {
      least = value;
      state.copyTo(winner);
    }
  }
  winner.copyTo(state);
}

/** One pass: every overlapping item, in random order, goes to the best place found for it. */
function moveItems(s: Searcher): void {
  const { state } = s;
  const open = state.overlapping();
  shuffle(open, s.random);
  for (const i of open) {
    if (state.itemLoss(i) === 0) continue;
    const place = searchPlace(s, i);
    if (place !== undefined && place.value < state.weightedLoss(i)) {
      state.place(i, place.bin, place.room, place.x, place.y);
    }
  }
}

export function shuffle(list: number[], random: () => number): void {
  for (let k = list.length - 1; k > 0; k--) {
    const other = Math.floor(random() * (k + 1));
    [list[k], list[other]] = [list[other], list[k]];
  }
}

/**
 * Best place found for an item: random samples over all bins and near it, the best refined by descent. Good until the
 * next search.
 */
export function searchPlace(s: Searcher, i: number): Place | undefined {
  const { state, random } = s;
  const { world, shortlist } = state;
  const { places } = shortlist;
  const { minQuality, shape } = world.items[i];
  state.startSearch();
  shortlist.count = 0;
  const close = TWIN_SHARE * Math.sqrt(world.shapes[shape].area);
  const here = state.room[i];
  if (here !== undefined) {
    const b = state.bin[i];
    if (here.odd) world.tableOf(here, b, minQuality);
    shortlist.add(b, here, state.x[i], state.y[i], state.weightedLoss(i), close);
    const o = world.oriented[here.oriented];
    const w = o.maxX - o.minX;
    const h = o.maxY - o.minY;
    const rooms = world.rooms[i][b];
    for (let k = 0; k < NEAR_SAMPLES && places[0].value !== 0; k++) {
      const room = rooms[Math.floor(random() * rooms.length)];
      const x = state.x[i] + (random() - 0.5) * w;
      const y = state.y[i] + (random() - 0.5) * h;
      if (!isOpen(room) || (room.odd && world.tableOf(room, b, minQuality) === null)) continue;
      sample(state, i, b, room, x, y, close);
    }
  }
  for (let k = 0; k < WIDE_SAMPLES && !(shortlist.count > 0 && places[0].value === 0); k++) {
    const b = pickBin(s, i);
    if (b < 0) break;
    const rooms = world.rooms[i][b];
    const room = rooms[Math.floor(random() * rooms.length)];
    if (!isOpen(room)) continue;
    let x = room.minX + random() * (room.maxX - room.minX);
    let y = room.minY + random() * (room.maxY - room.minY);
    if (room.odd) {
      const table = world.tableOf(room, b, minQuality);
      if (table === null) continue;
      const cell = 2 * Math.floor((random() * table.free.length) / 2);
      x = table.free[cell] + (random() - 0.5) / table.perX;
      y = table.free[cell + 1] + (random() - 0.5) / table.perY;
    }
    sample(state, i, b, room, x, y, close);
  }
  if (shortlist.count === 0) return undefined;
  if (places[0].value === 0) return places[0];
  let winner = places[0];
  for (let k = 0; k < shortlist.count; k++) {
    descend(s, i, places[k], 0.25, 0.02);
    if (places[k].value < winner.value) winner = places[k];
  }
  descend(s, i, winner, 0.01, 0.001);
  return winner;
}

function sample(
  state: State,
  i: number,
  b: number,
  room: Room,
  atX: number,
  atY: number,
  close: number,
): void {
  const { shortlist } = state;
  const x = clamp(atX, room.minX, room.maxX);
  const y = clamp(atY, room.minY, room.maxY);
  const bound = shortlist.bound();
  const value = state.evaluate(state.aim(i, b, room), x, y, bound);
  if (value < bound) shortlist.add(b, room, x, y, value, close);
}

/** A bin that can hold item i, in proportion to area. */
function pickBin({ state, random }: Searcher, i: number): number {
  const rooms = state.world.rooms[i];
  if (rooms.length === 1) return rooms[0].length > 0 ? 0 : -1;
  const usable = (b: number): boolean => rooms[b].length > 0 && state.usable[b] === 1;
  let total = 0;
  for (let b = 0; b < rooms.length; b++) if (usable(b)) total += state.world.bins[b].area;
  let left = random() * total;
  let last = -1;
  for (let b = 0; b < rooms.length; b++) {
    if (!usable(b)) continue;
    last = b;
    left -= state.world.bins[b].area;
    if (left < 0) break;
  }
  return last;
}

/** Whole grid steps within a room. */
export function clamp(value: number, low: number, high: number): number {
  const whole = Math.floor(value + 0.5);
  return whole < low ? low : whole > high ? high : whole;
}

/** Direction cosines of the four axes of descent. */
const AXIS_X = Float64Array.of(1, 0, Math.SQRT1_2, Math.SQRT1_2);
const AXIS_Y = Float64Array.of(0, 1, Math.SQRT1_2, -Math.SQRT1_2);

/** Coordinate descent: steps to both sides along a random axis; longer after success, shorter after failure. */
function descend({ state, random }: Searcher, i: number, place: Place, first: number, last: number): void {
  if (place.value === 0) return;
  const { room, bin } = place;
  const o = state.world.oriented[room.oriented];
  const size = Math.min(o.maxX - o.minX, o.maxY - o.minY);
  const end = Math.max(1, last * size);
  let stepX = first * size;
  let stepY = stepX;
  let { x, y, value } = place;
  const all = state.aim(i, bin, room);
  const reach = 2 * stepX;
  const near = state.narrow(all, x, y, reach);
  while (value > 0 && (stepX >= end || stepY >= end)) {
    const axis = (random() * 4) | 0;
    const dx = AXIS_X[axis] * stepX;
    const dy = AXIS_Y[axis] * stepY;
    const fromX = x;
    const fromY = y;
    const from = value;
    for (let side = -1; side <= 1; side += 2) {
      const tx = clamp(fromX + side * dx, room.minX, room.maxX);
      const ty = clamp(fromY + side * dy, room.minY, room.maxY);
      if (tx === fromX && ty === fromY) continue;
      const far = Math.abs(tx - place.x) > reach || Math.abs(ty - place.y) > reach;
      const there = state.evaluate(far ? all : near, tx, ty, value);
      if (there < value) {
        value = there;
        x = tx;
        y = ty;
      }
    }
    const factor = value < from ? 1.1 : 0.5;
    if (axis !== 1) stepX *= factor;
    if (axis !== 0) stepY *= factor;
  }
  place.x = x;
  place.y = y;
  place.value = value;
}

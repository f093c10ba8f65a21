import { COMPRESS, EXPLORE, clamp, separate, type Searcher } from "./separate";
import type { Snapshot, State } from "./state";
import { isOpen, type Room, type World } from "./world";

/** The roll to shorten. */
export interface Strip {
  readonly bin: number;
  readonly axis: "x" | "y";
  /** Shortest length worth trying, grid steps. */
  readonly least: number;
}

/** A valid layout and the length of roll that it uses, grid steps. */
export interface StripResult {
  readonly snapshot: Snapshot;
  readonly length: number;
}

/** Rooms of a bin, each once. */
function roomsOf(world: World, bin: number): Room[] {
  return [...new Set(world.rooms.flatMap((rooms) => rooms[bin]))];
}

/** Length of the bin that is used. */
export function usedLength(state: State, { bin, axis }: Strip): number {
  const { world } = state;
  const start = axis === "x" ? world.bins[bin].minX : world.bins[bin].minY;
  let end = start;
  for (let i = 0; i < state.n; i++) {
    if (state.bin[i] !== bin) continue;
    const o = world.oriented[state.room[i]!.oriented];
    end = Math.max(end, axis === "x" ? state.x[i] + o.maxX : state.y[i] + o.maxY);
  }
  return end === start ? 0 : end - start + world.edgeGap;
}

/**
 * Sets the length of a roll; turns at which an item is longer are closed. False (and nothing done) when an item of the
 * roll would be left without a turn.
 */
export function setLength(world: World, strip: Strip, length: number): boolean {
  const bin = world.bins[strip.bin];
  const max = (strip.axis === "x" ? bin.minX : bin.minY) + Math.floor(length);
  const farthest = (room: Room): number => {
    const o = world.oriented[room.oriented];
    return Math.floor(max - world.edgeGap - (strip.axis === "x" ? o.maxX : o.maxY));
  };
  const fits = (room: Room): boolean => farthest(room) >= (strip.axis === "x" ? room.minX : room.minY);
  const items = world.rooms.map((rooms) => rooms[strip.bin]).filter((rooms) => rooms.length > 0);
  if (items.some((rooms) => !rooms.some(fits))) return false;
  for (const room of roomsOf(world, strip.bin)) {
    if (strip.axis === "x") room.maxX = farthest(room);
    else room.maxY = farthest(room);
  }
  if (strip.axis === "x") bin.maxX = max;
  else bin.maxY = max;
  return true;
}

/** Moves everything beyond `cut` back by what the roll lost, and the rest into the room that is left. */
function pullIn(state: State, strip: Strip, cut: number, by: number): void {
  for (let i = 0; i < state.n; i++) {
    if (state.bin[i] !== strip.bin) continue;
    const there = state.room[i]!;
    const room = isOpen(there) ? there : state.world.rooms[i][strip.bin].find(isOpen)!;
    const o = state.world.oriented[room.oriented];
    let { [i]: x } = state.x;
    let { [i]: y } = state.y;
    if (strip.axis === "x" && x + (o.minX + o.maxX) / 2 > cut) x -= by;
    if (strip.axis === "y" && y + (o.minY + o.maxY) / 2 > cut) y -= by;
    x = clamp(x, room.minX, room.maxX);
    y = clamp(y, room.minY, room.maxY);
    if (room !== there || x !== state.x[i] || y !== state.y[i]) state.place(i, strip.bin, room, x, y);
  }
}

/** @source 0.1 % a step, 80 % of the time exploring; then 0.05 % falling to 0.001 %: Gardeyn et al. 2025, Table 1 */
const EXPLORE_STEP = 0.001;
const EXPLORE_SHARE = 0.8;
const COMPRESS_FIRST = 0.0005;
const COMPRESS_LAST = 0.00001;

/**
 * Shortens a roll from a valid layout for as long as the budget lasts. Every result handed to `report` is valid.
 *
 * @param until - share of the budget at which to end
 */
export function shortenStrip(
  s: Searcher,
  strip: Strip,
  span: { readonly from: number; readonly until: number },
  report: (result: StripResult) => void,
): StripResult {
  const { state } = s;
  let best: StripResult = { snapshot: state.save(), length: usedLength(state, strip) };
  const accept = (): void => {
    const length = usedLength(state, strip);
    if (length < best.length) {
      best = { snapshot: state.save(), length };
      report(best);
    }
  };
  const exploreEnd = span.from + EXPLORE_SHARE * (span.until - span.from);
  explore(s, strip, exploreEnd, best, accept, () => best);
  compress(s, strip, { from: exploreEnd, until: span.until }, accept, () => best);
  setLength(state.world, strip, best.length);
  state.restore(best.snapshot);
  return best;
}

function explore(
  s: Searcher,
  strip: Strip,
  until: number,
  start: StripResult,
  accept: () => void,
  current: () => StripResult,
): void {
  const { state, budget, random } = s;
  let step = 0.02;
  let length = start.length;
  let pool: Snapshot[] = [];
  const shrink = (): boolean => {
    const next = Math.floor(current().length * (1 - step));
    if (next < strip.least || !setLength(state.world, strip, next)) return false;
    length = next;
    state.restore(current().snapshot);
    pullIn(state, strip, Infinity, 0);
    return true;
  };
  if (!shrink()) return;
  while (!budget.spent() && budget.share() < until) {
    // Long steps while they come easily, so that the slow part starts early.
    const quick = step > EXPLORE_STEP;
    const loss = separate(s, quick ? { patience: 40, strikes: 1 } : EXPLORE);
    if (loss === 0) {
      accept();
      pool = [];
      if (!shrink()) return;
    } else if (quick) {
      step = Math.max(EXPLORE_STEP, step / 2);
      if (!shrink()) return;
    } else {
      pool.push(state.save());
      pool.sort((p, q) => p.loss - q.loss);
      const pick = Math.min(pool.length - 1, Math.floor(Math.abs(gauss(random)) * 0.25 * pool.length));
      if (setLength(state.world, strip, length)) state.restore(pool[pick]);
      swapLarge(s, strip);
    }
  }
}

function compress(
  s: Searcher,
  strip: Strip,
  span: { readonly from: number; readonly until: number },
  accept: () => void,
  current: () => StripResult,
): void {
  const { state, budget, random } = s;
  while (!budget.spent() && budget.share() < span.until) {
    const part = Math.max(0, Math.min(1, (budget.share() - span.from) / (span.until - span.from)));
    const step = COMPRESS_FIRST + (COMPRESS_LAST - COMPRESS_FIRST) * part;
    const best = current();
    const next = Math.min(best.length - 1, Math.floor(best.length * (1 - step)));
    if (next < strip.least || !setLength(state.world, strip, next)) return;
    state.restore(best.snapshot);
    const start = strip.axis === "x" ? state.world.bins[strip.bin].minX : state.world.bins[strip.bin].minY;
    pullIn(state, strip, start + random() * best.length, best.length - next);
    if (separate(s, COMPRESS) === 0) accept();
  }
}

/** Normally distributed number. @source Box and Muller 1958 */
function gauss(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** Swaps two large items of different shapes, and what lies inside their boxes with them. */
export function swapLarge(s: Searcher, strip: Strip): void {
  const { state, random } = s;
  const { world } = state;
  const order = Array.from({ length: state.n }, (_, i) => i).filter((i) => state.bin[i] === strip.bin);
  const hull = (i: number): number => world.shapes[world.items[i].shape].hullArea;
  order.sort((a, b) => hull(b) - hull(a) || a - b);
  const total = order.reduce((sum, i) => sum + hull(i), 0);
  let sum = 0;
  let large = 0;
  while (large < order.length && sum < 0.75 * total) sum += hull(order[large++]);
  const first = order[Math.floor(random() * large)];
  const others = order
    .slice(0, large)
    .filter((i) => world.items[i].shape !== world.items[first].shape || state.room[i] !== state.room[first]);
  if (others.length === 0) return;
  const second = others[Math.floor(random() * others.length)];
  const centre = (i: number): [number, number] => {
    const o = world.oriented[state.room[i]!.oriented];
    return [state.x[i] + (o.minX + o.maxX) / 2, state.y[i] + (o.minY + o.maxY) / 2];
  };
  const inside = (i: number, host: number): boolean => {
    const o = world.oriented[state.room[host]!.oriented];
    const [x, y] = centre(i);
    return (
      x > state.x[host] + o.minX &&
      x < state.x[host] + o.maxX &&
      y > state.y[host] + o.minY &&
      y < state.y[host] + o.maxY
    );
  };
  const [ax, ay] = centre(first);
  const [bx, by] = centre(second);
  const goers = order.filter((i) => i !== first && i !== second);
  const withFirst = goers.filter((i) => inside(i, first));
  const withSecond = goers.filter((i) => inside(i, second) && !withFirst.includes(i));
  const shift = (i: number, dx: number, dy: number): void => {
    const room = state.room[i]!;
    const x = clamp(state.x[i] + dx, room.minX, room.maxX);
    state.place(i, strip.bin, room, x, clamp(state.y[i] + dy, room.minY, room.maxY));
  };
  for (const i of [first, ...withFirst]) shift(i, bx - ax, by - ay);
  for (const i of [second, ...withSecond]) shift(i, ax - bx, ay - by);
}

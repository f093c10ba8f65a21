import type { Budget } from "./budget";
import { clamp } from "./separate";
import type { State } from "./state";
import { isOpen, type Room, type World } from "./world";

/** Which way a bin fills up, and in which order bins are tried. */
export interface StartOptions {
  /** Bins in order of preference; those left out are not used. */
  readonly bins: readonly number[];
  /** Items, first come first served. */
  readonly order: readonly number[];
  /** Positions tried across a bin. */
  readonly columns: number;
  /** Axis along which each bin should stay short. */
  readonly runs: readonly ("x" | "y")[];
  readonly budget: Budget;
}

/**
 * Places items one after the other as low as they go, each where nothing collides.
 *
 * @returns items that found no place
 * @remarks bottom-left-fill: 60 to 80 % full, a fraction of a second; the start for {@link separate}
 */
export function fillBottomLeft(state: State, options: StartOptions): number[] {
  const left: number[] = [];
  for (const i of options.order) {
    state.startSearch();
    if (!placeLow(state, i, options, isEarlyTurn) && !placeLow(state, i, options, isLateTurn)) left.push(i);
  }
  return left;
}

/** Of many turns a few are tried first on every bin, the rest only when none of those has a place. */
const FEW_TURNS = 2;

function isEarlyTurn(k: number, count: number): boolean {
  return k % Math.max(1, Math.floor(count / FEW_TURNS)) === 0;
}

function isLateTurn(k: number, count: number): boolean {
  return !isEarlyTurn(k, count);
}

function placeLow(
  state: State,
  i: number,
  options: StartOptions,
  tried: (k: number, count: number) => boolean,
): boolean {
  for (const b of options.bins) {
    if (options.budget.spent()) return false;
    const rooms = state.world.rooms[i][b];
    const spot = lowestOf(
      rooms.filter((_, k) => tried(k, rooms.length)),
      state,
      i,
      b,
      options,
    );
    if (spot === undefined) continue;
    state.place(i, b, spot.room, spot.x, spot.y);
    return true;
  }
  return false;
}

interface Spot {
  readonly room: Room;
  readonly x: number;
  readonly y: number;
  readonly score: number;
}

function lowestOf(
  rooms: readonly Room[],
  state: State,
  i: number,
  b: number,
  options: StartOptions,
): Spot | undefined {
  const { world } = state;
  let best: Spot | undefined;
  for (const room of rooms) {
    if (room.table === null || !isOpen(room)) continue;
    const o = world.oriented[room.oriented];
    const probe = state.aim(i, b, room);
    const alongX = options.runs[b] === "x";
    const reach = alongX ? room.maxX - room.minX : room.maxY - room.minY;
    const step = Math.max(1, Math.round(Math.min(o.maxX - o.minX, o.maxY - o.minY) / 8));
    const top = alongX ? o.maxX : o.maxY;
    for (const across of columnsOf(state, i, b, room, options)) {
      const at = (along: number): readonly [number, number] =>
        alongX
          ? [clamp(room.minX + along, room.minX, room.maxX), room.minY + across]
          : [room.minX + across, clamp(room.minY + along, room.minY, room.maxY)];
      const free = (along: number): boolean => {
        const [x, y] = at(along);
        return state.evaluate(probe, x, y, 0) === 0;
      };
      const low = alongX ? room.minX : room.minY;
      const limit = best === undefined ? reach : Math.min(reach, best.score - low - top);
      if (limit < 0) continue;
      let along = 0;
      let before = 0;
      // The last step ends at the limit: a panel may just fit there.
      let found = free(0);
      while (!found && along < limit) {
        before = along;
        along = Math.min(limit, along + step);
        found = free(along);
      }
      if (!found) continue;
      along = settle(along, before, free);
      const [x, y] = at(along);
      const score = low + along + top;
      if (best === undefined || score < best.score) best = { room, x, y, score };
    }
  }
  return best;
}

/**
 * Positions across a bin to try, from the low end of the room: evenly spread, and for a panel that fills its box those
 * flush with others like it.
 */
function columnsOf(state: State, i: number, b: number, room: Room, options: StartOptions): number[] {
  const { world } = state;
  const alongX = options.runs[b] === "x";
  const width = alongX ? room.maxY - room.minY : room.maxX - room.minX;
  if (width === 0) return [0];
  const columns = Array.from({ length: options.columns + 1 }, (_, k) =>
    Math.round((width * k) / options.columns),
  );
  if (!fillsBox(world, room)) return columns;
  const apart = Math.max(1, world.gap);
  const o = world.oriented[room.oriented];
  for (let j = 0; j < state.n; j++) {
    const there = state.room[j];
    if (j === i || there === undefined || state.bin[j] !== b || !fillsBox(world, there)) continue;
    const q = world.oriented[there.oriented];
    columns.push(
      alongX
        ? state.y[j] + q.maxY + apart - o.minY - room.minY
        : state.x[j] + q.maxX + apart - o.minX - room.minX,
      alongX
        ? state.y[j] + q.minY - apart - o.maxY - room.minY
        : state.x[j] + q.minX - apart - o.maxX - room.minX,
    );
  }
  return [...new Set(columns)].filter((across) => across >= 0 && across <= width).sort((p, q) => p - q);
}

function fillsBox(world: World, room: Room): boolean {
  const o = world.oriented[room.oriented];
  return world.shapes[o.shape].area > 0.97 * (o.maxX - o.minX) * (o.maxY - o.minY);
}

/** Bisects between a blocked and a free position. */
function settle(free: number, blocked: number, isFree: (along: number) => boolean): number {
  let high = free;
  let low = blocked;
  while (high - low > 1) {
    const middle = Math.round((high + low) / 2);
    if (isFree(middle)) high = middle;
    else low = middle;
  }
  return high;
}

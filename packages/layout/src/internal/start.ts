import type { Budget } from "./budget";
import { clamp } from "./separate";
import type { State } from "./state";
import type { Room } from "./world";

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
    if (room.table === null) continue;
    const o = world.oriented[room.oriented];
    const probe = state.aim(i, b, room);
    const alongX = options.runs[b] === "x";
    const width = alongX ? room.maxY - room.minY : room.maxX - room.minX;
    const reach = alongX ? room.maxX - room.minX : room.maxY - room.minY;
    const step = Math.max(1, Math.round(Math.min(o.maxX - o.minX, o.maxY - o.minY) / 8));
    const top = alongX ? o.maxX : o.maxY;
    for (let k = 0; k <= options.columns; k++) {
      const across = Math.round((width * k) / options.columns);
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
      let along = 0;
      while (along <= limit && !free(along)) along += step;
      if (along > limit) continue;
      along = settle(along, Math.max(0, along - step), free);
      const [x, y] = at(along);
      const score = low + along + top;
      if (best === undefined || score < best.score) best = { room, x, y, score };
      if (width === 0) break;
    }
  }
  return best;
}

/** Bisects between a blocked and a free position. */
function settle(free: number, blocked: number, isFree: (along: number) => boolean): number {
  let high = free;
  let low = blocked;
  while (high - low > 8) {
    const middle = Math.round((high + low) / 2);
    if (isFree(middle)) high = middle;
    else low = middle;
  }
  return high;
}

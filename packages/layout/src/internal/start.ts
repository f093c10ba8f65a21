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
    let placed = false;
    for (const b of options.bins) {
      if (options.budget.spent()) break;
      const spot = lowestSpot(state, i, b, options);
      if (spot === undefined) continue;
      state.place(i, b, spot.room, spot.x, spot.y);
      placed = true;
      break;
    }
    if (!placed) left.push(i);
  }
  return left;
}

interface Spot {
  readonly room: Room;
  readonly x: number;
  readonly y: number;
  readonly score: number;
}

/** Of many turns a few are tried first, the rest only when none of those has a place. */
const FEW_TURNS = 4;

function lowestSpot(state: State, i: number, b: number, options: StartOptions): Spot | undefined {
  state.startSearch();
  const rooms = state.world.rooms[i][b];
  const stride = Math.max(1, Math.floor(rooms.length / FEW_TURNS));
  const few = rooms.filter((_, k) => k % stride === 0);
  return (
    lowestOf(few, state, i, b, options) ??
    lowestOf(stride === 1 ? [] : rooms.filter((_, k) => k % stride !== 0), state, i, b, options)
  );
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

// Where a line bends over the form, the cloth on its one side is too long for it and on the other too short, and no dart
// takes that up. A flat lens let in along the line does: its two edges have different lengths. A search that goes by the
// cheapest ways through extremes of the scale field never comes to it.
import type { SurfacePoint } from "@peltry/geometry";
import { averagedUse } from "./averaged-use";
import { levelLines } from "./pile-lines";
import type { SearchState } from "./search-state";

/** Half lengths of lenses, mm: the shortest one makes about the smallest panel that can be sewn. */
const REACHES = [50, 60, 72];
/** Depth of a lens against its half length: a parabola as deep as this meets the outline at 48°. */
const DEPTH = 0.55;
/** Places of the outline that lenses are tried at, how far apart they are at least, and to which sides, mm. */
const PLACES = 3;
const APART = 110;
const BESIDE = [0, -30, 30];
/** What a lens that serves is made shorter by on either side, and moved, mm. */
const LESS = 5;
const FINER = [0, -15, 15];
/** Share of the budget in use from which on a place is worth a lens. */
const OVER = 1.02;

/** The flat outline of a patch, for places along it. */
interface FlatRim {
  readonly loop: readonly number[];
  readonly flat: Float64Array;
  /** Length of the edge from each vertex to the next, and from the first vertex to each, mm. */
  readonly step: readonly number[];
  readonly along: readonly number[];
  readonly total: number;
}

/** An arc from the outline to the outline. */
export interface Lens {
  readonly path: SurfacePoint[];
  /** The same, a little shorter, here and a little to either side. */
  readonly shorter: () => Lens[];
}

/** Lenses at the places of a patch's outline that are most over the limit, the shortest first, written on the base. */
export function lenses(state: SearchState, index: number): Lens[] {
  const rim = flatRim(state, index);
  const at = (place: number, reach: number): Lens[] => {
    const path =
      reach < REACHES[0] ? undefined : lens(state, index, rim, (place + rim.total) % rim.total, reach);
    if (!path) return [];
    return [{ path, shorter: () => FINER.flatMap((beside) => at(place + beside, reach - LESS)) }];
  };
  const places = overPlaces(state, index, rim);
  return REACHES.flatMap((reach) =>
    BESIDE.flatMap((beside) => places.flatMap((place) => at(place + beside, reach))),
  );
}

function flatRim(state: SearchState, index: number): FlatRim {
  const loop = state.patches[index].loops[0];
  const { flat } = state.sheets[index];
  const step = loop.map((v, i) => {
    const w = loop[(i + 1) % loop.length];
    return Math.hypot(flat[2 * w] - flat[2 * v], flat[2 * w + 1] - flat[2 * v + 1]);
  });
  let total = 0;
  const along = step.map((d) => (total += d) - d);
  return { loop, flat, step, along, total };
}

/** Signed way along an outline from one place to another, mm. */
function way({ total }: FlatRim, from: number, to: number): number {
  const d = (to - from + total) % total;
  return d > total / 2 ? d - total : d;
}

/** Where the outline is most over the limit, as lengths along it. */
function overPlaces(state: SearchState, index: number, rim: FlatRim): number[] {
  const use = averagedUse(state, index);
  const { loop, along } = rim;
  const order = [...loop.keys()]
    .filter((i) => use[loop[i]] > OVER)
    .sort((i, j) => use[loop[j]] - use[loop[i]] || i - j);
  const places: number[] = [];
  for (const i of order) {
    if (places.length === PLACES) break;
    if (places.every((place) => Math.abs(way(rim, place, along[i])) > APART)) places.push(along[i]);
  }
  return places;
}

/** The arc of a lens with its middle at a place of the outline; undefined where none fits. */
function lens(
  state: SearchState,
  index: number,
  rim: FlatRim,
  place: number,
  reach: number,
): SurfacePoint[] | undefined {
  const { loop, flat, step, along, total } = rim;
  if (4 * reach > total) return undefined;
  const n = loop.length;
  const near = [...loop.keys()].filter((i) => Math.abs(way(rim, place, along[i])) < 1.5 * reach + step[i]);
  const [mx, my] = middle(rim, place);
  const height = (v: number): number => {
    const [x, y] = [flat[2 * v], flat[2 * v + 1]];
    if (Math.hypot(x - mx, y - my) > 2 * reach) return reach;
    let least = Infinity;
    let at = 0;
    for (const i of near) {
      const [a, b] = [2 * loop[i], 2 * loop[(i + 1) % n]];
      const [ux, uy] = [flat[b] - flat[a], flat[b + 1] - flat[a + 1]];
      const [vx, vy] = [x - flat[a], y - flat[a + 1]];
      const t = Math.max(0, Math.min(1, (vx * ux + vy * uy) / (ux * ux + uy * uy || 1)));
      const d = Math.hypot(vx - t * ux, vy - t * uy);
      if (d >= least) continue;
      least = d;
      at = way(rim, place, along[i] + t * step[i]);
    }
    return least - DEPTH * reach * (1 - (at / reach) ** 2);
  };
  const lines = levelLines(state, state.patches[index], height);
  return lines.length === 1 ? lines[0] : undefined;
}

function middle({ loop, flat, step, along }: FlatRim, place: number): readonly [number, number] {
  const i = Math.max(
    0,
    along.findIndex((s, k) => place < s + step[k]),
  );
  const [a, b] = [2 * loop[i], 2 * loop[(i + 1) % loop.length]];
  const t = step[i] > 0 ? (place - along[i]) / step[i] : 0;
  return [flat[a] + t * (flat[b] - flat[a]), flat[a + 1] + t * (flat[b + 1] - flat[a + 1])];
}

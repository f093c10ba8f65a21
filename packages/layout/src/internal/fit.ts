import type { Point } from "@peltry/geometry";
import type { LayoutOptions, UnplacedCode } from "../types";
import { fromGrid, GRID } from "./grid";
import { mayLieOn, turnsOn, type Job, type Part } from "./read-job";
import { createRoomTable } from "./room-table";
import { createShape, orientShape, type Shape } from "./shape";
import { HIT } from "./shift-cells";
import { roomOf, type Bin, type Item } from "./world";

/** Cells along each side of the grids of positions that are searched, the cheap one first. */
const GRIDS = [24, 96];

/** True when a shape fits a bin by itself at one of the turns. A grid search: very tight fits can be missed. */
export function fitsAlone(
  shape: Shape,
  turns: readonly number[],
  bin: Bin,
  asks: { readonly minQuality: number | undefined; readonly edgeGap: number },
  grids: readonly number[] = GRIDS,
): boolean {
  if (shape.area > bin.area) return false;
  return turns.some((turn) => {
    const oriented = orientShape([shape], 0, turn);
    const room = roomOf(oriented, bin, asks.minQuality, asks.edgeGap);
    if (room === undefined) return false;
    if (!room.odd) return true;
    const borders = bin.borders!(asks.minQuality);
    for (const cells of grids) {
      const table = createRoomTable(shape, oriented, borders, room, cells);
      if (table.sample !== undefined) return true;
      // Every cell wholly on a border: a finer grid has no more to say.
      if (table.cells.every((code) => code === HIT)) return false;
    }
    return false;
  });
}

/** Why a panel fits nowhere, in figures. */
export interface Misfit {
  readonly code: UnplacedCode;
  readonly reason: string;
  readonly maxScale: number;
  readonly fitsOffNap: number[];
}

/** Turns tried off the nap, degrees against it. */
const OFF_NAP = Array.from({ length: 35 }, (_, k) => 10 * (k + 1));

/** Bins that a part may lie on by fabric and binding. */
export function binsFor(job: Job, part: Part): number[] {
  return job.pieces.map((_, b) => b).filter((b) => mayLieOn(part.panel, job.pieces[b]));
}

/** Bins that an outline fits by itself at the turns of a part. */
export function binsThatFit(
  job: Job,
  part: Part,
  outline: readonly Point[],
  options: LayoutOptions,
): number[] {
  return binsFor(job, part).filter(fitsBin(job, part, outline, options));
}

/** True when there is such a bin; the largest are asked first. */
export function fitsSomeBin(
  job: Job,
  part: Part,
  outline: readonly Point[],
  options: LayoutOptions,
): boolean {
  return largestFirst(job, binsFor(job, part)).some(fitsBin(job, part, outline, options));
}

function fitsBin(
  job: Job,
  part: Part,
  outline: readonly Point[],
  options: LayoutOptions,
): (b: number) => boolean {
  const shape = createShape(outline);
  const asks = { minQuality: part.panel.minQuality, edgeGap: job.edgeGap };
  return (b) => fitsAlone(shape, turnsOn(part.panel, job.pieces[b], options.rotationStep), job.bins[b], asks);
}

function largestFirst(job: Job, bins: readonly number[]): number[] {
  return [...bins].sort((a, b) => job.bins[b].area - job.bins[a].area || a - b);
}

/** True when an item fits at least one of its bins by itself; the largest are asked first. */
export function fitsAnywhere(job: Job, i: number): boolean {
  const { shape, minQuality, turns } = job.items[i];
  const bins = turns.map((_, b) => b).filter((b) => turns[b].length > 0);
  return largestFirst(job, bins).some((b) =>
    fitsAlone(job.shapes[shape], turns[b], job.bins[b], { minQuality, edgeGap: job.edgeGap }),
  );
}

/** Turns tried between the listed ones, degrees: on rectangles, where the question is cheap, and on odd pieces. */
const FINE_STEP = 1;
const FINE_STEP_ODD = 5;
const MOST_FINE = 8;

/** A free item that fits at none of the listed turns, with turns between them at which it does; undefined for none. */
export function atFineTurns(job: Job, i: number): Item | undefined {
  const item = job.items[i];
  if (item.freeStep === undefined) return undefined;
  const asks = { minQuality: item.minQuality, edgeGap: job.edgeGap };
  const found: number[] = [];
  for (let delta = FINE_STEP; delta < 360 && found.length < MOST_FINE; delta += FINE_STEP) {
    const fits = item.turns.some((turns, b) => {
      const bin = job.bins[b];
      const odd = (bin.borders?.(item.minQuality).length ?? 0) > 0;
      if (turns.length === 0 || (odd && delta % FINE_STEP_ODD !== 0)) return false;
      return fitsAlone(job.shapes[item.shape], [(turns[0] + delta) % 360], bin, asks, GRIDS.slice(0, 1));
    });
    if (fits) found.push(delta);
  }
  if (found.length === 0) return undefined;
  const turns = item.turns.map((list) =>
    list.length === 0 ? [] : found.map((delta) => (list[0] + delta) % 360),
  );
  return { ...item, turns };
}

/** Says why a part that fits no piece does not, by how much, and what would let it. */
export function explainMisfit(job: Job, part: Part, options: LayoutOptions): Misfit {
  const bins = binsFor(job, part);
  const { panel } = part;
  if (bins.length === 0) {
    const wanted = panel.fabric === undefined ? "" : ` of ${panel.fabric}`;
    return { code: "layout/no-piece", reason: `no piece${wanted} is listed`, maxScale: 0, fitsOffNap: [] };
  }
  const shape = job.shapes[part.shape];
  const turnsFor = (b: number): number[] => turnsOn(panel, job.pieces[b], options.rotationStep);
  const asks = { minQuality: panel.minQuality, edgeGap: job.edgeGap };
  const maxScale = largestScale(job, part, bins, turnsFor);
  const patchy = bins.filter((b) => (job.pieces[b].zones ?? []).length > 0);
  if (patchy.some((b) => fitsAlone(shape, turnsFor(b), job.bins[b], { ...asks, minQuality: -Infinity }))) {
    const asked = panel.minQuality === undefined ? "" : ` (it asks quality ${panel.minQuality})`;
    return {
      code: "layout/bad-cloth",
      reason: `fits only where it lies on poor cloth${asked}`,
      maxScale,
      fitsOffNap: [],
    };
  }
  const known = new Map<string, boolean>();
  const fitsTurned = (b: number, turn: number): boolean => {
    const key = `${b}/${Math.round(1000 * turn)}`;
    let fits = known.get(key);
    if (fits === undefined) known.set(key, (fits = fitsAlone(shape, [turn], job.bins[b], asks)));
    return fits;
  };
  for (const b of bins) for (const turn of turnsFor(b)) known.set(`${b}/${Math.round(1000 * turn)}`, false);
  const fitsAt = (turn: number): boolean =>
    bins.some((b) => turnsFor(b).some((t) => fitsTurned(b, (t + turn) % 360)));
  const fitsOffNap = panel.rotations === "free" ? [] : OFF_NAP.filter(fitsAt);
  if (fitsOffNap.includes(180)) {
    return { code: "layout/against-nap", reason: "fits only against the pile", maxScale, fitsOffNap };
  }
  const also =
    fitsOffNap.length > 0 ? `; it would fit off the nap, at ${fitsOffNap.slice(0, 4).join("°, ")}°` : "";
  const excess = leastExcess(job, shape, bins, turnsFor);
  if (excess.code !== undefined) {
    return { code: excess.code, reason: `${excess.text}${also}`, maxScale, fitsOffNap };
  }
  if (fitsOffNap.length > 0) {
    return {
      code: "layout/off-nap",
      reason: `fits only off the nap, at ${fitsOffNap.slice(0, 6).join("°, ")}°`,
      maxScale,
      fitsOffNap,
    };
  }
  return {
    code: "layout/too-big",
    reason: `fits no piece in its shape; the largest scale that fits is ${maxScale.toFixed(2)}`,
    maxScale,
    fitsOffNap,
  };
}

/** By how much the box of the shape exceeds the boxes of the pieces, where it is turned and put best. */
function leastExcess(
  job: Job,
  shape: Shape,
  bins: readonly number[],
  turnsFor: (b: number) => number[],
): { code?: UnplacedCode; text: string } {
  let best = { over: Infinity, wide: 0, long: 0, piece: "" };
  for (const b of bins) {
    const bin = job.bins[b];
    const [across, along] =
      job.runs[b] === "x"
        ? [bin.maxY - bin.minY, bin.maxX - bin.minX]
        : [bin.maxX - bin.minX, bin.maxY - bin.minY];
    for (const turn of turnsFor(b)) {
      const o = orientShape([shape], 0, turn);
      const [w, l] =
        job.runs[b] === "x" ? [o.maxY - o.minY, o.maxX - o.minX] : [o.maxX - o.minX, o.maxY - o.minY];
      const wide = w + 2 * job.edgeGap - across;
      const long = l + 2 * job.edgeGap - along;
      const over = Math.max(0, wide) + Math.max(0, long);
      if (over < best.over) best = { over, wide, long, piece: job.pieces[b].name ?? job.pieces[b].id };
    }
  }
  const over = (side: number, word: string): string =>
    side > 0 ? `${Math.ceil(side / GRID)} mm too ${word}` : "";
  const edges = job.edgeGap > 0 ? ` with ${job.edgeGap / GRID} mm kept to its edges` : "";
  const text = [over(best.wide, "wide"), over(best.long, "long")].filter((part) => part !== "").join(" and ");
  if (text === "") return { text };
  return {
    code: best.wide > 0 ? "layout/too-wide" : "layout/too-long",
    text: `${text} for piece ${best.piece}${edges}`,
  };
}

/** Halvings of the question how large a panel may be. */
const SCALE_STEPS = 9;
/** Smaller than this share, a panel is called not to fit at all. */
const LEAST_SCALE = 0.02;

/**
 * Largest scale at which a part fits a bin at a turn. Each bin and turn is first asked whether it takes more than the
 * best so far: most do not, and cost one question instead of nine.
 */
function largestScale(
  job: Job,
  part: Part,
  bins: readonly number[],
  turnsFor: (b: number) => number[],
): number {
  const outline = fromGrid(job.shapes[part.shape].outer);
  const asks = { minQuality: part.panel.minQuality, edgeGap: job.edgeGap };
  const shapes = new Map<number, Shape>();
  const scaled = (scale: number): Shape => {
    let shape = shapes.get(scale);
    if (shape === undefined) {
      shape = createShape(outline.map(([x, y]): Point => [x * scale, y * scale]));
      shapes.set(scale, shape);
    }
    return shape;
  };
  const step = 2 ** -SCALE_STEPS;
  let best = LEAST_SCALE;
  for (const b of largestFirst(job, bins)) {
    for (const turn of turnsFor(b)) {
      const fits = (scale: number): boolean => fitsAlone(scaled(scale), [turn], job.bins[b], asks);
      let low = best + step;
      if (!fits(low)) continue;
      let high = 1;
      while (high - low > step) {
        const middle = (low + high) / 2;
        if (fits(middle)) low = middle;
        else high = middle;
      }
      best = low;
    }
  }
  return best === LEAST_SCALE ? 0 : Math.round(best * 1000) / 1000;
}

import type { LayoutObjective } from "../types";
import { GRID } from "./grid";
import type { Job } from "./read-job";
import type { Solved, Spot } from "./solve";

/**
 * Sets of bins worth a layout of their own when cost counts: everything, odd pieces before rolls; and each roll alone
 * and with the odd pieces that cost nothing, since a roll can be cheaper than a dear piece.
 */
export function offers(job: Job, members: readonly number[], objective: LayoutObjective): number[][] {
  const bins = job.bins.map((_, b) => b).filter((b) => members.some((i) => job.items[i].turns[b].length > 0));
  const isRoll = (b: number): boolean => job.pieces[b].roll !== undefined;
  const free = bins.filter((b) => !isRoll(b) && (job.pieces[b].cost ?? 0) === 0);
  if (objective !== "least-cost" || !bins.some(isRoll)) return [bins];
  const sets = new Map([[bins.join(), bins]]);
  for (const roll of bins.filter(isRoll)) {
    for (const set of [[roll], [...free, roll].sort((a, b) => a - b)]) sets.set(set.join(), set);
  }
  return [...sets.values()].filter((set) =>
    members.every((i) => set.some((b) => job.items[i].turns[b].length > 0)),
  );
}

/** What the cloth under the spots costs: each touched piece, and the used length of rolls. */
export function costOf(job: Job, spots: readonly Spot[]): number {
  return job.pieces.reduce((sum, piece, b) => {
    const here = spots.filter((spot) => spot.bin === b);
    if (here.length === 0) return sum;
    const ends = here.map(({ oriented, x, y }) =>
      job.runs[b] === "x" ? x + oriented.maxX : y + oriented.maxY,
    );
    const used = (Math.max(...ends) + job.edgeGap) / GRID;
    return sum + (piece.cost ?? 0) + ((piece.roll?.costPerMetre ?? 0) * used) / 1000;
  }, 0);
}

/** Fewest items left out, then least cost; the earlier among equals. */
export function cheaper(job: Job, a: Solved, b: Solved): Solved {
  if (a.left.length !== b.left.length) return a.left.length < b.left.length ? a : b;
  return costOf(job, b.spots) < costOf(job, a.spots) ? b : a;
}

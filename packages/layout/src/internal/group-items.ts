import type { Job } from "./read-job";

/** Items that share pieces, in groups that share none: each group is laid out by itself. */
export function groupItems(job: Job, items: readonly number[]): number[][] {
  const leader = job.bins.map((_, b) => b);
  const find = (b: number): number => {
    while (leader[b] !== b) b = leader[b];
    return b;
  };
  const binsOf = (i: number): number[] =>
    job.bins.map((_, b) => b).filter((b) => job.items[i].turns[b].length > 0);
  for (const i of items) {
    const bins = binsOf(i);
    for (const b of bins) leader[find(b)] = find(bins[0]);
  }
  const groups = new Map<number, number[]>();
  for (const i of items) {
    const key = find(binsOf(i)[0]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [i]);
    else group.push(i);
  }
  return [...groups.values()];
}

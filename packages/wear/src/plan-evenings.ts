import { needNumber } from "./finding";

/** A piece of work, in the order in which it has to be done. */
export interface Task {
  readonly name: string;
  /** Low to high. */
  readonly hours: readonly [number, number];
}

/** What is done in one evening. */
export interface Evening {
  readonly number: number;
  readonly tasks: readonly {
    readonly name: string;
    readonly hours: number;
    /** Where a task runs over several evenings: which of them this is. */
    readonly part?: readonly [number, number];
  }[];
}

/**
 * Tasks laid out over evenings in their order, each by the middle of its range; one that does not fit runs on.
 *
 * @param eveningHours hours of an evening
 * @throws wear/bad-number
 */
export function planEvenings(tasks: readonly Task[], eveningHours = 2.5): Evening[] {
  const room = needNumber(eveningHours, "eveningHours", 0.1, 24);
  const evenings: { name: string; hours: number; task: number }[][] = [];
  let left = 0;
  tasks.forEach((task, index) => {
    const low = needNumber(task.hours[0], `tasks.${index}.hours`, 0, 1e5);
    let rest = (low + needNumber(task.hours[1], `tasks.${index}.hours`, low, 1e5)) / 2;
    while (rest > 1e-9) {
      if (left < 1e-9) {
        evenings.push([]);
        left = room;
      }
      const now = Math.min(rest, left);
      evenings[evenings.length - 1]!.push({ name: task.name, hours: now, task: index });
      rest -= now;
      left -= now;
    }
  });
  const times = new Map<number, number>();
  for (const each of evenings.flat()) times.set(each.task, (times.get(each.task) ?? 0) + 1);
  const seen = new Map<number, number>();
  return evenings.map((list, k) => ({
    number: k + 1,
    tasks: list.map(({ name, hours, task }) => {
      const many = times.get(task)!;
      const which = (seen.get(task) ?? 0) + 1;
      seen.set(task, which);
      return { name, hours, ...(many > 1 ? { part: [which, many] as const } : {}) };
    }),
  }));
}

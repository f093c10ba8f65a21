import { needNumber } from "./finding";

/** A rate as a range: slow to quick. */
export interface WorkRates {
  /** Machine sewing, pinning and turning left out, m/h. */
  readonly machineMPerHour: readonly [number, number];
  readonly handMPerHour: readonly [number, number];
  /** Along cut lines, m/h. */
  readonly cuttingMPerHour: readonly [number, number];
  /** Tracing, pinning and matching, minutes a panel. */
  readonly minutesAPanel: readonly [number, number];
}

/**
 * Rates used where none are stated; clock your own first metre and give that instead. Machine: 1.8 to 3 m/min while the
 * needle runs, which is 20 to 30 % of the time. All from memory, low confidence.
 */
export const WORK_RATES: WorkRates = Object.freeze<WorkRates>({
  machineMPerHour: [21, 54],
  handMPerHour: [2.5, 6],
  cuttingMPerHour: [15, 40],
  minutesAPanel: [8, 20],
});

/** What there is to sew, cut and buy. */
export interface WorkCase {
  readonly machineMm?: number;
  readonly handMm?: number;
  readonly cuttingMm?: number;
  readonly panels?: number;
  /** Anything else: foam, horns, painting; hours low to high. */
  readonly other?: readonly { readonly name: string; readonly hours: readonly [number, number] }[];
  /** What is bought: amount and price of one unit as a range, in one currency. */
  readonly materials?: readonly {
    readonly name: string;
    readonly amount: number;
    readonly price: readonly [number, number];
  }[];
  readonly rates?: Partial<WorkRates>;
  /** Hours of an evening; 2.5 by default. */
  readonly eveningHours?: number;
}

/** Hours, evenings and cost as ranges. */
export interface WorkEstimate {
  readonly lines: readonly {
    readonly name: string;
    readonly hours: readonly [number, number];
    readonly rate: string;
  }[];
  readonly hours: readonly [number, number];
  readonly evenings: readonly [number, number];
  readonly costs: readonly { readonly name: string; readonly cost: readonly [number, number] }[];
  readonly cost: readonly [number, number];
}

/**
 * Time and cost as ranges from stated rates.
 *
 * @throws wear/bad-number
 * @source rates as given, else {@link WORK_RATES}
 */
export function estimateWork(work: WorkCase): WorkEstimate {
  const rates = { ...WORK_RATES, ...work.rates };
  const origin = (key: keyof WorkRates): string =>
    work.rates?.[key] ? "as stated" : "from memory, low confidence";
  const sewn = (name: string, mm: number | undefined, key: Exclude<keyof WorkRates, "minutesAPanel">) => {
    const [slow, quick] = range(rates[key], `rates.${key}`, 0.01);
    const metres = needNumber(mm ?? 0, name, 0, 1e9) / 1000;
    return {
      name,
      hours: [metres / quick, metres / slow] as const,
      rate: `${slow} to ${quick} m/h, ${origin(key)}`,
    };
  };
  const [least, most] = range(rates.minutesAPanel, "rates.minutesAPanel", 0);
  const panels = needNumber(work.panels ?? 0, "panels", 0, 1e5);
  const lines = [
    sewn("cutting", work.cuttingMm, "cuttingMPerHour"),
    {
      name: "tracing and pinning",
      hours: [(panels * least) / 60, (panels * most) / 60] as const,
      rate: `${least} to ${most} min a panel, ${origin("minutesAPanel")}`,
    },
    sewn("machine sewing", work.machineMm, "machineMPerHour"),
    sewn("hand sewing", work.handMm, "handMPerHour"),
    ...(work.other ?? []).map((each) => ({
      name: each.name,
      hours: range(each.hours, each.name, 0),
      rate: "as stated",
    })),
  ].filter((line) => line.hours[1] > 0);
  const costs = (work.materials ?? []).map(({ name, amount, price }) => {
    const [low, high] = range(price, `materials.${name}`, 0);
    const many = needNumber(amount, `materials.${name}`, 0, 1e9);
    return { name, cost: [many * low, many * high] as const };
  });
  const sum = (list: readonly (readonly [number, number])[], k: 0 | 1): number =>
    list.reduce((all, each) => all + each[k], 0);
  const hours = [0, 1].map((k) =>
    sum(
      lines.map((line) => line.hours),
      k as 0 | 1,
    ),
  ) as unknown as readonly [number, number];
  const evening = needNumber(work.eveningHours ?? 2.5, "eveningHours", 0.1, 24);
  return {
    lines,
    hours,
    evenings: [Math.ceil(hours[0] / evening), Math.ceil(hours[1] / evening)],
    costs,
    cost: [0, 1].map((k) =>
      sum(
        costs.map((each) => each.cost),
        k as 0 | 1,
      ),
    ) as unknown as readonly [number, number],
  };
}

function range(given: readonly [number, number], path: string, low: number): readonly [number, number] {
  const first = needNumber(given[0], path, low, 1e9);
  return [first, needNumber(given[1], path, first, 1e9)];
}

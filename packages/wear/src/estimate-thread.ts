import { needNumber, needWord } from "./finding";

/**
 * Stitch by its number in ISO 4915, or a hand stitch by name: `whip`, `ladder`, `back`, `running`.
 *
 * @source ISO 4915 classes: 100 chain, 200 hand, 300 lock, 400 multi-thread chain, 500 overedge, 600 cover
 */
export type Stitch = (typeof STITCHES)[number];

/** Stitch types of ISO 4915 that thread can be estimated for. */
export const STITCHES = [
  "101",
  "301",
  "304",
  "401",
  "406",
  "504",
  "514",
  "516",
  "602",
  "607",
  "whip",
  "ladder",
  "back",
  "running",
] as const;

/** A run of seam: stitch, length and thickness, mm. */
export interface SeamRun {
  readonly stitch: Stitch;
  readonly lengthMm: number;
  /** Advance of a stitch, mm. */
  readonly stitchMm: number;
  /** All layers together as sewn, mm. Thick foam or fur raises the need far over the usual ratios. */
  readonly thicknessMm: number;
  /** Throw of a zigzag, width of an overedge or cover stitch, bite of a hand stitch, mm. */
  readonly widthMm?: number;
  /** Ladder stitch: gap between the two folds, mm. */
  readonly gapMm?: number;
}

const PAGES =
  "thread consumption formulas: two textile teaching pages (textiletechinsight.com, textilecalculations.com)";
const DERIVED = "derived here from the published forms";

/**
 * Thread per length of seam. T thickness, p stitch length, w width, all mm.
 *
 * @throws wear/bad-number, wear/unknown-word
 * @source published formulas for 101, 301, 401, 406, 504, 514, 516, 602, 607; zigzag and hand stitches derived here
 */
export function threadRatio(seam: Omit<SeamRun, "lengthMm">): {
  ratio: readonly [number, number];
  source: string;
} {
  const stitch = needWord(seam.stitch, "stitch", STITCHES);
  const p = needNumber(seam.stitchMm, "stitchMm", 0.2, 50);
  const T = needNumber(seam.thicknessMm, "thicknessMm", 0, 100);
  const w = needNumber(seam.widthMm ?? 0, "widthMm", 0, 50);
  const gap = needNumber(seam.gapMm ?? 1, "gapMm", 0, 50);
  const S = 1 / p;
  const one = (ratio: number, source = PAGES) => ({ ratio: [ratio, ratio] as const, source });
  switch (stitch) {
    case "101":
      return one(3 + 2 * T * S);
    case "301":
      return one(2 + 2 * T * S);
    case "304":
      return one((2 * Math.hypot(p, w)) / p + 2 * T * S, DERIVED);
    case "401":
      return one(4 + 2 * T * S);
    case "406":
      return one(7 + 2 * S * (T + w));
    case "504":
      return { ratio: [3 + 4 * S * (w + T), 5 + 4 * S * (w + T)], source: `${PAGES}; they differ by 2` };
    case "514":
      return one(5 + 2 * S * (3 * T + 2 * w));
    case "516":
      return one(9 + 2 * S * (2 * w + 3 * T));
    case "602":
      return one(8 + S * (5 * w + 4 * T));
    case "607":
      return one(12 + 4 * S * (w + 2 * T));
    case "whip":
      return one((T + Math.hypot(2 * w + T, p)) / p, DERIVED);
    case "ladder":
      return one(1 + gap / p, DERIVED);
    case "back":
      return one(3 + (2 * T) / p, DERIVED);
    case "running":
      return one(1 + T / p, DERIVED);
  }
}

/** Share added for ends, bobbins and unpicking. @source 10 to 15 %: apparelscience.com */
export const THREAD_WASTE = Object.freeze([0.1, 0.15] as const);

/**
 * Thread for a list of seams, waste included.
 *
 * @returns by stitch in the order of {@link STITCHES}, and the whole, mm, low to high
 * @throws wear/bad-number, wear/unknown-word
 */
export function estimateThread(seams: readonly SeamRun[]): {
  readonly byStitch: readonly {
    readonly stitch: Stitch;
    readonly seamMm: number;
    readonly threadMm: readonly [number, number];
    readonly source: string;
  }[];
  readonly totalMm: readonly [number, number];
} {
  const sums = new Map<Stitch, { seamMm: number; low: number; high: number; source: string }>();
  seams.forEach((seam, index) => {
    const length = needNumber(seam.lengthMm, `seams.${index}.lengthMm`, 0, 1e8);
    const { ratio, source } = threadRatio(seam);
    const sum = sums.get(seam.stitch) ?? { seamMm: 0, low: 0, high: 0, source };
    sum.seamMm += length;
    sum.low += length * ratio[0] * (1 + THREAD_WASTE[0]);
    sum.high += length * ratio[1] * (1 + THREAD_WASTE[1]);
    sums.set(seam.stitch, sum);
  });
  const byStitch = STITCHES.flatMap((stitch) => {
    const sum = sums.get(stitch);
    return sum
      ? [{ stitch, seamMm: sum.seamMm, threadMm: [sum.low, sum.high] as const, source: sum.source }]
      : [];
  });
  const total = (k: 0 | 1): number => byStitch.reduce((sum, each) => sum + each.threadMm[k], 0);
  return { byStitch, totalMm: [total(0), total(1)] };
}

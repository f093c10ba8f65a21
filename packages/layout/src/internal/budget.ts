import type { LayoutOptions } from "../types";

/** When to stop: evaluations, time where asked for, or a signal. */
export interface Budget {
  /** True when the work must end now. */
  spent(): boolean;
  /** Share of the budget used, 0 to 1. */
  share(): number;
  readonly cancelled: () => boolean;
}

/** Reading a clock is dear: once in this time, s, going by how fast evaluations came so far. */
const CLOCK_EVERY = 0.03;
/** Evaluations until the second reading. */
const FIRST_STRETCH = 2_000;
/** Evaluations a second that no machine reaches: a clock that stands still must not stop the readings. */
const MOST_PACE = 1e7;

/** Seconds from the clock that the options ask for. */
export function clockOf(clock: LayoutOptions["clock"]): () => number {
  if (typeof clock === "function") return clock;
  const host = globalThis as {
    performance?: { now(): number };
    process?: { cpuUsage?(): { user: number; system: number } };
  };
  const cpu = host.process?.cpuUsage;
  if (clock === "cpu" && cpu !== undefined) {
    return () => {
      const { user, system } = cpu.call(host.process);
      return (user + system) / 1e6;
    };
  }
  // Read only when the caller asks for a time budget, which is documented as not reproducible.
  return host.performance === undefined
    ? () => new Date().getTime() / 1000
    : () => host.performance!.now() / 1000;
}

/** What the whole call may spend, shared by all its stages. */
export interface Allowance {
  readonly evaluations: number;
  readonly seconds: number | undefined;
  readonly clock: () => number;
  readonly started: number;
  readonly signal: LayoutOptions["signal"];
}

/**
 * The part of the allowance from now until share `until` of the whole.
 *
 * @param evaluated - evaluations of all worlds so far
 */
export function createBudget(allowance: Allowance, evaluated: () => number, until = 1): Budget {
  const { evaluations, seconds, clock, started, signal } = allowance;
  const opened = { at: seconds === undefined ? 0 : clock(), used: evaluated() };
  let nextRead = 0;
  let timeShare = 0;
  let stopped = false;
  const cancelled = (): boolean => (stopped ||= signal?.aborted === true);
  const share = (): number => {
    const used = evaluated();
    if (seconds !== undefined && used >= nextRead) {
      const now = clock();
      const pace = (used - opened.used) / Math.max(1e-3, now - opened.at);
      nextRead = used + Math.max(FIRST_STRETCH, Math.min(pace, MOST_PACE) * CLOCK_EVERY);
      timeShare = (now - started) / seconds;
    }
    return Math.min(1, Math.max(used / evaluations, timeShare));
  };
  return { spent: () => cancelled() || share() >= until, share, cancelled };
}

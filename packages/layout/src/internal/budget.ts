import type { LayoutOptions } from "../types";
import type { World } from "./world";

/** When to stop: evaluations, time where asked for, or a signal. */
export interface Budget {
  /** True when the work must end now. */
  spent(): boolean;
  /** Share of the budget used, 0 to 1. */
  share(): number;
  readonly cancelled: () => boolean;
}

/** Clocks are read no more often than this many evaluations. */
const CLOCK_EVERY = 16_000;

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
 * @param done - evaluations of worlds that are finished
 */
export function createBudget(allowance: Allowance, world: World, done: () => number, until = 1): Budget {
  const { evaluations, seconds, clock, started, signal } = allowance;
  let nextRead = 0;
  let timeShare = 0;
  let stopped = false;
  const cancelled = (): boolean => (stopped ||= signal?.aborted === true);
  const share = (): number => {
    const used = done() + world.evaluations;
    if (seconds !== undefined && used >= nextRead) {
      nextRead = used + CLOCK_EVERY;
      timeShare = (clock() - started) / seconds;
    }
    return Math.min(1, Math.max(used / evaluations, timeShare));
  };
  return { spent: () => cancelled() || share() >= until, share, cancelled };
}

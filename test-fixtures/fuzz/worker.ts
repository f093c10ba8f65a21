import { parentPort, workerData } from "node:worker_threads";
import { runCase } from "./run-case";
import { TARGETS } from "./targets";

/** What the master hands to the worker. */
export interface Work {
  readonly name: string;
  readonly seed: number;
  readonly from: number;
  readonly cases: number;
  readonly milliseconds: number;
  /** Number of the case that is running: tells the master where a hang or crash happened. */
  readonly beat: Int32Array;
}

/** What comes back after each stretch of work. */
export interface Report {
  readonly done: number;
  readonly accepted: number;
  readonly refused: Readonly<Record<string, number>>;
  readonly faults: readonly { readonly number: number; readonly what: string }[];
}

const work = workerData as Work;
const target = TARGETS.find((one) => one.name === work.name)!;
const refused: Record<string, number> = Object.create(null) as Record<string, number>;
const faults: { number: number; what: string }[] = [];
let accepted = 0;
let done = 0;
const end = performance.now() + work.milliseconds;
while (done < work.cases && (done === 0 || performance.now() < end)) {
  const number = work.from + done;
  Atomics.store(work.beat, 0, number);
  const outcome = await runCase(target, work.seed, number);
  if (outcome.kind === "accepted") accepted++;
  else if (outcome.kind === "refused") refused[outcome.code] = (refused[outcome.code] ?? 0) + 1;
  else faults.push({ number, what: outcome.what });
  done++;
}
parentPort!.postMessage({ done, accepted, refused: { ...refused }, faults } satisfies Report);

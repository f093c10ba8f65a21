// npm run fuzz -- [--minutes 0.3] [--cases N] [--seed 1] [--only readers|geometry|name] [--json file]
// Feeds damaged files and hostile numbers to everything that takes input from outside. Each target runs in a worker
// that is ended when one case takes over 5 s. A case is told by target, seed and number, and can be run alone:
// npm run fuzz -- --only "readMesh obj" --seed 1 --from 4711 --cases 1
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { Worker } from "node:worker_threads";
import { build } from "esbuild";
import { TARGETS } from "./targets";
import type { Report, Work } from "./worker";

/** Longest that one case may compute: processor time, so that a busy machine raises no alarm; the clock has a wider limit. */
const HANG_MS = 5_000;
const STUCK_MS = 60_000;
const MEMORY_LIMIT = 1_000_000_000;
const { values: given } = parseArgs({
  options: {
    minutes: { type: "string", default: "0.3" },
    cases: { type: "string" },
    seed: { type: "string", default: "1" },
    from: { type: "string", default: "0" },
    only: { type: "string" },
    json: { type: "string" },
  },
});
const seed = Number(given.seed);
const chosen = TARGETS.filter(
  ({ name, group }) => !given.only || given.only === group || name.includes(given.only),
);
if (chosen.length === 0 || !Number.isFinite(seed)) {
  console.error(`Choose from: readers, geometry, ${TARGETS.map(({ name }) => name).join(", ")}`);
  process.exit(2);
}
const share = given.cases ? Infinity : (60_000 * Number(given.minutes)) / chosen.length;

interface Tally {
  cases: number;
  accepted: number;
  refused: number;
  codes: number;
  faults: { number: number; what: string }[];
}

const bundle = fileURLToPath(new URL("../../node_modules/.peltry-fuzz/worker.mjs", import.meta.url));
mkdirSync(fileURLToPath(new URL(".", `file://${bundle}`)), { recursive: true });
await build({
  entryPoints: [fileURLToPath(new URL("worker.ts", import.meta.url))],
  outfile: bundle,
  bundle: true,
  platform: "node",
  format: "esm",
  keepNames: true,
  tsconfig: fileURLToPath(new URL("../../tsconfig.base.json", import.meta.url)),
  banner: {
    js: 'import { createRequire as requireFor } from "node:module"; const require = requireFor(import.meta.url);',
  },
  logLevel: "error",
});

let peak = 0;
const tallies = new Map<string, Tally>();
for (const { name, weight } of chosen) {
  const tally: Tally = { cases: 0, accepted: 0, refused: 0, codes: 0, faults: [] };
  const codes = new Set<string>();
  const end = performance.now() + share;
  // Without a case count every target gets the same time; with one, heavy targets get fewer cases.
  const wanted = given.cases
    ? Math.max(1, Math.ceil(Number(given.cases) / (given.from === "0" ? weight : 1)))
    : Infinity;
  while (tally.cases < wanted && performance.now() < end) {
    const left = Math.min(wanted - tally.cases, 50_000);
    const report = await stretch(name, Number(given.from) + tally.cases, left, end - performance.now());
    tally.cases += report.done;
    tally.accepted += report.accepted;
    tally.faults.push(...report.faults);
    for (const [code, count] of Object.entries(report.refused)) {
      codes.add(code);
      tally.refused += count;
    }
  }
  tally.codes = codes.size;
  tallies.set(name, tally);
  console.log(
    `${name.padEnd(22)} ${String(tally.cases).padStart(7)} cases  ${String(tally.accepted).padStart(7)} accepted  ` +
      `${String(tally.refused).padStart(7)} refused by ${String(tally.codes).padStart(2)} codes  ${tally.faults.length} faults`,
  );
  const seen = new Set<string>();
  for (const { number, what } of tally.faults) {
    if (seen.has(what) || seen.size >= 5) continue;
    seen.add(what);
    console.log(
      `  ${what}\n    again: npm run fuzz -- --only "${name}" --seed ${seed} --from ${number} --cases 1`,
    );
  }
}
const sum = (pick: (tally: Tally) => number): number =>
  [...tallies.values()].reduce((total, one) => total + pick(one), 0);
const faults = sum((tally) => tally.faults.length) + (peak > MEMORY_LIMIT ? 1 : 0);
const peakMb = Math.round(peak / 1e6);
console.log(`${sum((tally) => tally.cases)} cases, seed ${seed}, peak memory ${peakMb} MB, ${faults} faults`);
if (given.json) {
  writeFileSync(
    given.json,
    `${JSON.stringify({ seed, peakMb, targets: Object.fromEntries(tallies) }, null, 2)}\n`,
  );
}
process.exit(faults ? 1 : 0);

/** One worker over a stretch of cases; a hang or crash ends the stretch and counts as a fault of the case it was in. */
function stretch(name: string, from: number, cases: number, milliseconds: number): Promise<Report> {
  const beat = new Int32Array(new SharedArrayBuffer(4));
  beat[0] = from - 1;
  const work: Work = { name, seed, from, cases, milliseconds: Math.min(milliseconds, 1e9), beat };
  const worker = new Worker(bundle, {
    workerData: work,
    resourceLimits: { maxOldGenerationSizeMb: 900 },
  });
  return new Promise((resolve) => {
    let last = from - 1;
    let since = performance.now();
    let spent = process.cpuUsage();
    const finish = (report: Report): void => {
      clearInterval(watch);
      void worker.terminate().then(() => resolve(report));
    };
    const broken = (what: string): void => {
      const number = Atomics.load(beat, 0);
      finish({
        done: Math.max(1, number - from + 1),
        accepted: 0,
        refused: {},
        faults: [{ number: Math.max(from, number), what }],
      });
    };
    const watch = setInterval(() => {
      peak = Math.max(peak, process.memoryUsage.rss());
      const now = Atomics.load(beat, 0);
      if (now !== last || now < from) {
        last = now;
        since = performance.now();
        spent = process.cpuUsage();
        return;
      }
      const { user, system } = process.cpuUsage(spent);
      if ((user + system) / 1000 > HANG_MS || performance.now() - since > STUCK_MS)
        broken(`hang: over ${HANG_MS / 1000} s`);
    }, 50);
    worker.once("message", finish);
    worker.once("error", (error) => broken(`crash: ${String(error).slice(0, 200)}`));
  });
}

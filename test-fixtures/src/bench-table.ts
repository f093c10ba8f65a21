import { appendFileSync } from "node:fs";

/** One line of a benchmark. */
export interface BenchRow {
  readonly job: string;
  /** CPU time of one run, ms, over all threads of the process. */
  readonly cpuMs: number;
  /** What the job's size counts, such as triangles. Jobs of one name and several sizes get a growth exponent. */
  readonly size?: number;
  /** Something of known cost, timed in the same run on the same machine: ratios travel between machines, times do not. */
  readonly peer?: string;
  readonly peerMs?: number;
  readonly note?: string;
}

/** CPU time of one run, ms: the least of several, since what else the machine does only ever adds. */
export function leastCpuMs(times: number, run: () => unknown): number {
  let least = Infinity;
  for (let i = 0; i < times; i++) {
    const start = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(start);
    least = Math.min(least, (user + system) / 1000);
  }
  return least;
}

/** Exponent p of time ~ size^p by least squares in logarithms; undefined under three sizes. */
export function growthExponent(rows: readonly BenchRow[]): number | undefined {
  const sized = rows.filter((row) => row.size !== undefined && row.cpuMs > 0);
  if (sized.length < 3) return undefined;
  const points = sized.map((row) => [Math.log(row.size!), Math.log(row.cpuMs)] as const);
  const [mx, my] = [0, 1].map((k) => points.reduce((sum, point) => sum + point[k]!, 0) / points.length);
  const over = points.reduce((sum, [x, y]) => sum + (x - mx!) * (y - my!), 0);
  return over / points.reduce((sum, [x]) => sum + (x - mx!) ** 2, 0);
}

/** Prints a package's rows, and hands them on to `npm run bench` where that asks for them. */
export function reportBench(packageName: string, rows: readonly BenchRow[]): void {
  for (const line of benchLines(rows)) console.log(line);
  const file = process.env.PELTRY_BENCH_ROWS;
  if (file) appendFileSync(file, `${JSON.stringify({ package: packageName, rows })}\n`);
}

/** The rows as lines of a table, growth exponents below. */
export function benchLines(rows: readonly BenchRow[]): string[] {
  const name = (row: BenchRow): string => (row.size === undefined ? row.job : `${row.job}, ${row.size}`);
  const wide = Math.max(3, ...rows.map((row) => name(row).length));
  const lines = [`${"job".padEnd(wide)} ${"CPU ms".padStart(10)} ${"ratio".padStart(8)}  peer, note`];
  for (const row of rows) {
    const ratio = row.peerMs ? (row.cpuMs / row.peerMs).toPrecision(3) : "";
    const words = [row.peer, row.note].filter(Boolean).join("; ");
    lines.push(
      `${name(row).padEnd(wide)} ${row.cpuMs.toFixed(row.cpuMs < 10 ? 3 : 0).padStart(10)} ${ratio.padStart(8)}  ${words}`.trimEnd(),
    );
  }
  for (const job of new Set(rows.map((row) => row.job))) {
    const exponent = growthExponent(rows.filter((row) => row.job === job));
    if (exponent !== undefined) lines.push(`growth of ${job}: n^${exponent.toFixed(2)}`);
  }
  return lines;
}

/** A peer for work that has none of its own: the engine's sort of 100,000 numbers. It says how fast the machine is. */
export function sortPeer(): { readonly peer: string; readonly peerMs: number } {
  const numbers = Float64Array.from({ length: 100_000 }, (_, i) => (i * 2_654_435_761) % 4_294_967_296);
  return { peer: "a sort of 100,000 numbers", peerMs: leastCpuMs(7, () => numbers.slice().sort()) };
}

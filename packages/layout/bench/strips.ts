// Density on classic strip instances beside published figures.
import { join } from "node:path";
import { layOut, type Layout } from "../src/index";
import { cpuSeconds } from "./cpu";
import { readStrip, type PublishedStrip } from "./published-strip";

/**
 * Density %, average of 100 runs of 20 minutes on 3 threads, and best known.
 *
 * @source Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329, Tables 2-3
 */
export const PUBLISHED: Readonly<Record<string, readonly [average: number, best: number]>> = {
  swim: [78.26, 79.83],
  trousers: [91.73, 92.62],
  shirts: [89.66, 90.92],
  marques: [90.93, 92.02],
  albano: [89.47, 89.82],
};

/** @param folder - holds json/NAME.json */
export function compareStrips(
  folder: string,
  names: readonly string[],
  seconds: number,
  seeds: number,
): void {
  console.log(
    `Strip packing, ${seconds} CPU s a run, one thread, ${seeds} seed(s), every layout checked exactly`,
  );
  console.log(
    "instance   ours (median)  bottom-left-fill  published average  best known  M positions/s  each seed",
  );
  for (const name of names) {
    const instance = readStrip(join(folder, "json", `${name}.json`));
    const start = pack(instance, { evaluations: 1 }, 1);
    const before = cpuSeconds();
    const runs = Array.from({ length: seeds }, (_, k) => pack(instance, { seconds }, k + 1));
    const pace = runs.reduce((sum, run) => sum + run.evaluations, 0) / (cpuSeconds() - before) / 1e6;
    const densities = runs.map((run) => 100 * run.density);
    const [average, best] = PUBLISHED[name];
    const figures = [median(densities), 100 * start.density, average, best, pace];
    const columns = figures.map((figure, k) => figure.toFixed(2).padStart([13, 17, 18, 11, 14][k]));
    console.log(
      `${name.padEnd(10)} ${columns.join(" ")}  ${densities.map((density) => density.toFixed(2)).join(" ")}`,
    );
  }
}

function pack(
  { panels, width }: PublishedStrip,
  budget: { seconds: number } | { evaluations: number },
  seed: number,
): Layout {
  return layOut(panels, [{ id: "strip", napAngle: 0, roll: { width } }], {
    ...budget,
    seed,
    clock: "cpu",
    objective: "shortest-roll",
  });
}

function median(list: readonly number[]): number {
  const sorted = [...list].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}

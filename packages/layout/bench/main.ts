// Density on classic strip instances beside published figures, and cloth pieces of our own making.
// Usage: npm run bench -w @peltry/layout -- [CPU seconds a run] [seeds] [instance ...]
import { readFileSync } from "node:fs";
import { createRandom, placePoints, type Point } from "@peltry/geometry";
import { layOut, type FabricPiece, type Layout, type LayoutPanel } from "../src/index";

interface Instance {
  readonly name: string;
  readonly width: number;
  readonly items: { readonly demand: number; readonly rotations: number[]; readonly outline: Point[] }[];
}

/** Density %, average of 100 runs of 20 minutes on 3 threads, and best known: Gardeyn et al. 2025, arXiv 2509.13329, Tables 2-3. */
const PUBLISHED: Record<string, readonly [number, number]> = {
  swim: [78.26, 79.83],
  trousers: [91.73, 92.62],
  shirts: [89.66, 90.92],
  marques: [90.93, 92.02],
  albano: [89.47, 89.82],
};

const [seconds, seeds] = [Number(process.argv[2] ?? 60), Number(process.argv[3] ?? 3)];
const names = process.argv.length > 4 ? process.argv.slice(4) : Object.keys(PUBLISHED);

function cpuSeconds(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

function readInstance(name: string): Instance {
  return JSON.parse(readFileSync(new URL(`./instances/${name}.json`, import.meta.url), "utf8")) as Instance;
}

function pack(
  { items, width }: Instance,
  budget: { seconds: number } | { evaluations: number },
  seed: number,
): Layout {
  const panels = items.map((item, k): LayoutPanel => ({
    id: `${k}`,
    outline: item.outline,
    rotations: item.rotations,
    count: item.demand,
    napAngle: 0,
  }));
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

console.log(
  `Strip packing, ${seconds} CPU s a run, one thread, ${seeds} seed(s), every layout checked exactly`,
);
console.log("instance   ours (median)  ratio to bottom-left-fill  published average  best known  each seed");
for (const name of names) {
  const instance = readInstance(name);
  const start = 100 * pack(instance, { evaluations: 1 }, 1).density;
  const runs = Array.from({ length: seeds }, (_, k) => 100 * pack(instance, { seconds }, k + 1).density);
  const ours = median(runs);
  const [average, best] = PUBLISHED[name];
  console.log(
    `${name.padEnd(10)} ${ours.toFixed(2).padStart(13)} ${(ours / start).toFixed(3).padStart(26)} ${average.toFixed(2).padStart(18)} ${best.toFixed(2).padStart(11)}  ${runs.map((run) => run.toFixed(2)).join(" ")}`,
  );
}

/** Twenty pairs of panels and eight odd pieces with holes. */
function costume(seed: number): [LayoutPanel[], FabricPiece[]] {
  const random = createRandom(seed);
  const round = (corners: number, w: number, h: number): Point[] =>
    Array.from({ length: corners }, (_, i): Point => {
      const t = (2 * Math.PI * i) / corners;
      const r = 0.85 + 0.15 * random();
      return [0.5 * w * r * Math.cos(t), 0.5 * h * r * Math.sin(t)];
    });
  const panels = Array.from({ length: 20 }, (_, k): LayoutPanel => ({
    id: `p${k}`,
    outline: round(24, 80 + 140 * random(), 120 + 300 * random()),
    mirrored: true,
  }));
  const pieces = Array.from({ length: 8 }, (_, k): FabricPiece => ({
    id: `c${k}`,
    napAngle: 90,
    outline: round(16, 600 + 300 * random(), 600 + 300 * random()),
    holes: [placePoints(round(6, 50, 50), 0, 60, 40)],
  }));
  return [panels, pieces];
}

const [panels, pieces] = costume(7);
for (const budget of [1, 5]) {
  const before = cpuSeconds();
  const result = layOut(panels, pieces, { gap: 5, edgeGap: 5, seconds: budget, clock: "cpu" });
  console.log(
    `costume of 40 panels on 8 odd pieces, ${budget} s: ${result.placements.length} placed on ${result.piecesTouched.length} pieces, ${(100 * result.density).toFixed(1)} % full, ${(cpuSeconds() - before).toFixed(1)} CPU s in all`,
  );
}

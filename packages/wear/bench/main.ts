import { leastCpuMs, reportBench, sortPeer } from "../../../test-fixtures/src/bench-table";
import { checkWear, estimateThread } from "../src/index";

const costume = {
  head: {
    loads: [{ name: "horns on a band", massG: 300, centre: [0, 80, 45] }],
    band: { girthMm: 620, widthMm: 25 },
  },
  heat: { airC: 24, humidityPercent: 60, activity: "moderate", cover: "legs" },
} as const;
const seams = Array.from({ length: 200 }, (_, i) => ({
  stitch: "301" as const,
  lengthMm: 100 + i,
  stitchMm: 2.5,
  thicknessMm: 6,
}));
const peer = sortPeer();
const each = (times: number, run: () => unknown): number =>
  leastCpuMs(3, () => {
    for (let i = 0; i < times; i++) run();
  }) / times;
reportBench("wear", [
  { job: "check head and heat", cpuMs: each(500, () => checkWear(costume)), ...peer },
  { job: "thread of 200 seams", cpuMs: each(200, () => estimateThread(seams)), ...peer },
]);

// Times the flattener, shape-preserving to 0.1 % of the energy unless said. The peer, a general C++ geometry library, is
// compiled and run on the same meshes in the same run where it is installed. --large adds 200,000 and 500,000 triangles.
import type { TriangleMesh } from "@peltry/geometry";
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { hornCup, paddedLeg, sphericalCap } from "../../../test-fixtures/src/shapes";
import { createFlattener, flatten, type FlattenOptions } from "../src/index";
import { buildPeer } from "./peer";

const KNIT = {
  along: { max: 0.1, min: -0.03 },
  across: { max: 0.2, min: -0.03 },
  shear: { max: 0.21, min: -0.21 },
};
const LOOSE = {
  along: { max: 0.2, min: -0.1 },
  across: { max: 0.3, min: -0.1 },
  shear: { max: 0.35, min: -0.35 },
};
const QUICK: FlattenOptions = { tolerance: 1e-3 };
/** The peer takes minutes beyond. */
const PEER_UP_TO = 60_000;

const large = process.argv.includes("--large");
const sizes = [10_000, 20_000, 50_000, ...(large ? [200_000, 500_000] : [])];
const shapes: readonly [string, (triangles: number) => TriangleMesh][] = [
  ["leg", (triangles) => paddedLeg({ triangles, jitter: 0.2 })],
  ["hemisphere", (triangles) => sphericalCap(100, 90, { triangles, jitter: 0.2 })],
];
const peer = buildPeer();
const rows: BenchRow[] = [];

function arapRows(name: string, mesh: TriangleMesh): void {
  const size = mesh.triangles.length / 3;
  const flattener = createFlattener(mesh);
  const best = flattener.flatten({ tolerance: 1e-8 }).certificate.energy;
  const over = flattener.flatten(QUICK).certificate.energy / best - 1;
  const warmMs = leastCpuMs(size > 100_000 ? 3 : 8, () => flattener.flatten(QUICK));
  const coldMs = leastCpuMs(size > 100_000 ? 1 : 3, () => flatten(mesh, QUICK));
  const peerMs = size <= PEER_UP_TO ? peer?.time(mesh, best) : undefined;
  const against = peerMs === undefined ? {} : { peer: "C++ library", peerMs };
  const note = `${(100 * over).toFixed(3)} % over the best energy`;
  rows.push({ job: `${name}, warm`, size, cpuMs: warmMs, ...against, note });
  rows.push({ job: `${name}, cold`, size, cpuMs: coldMs, ...against });
}

function modeRows(): void {
  const mesh = paddedLeg({ triangles: 10_000, jitter: 0.2 });
  const size = mesh.triangles.length / 3;
  const flattener = createFlattener(mesh);
  for (const [job, options] of [
    ["leg, flip-free", { mode: "flip-free", tolerance: 3e-4 }],
    ["leg, limits that can be met", { fabric: LOOSE }],
    ["leg, limits that cannot", { fabric: KNIT }],
  ] as const) {
    rows.push({ job, size, cpuMs: leastCpuMs(4, () => flattener.flatten(options)) });
  }
}

function editRow(): void {
  const mesh = paddedLeg({ triangles: 5000, jitter: 0.2 });
  const flattener = createFlattener(mesh);
  const found = flattener.flatten(QUICK);
  const moved = mesh.positions.slice();
  for (const v of found.loops[0]) moved[3 * v] += 1;
  const cpuMs = leastCpuMs(8, () => flattener.flatten({ ...QUICK, moved, from: found.positions }));
  rows.push({ job: "leg, after its border moved", size: mesh.triangles.length / 3, cpuMs });
}

function hardRow(): void {
  const mesh = hornCup(800, 20, { triangles: 6000, jitter: 0.1 });
  const size = mesh.triangles.length / 3;
  rows.push({ job: "closed horn 20 to 1", size, cpuMs: leastCpuMs(1, () => flatten(mesh)) });
  rows.push({
    job: "closed horn 20 to 1, knit",
    size,
    cpuMs: leastCpuMs(1, () => flatten(mesh, { fabric: KNIT })),
  });
}

try {
  for (const [name, make] of shapes) for (const size of sizes) arapRows(name, make(size));
  modeRows();
  editRow();
  hardRow();
} finally {
  peer?.remove();
}
reportBench("flatten", rows);
console.log(`largest memory ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);

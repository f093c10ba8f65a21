import { completeMeasures } from "@peltry/measure";
import { meshTopology } from "@peltry/geometry";
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { buildBootCover, buildLeg, foamSlabs } from "../src/index";

// CPU time of built forms. The peer in the same run is the topology of the mesh that was built: a plain pass over its
// triangles, so that the ratio says how much the building costs over touching each triangle once or twice.
const { measures } = completeMeasures({ stature: 1700, weightKg: 70 }, { sex: "female" });
const patches = [{ id: "haunch", at: "midThigh", angle: 115, up: 90, down: 130, spread: 60 }] as const;

const rows: BenchRow[] = [];
const add = (job: string, size: number, times: number, peerMs: number, run: () => unknown): void =>
  void rows.push({ job, size, cpuMs: leastCpuMs(times, run), peer: "topology of the mesh", peerMs });
for (const triangles of [2000, 20_000, 200_000]) {
  const times = triangles > 50_000 ? 3 : 8;
  const leg = buildLeg({ measures, triangles });
  const peerMs = leastCpuMs(times, () => meshTopology(leg.mesh));
  add("leg", triangles, times, peerMs, () => buildLeg({ measures, triangles }));
  add("leg and half hip", triangles, times, peerMs, () =>
    buildLeg({ measures, triangles, top: "waistNatural" }),
  );
  if (triangles < 100_000)
    add("leg with a patch", triangles, times, peerMs, () => buildLeg({ measures, triangles, patches }));
}
const boot = buildBootCover({ measures, triangles: 20_000 });
const bootPeer = leastCpuMs(8, () => meshTopology(boot.mesh));
add("boot cover", 20_000, 8, bootPeer, () => buildBootCover({ measures, triangles: 20_000 }));
const leg = buildLeg({ measures, triangles: 5000 });
const legPeer = leastCpuMs(8, () => meshTopology(leg.mesh));
add("foam slabs of a leg", 5000, 3, legPeer, () => foamSlabs(leg, { sheetThickness: 25 }));
reportBench("forms", rows);

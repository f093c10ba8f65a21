// CPU time of whole plans. The peer does the flat work of a plan once, without a search: the form, cut where the plan
// ends, laid flat by the flattener. The note says what the plan came to, against the maker's plain layout of the same limit.
import { flattenTogether } from "@peltry/flatten";
import type { TriangleMesh } from "@peltry/geometry";
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import { decide, planSeams, type PlanOptions, type SeamPlan } from "../src/index";
import { bump, legTube, tailTube } from "../test/forms";

const rows: BenchRow[] = [];

/** Times one plan; a search is long enough for one run. `plain`: mm of the shortest plain layout that keeps the limit. */
function plan(job: string, size: number, mesh: TriangleMesh, options: PlanOptions, plain?: number): SeamPlan {
  let made: SeamPlan | undefined;
  const cpuMs = leastCpuMs(1, () => (made = planSeams(mesh, options)));
  const { panels, seams, totals, withinLimits } = made!;
  const limit = options.limit!;
  const peerMs = leastCpuMs(2, () =>
    flattenTogether(
      panels.map(({ id, patch }) => ({ id, mesh: patch.mesh, anyDirection: { min: -limit, max: limit } })),
      seams.map(({ id, a, b }) => ({ id, a, b })),
    ),
  );
  const length = totals.suggestedLength.toFixed(0);
  rows.push({
    job,
    size,
    cpuMs,
    peer: "its panels laid flat once",
    peerMs,
    note: `${length} mm${plain ? `, plain ${plain}` : ""}${withinLimits ? "" : ", over its limits"}`,
  });
  return made!;
}

for (const triangles of [700, 1400, 2400]) {
  plan("hemisphere 5 %", triangles, sphericalCap(100, 90, { triangles }), { limit: 0.05 }, 630);
}
plan("hemisphere 10 %", 2000, sphericalCap(100, 90, { triangles: 2000 }), { limit: 0.1 }, 315);
plan("hemisphere 2 %", 2000, sphericalCap(100, 90, { triangles: 2000 }), { limit: 0.02 }, 1261);
plan("bump 2 %", 2000, bump(2000), { limit: 0.02 }, 652);
plan("tail 5 %", 2400, tailTube(2400), { limit: 0.05 }, 2144);

const leg = legTube(5000);
const drawn: PlanOptions = { fixed: [{ id: "inner", path: leg.seam }], cost: leg.cost };
const ten = plan("leg 10 %", 5000, leg.mesh, { ...drawn, limit: 0.1 }, 929);
plan("leg 5 %", 5000, leg.mesh, { ...drawn, limit: 0.05 }, 1842);
const first = ten.arcs.find(({ origin }) => origin === "suggestion");
if (first) {
  const decisions = [decide(ten, first.id, "reject")];
  plan("leg 10 %, first one refused", 5000, leg.mesh, { ...drawn, limit: 0.1, decisions });
}
const fine = legTube(60000);
plan("leg 10 %, by a coarse copy", 60000, fine.mesh, {
  fixed: [{ id: "inner", path: fine.seam }],
  cost: fine.cost,
  limit: 0.1,
});
reportBench("seams", rows);

// CPU seconds and seam for each plan, against the maker's plain layout of the same limit (straight strips or one seam).
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import { planSeams, type PlanOptions } from "../src/index";
import { bump, legTube, tailTube } from "../test/forms";

const leg = legTube(5000);
const legOptions: PlanOptions = { fixed: [{ id: "inner", path: leg.seam }], cost: leg.cost };

/** Length in mm of the shortest plain layout that meets the limit, measured with the same rules. */
const rows: readonly [string, Parameters<typeof planSeams>[0], PlanOptions, number][] = [
  ["hemisphere 10 %", sphericalCap(100, 90, { triangles: 2000 }), { limit: 0.1 }, 315],
  ["hemisphere 5 %", sphericalCap(100, 90, { triangles: 2000 }), { limit: 0.05 }, 630],
  ["hemisphere 2 %", sphericalCap(100, 90, { triangles: 2000 }), { limit: 0.02 }, 1261],
  ["bump 5 %", bump(2000), { limit: 0.05 }, 316],
  ["bump 2 %", bump(2000), { limit: 0.02 }, 652],
  ["tail 10 %", tailTube(2400), { limit: 0.1 }, 1072],
  ["tail 5 %", tailTube(2400), { limit: 0.05 }, 2144],
  ["leg 10 %", leg.mesh, { ...legOptions, limit: 0.1 }, 929],
  ["leg 5 %", leg.mesh, { ...legOptions, limit: 0.05 }, 1842],
];

console.log(
  "form".padEnd(18),
  "ok".padEnd(4),
  "mm".padStart(6),
  "plain mm".padStart(9),
  "ratio".padStart(6),
  "CPU s".padStart(7),
);
for (const [name, mesh, options, plain] of rows) {
  const start = process.cpuUsage();
  const plan = planSeams(mesh, options);
  const used = process.cpuUsage(start);
  const length = plan.totals.suggestedLength;
  console.log(
    name.padEnd(18),
    (plan.withinLimits ? "yes" : "no").padEnd(4),
    length.toFixed(0).padStart(6),
    String(plain).padStart(9),
    (length / plain).toFixed(2).padStart(6),
    ((used.user + used.system) / 1e6).toFixed(1).padStart(7),
  );
}

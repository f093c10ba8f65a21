import { completeMeasures } from "@peltry/measure";
import { meshTopology } from "@peltry/geometry";
import { buildBootCover, buildLeg, foamSlabs } from "../src/index";

// CPU time of built forms. The peer in the same run is the topology of the mesh that was built: a plain pass over its
// triangles, so that the ratio says how much the building costs over touching each triangle once or twice.
const { measures } = completeMeasures({ stature: 1700, weightKg: 70 }, { sex: "female" });
const patches = [{ id: "haunch", at: "midThigh", angle: 115, up: 90, down: 130, spread: 60 }] as const;

function cpu(run: () => unknown, times: number): number {
  run();
  const start = process.cpuUsage();
  for (let i = 0; i < times; i++) run();
  const used = process.cpuUsage(start);
  return (used.user + used.system) / 1000 / times;
}

const rows: [string, number, number][] = [];
for (const triangles of [2000, 20_000, 200_000]) {
  const times = triangles > 50_000 ? 2 : 8;
  const leg = buildLeg({ measures, triangles });
  const peer = cpu(() => meshTopology(leg.mesh), times);
  rows.push([`leg, ${triangles}`, cpu(() => buildLeg({ measures, triangles }), times), peer]);
  rows.push([
    `leg and half hip, ${triangles}`,
    cpu(() => buildLeg({ measures, triangles, top: "waistNatural" }), times),
    peer,
  ]);
  if (triangles < 100_000)
    rows.push([
      `leg with a patch, ${triangles}`,
      cpu(() => buildLeg({ measures, triangles, patches }), times),
      peer,
    ]);
}
const boot = buildBootCover({ measures, triangles: 20_000 });
rows.push([
  "boot cover, 20000",
  cpu(() => buildBootCover({ measures, triangles: 20_000 }), 8),
  cpu(() => meshTopology(boot.mesh), 8),
]);
const leg = buildLeg({ measures, triangles: 5000 });
rows.push([
  "foam slabs of a leg, 5000",
  cpu(() => foamSlabs(leg, { sheetThickness: 25 }), 2),
  cpu(() => meshTopology(leg.mesh), 8),
]);

console.log("form                               CPU ms   × topology");
for (const [name, ms, peer] of rows)
  console.log(`${name.padEnd(32)} ${ms.toFixed(1).padStart(8)} ${(ms / peer).toFixed(1).padStart(10)}`);

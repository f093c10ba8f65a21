// Look-ups and joints against a peer in the same run: a plain Map look-up of the same ids. CPU time.
import {
  adhesion,
  catalogue,
  findMaterials,
  findSubstitutes,
  gluedAdhesives,
  gluedSubstrates,
  material,
  type Stash,
} from "../src/index";
import { lintMaterials } from "../src/lint";
import { readDataFiles } from "../scripts/read-data";
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";

const ids = catalogue.map(({ id }) => id);
const map = new Map(catalogue.map((entry) => [entry.id, entry]));
const stash: Stash = {
  version: 1,
  items: ids
    .slice(0, 100)
    .map((id, index) => ({ id: `piece ${index}`, material: id, condition: "used", colour: "#8a7a66" })),
};
const files = readDataFiles().filter(({ path }) => !path.startsWith("shared/"));
let sink = 0;
const jobs: readonly [name: string, times: number, work: (index: number) => unknown][] = [
  ["plain Map look-up", 200_000, (i) => map.get(ids[i % ids.length]!)],
  ["material(id)", 200_000, (i) => material(ids[i % ids.length]!)],
  [
    "adhesion(glue, a, b)",
    4000,
    (i) =>
      adhesion(gluedAdhesives[i % 17]!.id, gluedSubstrates[i % 22]!.id, gluedSubstrates[(i * 7) % 22]!.id),
  ],
  ["findMaterials(text)", 500, () => findMaterials("stretch velvet")],
  [
    "findSubstitutes(100 pieces)",
    500,
    () => findSubstitutes("faux-fur-medium", { stash, colour: "#807060" }),
  ],
  ["lintMaterials(one file)", 400, (i) => lintMaterials([files[i % files.length]!])],
];

const rows = jobs.map(([job, times, work]): BenchRow => {
  for (let i = 0; i < Math.min(times, 200); i += 1) sink += work(i) === undefined ? 1 : 0;
  const all = leastCpuMs(1, () => {
    for (let i = 0; i < times; i += 1) sink += work(i) === undefined ? 1 : 0;
  });
  return { job, cpuMs: all / times };
});
const [peer, ...ours] = rows;
reportBench(
  "materials",
  ours.map((row) => ({ ...row, peer: peer!.job, peerMs: peer!.cpuMs })),
);
if (sink > 0) console.log(`${sink} look-ups found nothing`);

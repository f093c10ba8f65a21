// npm run bench -w @peltry/layout            time and growth over the number of panels, as rows of the one table
//   -- --published FOLDER [--seconds 60] [--seeds 3] [swim …]   density on strip instances beside published figures
//   -- --records FOLDER                      published best layouts against the exact check
//   -- --fabric FOLDER [--seconds 20]        odd pieces, offcuts and scraps
import { parseArgs } from "node:util";
import { leastCpuMs, reportBench, sortPeer, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { layOut, type Layout } from "../src/index";
import { costume } from "./costume";
import { layFabric } from "./fabric";
import { checkRecords } from "./records";
import { compareStrips, PUBLISHED } from "./strips";

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    published: { type: "string" },
    records: { type: "string" },
    fabric: { type: "string" },
    seconds: { type: "string" },
    seeds: { type: "string", default: "3" },
  },
});

if (values.published !== undefined) {
  const names = positionals.length > 0 ? positionals : Object.keys(PUBLISHED);
  compareStrips(values.published, names, Number(values.seconds ?? 60), Number(values.seeds));
} else if (values.records !== undefined) checkRecords(values.records);
else if (values.fabric !== undefined) layFabric(values.fabric, Number(values.seconds ?? 20));
else reportBench("layout", costumeRows());

/** Costumes of several sizes: the first layout, and the same number of positions tried for each panel. */
function costumeRows(): BenchRow[] {
  const peer = sortPeer();
  const row = (job: string, pairs: number, evaluations: number, times: number): BenchRow => {
    const [panels, pieces] = costume(7, pairs);
    let layout: Layout | undefined;
    const cpuMs = leastCpuMs(times, () => {
      layout = layOut(panels, pieces, { gap: 5, edgeGap: 5, evaluations });
    });
    const { placements, piecesTouched, density } = layout!;
    const note = `${placements.length} placed on ${piecesTouched.length} of ${pieces.length} pieces, ${(100 * density).toFixed(0)} % full`;
    return { job, size: 2 * pairs, cpuMs, ...peer, note };
  };
  const sizes = [10, 20, 40, 80];
  return [
    ...sizes.map((pairs) => row("first layout, panels", pairs, 1, 3)),
    ...sizes.map((pairs) => row("10,000 positions a panel, panels", pairs, 20_000 * pairs, 2)),
  ];
}

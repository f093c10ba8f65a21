// The whole job: the moor hare from its project file, by stage, once with nothing warm.
import { readFileSync } from "node:fs";
import { sortPeer, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { makeCostume, readProject, writeOutputs } from "../src/index";

const file = new URL("../../../docs/examples/100-moor-hare/moor-hare.yaml", import.meta.url);
const peer = sortPeer();
const rows: BenchRow[] = [];
async function time<T>(job: string, run: () => T | Promise<T>): Promise<T> {
  const start = process.cpuUsage();
  const answer = await run();
  const { user, system } = process.cpuUsage(start);
  rows.push({ job, cpuMs: (user + system) / 1000, ...peer });
  return answer;
}

const project = await time("read the project file", () =>
  readProject(readFileSync(file, "utf8"), "moor-hare.yaml"),
);
const costume = await time("forms, seams, panels, allowance, layout", () =>
  makeCostume(project, () => new Uint8Array()),
);
await time("print files and workbook", () => writeOutputs(costume, undefined));
rows.push({
  job: "most memory, as MB",
  cpuMs: process.resourceUsage().maxRSS / 1024,
  note: "not a time: the process's largest resident size",
});
reportBench("peltry", rows);

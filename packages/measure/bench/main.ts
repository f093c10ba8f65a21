import { leastCpuMs, reportBench, sortPeer } from "../../../test-fixtures/src/bench-table";
import { evaluateFormula } from "../src/formula";
import { completeMeasures, parseLength } from "../src/index";

const peer = sortPeer();
const known = { stature: "5 ft 7 in", weight: "68 kg", waist_natural: 730, hip: 1005 };
const each = (times: number, run: () => unknown): number =>
  leastCpuMs(3, () => {
    for (let i = 0; i < times; i++) run();
  }) / times;
reportBench("measure", [
  {
    job: "complete measures from four",
    cpuMs: each(20, () => completeMeasures(known, { sex: "female" })),
    ...peer,
  },
  { job: "read a length with a fraction", cpuMs: each(2000, () => parseLength("34 1/2 in")), ...peer },
  { job: "formula", cpuMs: each(500, () => evaluateFormula("hip / 4 + 10", { hip: 1000 })), ...peer },
]);

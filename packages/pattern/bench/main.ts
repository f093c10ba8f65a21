// Checks, notches and files of patterns of 10 to 1,000 panels.
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import {
  checkPattern,
  edgesFromOutline,
  placeNotches,
  writePattern,
  type Panel,
  type Pattern,
} from "../src/index";
import { readPattern } from "../src/schema";

function pattern(count: number): Pattern {
  const panels = Array.from({ length: count }, (_, i): Panel => {
    const side = (from: [number, number], to: [number, number], bow: number): [number, number][] =>
      Array.from({ length: 100 }, (_unused, k) => {
        const t = k / 100;
        const out = bow * Math.sin(Math.PI * t);
        return [
          from[0] + t * (to[0] - from[0]) + (to[1] > from[1] ? out : to[1] < from[1] ? -out : 0),
          from[1] + t * (to[1] - from[1]),
        ];
      });
    return {
      id: `panel-${i}`,
      name: `panel ${i}`,
      fabric: "fur",
      count: 1,
      mirrored: false,
      darts: [],
      markings: [],
      edges: edgesFromOutline([
        ...side([0, 0], [200, 0], 0),
        ...side([200, 0], [200, 300], 12),
        ...side([200, 300], [0, 300], 0),
        ...side([0, 300], [0, 0], 12),
      ]),
    };
  });
  const seams = panels.slice(1).map((panel, i) => ({
    id: `seam-${i}`,
    letter: `A${i}`,
    a: { panel: panels[i]!.id, edge: panels[i]!.edges[1]!.id },
    b: { panel: panel.id, edge: panel.edges[3]!.id },
    reversed: true,
    matchPoints: [],
  }));
  return { format: "peltry-pattern", version: 1, name: "strips", panels, seams };
}

const rows: BenchRow[] = [];
for (const size of [10, 100, 1000]) {
  const whole = pattern(size);
  const text = JSON.stringify(whole);
  const peer = { peer: "JSON.parse of the same", peerMs: leastCpuMs(5, () => JSON.parse(text)) };
  rows.push(
    { job: "check", size, cpuMs: leastCpuMs(3, () => checkPattern(whole)), ...peer },
    { job: "place notches", size, cpuMs: leastCpuMs(3, () => placeNotches(whole)), ...peer },
    { job: "write", size, cpuMs: leastCpuMs(3, () => writePattern(whole)), ...peer },
    { job: "read", size, cpuMs: leastCpuMs(3, () => readPattern(text)), ...peer },
  );
}
reportBench("pattern", rows);

import { EndType, inflatePathsD, JoinType } from "clipper2-ts";
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import type { Edge, Notch } from "@peltry/pattern";
import type { Point } from "@peltry/geometry";
import { addAllowance } from "../src/index";

// CPU time of a 10,000-point outline with 12 edges of 12 widths, against the offset library alone with one width.
// The best of several rounds of each, taken in turn, so that both meet the same machine.

const ROUNDS = 7;
const EDGES = 12;

function outline(count: number, rough: number): Point[] {
  return Array.from({ length: count }, (_, i) => {
    const t = (2 * Math.PI * i) / count;
    const r = 300 + 60 * Math.sin(7 * t) + 20 * Math.sin(31 * t) + (rough * ((i * 7919) % 13)) / 13;
    return [r * Math.cos(t), r * Math.sin(t)];
  });
}

function inEdges(points: readonly Point[]): Edge[] {
  const closed = [...points, points[0]];
  const size = points.length / EDGES;
  return Array.from({ length: EDGES }, (_, i) => {
    const notches: Notch[] = [{ at: 20, kind: "single" }];
    return {
      id: `e${i}`,
      role: "seam",
      points: closed.slice(Math.floor(i * size), Math.floor((i + 1) * size) + 1),
      notches,
    };
  });
}

const rows: BenchRow[] = [];
for (const [name, count, rough] of [
  ["smooth", 10_000, 0],
  ["smooth", 20_000, 0],
  ["rough by 0.2 mm", 10_000, 0.2],
  ["rough by 2.6 mm", 10_000, 2.6],
] as const) {
  const points = outline(count, rough);
  const edges = inEdges(points);
  const widths = Object.fromEntries(edges.map((edge, i) => [edge.id, 5 + i]));
  const path = points.map(([x, y]) => ({ x, y }));
  let peerMs = Infinity;
  let cpuMs = Infinity;
  for (let i = 0; i < ROUNDS; i++) {
    const library = (): void => void inflatePathsD([path], 10, JoinType.Miter, EndType.Polygon, 4, 4);
    peerMs = Math.min(peerMs, leastCpuMs(1, library));
    cpuMs = Math.min(
      cpuMs,
      leastCpuMs(1, () => addAllowance(edges, { edges: widths })),
    );
  }
  const peer = { peer: "offset library, one width", peerMs };
  rows.push({ job: `12 edges, ${name}`, size: count, cpuMs, ...peer });
}
reportBench("allowance", rows);

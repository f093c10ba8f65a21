// Scan import: CPU time of each step on our own leg scan, and on the same scan with every triangle cut in four, twice.
// The peer is the bare cost of walking the file's bytes into arrays (a DataView loop), run in the same process.
import { readFileSync } from "node:fs";
import { leastCpuMs, reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { formFromScan, readMesh, repairMesh } from "../src/index";

const folder = new URL("../../../test-fixtures/leg-scan/", import.meta.url);
const truth = JSON.parse(readFileSync(new URL("truth.json", folder), "utf8"));
const bytes = new Uint8Array(readFileSync(new URL("scan-20k.ply", folder)));
type Scan = { mesh: { positions: Float64Array; triangles: Uint32Array }; colors: Uint8Array };

/** Every triangle becomes four. */
function finer({ mesh, colors }: Scan): Scan {
  const positions = Array.from(mesh.positions);
  const rgb = Array.from(colors);
  const middles = new Map<number, number>();
  const count = mesh.positions.length / 3;
  const middle = (a: number, b: number): number => {
    const key = Math.min(a, b) * count + Math.max(a, b);
    let v = middles.get(key);
    if (v === undefined) {
      v = positions.length / 3;
      for (let k = 0; k < 3; k++) {
        positions.push((positions[3 * a + k] + positions[3 * b + k]) / 2);
        rgb.push(Math.round((rgb[3 * a + k] + rgb[3 * b + k]) / 2));
      }
      middles.set(key, v);
    }
    return v;
  };
  const triangles: number[] = [];
  for (let i = 0; i < mesh.triangles.length; i += 3) {
    const [a, b, c] = mesh.triangles.slice(i, i + 3);
    const [p, q, r] = [middle(a, b), middle(b, c), middle(c, a)];
    triangles.push(a, p, r, p, b, q, r, q, c, p, q, r);
  }
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
    colors: Uint8Array.from(rgb),
  };
}

const options = {
  up: "z",
  line: truth.colours.line,
  regions: [
    { id: "main", colour: truth.colours.main },
    { id: "patch", colour: truth.colours.patch },
  ],
} as const;
const peer = {
  peer: "bare walk over the bytes of the 20k file",
  peerMs: leastCpuMs(9, () => {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    let sum = 0;
    for (let i = 0; i + 4 <= bytes.length; i += 4) sum += view.getUint32(i, true) & 1;
    return sum;
  }),
};
const read = readMesh(bytes);
let scan: Scan = { mesh: read.mesh, colors: read.colors! };
const size = (): number => scan.mesh.triangles.length / 3;
const rows: BenchRow[] = [
  { job: "read binary PLY", size: size(), cpuMs: leastCpuMs(5, () => readMesh(bytes)), ...peer },
];
for (let level = 0; level < 3; level++) {
  const times = level === 2 ? 2 : 3;
  rows.push(
    {
      job: "repair a scan",
      size: size(),
      cpuMs: leastCpuMs(times, () => repairMesh(scan.mesh, { colors: scan.colors })),
      ...peer,
    },
    {
      job: "regions and curves, with repair",
      size: size(),
      cpuMs: leastCpuMs(times, () => formFromScan(scan, options)),
      ...peer,
    },
  );
  if (level < 2) scan = finer(scan);
}
reportBench("forms", rows);

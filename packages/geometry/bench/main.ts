// The linear-time and near-linear parts that everything above stands on, at three sizes.
import { paddedLeg } from "../../../test-fixtures/src/shapes";
import { leastCpuMs, reportBench, sortPeer, type BenchRow } from "../../../test-fixtures/src/bench-table";
import {
  cotangentLaplacian,
  createRandom,
  decimate,
  factorCholesky,
  meshTopology,
  orderByDissection,
  outlineCrossings,
  planCholesky,
  type Point,
} from "../src/index";

const rows: BenchRow[] = [];
const peer = sortPeer();
for (const triangles of [10_000, 40_000, 160_000]) {
  const mesh = paddedLeg({ triangles, jitter: 0.2 });
  const size = mesh.triangles.length / 3;
  const row = (job: string, run: () => unknown): void => {
    rows.push({ job, size, cpuMs: leastCpuMs(3, run), ...peer });
  };
  row("mesh topology", () => meshTopology(mesh));
  const laplacian = cotangentLaplacian(mesh);
  const matrix = { ...laplacian, diagonal: laplacian.diagonal.map((entry) => entry + 1) };
  const order = orderByDissection(matrix.pattern, mesh.positions, 3);
  const plan = planCholesky(matrix.pattern, order);
  row("dissection order", () => orderByDissection(matrix.pattern, mesh.positions, 3));
  row("Cholesky plan", () => planCholesky(matrix.pattern, order));
  row("Cholesky factor", () => factorCholesky(plan, matrix));
  if (size < 50_000) row("decimate to a tenth", () => decimate(mesh, { triangles: size / 10 }));
}
for (const size of [1000, 10_000, 100_000]) {
  const random = createRandom(7);
  const outline = Array.from({ length: size }, (_, i): Point => {
    const turn = (2 * Math.PI * i) / size;
    const radius = 300 + 40 * Math.sin(9 * turn) + 0.01 * random();
    return [radius * Math.cos(turn), radius * Math.sin(turn)];
  });
  rows.push({
    job: "outline crossings, exact",
    size,
    cpuMs: leastCpuMs(3, () => outlineCrossings(outline)),
    ...peer,
  });
}
reportBench("geometry", rows);

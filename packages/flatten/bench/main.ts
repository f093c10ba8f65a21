// Times the flattener in CPU milliseconds on one core. The peer, a general C++ geometry library (Debian's libcgal-dev),
// is compiled and run in the same run when it is there; else its column stays empty.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { TriangleMesh } from "@peltry/geometry";
import { paddedLeg, sphericalCap } from "../../../test-fixtures/src/shapes";
import { createFlattener, flatten, type FlattenOptions } from "../src/index";

const KNIT = {
  along: { max: 0.1, min: -0.03 },
  across: { max: 0.2, min: -0.03 },
  shear: { max: 0.21, min: -0.21 },
};
const large = process.argv.includes("--large");

function cpu(run: () => unknown): number {
  const before = process.cpuUsage();
  run();
  const used = process.cpuUsage(before);
  return (used.user + used.system) / 1000;
}

/** Least of several runs: what the machine can do when nobody disturbs it. */
function best(times: number, run: () => unknown): number {
  let least = Infinity;
  for (let i = 0; i < times; i++) least = Math.min(least, cpu(run));
  return least;
}

function buildPeer(folder: string): string | null {
  if (!existsSync("/usr/include/CGAL/Surface_mesh.h")) {
    console.log("peer skipped: libcgal-dev is not installed");
    return null;
  }
  const source = fileURLToPath(new URL("cgal-arap.cpp", import.meta.url));
  try {
    execFileSync(
      "g++",
      [
        "-O3",
        "-march=native",
        "-DCGAL_EIGEN3_ENABLED",
        "-I/usr/include/eigen3",
        source,
        "-o",
        join(folder, "peer"),
        "-lgmp",
        "-lmpfr",
      ],
      {
        stdio: ["ignore", "ignore", "pipe"],
      },
    );
    return join(folder, "peer");
  } catch (error) {
    console.log(`peer skipped: ${String(error).split("\n")[0]}`);
    return null;
  }
}

/** Time of the peer with the fewest of its iterations that come within 0.1 % of the wanted energy (at most 100). */
function peerTime(peer: string, folder: string, mesh: TriangleMesh, wanted: number): number | null {
  const file = join(folder, "mesh.off");
  const lines = ["OFF", `${mesh.positions.length / 3} ${mesh.triangles.length / 3} 0`];
  for (let v = 0; v < mesh.positions.length; v += 3) lines.push(mesh.positions.subarray(v, v + 3).join(" "));
  for (let t = 0; t < mesh.triangles.length; t += 3)
    lines.push(`3 ${mesh.triangles.subarray(t, t + 3).join(" ")}`);
  writeFileSync(file, lines.join("\n"));
  for (const iterations of [5, 10, 20, 40, 100]) {
    const [ms, energy, code] = execFileSync(peer, [file, String(iterations)], { encoding: "utf8" })
      .split(" ")
      .map(Number);
    // Code 6 comes after the last iteration: its repair of turned triangles wants a border that does not meet itself.
    // The layout measured here is the one before that repair.
    if (code !== 0 && code !== 6) {
      console.log(`peer gave no result on ${mesh.triangles.length / 3} triangles (its error code ${code})`);
      return null;
    }
    if (energy <= wanted * 1.001) return ms;
  }
  return null;
}

const folder = mkdtempSync(join(tmpdir(), "peltry-bench-"));
try {
  const peer = buildPeer(folder);
  const rows: Record<string, string | number>[] = [];
  const sizes = large ? [2000, 5000, 10000, 50000, 200000, 500000] : [2000, 5000, 10000, 50000];
  const shapes: [string, (triangles: number) => TriangleMesh][] = [
    ["leg", (triangles) => paddedLeg({ triangles, jitter: 0.2 })],
    ["hemisphere", (triangles) => sphericalCap(100, 90, { triangles, jitter: 0.2 })],
  ];
  for (const [name, make] of shapes) {
    for (const size of sizes) {
      const mesh = make(size);
      const quick: FlattenOptions = { tolerance: 1e-3 };
      const cold = best(size > 100000 ? 1 : 3, () => flatten(mesh, quick));
      const flattener = createFlattener(mesh);
      const last = flattener.flatten({ tolerance: 1e-8 });
      const found = flattener.flatten(quick);
      const warm = best(size > 100000 ? 2 : 6, () => flattener.flatten(quick));
      const moved = mesh.positions.slice();
      for (const v of last.loops[0]) moved[3 * v] += 1;
      const edit = best(3, () => flattener.flatten({ ...quick, moved, from: found.positions }));
      const theirs =
        peer !== null && size <= 50000 ? peerTime(peer, folder, mesh, last.certificate.energy) : null;
      rows.push({
        shape: name,
        triangles: mesh.triangles.length / 3,
        "cold ms": Math.round(cold),
        "warm ms": Math.round(warm),
        "over best energy": (found.certificate.energy / last.certificate.energy - 1).toExponential(1),
        "after edit ms": Math.round(edit),
        "flip-free ms":
          size > 50000
            ? ""
            : Math.round(best(2, () => flattener.flatten({ mode: "flip-free", tolerance: 3e-4 }))),
        "strain-limited ms":
          size > 50000 ? "" : Math.round(best(2, () => flattener.flatten({ fabric: KNIT }))),
        "peer ms": theirs === null ? "" : Math.round(theirs),
        "peer / warm": theirs === null ? "" : (theirs / warm).toFixed(1),
      });
    }
  }
  console.table(rows);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

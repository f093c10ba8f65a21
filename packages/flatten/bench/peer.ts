// The peer of the bench: as-rigid-as-possible flattening by a general C++ geometry library, Debian's libcgal-dev.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { TriangleMesh } from "@peltry/geometry";

/** How near it has to come to the best energy known: its own energy is a little softer, so that 0.1 % is not always reached. */
const NEAR = 2e-3;
/** Numbers of its iterations tried in turn. */
const ITERATIONS = [5, 10, 20, 40, 100];

/** The compiled peer. */
export interface Peer {
  /** CPU ms with the fewest of its iterations that come within 0.2 % of the wanted energy per area. */
  time(mesh: TriangleMesh, wanted: number): number | undefined;
  remove(): void;
}

/** Compiles the peer; undefined, with a word why, where that is not possible. */
export function buildPeer(): Peer | undefined {
  if (!existsSync("/usr/include/CGAL/Surface_mesh.h")) {
    console.log("peer skipped: libcgal-dev is not installed");
    return undefined;
  }
  const folder = mkdtempSync(join(tmpdir(), "peltry-bench-"));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  const program = join(folder, "peer");
  const source = fileURLToPath(new URL("cgal-arap.cpp", import.meta.url));
  const flags = ["-O3", "-march=native", "-DCGAL_EIGEN3_ENABLED", "-I/usr/include/eigen3"];
  try {
    execFileSync("g++", [...flags, source, "-o", program, "-lgmp", "-lmpfr"], {
      stdio: ["ignore", "ignore", "pipe"],
    });
  } catch (error) {
    console.log(`peer skipped: ${String(error).split("\n")[0]}`);
    remove();
    return undefined;
  }
  return { time: (mesh, wanted) => timeOf(program, join(folder, "mesh.off"), mesh, wanted), remove };
}

function timeOf(program: string, file: string, mesh: TriangleMesh, wanted: number): number | undefined {
  const count = mesh.triangles.length / 3;
  writeFileSync(file, offText(mesh));
  for (const iterations of ITERATIONS) {
    const [ms, energy, code] = execFileSync(program, [file, String(iterations)], { encoding: "utf8" })
      .split(" ")
      .map(Number);
    // Code 6 comes after the last iteration: its repair of turned triangles wants a border that does not meet itself.
    // The layout measured here is the one before that repair.
    if (code !== 0 && code !== 6) {
      console.log(`peer gave no result on ${count} triangles (its error code ${code})`);
      return undefined;
    }
    if (energy <= wanted * (1 + NEAR)) return ms;
  }
  console.log(
    `peer did not come near in ${ITERATIONS[ITERATIONS.length - 1]} iterations on ${count} triangles`,
  );
  return undefined;
}

function offText({ positions, triangles }: TriangleMesh): string {
  const lines = ["OFF", `${positions.length / 3} ${triangles.length / 3} 0`];
  for (let v = 0; v < positions.length; v += 3) lines.push(positions.subarray(v, v + 3).join(" "));
  for (let t = 0; t < triangles.length; t += 3) lines.push(`3 ${triangles.subarray(t, t + 3).join(" ")}`);
  return lines.join("\n");
}

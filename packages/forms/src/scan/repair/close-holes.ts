import type { RepairOptions } from "../repair-mesh";
import { borderLoops, type BorderLoop } from "./border-loops";
import { buildEdgeTable, next } from "./edge-table";
import { fillHole, type HolePatch } from "./fill-hole";
import { findPieces } from "./orient";
import type { WorkingMesh } from "./working-mesh";

/** Rim up to which a hole is filled without being asked to, mm: a hand's breadth of missing scan. */
const DEFAULT_RIM = 150;
/** Share of its piece's area that a hole filled without being asked to may hold. */
const DEFAULT_SHARE = 0.01;

/** Fills the holes that the options name; returns how many, and with how many triangles. */
export function closeHoles(
  mesh: WorkingMesh,
  options: Pick<RepairOptions, "fillHolesUpTo" | "keepOpen">,
): { holes: number; triangles: number } {
  const loops = borderLoops(mesh);
  const limit = options.fillHolesUpTo ?? DEFAULT_RIM;
  if (loops.length === 0 || !(limit > 0)) return { holes: 0, triangles: 0 };
  const pieces = findPieces(mesh, buildEdgeTable(mesh.triangles, mesh.positions.length / 3));
  const chosen = loops.filter((loop) => {
    if (loop.length > limit || keptOpen(mesh, loop, options.keepOpen)) return false;
    // The area of a circle with this rim: what the hole could hold at most if flat.
    const area = (loop.length * loop.length) / (4 * Math.PI);
    return (
      options.fillHolesUpTo !== undefined || area <= DEFAULT_SHARE * pieces.area[pieces.of[loop.triangle]]
    );
  });
  if (chosen.length === 0) return { holes: 0, triangles: 0 };
  const around = innerPoints(mesh, chosen);
  const patches = chosen.map((loop, i) => ({
    loop,
    patch: fillHole(mesh.positions, loop.vertices, around[i]),
  }));
  return { holes: chosen.length, triangles: addPatches(mesh, patches) };
}

function keptOpen(mesh: WorkingMesh, loop: BorderLoop, points: RepairOptions["keepOpen"]): boolean {
  if (!points) return false;
  const middle = [0, 1, 2].map(
    (k) => loop.vertices.reduce((sum, v) => sum + mesh.positions[3 * v + k], 0) / loop.vertices.length,
  );
  return points.some((q) => Math.hypot(q[0] - middle[0], q[1] - middle[1], q[2] - middle[2]) <= 1);
}

/** For each rim vertex the mean of its neighbours off the rim (of all its neighbours when there are none). */
function innerPoints(mesh: WorkingMesh, loops: readonly BorderLoop[]): Float64Array[] {
  const place = new Map<number, [number, number]>();
  loops.forEach((loop, i) => loop.vertices.forEach((v, j) => place.set(v, [i, j])));
  const sums = loops.map((loop) => new Float64Array(4 * loop.vertices.length));
  const { triangles, positions: p } = mesh;
  for (let h = 0; h < triangles.length; h++) {
    for (const [v, w] of [
      [triangles[h], triangles[next(h)]],
      [triangles[next(h)], triangles[h]],
    ]) {
      const at = place.get(v);
      if (!at || place.has(w)) continue;
      const sum = sums[at[0]];
      for (let k = 0; k < 3; k++) sum[4 * at[1] + k] += p[3 * w + k];
      sum[4 * at[1] + 3]++;
    }
  }
  return loops.map((loop, i) => {
    const out = new Float64Array(3 * loop.vertices.length);
    loop.vertices.forEach((v, j) => {
      const n = sums[i][4 * j + 3];
      for (let k = 0; k < 3; k++) out[3 * j + k] = n > 0 ? sums[i][4 * j + k] / n : p[3 * v + k];
    });
    return out;
  });
}

function addPatches(mesh: WorkingMesh, patches: readonly { loop: BorderLoop; patch: HolePatch }[]): number {
  const oldVertices = mesh.positions.length / 3;
  const vertices = patches.reduce((sum, { patch }) => sum + patch.positions.length / 3, 0);
  const corners = patches.reduce((sum, { patch }) => sum + patch.triangles.length, 0);
  const positions = new Float64Array(mesh.positions.length + 3 * vertices);
  positions.set(mesh.positions);
  const triangles = new Uint32Array(mesh.triangles.length + corners);
  triangles.set(mesh.triangles);
  let v = oldVertices;
  let at = mesh.triangles.length;
  for (const { loop, patch } of patches) {
    positions.set(patch.positions, 3 * v);
    for (const c of patch.triangles)
      triangles[at++] = c < loop.vertices.length ? loop.vertices[c] : v + c - loop.vertices.length;
    v += patch.positions.length / 3;
  }
  const grow = (source: Int32Array, length: number): Int32Array => {
    const out = new Int32Array(length).fill(-1);
    out.set(source);
    return out;
  };
  mesh.vertexSource = grow(mesh.vertexSource, positions.length / 3);
  mesh.triangleSource = grow(mesh.triangleSource, triangles.length / 3);
  mesh.positions = positions;
  mesh.triangles = triangles;
  return corners / 3;
}

import { vertexArea } from "@peltry/geometry";
import earcut from "earcut";

/** Rims longer than this are cut in their best plane: the least-area search grows with the cube. */
const MOST_EXACT = 160;

/**
 * Triangles over a closed run of points in space, with the least total area and no sharp folds; of the points only.
 *
 * @param points - x, y, z in turn
 * @source Barequet and Sharir, Filling Gaps in the Boundary of a Polyhedron, 1995 (dynamic programming)
 */
export function triangulateRim(points: readonly number[]): number[] {
  const n = points.length / 3;
  if (n <= MOST_EXACT) return leastArea(points, n);
  return inBestPlane(points, n) ?? halves(points, n);
}

function leastArea(p: readonly number[], n: number): number[] {
  const cost = new Float64Array(n * n);
  const via = new Int32Array(n * n);
  for (let span = 2; span < n; span++) {
    for (let i = 0; i + span < n; i++) {
      const k = i + span;
      let best = Infinity;
      for (let j = i + 1; j < k; j++) {
        const c = cost[i * n + j] + cost[j * n + k] + vertexArea(p, i, j, k);
        if (c < best) {
          best = c;
          via[i * n + k] = j;
        }
      }
      cost[i * n + k] = best;
    }
  }
  const out: number[] = [];
  const stack: [number, number][] = [[0, n - 1]];
  while (stack.length > 0) {
    const [i, k] = stack.pop()!;
    if (k - i < 2) continue;
    const j = via[i * n + k] || i + 1;
    out.push(i, j, k);
    stack.push([i, j], [j, k]);
  }
  return out;
}

/** Newell's normal spans the plane; undefined when the rim crosses itself there. */
function inBestPlane(p: readonly number[], n: number): number[] | undefined {
  const normal = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    for (let k = 0; k < 3; k++) {
      const [a, b] = [(k + 1) % 3, (k + 2) % 3];
      normal[k] += (p[3 * i + a] - p[3 * j + a]) * (p[3 * i + b] + p[3 * j + b]);
    }
  }
  const size = Math.hypot(normal[0], normal[1], normal[2]);
  if (!(size > 0)) return undefined;
  const [nx, ny, nz] = normal.map((x) => x / size);
  const [ax, ay, az] = Math.abs(nx) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = [ay * nz - az * ny, az * nx - ax * nz, ax * ny - ay * nx];
  const length = Math.hypot(u[0], u[1], u[2]);
  const v = [ny * u[2] - nz * u[1], nz * u[0] - nx * u[2], nx * u[1] - ny * u[0]];
  const flat: number[] = [];
  for (let i = 0; i < n; i++) {
    const q = [p[3 * i] - p[0], p[3 * i + 1] - p[1], p[3 * i + 2] - p[2]];
    flat.push(
      (q[0] * u[0] + q[1] * u[1] + q[2] * u[2]) / length,
      (q[0] * v[0] + q[1] * v[1] + q[2] * v[2]) / length,
    );
  }
  const cut = earcut(flat);
  if (cut.length !== 3 * (n - 2)) return undefined;
  for (let i = 0; i < cut.length; i += 3) {
    const [a, b, c] = [cut[i], cut[i + 1], cut[i + 2]];
    const turn =
      (flat[2 * b] - flat[2 * a]) * (flat[2 * c + 1] - flat[2 * a + 1]) -
      (flat[2 * b + 1] - flat[2 * a + 1]) * (flat[2 * c] - flat[2 * a]);
    if (turn < 0) {
      cut[i + 1] = c;
      cut[i + 2] = b;
    }
  }
  return cut;
}

/** Cuts a long rim across its nearest pair of far-apart points until each part is short enough. */
function halves(p: readonly number[], n: number): number[] {
  const out: number[] = [];
  const stack: number[][] = [Array.from({ length: n }, (_, i) => i)];
  while (stack.length > 0) {
    const part = stack.pop()!;
    if (part.length <= MOST_EXACT) {
      const local = leastArea(
        part.flatMap((v) => [p[3 * v], p[3 * v + 1], p[3 * v + 2]]),
        part.length,
      );
      out.push(...local.map((v) => part[v]));
      continue;
    }
    const reach = Math.floor(part.length / 3);
    const step = Math.max(1, Math.floor(part.length / 200));
    let best = Infinity;
    let cut = [0, reach];
    for (let i = 0; i < part.length - reach; i += step) {
      for (let j = i + reach; j < Math.min(part.length, i + part.length - reach); j += step) {
        const d =
          (p[3 * part[i]] - p[3 * part[j]]) ** 2 +
          (p[3 * part[i] + 1] - p[3 * part[j] + 1]) ** 2 +
          (p[3 * part[i] + 2] - p[3 * part[j] + 2]) ** 2;
        if (d < best) {
          best = d;
          cut = [i, j];
        }
      }
    }
    stack.push(part.slice(cut[0], cut[1] + 1), [...part.slice(cut[1]), ...part.slice(0, cut[0] + 1)]);
  }
  return out;
}

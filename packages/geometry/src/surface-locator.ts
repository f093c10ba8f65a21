import { cleanWeights, surfacePosition, type SurfacePoint } from "./surface-point";
import type { Point3, TriangleMesh } from "./types";

/** Finds the nearest place of a mesh. */
export interface SurfaceLocator {
  readonly nearest: (point: Point3) => { readonly place: SurfacePoint; readonly distance: number };
}

/**
 * Prepares a mesh for nearest-point questions.
 *
 * @returns `nearest(point)`: the place on the surface closest to the point and its distance, mm
 * @source closest point of a triangle: Ericson, Real-Time Collision Detection, 2005, section 5.1.5
 * @remarks a uniform grid over the triangles' boxes; about constant time for points near the surface
 */
export function createSurfaceLocator(mesh: TriangleMesh): SurfaceLocator {
  const { positions: p, triangles } = mesh;
  const count = triangles.length / 3;
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  let size = 0;
  for (let t = 0; t < count; t++) {
    for (let i = 0; i < 3; i++) {
      const [a, b, c] = [0, 1, 2].map((k) => p[3 * triangles[3 * t + k] + i]);
      low[i] = Math.min(low[i], a, b, c);
      high[i] = Math.max(high[i], a, b, c);
      size += Math.max(a, b, c) - Math.min(a, b, c);
    }
  }
  const span = Math.max(high[0] - low[0], high[1] - low[1], high[2] - low[2], 1e-9);
  const cell = Math.max((1.5 * size) / (3 * count), span / 200);
  const dims = [0, 1, 2].map((i) => Math.max(1, Math.ceil((high[i] - low[i]) / cell) + 1));
  const cells = new Map<number, number[]>();
  const at = (x: number, i: number): number =>
    Math.max(0, Math.min(dims[i] - 1, Math.floor((x - low[i]) / cell)));
  const key = (x: number, y: number, z: number): number => (x * dims[1] + y) * dims[2] + z;
  for (let t = 0; t < count; t++) {
    const range = [0, 1, 2].map((i) => {
      const values = [0, 1, 2].map((k) => p[3 * triangles[3 * t + k] + i]);
      return [at(Math.min(...values), i), at(Math.max(...values), i)];
    });
    for (let x = range[0][0]; x <= range[0][1]; x++)
      for (let y = range[1][0]; y <= range[1][1]; y++)
        for (let z = range[2][0]; z <= range[2][1]; z++) {
          const k = key(x, y, z);
          const list = cells.get(k);
          if (list) list.push(t);
          else cells.set(k, [t]);
        }
  }
  const nearest = (point: Point3): { place: SurfacePoint; distance: number } => {
    const c = [0, 1, 2].map((i) => at(point[i], i));
    let best: SurfacePoint = { triangle: 0, weights: [1, 0, 0] };
    let least = Infinity;
    const reach = Math.max(...dims);
    for (let ring = 0; ring <= reach; ring++) {
      // Everything outside the rings seen so far is at least this far away.
      if (least <= (ring - 1) * cell) break;
      for (let x = c[0] - ring; x <= c[0] + ring; x++) {
        if (x < 0 || x >= dims[0]) continue;
        for (let y = c[1] - ring; y <= c[1] + ring; y++) {
          if (y < 0 || y >= dims[1]) continue;
          const shell = Math.abs(x - c[0]) === ring || Math.abs(y - c[1]) === ring;
          for (let z = c[2] - ring; z <= c[2] + ring; z += shell || ring === 0 ? 1 : 2 * ring) {
            if (z < 0 || z >= dims[2]) continue;
            for (const t of cells.get(key(x, y, z)) ?? []) {
              const weights = closestWeights(p, triangles, t, point);
              const q = surfacePosition(mesh, { triangle: t, weights });
              const d = Math.hypot(q[0] - point[0], q[1] - point[1], q[2] - point[2]);
              if (d < least || (d === least && t < best.triangle)) {
                least = d;
                best = { triangle: t, weights };
              }
            }
          }
        }
      }
    }
    return {
      place: { triangle: best.triangle, weights: cleanWeights(...best.weights, 1e-7) },
      distance: least,
    };
  };
  return { nearest };
}

function closestWeights(
  p: Float64Array,
  triangles: Uint32Array,
  t: number,
  q: Point3,
): [number, number, number] {
  const i = 3 * triangles[3 * t];
  const j = 3 * triangles[3 * t + 1];
  const k = 3 * triangles[3 * t + 2];
  const abx = p[j] - p[i];
  const aby = p[j + 1] - p[i + 1];
  const abz = p[j + 2] - p[i + 2];
  const acx = p[k] - p[i];
  const acy = p[k + 1] - p[i + 1];
  const acz = p[k + 2] - p[i + 2];
  const x = q[0] - p[i];
  const y = q[1] - p[i + 1];
  const z = q[2] - p[i + 2];
  const d1 = abx * x + aby * y + abz * z;
  const d2 = acx * x + acy * y + acz * z;
  if (d1 <= 0 && d2 <= 0) return [1, 0, 0];
  const d3 = abx * (x - abx) + aby * (y - aby) + abz * (z - abz);
  const d4 = acx * (x - abx) + acy * (y - aby) + acz * (z - abz);
  if (d3 >= 0 && d4 <= d3) return [0, 1, 0];
  const vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) {
    const s = d1 / (d1 - d3);
    return [1 - s, s, 0];
  }
  const d5 = abx * (x - acx) + aby * (y - acy) + abz * (z - acz);
  const d6 = acx * (x - acx) + acy * (y - acy) + acz * (z - acz);
  if (d6 >= 0 && d5 <= d6) return [0, 0, 1];
  const vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) {
    const s = d2 / (d2 - d6);
    return [1 - s, 0, s];
  }
  const va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const s = (d4 - d3) / (d4 - d3 + (d5 - d6));
    return [0, 1 - s, s];
  }
  const sum = va + vb + vc;
  return [va / sum, vb / sum, vc / sum];
}

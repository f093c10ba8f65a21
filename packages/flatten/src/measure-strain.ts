import type { TriangleMesh } from "@peltry/geometry";
import type { PanelStrain } from "./types";

/**
 * Strain of every triangle between a mesh in space (worn) and its flat positions: worn length over flat length,
 * minus one.
 *
 * @param mesh - the surface, mm
 * @param positions - x, y of each vertex in the flat, mm
 * @param grain - direction of the grain (or pile) in the flat, degrees counter-clockwise from +x; −90 by default
 * @returns along, across, shear (radians, positive where the right angle between the grain and what lies a quarter turn
 * clockwise of it closes), major and minor; Infinity where the flat triangle has no area
 * @remarks linear; uses nothing of the solver
 * @source principal stretches from the singular values of the map from flat to worn
 */
export function measureStrain(mesh: TriangleMesh, positions: Float64Array, grain = -90): PanelStrain {
  const count = mesh.triangles.length / 3;
  const along = new Float64Array(count);
  const across = new Float64Array(count);
  const shear = new Float64Array(count);
  const major = new Float64Array(count);
  const minor = new Float64Array(count);
  const gx = Math.cos((grain * Math.PI) / 180);
  const gy = Math.sin((grain * Math.PI) / 180);
  const { positions: p, triangles } = mesh;
  for (let t = 0; t < count; t++) {
    const [i, j, k] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    const ux = p[3 * j] - p[3 * i];
    const uy = p[3 * j + 1] - p[3 * i + 1];
    const uz = p[3 * j + 2] - p[3 * i + 2];
    const vx = p[3 * k] - p[3 * i];
    const vy = p[3 * k + 1] - p[3 * i + 1];
    const vz = p[3 * k + 2] - p[3 * i + 2];
    const ax = positions[2 * j] - positions[2 * i];
    const ay = positions[2 * j + 1] - positions[2 * i + 1];
    const bx = positions[2 * k] - positions[2 * i];
    const by = positions[2 * k + 1] - positions[2 * i + 1];
    const det = ax * by - bx * ay;
    // First fundamental form of the map from flat to worn: squared lengths and product of the worn images of x and y.
    const uu = ux * ux + uy * uy + uz * uz;
    const uv = ux * vx + uy * vy + uz * vz;
    const vv = vx * vx + vy * vy + vz * vz;
    const square = det * det;
    const e = (by * by * uu - 2 * by * ay * uv + ay * ay * vv) / square;
    const f = (-bx * by * uu + (ax * by + bx * ay) * uv - ax * ay * vv) / square;
    const g = (bx * bx * uu - 2 * ax * bx * uv + ax * ax * vv) / square;
    if (!(square > 0)) {
      along[t] = across[t] = major[t] = minor[t] = Infinity;
      shear[t] = Math.PI / 2;
      continue;
    }
    const ll = Math.max(0, e * gx * gx + 2 * f * gx * gy + g * gy * gy);
    const cc = Math.max(0, e * gy * gy - 2 * f * gx * gy + g * gx * gx);
    // Product of the images of the across direction (grain turned by a quarter) and the grain.
    const lc = (g - e) * gx * gy + f * (gx * gx - gy * gy);
    along[t] = Math.sqrt(ll) - 1;
    across[t] = Math.sqrt(cc) - 1;
    const worn = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
    // Their cross product is the area ratio, signed by the flat orientation.
    const areaRatio = worn / det;
    shear[t] = -Math.atan2(lc, areaRatio);
    const sum = Math.sqrt(Math.max(0, e + g + 2 * Math.abs(areaRatio)));
    const difference = Math.sqrt(Math.hypot(e - g, 2 * f) ** 2 / Math.max(sum * sum, 1e-300));
    major[t] = 0.5 * (sum + difference) - 1;
    minor[t] = 0.5 * (sum - difference) - 1;
  }
  return { along, across, shear, major, minor };
}

/** Smallest value that the given share of the weight does not exceed. Linear on average (weighted quickselect). */
export function weightedQuantile(values: Float64Array, weights: Float64Array, share: number): number {
  const v = values.slice();
  const w = weights.slice();
  let wanted = 0;
  for (let i = 0; i < w.length; i++) wanted += w[i];
  wanted *= share;
  let low = 0;
  let high = v.length - 1;
  while (low < high) {
    const a = v[low];
    const b = v[(low + high) >> 1];
    const c = v[high];
    const pivot = a < b ? (b < c ? b : Math.max(a, c)) : a < c ? a : Math.max(b, c);
    let i = low;
    let j = high;
    while (i <= j) {
      while (v[i] < pivot) i++;
      while (v[j] > pivot) j--;
      if (i > j) break;
      const tv = v[i];
      const tw = w[i];
      v[i] = v[j];
      w[i++] = w[j];
      v[j] = tv;
      w[j--] = tw;
    }
    let below = 0;
    for (let k = low; k <= j; k++) below += w[k];
    if (below >= wanted && j >= low) high = j;
    else {
      let middle = 0;
      for (let k = j + 1; k < i; k++) middle += w[k];
      if (below + middle >= wanted) return pivot;
      wanted -= below + middle;
      low = i;
    }
  }
  return low < v.length ? v[low] : v.length > 0 ? v[v.length - 1] : 0;
}

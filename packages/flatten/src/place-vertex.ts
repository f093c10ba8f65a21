import { vertexDistance } from "@peltry/geometry";

/** The fan of triangles round a vertex: neighbours in turn, and whether it is open (a vertex of the border). */
export interface Fan {
  readonly vertex: number;
  readonly ring: readonly number[];
  readonly open: boolean;
}

/** What {@link fanEnergy} finds beside the energy: its slope and a positive definite curvature. */
const slope = new Float64Array(5);
/** Area in space of the fan last measured. */
let fanArea = 0;

/**
 * Symmetric Dirichlet energy of a fan with its vertex at (px, py); Infinity when a triangle is turned over.
 *
 * @param p - places in space
 * @param x - places in the flat of the neighbours
 */
function fanEnergy(fan: Fan, p: Float64Array, x: Float64Array, px: number, py: number): number {
  const { vertex: v, ring, open } = fan;
  const count = open ? ring.length - 1 : ring.length;
  let sum = 0;
  slope.fill(0);
  fanArea = 0;
  for (let i = 0; i < count; i++) {
    const a = ring[i];
    const b = ring[i + 1 < ring.length ? i + 1 : 0];
    const ax = x[2 * a] - px;
    const ay = x[2 * a + 1] - py;
    const bx = x[2 * b] - px;
    const by = x[2 * b + 1] - py;
    const cross = ax * by - ay * bx;
    if (!(cross > 0)) return Infinity;
    let aa = 0;
    let ab = 0;
    let bb = 0;
    for (let k = 0; k < 3; k++) {
      const u = p[3 * a + k] - p[3 * v + k];
      const w = p[3 * b + k] - p[3 * v + k];
      aa += u * u;
      ab += u * w;
      bb += w * w;
    }
    const far = aa + bb - 2 * ab;
    const longest = Math.max(aa, bb, far);
    const square = Math.max(aa * bb - ab * ab, 1e-8 * longest * longest);
    if (!(square > 0)) continue;
    const twice = Math.sqrt(square);
    const det = cross / twice;
    const trace =
      (bb * (ax * ax + ay * ay) - 2 * ab * (ax * bx + ay * by) + aa * (bx * bx + by * by)) / square;
    const inverse = 1 / (det * det);
    const weight = 0.5 * twice;
    fanArea += weight;
    sum += weight * trace * (1 + inverse);
    // By the place of the vertex.
    const tx = (-2 / square) * (bb * ax - ab * (ax + bx) + aa * bx);
    const ty = (-2 / square) * (bb * ay - ab * (ay + by) + aa * by);
    const dx = (ay - by) / twice;
    const dy = (bx - ax) / twice;
    const k = (-2 * trace * inverse) / det;
    slope[0] += weight * (tx * (1 + inverse) + k * dx);
    slope[1] += weight * (ty * (1 + inverse) + k * dy);
    const plain = (weight * (1 + inverse) * 2 * far) / square;
    const bend = 6 * weight * trace * inverse * inverse;
    slope[2] += plain + bend * dx * dx;
    slope[3] += bend * dx * dy;
    slope[4] += plain + bend * dy * dy;
  }
  return sum;
}

/** Whether a border vertex at the given place leaves the outline free of crossings. */
export type IsClear = (vertex: number, px: number, py: number) => boolean;

/**
 * Moves the vertex of a fan to where its triangles are strained least, without turning one over.
 *
 * @returns the mean energy of the fan before its last move; 4 when unstrained
 */
export function relaxFan(
  fan: Fan,
  p: Float64Array,
  x: Float64Array,
  rounds: number,
  isClear: IsClear,
): number {
  const v = 2 * fan.vertex;
  let energy = fanEnergy(fan, p, x, x[v], x[v + 1]);
  for (let round = 0; round < rounds && energy < Infinity; round++) {
    const [gx, gy, xx, xy, yy] = slope;
    const det = xx * yy - xy * xy;
    if (!(det > 0)) break;
    const dx = (xy * gy - yy * gx) / det;
    const dy = (xy * gx - xx * gy) / det;
    const fall = gx * dx + gy * dy;
    let next = Infinity;
    let length = 1;
    for (; length > 1e-3; length *= 0.5) {
      const [px, py] = [x[v] + length * dx, x[v + 1] + length * dy];
      next = fanEnergy(fan, p, x, px, py);
      if (next <= energy + 1e-4 * length * fall && (!fan.open || isClear(fan.vertex, px, py))) break;
      next = Infinity;
    }
    if (!(next < energy)) break;
    x[v] += length * dx;
    x[v + 1] += length * dy;
    if (energy - next < 1e-4 * next) break;
    energy = next;
  }
  return energy / fanArea;
}

/** Ways from the middle of a fan at which a place is tried, against its size, and directions. */
const TRIED = [0.5, 0.25, 0.1, 0.03, 0.01, 1e-3, 1e-4, 1e-5];
const WAYS = 24;

/**
 * Puts the vertex of a fan into the flat polygon of its neighbours, which is known to be covered by triangles that all
 * hang on `target`: near to it there is always a place that turns none over.
 *
 * @returns false when rounding leaves no such place
 */
export function placeVertex(
  fan: Fan & { readonly target: number },
  p: Float64Array,
  x: Float64Array,
  isClear: IsClear,
): boolean {
  const { vertex: v, ring, open, target } = fan;
  // The mean of the neighbours, nearer ones counting more; on the border the place between its two neighbours.
  const pair = open ? [ring[0], ring[ring.length - 1]] : ring;
  let mx = 0;
  let my = 0;
  let total = 0;
  for (const w of pair) {
    const length = vertexDistance(p, v, w);
    const weight = 1 / Math.max(length, 1e-12);
    mx += weight * x[2 * w];
    my += weight * x[2 * w + 1];
    total += weight;
  }
  mx /= total;
  my /= total;
  let best = fanEnergy(fan, p, x, mx, my);
  x[2 * v] = mx;
  x[2 * v + 1] = my;
  if (best === Infinity) {
    const tx = x[2 * target];
    const ty = x[2 * target + 1];
    let size = 0;
    for (const w of ring) size = Math.max(size, Math.hypot(x[2 * w] - tx, x[2 * w + 1] - ty));
    const visit = (px: number, py: number) => {
      const energy = fanEnergy(fan, p, x, px, py);
      if (!(energy < best) || (open && !isClear(v, px, py))) return;
      best = energy;
      x[2 * v] = px;
      x[2 * v + 1] = py;
    };
    // From the target, half-way between its two sides of the polygon, all of the polygon is seen.
    const k = ring.indexOf(target);
    const a = ring[(k + ring.length - 1) % ring.length];
    const b = ring[(k + 1) % ring.length];
    const from = Math.atan2(x[2 * b + 1] - ty, x[2 * b] - tx);
    let wide = Math.atan2(x[2 * a + 1] - ty, x[2 * a] - tx) - from;
    if (wide < 0) wide += 2 * Math.PI;
    for (const step of TRIED) {
      visit(tx + step * size * Math.cos(from + 0.5 * wide), ty + step * size * Math.sin(from + 0.5 * wide));
      for (let i = 0; i < WAYS; i++) {
        const dx = step * size * Math.cos((2 * Math.PI * i) / WAYS);
        const dy = step * size * Math.sin((2 * Math.PI * i) / WAYS);
        for (const share of [0, 0.5, 1]) visit(mx + share * (tx - mx) + dx, my + share * (ty - my) + dy);
      }
    }
  }
  relaxFan(fan, p, x, 6, isClear);
  return best < Infinity;
}

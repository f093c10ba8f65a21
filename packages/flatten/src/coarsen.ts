import { vertexArea, type TriangleMesh } from "@peltry/geometry";

/** A vertex that was taken away, and the fan of neighbours round it at that time. */
export interface Removal {
  readonly vertex: number;
  /** Counter-clockwise; for a vertex of the border from the next border vertex to the one before. */
  readonly ring: readonly number[];
  /** True for a vertex of the border. */
  readonly open: boolean;
  /** The neighbour that its triangles went to. */
  readonly target: number;
}

/** A mesh made of some of the vertices of the given one. */
export interface CoarseLevel {
  readonly mesh: TriangleMesh;
  /** Vertex of the given mesh for each vertex. */
  readonly source: Int32Array;
  /** How many removals led to it. */
  readonly removals: number;
}

/** Share of the vertices looked at first in each pass, cheapest first. */
const SHARE = 0.4;
/** Least height over longest side of a new triangle, unless those that it replaces were flatter. */
const FLATTEST = 0.12;
/** Widest angle, radians, of the fan that takes the place of one on the border: it must be seen from the border. */
const WIDEST = 2.6;

/**
 * Takes vertices away, neighbour by neighbour, without changing the topology; keeps what is needed to put them back one
 * by one.
 *
 * @param loops - border loops
 * @param sizes - numbers of triangles to stop at, falling
 * @param kept - 1 for vertices that stay
 * @returns a level for each size that was reached, the finest first, and all removals in their order
 * @source putting vertices back into a valid layout one at a time: Shen, Jiang, Zorin and Panozzo, Progressive
 * Embedding, 2019
 */
export function coarsen(
  mesh: TriangleMesh,
  loops: readonly (readonly number[])[],
  sizes: readonly number[],
  kept: Uint8Array,
): { levels: CoarseLevel[]; removals: Removal[] } {
  const { positions: p } = mesh;
  const corners = mesh.triangles.slice();
  const n = p.length / 3;
  const around: number[][] = Array.from({ length: n }, () => []);
  for (let h = 0; h < corners.length; h++) around[corners[h]].push((h / 3) | 0);
  const border = new Uint8Array(n);
  for (const loop of loops) for (const v of loop) border[v] = 1;
  let live = corners.length / 3;
  const removals: Removal[] = [];
  const levels: CoarseLevel[] = [];

  /** Cost of moving the triangles of v to its neighbour ring[k]; Infinity when that is not allowed. */
  function cost(v: number, ring: readonly number[], k: number): number {
    const u = ring[k];
    const open = border[v] === 1;
    if (open && k !== 0 && k !== ring.length - 1) return Infinity;
    const near = new Set<number>();
    for (const t of around[u]) for (let c = 3 * t; c < 3 * t + 3; c++) near.add(corners[c]);
    let common = 0;
    for (const w of ring) if (w !== u && near.has(w)) common++;
    if (common !== (open ? 1 : 2)) return Infinity;
    let bend = 1;
    let newFlat = 1;
    let oldFlat = 1;
    let turn = 0;
    const count = open ? ring.length - 1 : ring.length;
    for (let i = 0; i < count; i++) {
      const a = ring[i];
      const b = ring[(i + 1) % ring.length];
      const old = triangleShape(p, v, a, b, oldNormal);
      oldFlat = Math.min(oldFlat, old);
      if (a === u || b === u) continue;
      newFlat = Math.min(newFlat, triangleShape(p, u, a, b, newNormal));
      if (open) turn += angleAt(p, u, a, b);
      bend = Math.min(
        bend,
        oldNormal[0] * newNormal[0] + oldNormal[1] * newNormal[1] + oldNormal[2] * newNormal[2],
      );
    }
    if (newFlat < Math.min(FLATTEST, 0.7 * oldFlat) || bend < 0.2 || turn > WIDEST) return Infinity;
    return distanceSquare(p, u, v) * (1.03 - bend + 0.02 / newFlat);
  }

  function remove(vertex: number, ring: readonly number[], target: number): void {
    removals.push({ vertex, ring, open: border[vertex] === 1, target });
    for (const t of around[vertex]) {
      const c = 3 * t;
      if (corners[c] === target || corners[c + 1] === target || corners[c + 2] === target) {
        live--;
        for (let k = c; k < c + 3; k++) {
          const list = around[corners[k]];
          if (corners[k] !== vertex) list.splice(list.indexOf(t), 1);
        }
        corners[c] = corners[c + 1] = corners[c + 2] = n;
      } else {
        for (let k = c; k < c + 3; k++) if (corners[k] === vertex) corners[k] = target;
        around[target].push(t);
      }
    }
    around[vertex] = [];
  }

  const costs = new Float64Array(n);
  const best = new Int32Array(n);
  const held = new Uint8Array(n);
  for (const size of sizes) {
    while (live > size) {
      const before = removals.length;
      const order: number[] = [];
      for (let v = 0; v < n; v++) {
        held[v] = kept[v];
        if (kept[v]) continue;
        if (around[v].length < (border[v] ? 2 : 3) || around[v].length > 12) continue;
        const ring = ringOf(v, around[v], corners);
        costs[v] = Infinity;
        for (let k = 0; k < ring.length; k++) {
          const c = cost(v, ring, k);
          if (c < costs[v]) {
            costs[v] = c;
            best[v] = ring[k];
          }
        }
        if (costs[v] < Infinity) order.push(v);
      }
      order.sort((a, b) => costs[a] - costs[b] || a - b);
      order.length = Math.ceil(SHARE * order.length);
      for (const v of order) {
        if (live <= size) break;
        if (held[v]) continue;
        const ring = ringOf(v, around[v], corners);
        const k = ring.indexOf(best[v]);
        if (k < 0 || cost(v, ring, k) === Infinity) continue;
        for (const w of ring) held[w] = 1;
        remove(v, ring, best[v]);
      }
      if (removals.length - before < 0.01 * live) break;
    }
    levels.push(level());
    if (live > size) break;
  }
  return { levels, removals };

  function level(): CoarseLevel {
    const place = new Int32Array(n).fill(-1);
    const source: number[] = [];
    for (let v = 0; v < n; v++) {
      if (around[v].length === 0) continue;
      place[v] = source.length;
      source.push(v);
    }
    const positions = new Float64Array(3 * source.length);
    source.forEach((s, v) => positions.set(p.subarray(3 * s, 3 * s + 3), 3 * v));
    const triangles = corners.filter((v) => v < n).map((v) => place[v]);
    return { mesh: { positions, triangles }, source: Int32Array.from(source), removals: removals.length };
  }
}

/** Neighbours of v in turn, counter-clockwise; `own` are its triangles. On the border from the next border vertex on. */
export function ringOf(v: number, own: readonly number[], corners: Uint32Array): number[] {
  const from: number[] = [];
  const to: number[] = [];
  for (const t of own) {
    const k = corners[3 * t] === v ? 0 : corners[3 * t + 1] === v ? 1 : 2;
    from.push(corners[3 * t + ((k + 1) % 3)]);
    to.push(corners[3 * t + ((k + 2) % 3)]);
  }
  const start = from.findIndex((a) => !to.includes(a));
  const ring = [from[Math.max(0, start)]];
  for (;;) {
    const next = from.indexOf(ring[ring.length - 1]);
    if (next < 0 || to[next] === ring[0]) return ring;
    ring.push(to[next]);
  }
}

/** Angle of the triangle at a. */
function angleAt(p: Float64Array, a: number, b: number, c: number): number {
  const u = [p[3 * b] - p[3 * a], p[3 * b + 1] - p[3 * a + 1], p[3 * b + 2] - p[3 * a + 2]];
  const v = [p[3 * c] - p[3 * a], p[3 * c + 1] - p[3 * a + 1], p[3 * c + 2] - p[3 * a + 2]];
  return Math.acos(
    Math.max(
      -1,
      Math.min(1, (u[0] * v[0] + u[1] * v[1] + u[2] * v[2]) / (Math.hypot(...u) * Math.hypot(...v) || 1)),
    ),
  );
}

const oldNormal = new Float64Array(3);
const newNormal = new Float64Array(3);

/** Height over longest side, and the unit normal. */
function triangleShape(p: Float64Array, a: number, b: number, c: number, normal: Float64Array): number {
  const twice = 2 * vertexArea(p, a, b, c, normal);
  const longest = Math.max(distanceSquare(p, a, b), distanceSquare(p, b, c), distanceSquare(p, c, a));
  return longest > 0 ? twice / longest : 0;
}

function distanceSquare(p: Float64Array, a: number, b: number): number {
  return (p[3 * a] - p[3 * b]) ** 2 + (p[3 * a + 1] - p[3 * b + 1]) ** 2 + (p[3 * a + 2] - p[3 * b + 2]) ** 2;
}

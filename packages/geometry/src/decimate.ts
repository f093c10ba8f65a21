// Approaches tried: merging vertices on a grid (breaks lines and topology); collapsing edges onto one of their ends by
// quadric error with a term that keeps edges even (this one: kept vertices are vertices of the given mesh).
import { nextHalfEdge } from "./mesh-topology";
import type { TriangleMesh } from "./types";

/** A coarser mesh whose vertices are some of the given mesh's. */
export interface Decimated {
  readonly mesh: TriangleMesh;
  /** Vertex of the given mesh for each vertex. */
  readonly sourceVertex: Uint32Array;
  /** A triangle of the given mesh for each triangle: the one that it grew from. */
  readonly sourceTriangle: Uint32Array;
  /** For each vertex of the given mesh its vertex here, or −1. */
  readonly vertexOf: Int32Array;
}

/** What {@link decimate} keeps. */
export interface DecimateOptions {
  /** Stop at about this many triangles. */
  readonly triangles: number;
  /** Runs of vertices along mesh edges that stay runs of edges. */
  readonly lines?: readonly (readonly number[])[];
  /** One a triangle; edges between different labels stay lines. */
  readonly labels?: ArrayLike<number>;
}

/**
 * Takes vertices away while keeping the shape, the border, given lines and the borders of labels. Edges between slivers, as scans
 * have them, are turned where that moves the surface by less than a twentieth of their length.
 *
 * @returns a mesh of the same topology with at most `triangles` triangles where the lines allow it
 * @source Garland and Heckbert, Surface Simplification Using Quadric Error Metrics, 1997
 * @remarks n log n. Lines lose vertices but keep their corners of more than 30°.
 */
export function decimate(mesh: TriangleMesh, options: DecimateOptions): Decimated {
  const work = new Collapser(mesh, options);
  work.run(options.triangles);
  return work.result();
}

const SHARP = Math.cos((30 * Math.PI) / 180);
/**
 * Triangles with less height over their longest side, as a share of it, are not made; on a mesh that is itself of such needles,
 * where every step on the way to better ones would be refused, none that are slimmer than most by this factor.
 */
const NEEDLE = 0.12;
const LEANING = 0.7;
/** Passes over all edges to be turned, and how far the surface may move by one, against the new edge's length. */
const PASSES = 10;
const FLAT = 0.05;
/** Share of the mesh's area that may be slimmer than what counts as its own. */
const FEW = 0.1;

class Collapser {
  private readonly corners: Uint32Array;
  private readonly alive: Uint8Array;
  private readonly around: (number[] | undefined)[];
  private readonly quadrics: Float64Array;
  private readonly line = new Set<number>();
  /** 0 free, 1 on one line, 2 fixed. */
  private readonly rank: Uint8Array;
  private readonly version: Int32Array;
  private readonly n: number;
  private slimmest = 0;
  private live: number;
  private readonly heap: { cost: number; from: number; to: number; stamp: number }[] = [];

  constructor(
    private readonly mesh: TriangleMesh,
    options: DecimateOptions,
  ) {
    const { positions, triangles } = mesh;
    this.n = positions.length / 3;
    this.corners = triangles.slice();
    this.live = triangles.length / 3;
    this.alive = new Uint8Array(this.live).fill(1);
    this.around = Array.from({ length: this.n }, () => []);
    for (let h = 0; h < triangles.length; h++) this.around[triangles[h]]!.push(Math.floor(h / 3));
    this.quadrics = new Float64Array(10 * this.n);
    for (let t = 0; t < this.live; t++) this.addQuadric(t);
    this.version = new Int32Array(this.n);
    this.collectLines(options);
    this.rank = this.rankVertices();
    this.turnEdges();
    this.slimmest = Math.min(NEEDLE, LEANING * this.ownSlimness());
    for (let v = 0; v < this.n; v++) this.propose(v);
  }

  run(target: number): void {
    this.collapseTo(target);
    // Where a mesh of needles holds the collapses up, turned edges make room for more of them.
    while (this.turnEdges() && this.live > target) {
      const before = this.live;
      this.slimmest = Math.min(NEEDLE, LEANING * this.ownSlimness());
      for (let v = 0; v < this.n; v++) if (this.around[v]) this.propose(v);
      this.collapseTo(target);
      if (this.live > 0.99 * before) break;
    }
  }

  private collapseTo(target: number): void {
    while (this.live > target) {
      const best = this.pop();
      if (!best) return;
      if (this.version[best.from] + this.version[best.to] !== best.stamp) continue;
      if (!this.around[best.from] || !this.around[best.to] || !this.allowed(best.from, best.to)) continue;
      this.collapse(best.from, best.to);
    }
  }

  result(): Decimated {
    const vertexOf = new Int32Array(this.n).fill(-1);
    const sourceVertex: number[] = [];
    const sourceTriangle: number[] = [];
    const corners: number[] = [];
    for (let t = 0; t < this.alive.length; t++) if (this.alive[t]) sourceTriangle.push(t);
    for (let v = 0; v < this.n; v++) {
      if (!this.around[v] || this.around[v]!.length === 0) continue;
      vertexOf[v] = sourceVertex.length;
      sourceVertex.push(v);
    }
    for (const t of sourceTriangle)
      for (let k = 0; k < 3; k++) corners.push(vertexOf[this.corners[3 * t + k]]);
    const positions = new Float64Array(3 * sourceVertex.length);
    sourceVertex.forEach((s, v) => {
      for (let k = 0; k < 3; k++) positions[3 * v + k] = this.mesh.positions[3 * s + k];
    });
    return {
      mesh: { positions, triangles: Uint32Array.from(corners) },
      sourceVertex: Uint32Array.from(sourceVertex),
      sourceTriangle: Uint32Array.from(sourceTriangle),
      vertexOf,
    };
  }

  private key(a: number, b: number): number {
    return Math.min(a, b) * this.n + Math.max(a, b);
  }

  private collectLines({ lines = [], labels }: DecimateOptions): void {
    const { triangles } = this.mesh;
    const first = new Map<number, number>();
    const inner = new Set<number>();
    for (let h = 0; h < triangles.length; h++) {
      const key = this.key(triangles[h], triangles[nextHalfEdge(h)]);
      const other = first.get(key);
      if (other === undefined) {
        first.set(key, h);
        continue;
      }
      inner.add(key);
      if (labels && labels[Math.floor(h / 3)] !== labels[Math.floor(other / 3)]) this.line.add(key);
    }
    for (const key of first.keys()) if (!inner.has(key)) this.line.add(key);
    for (const line of lines)
      for (let i = 1; i < line.length; i++) this.line.add(this.key(line[i - 1], line[i]));
  }

  private rankVertices(): Uint8Array {
    const ends: number[][] = Array.from({ length: this.n }, () => []);
    for (const key of this.line) {
      const a = Math.floor(key / this.n);
      const b = key % this.n;
      ends[a].push(b);
      ends[b].push(a);
    }
    const p = this.mesh.positions;
    return Uint8Array.from(ends, (list, v) => {
      if (list.length === 0) return 0;
      if (list.length !== 2) return 2;
      const [a, b] = list;
      const u = [0, 1, 2].map((k) => p[3 * v + k] - p[3 * a + k]);
      const w = [0, 1, 2].map((k) => p[3 * b + k] - p[3 * v + k]);
      const dot = u[0] * w[0] + u[1] * w[1] + u[2] * w[2];
      return dot < SHARP * Math.hypot(...u) * Math.hypot(...w) ? 2 : 1;
    });
  }

  private normal(a: number, b: number, c: number): [number, number, number] {
    const p = this.mesh.positions;
    const ux = p[3 * b] - p[3 * a];
    const uy = p[3 * b + 1] - p[3 * a + 1];
    const uz = p[3 * b + 2] - p[3 * a + 2];
    const vx = p[3 * c] - p[3 * a];
    const vy = p[3 * c + 1] - p[3 * a + 1];
    const vz = p[3 * c + 2] - p[3 * a + 2];
    return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  }

  private addQuadric(t: number): void {
    const [a, b, c] = [this.corners[3 * t], this.corners[3 * t + 1], this.corners[3 * t + 2]];
    const [x, y, z] = this.normal(a, b, c);
    const size = Math.hypot(x, y, z);
    if (size === 0) return;
    const p = this.mesh.positions;
    const [nx, ny, nz] = [x / size, y / size, z / size];
    const d = -(nx * p[3 * a] + ny * p[3 * a + 1] + nz * p[3 * a + 2]);
    const w = size / 6;
    const q = [nx * nx, nx * ny, nx * nz, nx * d, ny * ny, ny * nz, ny * d, nz * nz, nz * d, d * d];
    for (const v of [a, b, c]) for (let i = 0; i < 10; i++) this.quadrics[10 * v + i] += w * q[i];
  }

  private cost(from: number, to: number): number {
    const p = this.mesh.positions;
    const [x, y, z] = [p[3 * to], p[3 * to + 1], p[3 * to + 2]];
    const q = (i: number): number => this.quadrics[10 * from + i] + this.quadrics[10 * to + i];
    const error =
      q(0) * x * x +
      2 * q(1) * x * y +
      2 * q(2) * x * z +
      2 * q(3) * x +
      q(4) * y * y +
      2 * q(5) * y * z +
      2 * q(6) * y +
      q(7) * z * z +
      2 * q(8) * z +
      q(9);
    const length = Math.hypot(p[3 * from] - x, p[3 * from + 1] - y, p[3 * from + 2] - z);
    return Math.max(0, error) + 0.004 * length * length * length * length;
  }

  /** Puts the cheapest collapse of a vertex on the heap. */
  private propose(v: number): void {
    if (this.rank[v] === 2) return;
    for (const w of this.neighbours(v)) {
      if (this.rank[v] === 1 && !this.line.has(this.key(v, w))) continue;
      this.push({ cost: this.cost(v, w), from: v, to: w, stamp: this.version[v] + this.version[w] });
    }
  }

  private neighbours(v: number): number[] {
    const out: number[] = [];
    for (const t of this.around[v]!)
      for (let k = 0; k < 3; k++) {
        const w = this.corners[3 * t + k];
        if (w !== v && !out.includes(w)) out.push(w);
      }
    return out;
  }

  /** Topology stays (link condition) and no triangle turns over or becomes a needle. */
  private allowed(from: number, to: number): boolean {
    if (this.rank[from] === 2 || (this.rank[from] === 1 && !this.line.has(this.key(from, to)))) return false;
    const shared = this.around[from]!.filter((t) => this.around[to]!.includes(t));
    const near = new Set(this.neighbours(to));
    const common = this.neighbours(from).filter((w) => near.has(w));
    if (common.length !== shared.length || shared.length === 0) return false;
    // A line must not be doubled: the third corners may not both be on lines that would fall together.
    for (const w of common) {
      if (this.line.has(this.key(from, w)) && this.line.has(this.key(to, w))) return false;
    }
    let mean: [number, number, number] | undefined;
    for (const t of this.around[from]!) {
      if (shared.includes(t)) continue;
      const old = [0, 1, 2].map((k) => this.corners[3 * t + k]);
      const next = old.map((v) => (v === from ? to : v));
      const slim = this.slimness(old);
      // A needle's own normal says little about which way the surface looks.
      const a = slim < NEEDLE ? (mean ??= this.meanNormal(from, to)) : this.normal(old[0], old[1], old[2]);
      const b = this.normal(next[0], next[1], next[2]);
      const sizes = Math.hypot(...a) * Math.hypot(...b);
      if (!(a[0] * b[0] + a[1] * b[1] + a[2] * b[2] > 0.6 * sizes)) return false;
      if (this.slimness(next) < (slim < this.slimmest ? LEANING * slim : this.slimmest)) return false;
    }
    return true;
  }

  /** Sum of the normals, by area, of the triangles round two vertices. */
  private meanNormal(from: number, to: number): [number, number, number] {
    const sum: [number, number, number] = [0, 0, 0];
    for (const t of new Set([...this.around[from]!, ...this.around[to]!])) {
      const n = this.normal(this.corners[3 * t], this.corners[3 * t + 1], this.corners[3 * t + 2]);
      for (let k = 0; k < 3; k++) sum[k] += n[k];
    }
    return sum;
  }

  /** Height over the longest side, as a share of that side. */
  private slimness([a, b, c]: ArrayLike<number> & Iterable<number>): number {
    const longest = Math.max(this.squared(a, b), this.squared(b, c), this.squared(c, a));
    return longest > 0 ? Math.hypot(...this.normal(a, b, c)) / longest : 0;
  }

  /** Turns edges between needles where that leaves the shape as it is and better triangles; says whether any were. */
  private turnEdges(): boolean {
    let any = false;
    for (let pass = 0; pass < PASSES; pass++) {
      let turned = 0;
      for (let t = 0; t < this.alive.length; t++) {
        if (!this.alive[t] || this.slimness(this.corners.subarray(3 * t, 3 * t + 3)) >= NEEDLE) continue;
        for (let k = 0; k < 3; k++) {
          if (!this.turn(t, k)) continue;
          turned++;
          break;
        }
      }
      if (turned === 0) break;
      any = true;
    }
    return any;
  }

  /** Turns the edge of a triangle that begins at its corner k, if that is better. */
  private turn(t: number, k: number): boolean {
    const [a, b, c] = [0, 1, 2].map((i) => this.corners[3 * t + ((k + i) % 3)]);
    if (this.line.has(this.key(a, b))) return false;
    const u = this.around[a]!.find((other) => other !== t && this.around[b]!.includes(other));
    if (u === undefined) return false;
    const d = [0, 1, 2].map((i) => this.corners[3 * u + i]).find((v) => v !== a && v !== b)!;
    if (c === d || this.neighbours(c).includes(d)) return false;
    const before = Math.min(this.slimness([a, b, c]), this.slimness([b, a, d]));
    const [one, two] = [
      [a, d, c],
      [d, b, c],
    ];
    if (Math.min(this.slimness(one), this.slimness(two)) < 1.2 * before) return false;
    if (this.rise(a, b, c, d) > FLAT * Math.sqrt(this.squared(c, d))) return false;
    const normals = [[a, b, c], [b, a, d], one, two].map(([x, y, z]) => this.normal(x, y, z));
    const mean = [0, 1, 2].map((i) => normals[0][i] + normals[1][i]);
    // Neither may come to look the other way.
    for (const n of normals.slice(2)) {
      const dot = n[0] * mean[0] + n[1] * mean[1] + n[2] * mean[2];
      if (!(dot > 0.6 * Math.hypot(...n) * Math.hypot(...mean))) return false;
    }
    this.corners.set(one, 3 * t);
    this.corners.set(two, 3 * u);
    this.around[a] = this.around[a]!.filter((x) => x !== u);
    this.around[b] = this.around[b]!.filter((x) => x !== t);
    this.around[c]!.push(u);
    this.around[d]!.push(t);
    for (const v of [a, b, c, d]) this.version[v]++;
    return true;
  }

  /** How far the lines a b and c d pass from each other, mm. */
  private rise(a: number, b: number, c: number, d: number): number {
    const p = this.mesh.positions;
    const [u, w, g] = [
      [a, b],
      [c, d],
      [a, c],
    ].map(([x, y]) => [0, 1, 2].map((k) => p[3 * y + k] - p[3 * x + k]));
    const n = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]];
    const size = Math.hypot(...n);
    return size > 0 ? Math.abs(g[0] * n[0] + g[1] * n[1] + g[2] * n[2]) / size : Infinity;
  }

  private squared(u: number, v: number): number {
    const p = this.mesh.positions;
    return (
      (p[3 * u] - p[3 * v]) ** 2 + (p[3 * u + 1] - p[3 * v + 1]) ** 2 + (p[3 * u + 2] - p[3 * v + 2]) ** 2
    );
  }

  /** The slimness that all but a few of the given triangles have, by area. */
  private ownSlimness(): number {
    const each = Array.from(this.alive, (_, t) => {
      const corners = this.corners.subarray(3 * t, 3 * t + 3);
      return {
        slim: this.slimness(corners),
        area: Math.hypot(...this.normal(corners[0], corners[1], corners[2])),
      };
    }).sort((a, b) => a.slim - b.slim);
    let left = FEW * each.reduce((sum, { area }) => sum + area, 0);
    return each.find(({ area }) => (left -= area) < 0)?.slim ?? 1;
  }

  private collapse(from: number, to: number): void {
    const moved: number[] = [];
    for (const t of this.around[from]!) {
      const held = [0, 1, 2].some((k) => this.corners[3 * t + k] === to);
      if (held) {
        this.alive[t] = 0;
        this.live--;
        for (let k = 0; k < 3; k++) {
          const v = this.corners[3 * t + k];
          if (v !== from) this.around[v] = this.around[v]!.filter((u) => u !== t);
        }
        continue;
      }
      for (let k = 0; k < 3; k++) if (this.corners[3 * t + k] === from) this.corners[3 * t + k] = to;
      moved.push(t);
    }
    if (this.rank[from] === 1) {
      for (const t of moved)
        for (let k = 0; k < 3; k++) {
          const w = this.corners[3 * t + k];
          if (w !== to && this.line.has(this.key(from, w))) this.line.add(this.key(to, w));
        }
    }
    this.around[to]!.push(...moved);
    this.around[from] = undefined;
    for (let i = 0; i < 10; i++) this.quadrics[10 * to + i] += this.quadrics[10 * from + i];
    this.version[to]++;
    const again = this.neighbours(to);
    this.propose(to);
    for (const w of again) {
      if (this.rank[w] === 2 || (this.rank[w] === 1 && !this.line.has(this.key(w, to)))) continue;
      this.push({ cost: this.cost(w, to), from: w, to, stamp: this.version[w] + this.version[to] });
    }
  }

  private before(
    a: { cost: number; from: number; to: number },
    b: { cost: number; from: number; to: number },
  ): boolean {
    return a.cost < b.cost || (a.cost === b.cost && (a.from < b.from || (a.from === b.from && a.to < b.to)));
  }

  private push(entry: { cost: number; from: number; to: number; stamp: number }): void {
    const { heap } = this;
    let i = heap.length;
    heap.push(entry);
    while (i > 0) {
      const up = (i - 1) >> 1;
      if (!this.before(entry, heap[up])) break;
      heap[i] = heap[up];
      i = up;
    }
    heap[i] = entry;
  }

  private pop(): { cost: number; from: number; to: number; stamp: number } | undefined {
    const { heap } = this;
    const top = heap[0];
    const last = heap.pop();
    if (!last || heap.length === 0) return top;
    let i = 0;
    for (;;) {
      let down = 2 * i + 1;
      if (down >= heap.length) break;
      if (down + 1 < heap.length && this.before(heap[down + 1], heap[down])) down++;
      if (!this.before(heap[down], last)) break;
      heap[i] = heap[down];
      i = down;
    }
    heap[i] = last;
    return top;
  }
}

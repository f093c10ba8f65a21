// Approaches tried: edges only (up to 15 % too long, jagged); fast marching (no paths through weights that jump);
// points on edges, then straightening (this one: 2 a side give about 1 %, the straightening takes most of the rest).
import type { Point3, TriangleMesh } from "./types";
import { nextHalfEdge, previousHalfEdge } from "./mesh-topology";

/** A surface for geodesics: triangles, neighbours, and where paths may not pass. */
export interface GeodesicSurface {
  readonly positions: ArrayLike<number>;
  readonly corners: ArrayLike<number>;
  /** Opposite half-edge, or negative. */
  readonly twin: ArrayLike<number>;
  /** Non-zero half-edges stop a path, as the border does. */
  readonly mark?: ArrayLike<number>;
  /** Cost of one mm in each triangle; Infinity forbids it. Default 1. */
  readonly weight?: ArrayLike<number>;
  /** Factor on the cost for a direction (unit vector) in a triangle. */
  readonly directionWeight?: (triangle: number, x: number, y: number, z: number) => number;
  /** Triangles to stay in, non-zero to allow. */
  readonly inside?: ArrayLike<number>;
}

/** A place on a half-edge (t in 0..1) or at a vertex (half = -1). */
export interface GraphPoint {
  readonly vertex: number;
  readonly half: number;
  readonly t: number;
}

/** Cost fields over the nodes of a {@link SteinerGraph}. */
export interface CostField {
  readonly cost: Float64Array;
  readonly previous: Int32Array;
}

/** Points on all edges of a surface, joined across triangles: shortest paths over it near the true geodesics. */
export class SteinerGraph {
  readonly vertexCount: number;
  readonly nodeCount: number;
  /** Half-edge with the lower index of each edge. */
  readonly edgeHalf: Int32Array;
  private readonly edgeOf: Int32Array;
  private readonly x: Float64Array;
  /** Outgoing half-edges of each vertex, packed. */
  private readonly starStart: Int32Array;
  private readonly starList: Int32Array;

  constructor(
    readonly surface: GeodesicSurface,
    readonly perEdge = 2,
  ) {
    const { positions, corners, twin } = surface;
    this.vertexCount = positions.length / 3;
    this.edgeOf = new Int32Array(corners.length).fill(-1);
    const halves: number[] = [];
    for (let h = 0; h < corners.length; h++) {
      if (this.edgeOf[h] >= 0) continue;
      this.edgeOf[h] = halves.length;
      if (twin[h] >= 0) this.edgeOf[twin[h]] = halves.length;
      halves.push(h);
    }
    this.edgeHalf = Int32Array.from(halves);
    this.nodeCount = this.vertexCount + halves.length * perEdge;
    this.x = new Float64Array(3 * this.nodeCount);
    for (let i = 0; i < positions.length; i++) this.x[i] = positions[i];
    let at = positions.length;
    for (const h of halves) {
      const a = 3 * corners[h];
      const b = 3 * corners[nextHalfEdge(h)];
      for (let k = 1; k <= perEdge; k++) {
        const t = k / (perEdge + 1);
        for (let i = 0; i < 3; i++)
          this.x[at++] = positions[a + i] + (positions[b + i] - positions[a + i]) * t;
      }
    }
    this.starStart = new Int32Array(this.vertexCount + 1);
    for (let h = 0; h < corners.length; h++) this.starStart[corners[h] + 1]++;
    for (let v = 0; v < this.vertexCount; v++) this.starStart[v + 1] += this.starStart[v];
    this.starList = new Int32Array(corners.length);
    const fill = this.starStart.slice();
    for (let h = 0; h < corners.length; h++) this.starList[fill[corners[h]]++] = h;
  }

  /** Where a node lies. */
  point(node: number): GraphPoint {
    if (node < this.vertexCount) return { vertex: node, half: -1, t: 0 };
    const edge = Math.floor((node - this.vertexCount) / this.perEdge);
    const k = (node - this.vertexCount) % this.perEdge;
    return { vertex: -1, half: this.edgeHalf[edge], t: (k + 1) / (this.perEdge + 1) };
  }

  position(node: number): Point3 {
    return [this.x[3 * node], this.x[3 * node + 1], this.x[3 * node + 2]];
  }

  /** First node of the edge of half-edge h; its nodes follow each other. */
  firstOnEdge(h: number): number {
    return this.vertexCount + this.edgeOf[h] * this.perEdge;
  }

  /** Whether the edge of h is a border or marked. */
  closed(h: number): boolean {
    return this.surface.twin[h] < 0 || (this.surface.mark !== undefined && this.surface.mark[h] !== 0);
  }

  /** Nodes on closed edges: where a path ends that runs to a line or border. */
  closedNodes(): Uint8Array {
    const out = new Uint8Array(this.nodeCount);
    const { corners } = this.surface;
    for (const h of this.edgeHalf) {
      if (!this.closed(h)) continue;
      out[corners[h]] = out[corners[nextHalfEdge(h)]] = 1;
      const first = this.firstOnEdge(h);
      for (let k = 0; k < this.perEdge; k++) out[first + k] = 1;
    }
    return out;
  }

  /**
   * Least cost from the sources to every node. Nodes with `stop` set are reached but not passed.
   *
   * @param sources - node and starting cost
   */
  costsFrom(sources: readonly (readonly [number, number])[], stop?: Uint8Array, limit = Infinity): CostField {
    const cost = new Float64Array(this.nodeCount).fill(Infinity);
    const previous = new Int32Array(this.nodeCount).fill(-1);
    const done = new Uint8Array(this.nodeCount);
    const heap = new Heap();
    const start = new Set<number>();
    for (const [node, c] of sources) {
      start.add(node);
      if (c < cost[node]) {
        cost[node] = c;
        heap.push(node, c);
      }
    }
    const relax = (from: number, to: number, triangle: number): void => {
      if (done[to]) return;
      const c = cost[from] + this.step(from, to, triangle);
      if (c < cost[to] && c <= limit) {
        cost[to] = c;
        previous[to] = from;
        heap.push(to, c);
      }
    };
    for (let node = heap.pop(); node >= 0; node = heap.pop()) {
      if (done[node]) continue;
      done[node] = 1;
      if (stop && stop[node] && !start.has(node)) continue;
      this.visit(node, relax);
    }
    return { cost, previous };
  }

  /** Nodes from a source to the given node. */
  pathTo(field: CostField, node: number): number[] {
    const path: number[] = [];
    for (let n = node; n >= 0; n = field.previous[n]) path.push(n);
    return path.reverse();
  }

  /** Cost of a straight step between two nodes of one triangle. */
  step(from: number, to: number, triangle: number): number {
    const { weight, inside, directionWeight } = this.surface;
    if (inside && !inside[triangle]) return Infinity;
    const x = this.x[3 * to] - this.x[3 * from];
    const y = this.x[3 * to + 1] - this.x[3 * from + 1];
    const z = this.x[3 * to + 2] - this.x[3 * from + 2];
    const length = Math.sqrt(x * x + y * y + z * z);
    let w = weight ? weight[triangle] : 1;
    if (directionWeight && length > 0) w *= directionWeight(triangle, x / length, y / length, z / length);
    return length === 0 ? 0 : w * length;
  }

  private visit(node: number, relax: (from: number, to: number, triangle: number) => void): void {
    const { corners, twin } = this.surface;
    if (node < this.vertexCount) {
      for (let i = this.starStart[node]; i < this.starStart[node + 1]; i++) {
        const h = this.starList[i];
        const t = Math.floor(h / 3);
        this.relaxEdge(node, nextHalfEdge(h), t, relax);
        this.relaxEdge(node, h, t, relax);
        this.relaxEdge(node, previousHalfEdge(h), t, relax);
      }
      return;
    }
    const h = this.edgeHalf[Math.floor((node - this.vertexCount) / this.perEdge)];
    for (const side of [h, twin[h]]) {
      if (side < 0) continue;
      const t = Math.floor(side / 3);
      relax(node, corners[side], t);
      relax(node, corners[nextHalfEdge(side)], t);
      this.relaxEdge(node, nextHalfEdge(side), t, relax);
      this.relaxEdge(node, previousHalfEdge(side), t, relax);
    }
  }

  private relaxEdge(
    node: number,
    h: number,
    triangle: number,
    relax: (from: number, to: number, triangle: number) => void,
  ): void {
    const first = this.firstOnEdge(h);
    for (let k = 0; k < this.perEdge; k++) relax(node, first + k, triangle);
    const { corners } = this.surface;
    const a = corners[h];
    const b = corners[nextHalfEdge(h)];
    if (a !== node) relax(node, a, triangle);
    if (b !== node) relax(node, b, triangle);
  }
}

/** Smallest first; equal keys by node index, so that runs agree. */
class Heap {
  private readonly nodes: number[] = [];
  private readonly keys: number[] = [];

  push(node: number, key: number): void {
    const { nodes, keys } = this;
    let i = nodes.length;
    nodes.push(node);
    keys.push(key);
    while (i > 0) {
      const up = (i - 1) >> 1;
      if (keys[up] < key || (keys[up] === key && nodes[up] <= node)) break;
      nodes[i] = nodes[up];
      keys[i] = keys[up];
      i = up;
    }
    nodes[i] = node;
    keys[i] = key;
  }

  pop(): number {
    const { nodes, keys } = this;
    if (nodes.length === 0) return -1;
    const top = nodes[0];
    const node = nodes.pop()!;
    const key = keys.pop()!;
    const count = nodes.length;
    if (count === 0) return top;
    let i = 0;
    for (;;) {
      let down = 2 * i + 1;
      if (down >= count) break;
      const right = down + 1;
      if (
        right < count &&
        (keys[right] < keys[down] || (keys[right] === keys[down] && nodes[right] < nodes[down]))
      )
        down = right;
      if (key < keys[down] || (key === keys[down] && node <= nodes[down])) break;
      nodes[i] = nodes[down];
      keys[i] = keys[down];
      i = down;
    }
    nodes[i] = node;
    keys[i] = key;
    return top;
  }
}

/** The surface of a plain mesh with its neighbours. */
export function geodesicSurface(
  mesh: TriangleMesh,
  twin: ArrayLike<number>,
  more: Partial<GeodesicSurface> = {},
): GeodesicSurface {
  return { positions: mesh.positions, corners: mesh.triangles, twin, ...more };
}

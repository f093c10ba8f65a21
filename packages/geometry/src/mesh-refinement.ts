// A mesh that can be cut anywhere: half-edges in growable arrays, every new vertex knowing where it lies on the base.
import { fail } from "@peltry/issues";
import { meshTopology, nextHalfEdge, previousHalfEdge } from "./mesh-topology";
import { cleanWeights, type SurfacePoint } from "./surface-point";
import type { TriangleMesh } from "./types";

/**
 * A refined copy of a mesh. Triangles of the base keep their index as long as they are whole; parts are added behind.
 * Half-edges carry a mark (0 for none) that survives splits, so that lines, borders and cuts can be followed.
 */
export class MeshRefinement {
  readonly positions: number[];
  readonly corners: number[];
  /** Opposite half-edge, or negative on a border. */
  readonly twin: number[];
  /** Line that the half-edge belongs to; 0 for none. Both half-edges of an edge agree. */
  readonly mark: number[];
  /** Triangle of the base for each triangle. */
  readonly baseTriangle: number[];
  /** Where each vertex lies on the base. */
  readonly place: SurfacePoint[];
  /** One half-edge that leaves each vertex. */
  private readonly outgoing: number[];
  private readonly parts: Map<number, number[]>;
  /** A half-edge of each base vertex, to find its triangles. */
  private readonly baseTwin: ArrayLike<number>;
  private readonly baseOutgoing: Int32Array;

  constructor(
    readonly base: TriangleMesh,
    from?: MeshRefinement,
  ) {
    if (from) {
      this.positions = from.positions.slice();
      this.corners = from.corners.slice();
      this.twin = from.twin.slice();
      this.mark = from.mark.slice();
      this.baseTriangle = from.baseTriangle.slice();
      this.place = from.place.slice();
      this.outgoing = from.outgoing.slice();
      this.parts = new Map([...from.parts].map(([t, list]) => [t, list.slice()]));
      this.baseTwin = from.baseTwin;
      this.baseOutgoing = from.baseOutgoing;
      return;
    }
    const topology = meshTopology(base);
    this.positions = Array.from(base.positions);
    this.corners = Array.from(base.triangles);
    this.twin = Array.from(topology.twin);
    this.mark = new Array<number>(this.corners.length).fill(0);
    this.baseTriangle = Array.from({ length: topology.triangleCount }, (_, t) => t);
    this.parts = new Map();
    this.baseTwin = topology.twin;
    this.baseOutgoing = new Int32Array(topology.vertexCount).fill(-1);
    for (let h = 0; h < this.corners.length; h++) {
      const v = this.corners[h];
      // Prefer the border half-edge, from which a turn round the vertex meets every triangle.
      if (this.baseOutgoing[v] < 0 || this.twin[h] < 0) this.baseOutgoing[v] = h;
    }
    this.outgoing = Array.from(this.baseOutgoing);
    this.place = Array.from({ length: topology.vertexCount }, (_, v): SurfacePoint => {
      const h = this.baseOutgoing[v];
      const weights: [number, number, number] = [0, 0, 0];
      if (h >= 0) weights[h % 3] = 1;
      return { triangle: Math.max(0, Math.floor(h / 3)), weights };
    });
  }

  /** An independent copy that shares the base. */
  copy(): MeshRefinement {
    return new MeshRefinement(this.base, this);
  }

  get vertexCount(): number {
    return this.positions.length / 3;
  }

  get triangleCount(): number {
    return this.corners.length / 3;
  }

  /** The refined surface as a plain mesh. */
  toMesh(): TriangleMesh {
    return { positions: Float64Array.from(this.positions), triangles: Uint32Array.from(this.corners) };
  }

  /** Half-edges that leave a vertex, turning counter-clockwise. */
  star(v: number): number[] {
    return turnRound(v, this.outgoing[v], this.twin, this.corners);
  }

  /** Triangles of the base round a base vertex. */
  baseStar(v: number): number[] {
    const first = this.baseOutgoing[v];
    if (first < 0) return [];
    return turnRound(v, first, this.baseTwin, this.base.triangles).map((h) => Math.floor(h / 3));
  }

  /** The half-edge from a to b or, on a border, that from b to a; -1 when they share no edge. */
  edgeBetween(a: number, b: number): number {
    for (const h of this.star(a)) {
      if (this.corners[nextHalfEdge(h)] === b) return h;
      const back = previousHalfEdge(h);
      if (this.corners[back] === b) return this.twin[back] >= 0 ? this.twin[back] : back;
    }
    return -1;
  }

  /** Marks every edge of a run of vertices. An edge that is marked already keeps its mark. */
  markPath(path: readonly number[], mark: number): void {
    for (let i = 1; i < path.length; i++) {
      const h = this.edgeBetween(path[i - 1], path[i]);
      if (h < 0) {
        fail(
          "geometry/path-not-on-edges",
          `The run steps from vertex ${path[i - 1]} to vertex ${path[i]}, which share no edge.`,
          { index: i, vertex: path[i - 1] },
          { fix: "Insert the path into the mesh first, so that it follows edges." },
        );
      }
      this.markEdge(h, mark);
    }
  }

  /** Marks one edge unless it has a mark. */
  markEdge(h: number, mark: number): void {
    if (this.mark[h] !== 0) return;
    this.mark[h] = mark;
    if (this.twin[h] >= 0) this.mark[this.twin[h]] = mark;
  }

  /** Whether a marked edge or the border touches the vertex. */
  onLine(v: number): boolean {
    return this.star(v).some((h) => {
      const back = previousHalfEdge(h);
      return this.mark[h] !== 0 || this.mark[back] !== 0 || this.twin[h] < 0 || this.twin[back] < 0;
    });
  }

  /** Weights of a vertex in a base triangle that holds it; undefined when it lies elsewhere. */
  weightsIn(v: number, triangle: number): readonly [number, number, number] | undefined {
    const { triangle: own, weights } = this.place[v];
    if (own === triangle) return weights;
    const base = this.base.triangles;
    const out: [number, number, number] = [0, 0, 0];
    for (let k = 0; k < 3; k++) {
      if (weights[k] <= 0) continue;
      const w = base[3 * own + k];
      if (base[3 * triangle] === w) out[0] = weights[k];
      else if (base[3 * triangle + 1] === w) out[1] = weights[k];
      else if (base[3 * triangle + 2] === w) out[2] = weights[k];
      else return undefined;
    }
    return out;
  }

  /** Triangles that a base triangle has been divided into. */
  partsOf(triangle: number): readonly number[] {
    return this.parts.get(triangle) ?? [triangle];
  }

  /** The base point at fraction t along a half-edge. */
  placeOnEdge(h: number, t: number): SurfacePoint {
    const triangle = this.baseTriangle[Math.floor(h / 3)];
    const a = this.weightsIn(this.corners[h], triangle)!;
    const b = this.weightsIn(this.corners[nextHalfEdge(h)], triangle)!;
    const s = 1 - t;
    return {
      triangle,
      weights: cleanWeights(s * a[0] + t * b[0], s * a[1] + t * b[1], s * a[2] + t * b[2], 1e-12),
    };
  }

  /** Divides an edge at fraction t; both its triangles become two. Gives the new vertex. */
  splitEdge(h: number, t: number): number {
    const m = this.addVertex(this.placeOnEdge(h, t), this.corners[h], this.corners[nextHalfEdge(h)], t);
    const g = this.twin[h];
    const second = this.splitSide(h, m);
    if (g >= 0) {
      const other = this.splitSide(g, m);
      // h now runs a → m and its new part m → b; g runs b → m and its new part m → a.
      this.join(h, other);
      this.join(second, g);
      this.outgoing[m] = second;
    } else {
      this.twin[second] = this.twin[h];
      this.outgoing[m] = second;
    }
    return m;
  }

  /** Puts a vertex inside a triangle, which becomes three. Weights are those of the base triangle. */
  splitTriangle(t: number, place: SurfacePoint): number {
    const m = this.vertexCount;
    const { triangles, positions } = this.base;
    for (let i = 0; i < 3; i++) {
      let x = 0;
      for (let k = 0; k < 3; k++)
        x += place.weights[k] * positions[3 * triangles[3 * place.triangle + k] + i];
      this.positions.push(x);
    }
    this.place.push(place);
    const [h0, h1, h2] = [3 * t, 3 * t + 1, 3 * t + 2];
    const [a, b, c] = [this.corners[h0], this.corners[h1], this.corners[h2]];
    const [twin1, twin2, mark1, mark2] = [this.twin[h1], this.twin[h2], this.mark[h1], this.mark[h2]];
    const t1 = this.addTriangle(t, b, c, m);
    const t2 = this.addTriangle(t, c, a, m);
    this.corners[h2] = m;
    this.connect(3 * t1, twin1, mark1);
    this.connect(3 * t2, twin2, mark2);
    this.mark[h1] = this.mark[h2] = 0;
    this.join(h1, 3 * t1 + 2);
    this.join(3 * t1 + 1, 3 * t2 + 2);
    this.join(3 * t2 + 1, h2);
    this.outgoing[m] = h2;
    this.touch(a, h0);
    this.touch(b, 3 * t1);
    this.touch(c, 3 * t2);
    return m;
  }

  private addVertex(place: SurfacePoint, a: number, b: number, t: number): number {
    const p = this.positions;
    for (let i = 0; i < 3; i++) p.push(p[3 * a + i] + (p[3 * b + i] - p[3 * a + i]) * t);
    this.place.push(place);
    this.outgoing.push(-1);
    return this.place.length - 1;
  }

  /** Cuts the triangle of h = a → b, c opposite, into a m c (keeps h) and m b c; gives the new half-edge m → b. */
  private splitSide(h: number, m: number): number {
    const n = nextHalfEdge(h);
    const b = this.corners[n];
    const c = this.corners[nextHalfEdge(n)];
    const t = Math.floor(h / 3);
    const added = this.addTriangle(t, m, b, c);
    this.connect(3 * added + 1, this.twin[n], this.mark[n]);
    this.mark[3 * added] = this.mark[h];
    this.corners[n] = m;
    this.mark[n] = 0;
    this.join(n, 3 * added + 2);
    this.touch(b, 3 * added + 1);
    this.touch(c, 3 * added + 2);
    return 3 * added;
  }

  private addTriangle(like: number, a: number, b: number, c: number): number {
    const t = this.triangleCount;
    this.corners.push(a, b, c);
    this.twin.push(-1, -1, -1);
    this.mark.push(0, 0, 0);
    const base = this.baseTriangle[like];
    this.baseTriangle.push(base);
    const list = this.parts.get(base);
    if (list) list.push(t);
    else this.parts.set(base, [base, t]);
    return t;
  }

  private join(g: number, h: number): void {
    this.twin[g] = h;
    this.twin[h] = g;
  }

  private connect(h: number, twin: number, mark: number): void {
    this.twin[h] = twin;
    this.mark[h] = mark;
    if (twin >= 0) this.twin[twin] = h;
  }

  /** Keeps `outgoing` valid, and on the border half-edge where there is one. */
  private touch(v: number, h: number): void {
    const now = this.outgoing[v];
    if (this.corners[now] !== v || this.twin[h] < 0) this.outgoing[v] = h;
  }
}

/** Half-edges from v, counter-clockwise, beginning at the border where v lies on one. */
function turnRound(v: number, first: number, twin: ArrayLike<number>, corners: ArrayLike<number>): number[] {
  const list: number[] = [];
  let h = first;
  // Turn clockwise to the border first.
  for (let guard = 0; guard < corners.length; guard++) {
    const g = twin[h];
    if (g < 0) break;
    h = nextHalfEdge(g);
    if (h === first) break;
  }
  const start = h;
  for (let guard = 0; guard < corners.length; guard++) {
    list.push(h);
    const g = twin[previousHalfEdge(h)];
    if (g < 0 || g === start || corners[g] !== v) break;
    h = g;
  }
  return list;
}

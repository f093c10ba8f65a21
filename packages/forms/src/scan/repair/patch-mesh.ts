/** A small mesh over a hole that can be refined: the first `rim` vertices are fixed. */
export class PatchMesh {
  private edges = new Map<number, number[]>();
  private static readonly STRIDE = 2_000_000;

  /**
   * @param points - x, y, z in turn; grows
   * @param triangles - vertex triples; grows
   */
  constructor(
    readonly points: number[],
    readonly triangles: number[],
    readonly rim: number,
  ) {}

  private key(a: number, b: number): number {
    return Math.min(a, b) * PatchMesh.STRIDE + Math.max(a, b);
  }

  private index(): void {
    this.edges = new Map();
    for (let t = 0; t < this.triangles.length / 3; t++) this.enter(t);
  }

  private enter(t: number): void {
    for (let k = 0; k < 3; k++) {
      const key = this.key(this.triangles[3 * t + k], this.triangles[3 * t + ((k + 1) % 3)]);
      const list = this.edges.get(key);
      if (list) list.push(t);
      else this.edges.set(key, [t]);
    }
  }

  private leave(t: number): void {
    for (let k = 0; k < 3; k++) {
      const list = this.edges.get(
        this.key(this.triangles[3 * t + k], this.triangles[3 * t + ((k + 1) % 3)]),
      )!;
      list.splice(list.indexOf(t), 1);
    }
  }

  distance(a: number, b: number): number {
    const p = this.points;
    return Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]);
  }

  /** Splits inner edges longer than `limit`, flips towards Delaunay and evens out, until nothing is too long. */
  refine(limit: number): void {
    this.index();
    this.flipAll();
    for (let round = 0; round < 12; round++) {
      if (this.splitLong(limit) === 0) break;
      this.flipAll();
      this.relax(2);
    }
  }

  private splitLong(limit: number): number {
    const long = [...this.edges]
      .filter(([, list]) => list.length === 2)
      .map(([key]) => ({
        key,
        length: this.distance(Math.floor(key / PatchMesh.STRIDE), key % PatchMesh.STRIDE),
      }))
      .filter(({ length }) => length > limit)
      .sort((a, b) => b.length - a.length || a.key - b.key);
    let count = 0;
    const busy = new Set<number>();
    for (const { key } of long) {
      const list = this.edges.get(key);
      if (!list || list.length !== 2 || list.some((t) => busy.has(t))) continue;
      if (this.triangles.length > 600_000) break;
      for (const t of list) busy.add(t);
      this.split(Math.floor(key / PatchMesh.STRIDE), key % PatchMesh.STRIDE, list[0], list[1]);
      count++;
    }
    return count;
  }

  private split(a: number, b: number, t: number, u: number): void {
    const p = this.points;
    const m = p.length / 3;
    for (let k = 0; k < 3; k++) p.push((p[3 * a + k] + p[3 * b + k]) / 2);
    for (const face of [t, u]) {
      this.leave(face);
      const corners = this.triangles.slice(3 * face, 3 * face + 3);
      const fresh = this.triangles.length / 3;
      this.triangles.push(...corners.map((v) => (v === b ? m : v)));
      for (let k = 0; k < 3; k++) this.triangles[3 * face + k] = corners[k] === a ? m : corners[k];
      this.enter(face);
      this.enter(fresh);
    }
  }

  private flipAll(): void {
    for (let round = 0; round < 8; round++) {
      let flips = 0;
      for (const key of [...this.edges.keys()])
        if (this.flip(Math.floor(key / PatchMesh.STRIDE), key % PatchMesh.STRIDE)) flips++;
      if (flips === 0) return;
    }
  }

  /** Flips an edge whose opposite angles sum to more than half a turn. */
  private flip(a: number, b: number): boolean {
    const list = this.edges.get(this.key(a, b));
    if (!list || list.length !== 2) return false;
    const [t, u] = list;
    const c = this.third(t, a, b);
    const d = this.third(u, a, b);
    if (c === d || (this.edges.get(this.key(c, d))?.length ?? 0) > 0) return false;
    if (this.angle(c, a, b) + this.angle(d, a, b) <= Math.PI + 1e-9) return false;
    // The quad has to be convex seen flat: each new triangle needs its corners in sense.
    if (
      this.angle(a, b, c) + this.angle(a, b, d) >= Math.PI - 1e-6 ||
      this.angle(b, a, c) + this.angle(b, a, d) >= Math.PI - 1e-6
    )
      return false;
    const corners = this.triangles.slice(3 * t, 3 * t + 3);
    const forward = corners[(corners.indexOf(a) + 1) % 3] === b;
    this.leave(t);
    this.leave(u);
    const [from, to] = forward ? [a, b] : [b, a];
    // t was from → to → c, u was to → from → d.
    this.triangles.splice(3 * t, 3, from, d, c);
    this.triangles.splice(3 * u, 3, to, c, d);
    this.enter(t);
    this.enter(u);
    return true;
  }

  private third(t: number, a: number, b: number): number {
    return this.triangles[3 * t] + this.triangles[3 * t + 1] + this.triangles[3 * t + 2] - a - b;
  }

  private angle(at: number, to: number, and: number): number {
    const p = this.points;
    const u = [0, 1, 2].map((k) => p[3 * to + k] - p[3 * at + k]);
    const v = [0, 1, 2].map((k) => p[3 * and + k] - p[3 * at + k]);
    const cross = Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]);
    return Math.atan2(cross, u[0] * v[0] + u[1] * v[1] + u[2] * v[2]);
  }

  /** Neighbours of each vertex. */
  neighbours(): number[][] {
    const around: Set<number>[] = Array.from({ length: this.points.length / 3 }, () => new Set());
    for (let i = 0; i < this.triangles.length; i++) {
      const other = this.triangles[i % 3 === 2 ? i - 2 : i + 1];
      around[this.triangles[i]].add(other);
      around[other].add(this.triangles[i]);
    }
    return around.map((set) => [...set]);
  }

  private relax(rounds: number): void {
    const around = this.neighbours();
    const p = this.points;
    for (let round = 0; round < rounds; round++) {
      for (let v = this.rim; v < around.length; v++) {
        for (let k = 0; k < 3; k++) {
          let sum = 0;
          for (const w of around[v]) sum += p[3 * w + k];
          p[3 * v + k] = sum / around[v].length;
        }
      }
    }
  }
}

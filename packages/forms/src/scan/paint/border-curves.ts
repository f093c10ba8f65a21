import { nextHalfEdge as next, buildEdgeTable, type TriangleMesh } from "@peltry/geometry";

/** A run of edges between two regions, or between a region and the outside. */
export interface BorderRun {
  /** Region on its left, and on its right (−1 for the outside); the lower number first for inner borders. */
  readonly left: number;
  readonly right: number;
  readonly path: readonly number[];
  readonly closed: boolean;
}

/** Chains the edges between regions into runs that end where three meet or at the rim, and the rims into loops. */
export function borderRuns(
  mesh: TriangleMesh,
  regionOf: Int32Array,
): { borders: BorderRun[]; rims: BorderRun[] } {
  const { triangles } = mesh;
  const table = buildEdgeTable(triangles, mesh.positions.length / 3);
  const inner = new Map<string, [number, number][]>();
  const rim: [number, number][] = [];
  const onRim = new Set<number>();
  const degree = new Map<number, number>();
  for (let e = 0; e < table.edgeCount; e++) {
    const h = table.uses[table.start[e]];
    const [a, b] = [triangles[h], triangles[next(h)]];
    if (table.start[e + 1] - table.start[e] === 1) {
      rim.push([a, b]);
      onRim.add(a).add(b);
      continue;
    }
    const g = table.uses[table.start[e] + 1];
    const [r, s] = [regionOf[Math.floor(h / 3)], regionOf[Math.floor(g / 3)]];
    if (r === s) continue;
    const key = r < s ? `${r},${s}` : `${s},${r}`;
    const list = inner.get(key);
    // The lower region lies on the left.
    const edge: [number, number] = r < s ? [a, b] : [b, a];
    if (list) list.push(edge);
    else inner.set(key, [edge]);
    for (const v of edge) degree.set(v, (degree.get(v) ?? 0) + 1);
  }
  const borders = [...inner].flatMap(([key, edges]) => {
    const [left, right] = key.split(",").map(Number);
    return chain(edges, (v) => onRim.has(v) || degree.get(v) !== 2).map((run) => ({ left, right, ...run }));
  });
  const rims = chain(rim, () => false).map((run) => ({ left: 0, right: -1, ...run }));
  return { borders, rims };
}

/** Directed edges into runs that stop at vertices where `stop` holds. */
function chain(
  edges: readonly [number, number][],
  stop: (v: number) => boolean,
): { path: number[]; closed: boolean }[] {
  const after = new Map<number, number[]>();
  const into = new Map<number, number>();
  for (const [a, b] of edges) {
    const list = after.get(a);
    if (list) list.push(b);
    else after.set(a, [b]);
    into.set(b, (into.get(b) ?? 0) + 1);
  }
  const runs: { path: number[]; closed: boolean }[] = [];
  const walk = (from: number): void => {
    const path = [from];
    let here = from;
    for (;;) {
      const list = after.get(here);
      if (!list || list.length === 0) break;
      here = list.pop()!;
      if (here === from) {
        runs.push({ path, closed: true });
        return;
      }
      path.push(here);
      if (stop(here)) break;
    }
    if (path.length > 1) runs.push({ path, closed: false });
  };
  for (const [a] of edges) {
    if (stop(a) || !into.has(a)) while ((after.get(a)?.length ?? 0) > 0) walk(a);
  }
  for (const [a] of edges) while ((after.get(a)?.length ?? 0) > 0) walk(a);
  return runs;
}

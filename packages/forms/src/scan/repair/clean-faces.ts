import { nextHalfEdge as next, vertexArea, type EdgeTable } from "@peltry/geometry";
import { edgesOf, keepTriangles, type WorkingMesh } from "./working-mesh";

/** Removes triangles that name a vertex twice; returns how many. */
export function removeZeroFaces(mesh: WorkingMesh): number {
  const { triangles } = mesh;
  const keep = new Uint8Array(triangles.length / 3);
  let removed = 0;
  for (let t = 0; t < keep.length; t++) {
    const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    keep[t] = a !== b && b !== c && a !== c ? 1 : 0;
    removed += 1 - keep[t];
  }
  keepTriangles(mesh, keep);
  return removed;
}

/**
 * Closes triangles of no area that have three vertices: two in one place are joined; three on one line hand their long
 * side to the neighbour. Taking them out would leave a slit.
 */
export function closeFlatFaces(mesh: WorkingMesh): number {
  const { positions: p } = mesh;
  const vertexCount = p.length / 3;
  const joined = new Int32Array(vertexCount);
  for (let v = 0; v < vertexCount; v++) joined[v] = v;
  const find = (v: number): number => {
    while (joined[v] !== v) v = joined[v] = joined[joined[v]];
    return v;
  };
  const same = (a: number, b: number): boolean =>
    p[3 * a] === p[3 * b] && p[3 * a + 1] === p[3 * b + 1] && p[3 * a + 2] === p[3 * b + 2];
  let count = 0;
  const flat: number[] = [];
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const [a, b, c] = [mesh.triangles[3 * t], mesh.triangles[3 * t + 1], mesh.triangles[3 * t + 2]];
    if (vertexArea(p, a, b, c) > 0) continue;
    count++;
    const pairs = (
      [
        [a, b],
        [b, c],
        [c, a],
      ] as const
    ).filter(([u, v]) => same(u, v));
    for (const [u, v] of pairs) joined[Math.max(find(u), find(v))] = Math.min(find(u), find(v));
    if (pairs.length === 0) flat.push(t);
  }
  if (count === 0) return 0;
  flipFlat(mesh, flat);
  mesh.triangles = mesh.triangles.map((v) => find(v));
  removeZeroFaces(mesh);
  return count;
}

/** Flips the longest side of each flat triangle into its neighbour; one at a border is taken out. */
function flipFlat(mesh: WorkingMesh, flat: readonly number[]): void {
  if (flat.length === 0) return;
  const { positions: p } = mesh;
  const table = edgesOf(mesh);
  const triangles = (mesh.triangles = mesh.triangles.slice());
  const touched = new Set<number>();
  for (const t of flat) {
    let longest = 3 * t;
    let most = -1;
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const [a, b] = [triangles[h], triangles[next(h)]];
      const d =
        (p[3 * a] - p[3 * b]) ** 2 + (p[3 * a + 1] - p[3 * b + 1]) ** 2 + (p[3 * a + 2] - p[3 * b + 2]) ** 2;
      if (d > most) {
        most = d;
        longest = h;
      }
    }
    const e = table.edgeOf[longest];
    const uses = table.uses.subarray(table.start[e], table.start[e + 1]);
    const other = uses.find((h) => Math.floor(h / 3) !== t);
    if (uses.length === 1) triangles[3 * t + 1] = triangles[3 * t];
    if (uses.length !== 2 || other === undefined) continue;
    const u = Math.floor(other / 3);
    if (touched.has(t) || touched.has(u) || triangles[other] === triangles[longest]) continue;
    const middle = triangles[next(next(longest))];
    const apex = triangles[next(next(other))];
    const [a, b] = [triangles[longest], triangles[next(longest)]];
    triangles.set([a, apex, middle], 3 * t);
    triangles.set([apex, b, middle], 3 * u);
    touched.add(t).add(u);
  }
}

/** Removes triangles on the same three vertices as an earlier one, either way round; returns how many. */
export function removeDuplicates(mesh: WorkingMesh): number {
  const { triangles } = mesh;
  const count = triangles.length / 3;
  const vertexCount = mesh.positions.length / 3;
  const first = new Int32Array(vertexCount + 1);
  const lowest = (t: number): number => {
    const low = triangles[3 * t] < triangles[3 * t + 1] ? triangles[3 * t] : triangles[3 * t + 1];
    return low < triangles[3 * t + 2] ? low : triangles[3 * t + 2];
  };
  for (let t = 0; t < count; t++) first[lowest(t) + 1]++;
  for (let v = 0; v < vertexCount; v++) first[v + 1] += first[v];
  const fill = first.slice(0, vertexCount);
  const list = new Int32Array(count);
  for (let t = 0; t < count; t++) list[fill[lowest(t)]++] = t;
  const keep = new Uint8Array(count).fill(1);
  let removed = 0;
  for (let v = 0; v < vertexCount; v++) {
    const many = first[v + 1] - first[v];
    if (many < 2) continue;
    // A set for each vertex costs more than looking along the few triangles that most have.
    if (many < 12 && allApart(triangles, list, first[v], first[v + 1])) continue;
    const seen = new Set<number>();
    for (let i = first[v]; i < first[v + 1]; i++) {
      const t = list[i];
      const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
      const high = Math.max(a, b, c);
      const key = high * vertexCount + (a + b + c - v - high);
      if (seen.has(key)) {
        keep[t] = 0;
        removed++;
      } else seen.add(key);
    }
  }
  keepTriangles(mesh, keep);
  return removed;
}

/** Whether no two triangles of a list, all with one lowest vertex, have the same corners. */
function allApart(triangles: Uint32Array, list: Int32Array, from: number, to: number): boolean {
  for (let i = from + 1; i < to; i++) {
    const a = triangles[3 * list[i]];
    const b = triangles[3 * list[i] + 1];
    const c = triangles[3 * list[i] + 2];
    for (let j = from; j < i; j++) {
      const x = triangles[3 * list[j]];
      const y = triangles[3 * list[j] + 1];
      const z = triangles[3 * list[j] + 2];
      // The lowest is the same: one more in common and the same sum is the same three.
      if (a + b + c !== x + y + z) continue;
      if (Math.max(a, b, c) === Math.max(x, y, z)) return false;
    }
  }
  return true;
}

/** Removes fins: triangles that hang on an edge shared by two others, with nothing on their other sides. */
export function removeFins(mesh: WorkingMesh): number {
  let total = 0;
  for (let round = 0; round < 50; round++) {
    const table = edgesOf(mesh);
    if (!hasCrowdedEdge(table)) break;
    const uses = (h: number): number => table.start[table.edgeOf[h] + 1] - table.start[table.edgeOf[h]];
    const keep = new Uint8Array(mesh.triangles.length / 3).fill(1);
    const spare = new Int32Array(table.edgeCount);
    let removed = 0;
    for (let t = 0; t < keep.length; t++) {
      let many = -1;
      let free = 0;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        if (uses(h) - spare[table.edgeOf[h]] > 2) many = h;
        else if (uses(h) === 1) free++;
      }
      if (many < 0 || free < 2) continue;
      keep[t] = 0;
      removed++;
      spare[table.edgeOf[many]]++;
    }
    if (removed === 0) break;
    total += removed;
    keepTriangles(mesh, keep);
  }
  return total;
}

/** Whether any edge has more than two triangles. */
export function hasCrowdedEdge({ start, edgeCount }: EdgeTable): boolean {
  for (let e = 0; e < edgeCount; e++) if (start[e + 1] - start[e] > 2) return true;
  return false;
}

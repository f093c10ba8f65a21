/** Which half-edges lie on each undirected edge. Half-edge h runs from corner h to the next corner of its triangle. */
export interface EdgeTable {
  readonly edgeCount: number;
  /** Edge of each half-edge. */
  readonly edgeOf: Int32Array;
  /** Half-edges grouped by edge: those of edge e are `uses[start[e]] … uses[start[e + 1] − 1]`, in rising order. */
  readonly uses: Int32Array;
  readonly start: Int32Array;
}

/** Next corner of the same triangle. */
export function next(h: number): number {
  return h % 3 === 2 ? h - 2 : h + 1;
}

/**
 * Groups the half-edges of a triangle list by edge.
 *
 * @remarks linear: half-edges are put into buckets by their lower vertex, then sorted by the other inside each
 */
export function buildEdgeTable(triangles: ArrayLike<number>, vertexCount: number): EdgeTable {
  const halfCount = triangles.length;
  const first = new Int32Array(vertexCount + 1);
  const other = new Int32Array(halfCount);
  const low = new Int32Array(halfCount);
  for (let h = 0; h < halfCount; h++) {
    const a = triangles[h];
    const b = triangles[next(h)];
    low[h] = a < b ? a : b;
    other[h] = a < b ? b : a;
    first[low[h] + 1]++;
  }
  for (let v = 0; v < vertexCount; v++) first[v + 1] += first[v];
  const fill = first.slice(0, vertexCount);
  const uses = new Int32Array(halfCount);
  for (let h = 0; h < halfCount; h++) uses[fill[low[h]]++] = h;
  const edgeOf = new Int32Array(halfCount);
  const start: number[] = [];
  for (let v = 0; v < vertexCount; v++) {
    sortRun(uses, other, first[v], first[v + 1]);
    let last = -1;
    for (let i = first[v]; i < first[v + 1]; i++) {
      if (i === first[v] || other[uses[i]] !== last) {
        last = other[uses[i]];
        start.push(i);
      }
      edgeOf[uses[i]] = start.length - 1;
    }
  }
  const edgeCount = start.length;
  start.push(halfCount);
  return { edgeCount, edgeOf, uses, start: Int32Array.from(start) };
}

/** Sorts a run by `other`, equal ones in rising order; runs are a few entries long save in odd meshes. */
function sortRun(uses: Int32Array, other: Int32Array, from: number, to: number): void {
  if (to - from > 24) {
    uses.subarray(from, to).sort((g, h) => other[g] - other[h] || g - h);
    return;
  }
  for (let i = from + 1; i < to; i++) {
    const h = uses[i];
    let j = i;
    for (
      ;
      j > from && (other[uses[j - 1]] > other[h] || (other[uses[j - 1]] === other[h] && uses[j - 1] > h));
      j--
    )
      uses[j] = uses[j - 1];
    uses[j] = h;
  }
}

/** Opposite half-edge where exactly two triangles share the edge, else −1. */
export function twinsOf(table: EdgeTable): Int32Array {
  const twin = new Int32Array(table.edgeOf.length).fill(-1);
  for (let e = 0; e < table.edgeCount; e++) {
    if (table.start[e + 1] - table.start[e] !== 2) continue;
    const g = table.uses[table.start[e]];
    const h = table.uses[table.start[e] + 1];
    twin[g] = h;
    twin[h] = g;
  }
  return twin;
}

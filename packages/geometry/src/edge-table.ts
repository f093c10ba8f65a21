/** Which half-edges lie on each undirected edge. Half-edge h runs from corner h to the next corner of its triangle. */
export interface EdgeTable {
  readonly edgeCount: number;
  /** Edge of each half-edge. */
  readonly edgeOf: Int32Array;
  /** Half-edges grouped by edge: those of edge e are `uses[start[e]] … uses[start[e + 1] − 1]`, in rising order. */
  readonly uses: Int32Array;
  readonly start: Int32Array;
}

/**
 * Groups the half-edges of a triangle list by edge. Edges are in order of their lower vertex, then of the other.
 *
 * @param vertexCount - more than the highest vertex
 * @remarks linear: half-edges are put into buckets by their lower vertex, then sorted by the other inside each
 */
export function buildEdgeTable(triangles: ArrayLike<number>, vertexCount: number): EdgeTable {
  const halfCount = triangles.length;
  const first = new Int32Array(vertexCount + 1);
  for (let t = 0; t < halfCount; t += 3) {
    const a = triangles[t];
    const b = triangles[t + 1];
    const c = triangles[t + 2];
    first[(a < b ? a : b) + 1]++;
    first[(b < c ? b : c) + 1]++;
    first[(c < a ? c : a) + 1]++;
  }
  for (let v = 0; v < vertexCount; v++) first[v + 1] += first[v];
  const fill = first.slice(0, vertexCount);
  const uses = new Int32Array(halfCount);
  // The other vertex of each use, beside it in memory for the sort.
  const other = new Int32Array(halfCount);
  for (let h = 0; h < halfCount; h++) {
    const a = triangles[h];
    const b = triangles[h % 3 === 2 ? h - 2 : h + 1];
    const at = fill[a < b ? a : b]++;
    uses[at] = h;
    other[at] = a < b ? b : a;
  }
  const edgeOf = new Int32Array(halfCount);
  const start = new Int32Array(halfCount + 1);
  let edgeCount = 0;
  for (let v = 0; v < vertexCount; v++) {
    const to = first[v + 1];
    sortRun(uses, other, first[v], to);
    for (let i = first[v], last = -1; i < to; i++) {
      if (other[i] !== last) {
        last = other[i];
        start[edgeCount++] = i;
      }
      edgeOf[uses[i]] = edgeCount - 1;
    }
  }
  start[edgeCount] = halfCount;
  return { edgeCount, edgeOf, uses, start: start.slice(0, edgeCount + 1) };
}

/** Sorts a run by `other`, equal ones in rising order; runs are a few entries long save in odd meshes. */
function sortRun(uses: Int32Array, other: Int32Array, from: number, to: number): void {
  if (to - from > 24) {
    sortLongRun(uses, other, from, to);
    return;
  }
  for (let i = from + 1; i < to; i++) {
    const h = uses[i];
    const o = other[i];
    let j = i;
    for (; j > from && other[j - 1] > o; j--) {
      uses[j] = uses[j - 1];
      other[j] = other[j - 1];
    }
    uses[j] = h;
    other[j] = o;
  }
}

function sortLongRun(uses: Int32Array, other: Int32Array, from: number, to: number): void {
  const keys = new Float64Array(to - from);
  const own = uses.slice(from, to);
  const ends = other.slice(from, to);
  for (let i = 0; i < keys.length; i++) keys[i] = ends[i] * keys.length + i;
  keys.sort();
  keys.forEach((key, i) => {
    const k = key % keys.length;
    uses[from + i] = own[k];
    other[from + i] = ends[k];
  });
}

/** Opposite half-edge where exactly two triangles share the edge, else −1. */
export function twinsOf(table: EdgeTable): Int32Array {
  const { edgeCount, start, uses } = table;
  const twin = new Int32Array(table.edgeOf.length).fill(-1);
  for (let e = 0; e < edgeCount; e++) {
    const i = start[e];
    if (start[e + 1] - i !== 2) continue;
    twin[uses[i]] = uses[i + 1];
    twin[uses[i + 1]] = uses[i];
  }
  return twin;
}

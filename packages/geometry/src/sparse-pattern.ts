import type { TriangleMesh } from "./types";

/** Who neighbours whom: entries of row i are `columns[starts[i] … starts[i + 1] - 1]`, ascending, the diagonal left out. */
export interface SparsePattern {
  readonly size: number;
  readonly starts: Int32Array;
  readonly columns: Int32Array;
}

/** A symmetric matrix on a pattern: `values` runs with `pattern.columns`, the diagonal apart. */
export interface SparseSymmetric {
  readonly pattern: SparsePattern;
  readonly diagonal: Float64Array;
  readonly values: Float64Array;
}

/**
 * The vertex neighbourhood of a triangle mesh, and where each half-edge lands in it.
 *
 * @returns `pattern`, and `slots`: for half-edge h (from corner h to its next corner) the index of entry (a, b) and,
 * at `slots[2h + 1]`, of (b, a)
 * @remarks linear in the number of triangles for bounded vertex degree
 */
export function meshPattern(
  triangles: TriangleMesh["triangles"],
  vertexCount: number,
): { pattern: SparsePattern; slots: Int32Array } {
  const halfCount = triangles.length;
  const room = new Int32Array(vertexCount + 1);
  for (let h = 0; h < halfCount; h++) room[triangles[h] + 1] += 2;
  for (let v = 0; v < vertexCount; v++) room[v + 1] += room[v];
  const filled = room.slice(0, vertexCount);
  const raw = new Int32Array(2 * halfCount);
  for (let h = 0; h < halfCount; h++) {
    const a = triangles[h];
    const b = triangles[h % 3 === 2 ? h - 2 : h + 1];
    raw[filled[a]++] = b;
    raw[filled[b]++] = a;
  }
  const starts = new Int32Array(vertexCount + 1);
  let used = 0;
  for (let v = 0; v < vertexCount; v++) {
    starts[v] = used;
    used += sortUnique(raw, room[v], room[v + 1], used);
  }
  starts[vertexCount] = used;
  const columns = raw.slice(0, used);
  const slots = new Int32Array(2 * halfCount);
  for (let h = 0; h < halfCount; h++) {
    const a = triangles[h];
    const b = triangles[h % 3 === 2 ? h - 2 : h + 1];
    slots[2 * h] = findColumn(starts, columns, a, b);
    slots[2 * h + 1] = findColumn(starts, columns, b, a);
  }
  return { pattern: { size: vertexCount, starts, columns }, slots };
}

/** Index of entry (row, column) in a pattern, or -1. */
export function findEntry(pattern: SparsePattern, row: number, column: number): number {
  return findColumn(pattern.starts, pattern.columns, row, column);
}

/** y = A x for `width` interleaved right-hand sides. */
export function multiplySymmetric(
  matrix: SparseSymmetric,
  x: Float64Array,
  width: number,
  out: Float64Array,
): void {
  const { pattern, diagonal, values } = matrix;
  for (let i = 0; i < pattern.size; i++) {
    for (let c = 0; c < width; c++) {
      let sum = diagonal[i] * x[i * width + c];
      for (let k = pattern.starts[i]; k < pattern.starts[i + 1]; k++)
        sum += values[k] * x[pattern.columns[k] * width + c];
      out[i * width + c] = sum;
    }
  }
}

function sortUnique(raw: Int32Array, from: number, to: number, target: number): number {
  // Insertion sort: rows of a mesh are short; a hub of thousands of spokes goes to the library sort.
  if (to - from > 64) raw.subarray(from, to).sort();
  else {
    for (let i = from + 1; i < to; i++) {
      const value = raw[i];
      let j = i - 1;
      while (j >= from && raw[j] > value) {
        raw[j + 1] = raw[j];
        j--;
      }
      raw[j + 1] = value;
    }
  }
  let count = 0;
  for (let i = from; i < to; i++) {
    if (count === 0 || raw[i] !== raw[target + count - 1]) raw[target + count++] = raw[i];
  }
  return count;
}

function findColumn(starts: Int32Array, columns: Int32Array, row: number, column: number): number {
  let low = starts[row];
  let high = starts[row + 1] - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const c = columns[middle];
    if (c === column) return middle;
    if (c < column) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}

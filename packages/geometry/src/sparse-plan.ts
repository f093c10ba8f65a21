import type { SparsePattern } from "./sparse-pattern";

/**
 * Everything about a sparse Cholesky factor that depends on the pattern only: the order, and the blocks of columns
 * with equal structure (supernodes). Plain typed arrays.
 */
export interface CholeskyPlan {
  readonly size: number;
  /** Unknown at each place, and place of each unknown. */
  readonly order: Int32Array;
  readonly place: Int32Array;
  /** Supernode s has the columns `first[s] … first[s + 1] - 1`. */
  readonly first: Int32Array;
  /** Its rows (its own columns, then those below, ascending) are `rows[rowStart[s] … rowStart[s + 1] - 1]`. */
  readonly rowStart: Int32Array;
  readonly rows: Int32Array;
  /** Its dense block, columns one after another, starts here. */
  readonly blockStart: Int32Array;
  /** Supernode that its update goes to, or -1. */
  readonly parent: Int32Array;
  /** Off-diagonal entries of the lower triangle, by column: row place and index into the pattern's values. */
  readonly lowerStart: Int32Array;
  readonly lowerRow: Int32Array;
  readonly lowerEntry: Int32Array;
  /** Numbers kept in the factor. */
  readonly entryCount: number;
}

/**
 * Prepares a Cholesky factorisation: elimination tree, structure of the factor, supernodes.
 *
 * @param pattern - symmetric pattern
 * @param order - elimination order, for instance from {@link orderByDissection}
 * @source Liu, The Role of Elimination Trees in Sparse Factorization, 1990; supernode merging after
 * Ashcraft and Grimes, The Influence of Relaxed Supernode Partitions on the Multifrontal Method, 1989
 * @remarks proportional to the entries of the factor
 */
export function planCholesky(pattern: SparsePattern, order: Int32Array): CholeskyPlan {
  const n = pattern.size;
  const tree = eliminationTree(pattern, order);
  const post = postorder(tree);
  const finalOrder = new Int32Array(n);
  const place = new Int32Array(n);
  const renumber = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    finalOrder[i] = order[post[i]];
    place[finalOrder[i]] = i;
    renumber[post[i]] = i;
  }
  const parent = new Int32Array(n);
  for (let i = 0; i < n; i++) parent[renumber[i]] = tree[i] < 0 ? -1 : renumber[tree[i]];
  const counts = columnCounts(pattern, finalOrder, place, parent);
  const first = supernodes(parent, counts);
  const lower = lowerEntries(pattern, finalOrder, place);
  return { size: n, order: finalOrder, place, first, ...lower, ...structure(first, lower) };
}

function eliminationTree(pattern: SparsePattern, order: Int32Array): Int32Array {
  const n = pattern.size;
  const place = new Int32Array(n);
  for (let i = 0; i < n; i++) place[order[i]] = i;
  const parent = new Int32Array(n).fill(-1);
  const ancestor = new Int32Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    const v = order[i];
    for (let k = pattern.starts[v]; k < pattern.starts[v + 1]; k++) {
      let j = place[pattern.columns[k]];
      while (j >= 0 && j < i) {
        const up = ancestor[j];
        ancestor[j] = i;
        if (up < 0) parent[j] = i;
        j = up;
      }
    }
  }
  return parent;
}

function postorder(parent: Int32Array): Int32Array {
  const n = parent.length;
  const head = new Int32Array(n).fill(-1);
  const next = new Int32Array(n).fill(-1);
  const roots: number[] = [];
  for (let i = n - 1; i >= 0; i--) {
    if (parent[i] < 0) roots.push(i);
    else {
      next[i] = head[parent[i]];
      head[parent[i]] = i;
    }
  }
  const post = new Int32Array(n);
  const stack = new Int32Array(n);
  let count = 0;
  for (const root of roots.reverse()) {
    let depth = 0;
    stack[0] = root;
    while (depth >= 0) {
      const v = stack[depth];
      const child = head[v];
      if (child >= 0) {
        head[v] = next[child];
        stack[++depth] = child;
      } else {
        post[count++] = v;
        depth--;
      }
    }
  }
  return post;
}

/** Entries of each column of the factor, the diagonal included. */
function columnCounts(
  pattern: SparsePattern,
  order: Int32Array,
  place: Int32Array,
  parent: Int32Array,
): Int32Array {
  const n = pattern.size;
  const counts = new Int32Array(n).fill(1);
  const seen = new Int32Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    seen[i] = i;
    const v = order[i];
    for (let k = pattern.starts[v]; k < pattern.starts[v + 1]; k++) {
      for (let j = place[pattern.columns[k]]; j < i && j >= 0 && seen[j] !== i; j = parent[j]) {
        seen[j] = i;
        counts[j]++;
      }
    }
  }
  return counts;
}

/** First column of each supernode: equal structure joined, then small ones merged into what follows for little fill. */
function supernodes(parent: Int32Array, counts: Int32Array): Int32Array {
  const n = parent.length;
  const firsts = new Int32Array(n + 1);
  const heights = new Float64Array(n);
  const zeros = new Float64Array(n);
  let top = 0;
  for (let start = 0; start < n;) {
    let end = start + 1;
    while (end < n && parent[end - 1] === end && counts[end - 1] === counts[end] + 1) end++;
    let begin = start;
    let height = counts[start];
    let waste = 0;
    // A child that ends just before may be merged if that wastes few zeros.
    while (top > 0 && parent[begin - 1] >= begin && parent[begin - 1] < end) {
      const childWidth = begin - firsts[top - 1];
      const width = end - firsts[top - 1];
      const merged = childWidth + height;
      const total = waste + zeros[top - 1] + (merged - heights[top - 1]) * childWidth;
      const share = total / (width * merged);
      if (!(width <= 2 || (width <= 8 && share < 0.3) || (width <= 16 && share < 0.1) || share < 0.03)) break;
      top--;
      begin = firsts[top];
      height = merged;
      waste = total;
    }
    firsts[top] = begin;
    heights[top] = height;
    zeros[top] = waste;
    top++;
    start = end;
  }
  firsts[top] = n;
  return firsts.slice(0, top + 1);
}

interface LowerEntries {
  lowerStart: Int32Array;
  lowerRow: Int32Array;
  lowerEntry: Int32Array;
}

function lowerEntries(pattern: SparsePattern, order: Int32Array, place: Int32Array): LowerEntries {
  const n = pattern.size;
  const lowerStart = new Int32Array(n + 1);
  const lowerRow = new Int32Array(pattern.columns.length >> 1);
  const lowerEntry = new Int32Array(pattern.columns.length >> 1);
  let count = 0;
  for (let j = 0; j < n; j++) {
    lowerStart[j] = count;
    const v = order[j];
    for (let k = pattern.starts[v]; k < pattern.starts[v + 1]; k++) {
      const i = place[pattern.columns[k]];
      if (i > j) {
        lowerRow[count] = i;
        lowerEntry[count++] = k;
      }
    }
  }
  lowerStart[n] = count;
  return { lowerStart, lowerRow, lowerEntry };
}

function structure(first: Int32Array, lower: LowerEntries) {
  const count = first.length - 1;
  const n = first[count];
  const home = new Int32Array(n);
  for (let s = 0; s < count; s++) home.fill(s, first[s], first[s + 1]);
  const rowStart = new Int32Array(count + 1);
  const blockStart = new Int32Array(count + 1);
  const parent = new Int32Array(count).fill(-1);
  const childHead = new Int32Array(count).fill(-1);
  const childNext = new Int32Array(count).fill(-1);
  const seen = new Int32Array(n).fill(-1);
  let rows = new Int32Array(Math.max(16, 4 * n));
  let used = 0;
  for (let s = 0; s < count; s++) {
    rowStart[s] = used;
    const begin = first[s];
    const end = first[s + 1];
    if (used + n - begin > rows.length) {
      const larger = new Int32Array(Math.max(2 * rows.length, used + n - begin));
      larger.set(rows.subarray(0, used));
      rows = larger;
    }
    for (let j = begin; j < end; j++) {
      rows[used++] = j;
      seen[j] = s;
    }
    const below = used;
    for (let k = lower.lowerStart[begin]; k < lower.lowerStart[end]; k++) {
      const i = lower.lowerRow[k];
      if (seen[i] !== s) {
        seen[i] = s;
        rows[used++] = i;
      }
    }
    for (let c = childHead[s]; c >= 0; c = childNext[c]) {
      for (let k = rowStart[c] + first[c + 1] - first[c]; k < rowStart[c + 1]; k++) {
        const i = rows[k];
        if (seen[i] !== s) {
          seen[i] = s;
          rows[used++] = i;
        }
      }
    }
    rows.subarray(below, used).sort();
    rowStart[s + 1] = used;
    blockStart[s + 1] = blockStart[s] + (end - begin) * (used - rowStart[s]);
    if (used > below) {
      const up = home[rows[below]];
      parent[s] = up;
      childNext[s] = childHead[up];
      childHead[up] = s;
    }
  }
  return { rowStart, rows: rows.slice(0, used), blockStart, parent, entryCount: blockStart[count] };
}

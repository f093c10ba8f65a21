import { nextHalfEdge, previousHalfEdge, type MeshRefinement } from "@peltry/geometry";

/** A piece of the refined surface between cuts, as the search uses it. */
export interface SearchPatch {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  /** Region of each triangle. */
  readonly regionOf: Int32Array;
  /** Triangle of the refined surface, and of the base, for each triangle. */
  readonly refinedTriangle: Int32Array;
  readonly baseTriangle: Int32Array;
  /** Vertex of the refined surface. */
  readonly sourceVertex: Int32Array;
  /** Border loops of patch vertices, surface on the left; the longest first. */
  readonly loops: readonly (readonly number[])[];
  /** For each loop the half-edge of the refined surface under each step. */
  readonly loopHalves: readonly (readonly number[])[];
  readonly euler: number;
  /** Seam edges: border edges whose other side is also surface. */
  readonly rodEdges: readonly { readonly a: number; readonly b: number; readonly half: number }[];
  /** Same key: same geometry, so that a flat result can be used again. */
  readonly key: string;
}

/** Divides a refined surface along its marked edges. */
export function searchPatches(refinement: MeshRefinement, regionOfBase: ArrayLike<number>): SearchPatch[] {
  const { twin, mark } = refinement;
  const triangleCount = refinement.triangleCount;
  const piece = new Int32Array(triangleCount).fill(-1);
  const lists: number[][] = [];
  for (let seed = 0; seed < triangleCount; seed++) {
    if (piece[seed] >= 0) continue;
    const list = [seed];
    piece[seed] = lists.length;
    for (let i = 0; i < list.length; i++) {
      for (let h = 3 * list[i]; h < 3 * list[i] + 3; h++) {
        if (twin[h] < 0 || mark[h] !== 0) continue;
        const other = Math.floor(twin[h] / 3);
        if (piece[other] >= 0) continue;
        piece[other] = lists.length;
        list.push(other);
      }
    }
    lists.push(list);
  }
  const fan = cornerFans(refinement);
  return lists.map((list) =>
    makePatch(
      refinement,
      regionOfBase,
      list.sort((a, b) => a - b),
      fan,
    ),
  );
}

/** Corners of one vertex that lie on the same side of the cuts share a number. */
function cornerFans({ corners, twin, mark }: MeshRefinement): Int32Array {
  const fan = new Int32Array(corners.length).fill(-1);
  let count = 0;
  for (let start = 0; start < corners.length; start++) {
    if (fan[start] >= 0) continue;
    let h = start;
    // Back to the first half-edge of the fan, then forwards.
    for (;;) {
      if (twin[h] < 0 || mark[h] !== 0) break;
      const g = nextHalfEdge(twin[h]);
      if (g === start) break;
      h = g;
    }
    const first = h;
    for (;;) {
      fan[h] = count;
      const back = previousHalfEdge(h);
      if (twin[back] < 0 || mark[back] !== 0) break;
      h = twin[back];
      if (h === first) break;
    }
    count++;
  }
  return fan;
}

function makePatch(
  refinement: MeshRefinement,
  regionOfBase: ArrayLike<number>,
  list: readonly number[],
  fan: Int32Array,
): SearchPatch {
  const { corners, twin, mark, positions } = refinement;
  const local = new Map<number, number>();
  const sourceVertex: number[] = [];
  const triangles = new Uint32Array(3 * list.length);
  list.forEach((t, i) => {
    for (let k = 0; k < 3; k++) {
      const f = fan[3 * t + k];
      let v = local.get(f);
      if (v === undefined) {
        v = sourceVertex.length;
        local.set(f, v);
        sourceVertex.push(corners[3 * t + k]);
      }
      triangles[3 * i + k] = v;
    }
  });
  const own = new Float64Array(3 * sourceVertex.length);
  let hash = 0;
  let hash2 = 0;
  sourceVertex.forEach((s, v) => {
    for (let k = 0; k < 3; k++) {
      const x = positions[3 * s + k];
      own[3 * v + k] = x;
      hash = (Math.imul(hash, 31) + Math.round(x * 4096)) | 0;
      hash2 = (Math.imul(hash2, 131) + Math.round(x * 1024) + v) | 0;
    }
  });
  for (const v of triangles) hash2 = (Math.imul(hash2, 33) + v) | 0;
  const next = new Map<number, { to: number; half: number }>();
  const rodEdges: { a: number; b: number; half: number }[] = [];
  let borderCount = 0;
  list.forEach((t, i) => {
    for (let k = 0; k < 3; k++) {
      const h = 3 * t + k;
      if (twin[h] >= 0 && mark[h] === 0) continue;
      const a = triangles[3 * i + k];
      const b = triangles[3 * i + ((k + 1) % 3)];
      borderCount++;
      next.set(a, { to: b, half: h });
      if (twin[h] >= 0) rodEdges.push({ a, b, half: h });
    }
  });
  const { loops, loopHalves } = followLoops(next, own);
  const edges = (3 * list.length + borderCount) / 2;
  return {
    positions: own,
    triangles,
    regionOf: Int32Array.from(list, (t) => regionOfBase[refinement.baseTriangle[t]]),
    refinedTriangle: Int32Array.from(list),
    baseTriangle: Int32Array.from(list, (t) => refinement.baseTriangle[t]),
    sourceVertex: Int32Array.from(sourceVertex),
    loops,
    loopHalves,
    euler: sourceVertex.length - edges + list.length,
    rodEdges,
    key: `${list.length}:${hash}:${hash2}`,
  };
}

function followLoops(
  next: Map<number, { to: number; half: number }>,
  positions: Float64Array,
): { loops: number[][]; loopHalves: number[][] } {
  const seen = new Set<number>();
  const found: { loop: number[]; halves: number[]; length: number }[] = [];
  for (const start of next.keys()) {
    if (seen.has(start)) continue;
    const loop: number[] = [];
    const halves: number[] = [];
    let length = 0;
    for (let v = start; !seen.has(v);) {
      seen.add(v);
      const step = next.get(v);
      if (!step) break;
      loop.push(v);
      halves.push(step.half);
      const [a, b] = [3 * v, 3 * step.to];
      length += Math.hypot(
        positions[a] - positions[b],
        positions[a + 1] - positions[b + 1],
        positions[a + 2] - positions[b + 2],
      );
      v = step.to;
    }
    found.push({ loop, halves, length });
  }
  found.sort((x, y) => y.length - x.length);
  return { loops: found.map((f) => f.loop), loopHalves: found.map((f) => f.halves) };
}

/** Whether a patch is a disk, which is what can be laid flat. */
export function isDisk(patch: SearchPatch): boolean {
  return patch.euler === 1 && patch.loops.length === 1;
}

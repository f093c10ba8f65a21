import type { SearchState } from "./search-state";

/** Use of the budget at each vertex of a patch, averaged over its triangles. */
export function averagedUse(state: SearchState, index: number): Float64Array {
  const { triangles, sourceVertex } = state.patches[index];
  const { area } = state.sheets[index];
  const sum = new Float64Array(sourceVertex.length);
  const weight = new Float64Array(sourceVertex.length);
  state.used[index].forEach((u, t) => {
    for (let k = 0; k < 3; k++) {
      sum[triangles[3 * t + k]] += area[t] * Math.min(u, 10);
      weight[triangles[3 * t + k]] += area[t];
    }
  });
  return sum.map((s, v) => s / weight[v]);
}

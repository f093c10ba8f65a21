import type { SurfaceGraph } from "./surface-graph";

/**
 * Hands specks of one paint to the paint around them: connected parts of less than `least` mm². Shares and labels are
 * changed in place.
 *
 * @returns how many specks there were
 */
export function cleanLabels(
  graph: SurfaceGraph,
  shares: readonly Float64Array[],
  label: Int32Array,
  least: number,
): number {
  const seen = new Uint8Array(label.length);
  let specks = 0;
  for (let seed = 0; seed < label.length; seed++) {
    if (seen[seed] || graph.leaving[seed] < 0) continue;
    const own = label[seed];
    const members = [seed];
    const beside = new Map<number, number>();
    seen[seed] = 1;
    let area = 0;
    for (let i = 0; i < members.length; i++) {
      const v = members[i];
      area += graph.area[v];
      for (let k = graph.start[v]; k < graph.start[v + 1]; k++) {
        const w = graph.neighbours[k];
        if (label[w] !== own) beside.set(label[w], (beside.get(label[w]) ?? 0) + 1);
        else if (!seen[w]) {
          seen[w] = 1;
          members.push(w);
        }
      }
    }
    if (area >= least || beside.size === 0) continue;
    specks++;
    const [other] = [...beside].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0];
    for (const v of members) {
      label[v] = other;
      shares[other][v] += shares[own][v];
      shares[own][v] = 0;
    }
  }
  return specks;
}

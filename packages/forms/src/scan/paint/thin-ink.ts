import type { SurfaceGraph } from "./surface-graph";

/**
 * Thins a set of vertices to lines one vertex wide, without breaking or joining anything and without eating line ends.
 *
 * @param inside - 1 for vertices of the set; changed in place
 * @param depth - vertices of low depth go first, so that the lines run down the middle
 * @source Rössl, Kobbelt and Seidel, Extraction of feature lines on triangulated surfaces using morphological operators, 2000 (discs, centres, complexes)
 */
export function thinInk(graph: SurfaceGraph, inside: Uint8Array, depth: Float64Array): void {
  const order: number[] = [];
  for (let v = 0; v < inside.length; v++) if (inside[v]) order.push(v);
  order.sort((a, b) => depth[a] - depth[b] || a - b);
  for (let changed = true; changed;) {
    changed = false;
    for (const v of order) {
      if (!inside[v] || !isSimple(graph, inside, v)) continue;
      inside[v] = 0;
      changed = true;
    }
  }
}

/** Whether a vertex can go: its neighbours in the set hang together round it, and it is neither a line's end nor inside. */
function isSimple(graph: SurfaceGraph, inside: Uint8Array, v: number): boolean {
  const { start, neighbours } = graph;
  const from = start[v];
  const to = start[v + 1];
  let members = 0;
  let runs = 0;
  let before = graph.onBorder[v] ? 0 : inside[neighbours[to - 1]];
  for (let i = from; i < to; i++) {
    const now = inside[neighbours[i]];
    members += now;
    if (now && !before) runs++;
    before = now;
  }
  if (members === to - from && !graph.onBorder[v]) return false;
  return members > 1 && (runs === 1 || (runs === 0 && graph.onBorder[v] === 1));
}

/** Fills small gaps inside a set of vertices: parts of the outside with less than `most` mm² that touch no border. */
export function fillGaps(graph: SurfaceGraph, inside: Uint8Array, most: number): void {
  const seen = new Uint8Array(inside.length);
  for (let seed = 0; seed < inside.length; seed++) {
    if (inside[seed] || seen[seed]) continue;
    const members = [seed];
    seen[seed] = 1;
    let area = 0;
    let border = false;
    for (let i = 0; i < members.length; i++) {
      const v = members[i];
      area += graph.area[v];
      if (graph.onBorder[v]) border = true;
      for (let k = graph.start[v]; k < graph.start[v + 1]; k++) {
        const w = graph.neighbours[k];
        if (inside[w] || seen[w]) continue;
        seen[w] = 1;
        members.push(w);
      }
    }
    if (area < most && !border) for (const v of members) inside[v] = 1;
  }
}

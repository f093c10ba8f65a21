import { nextHalfEdge, previousHalfEdge, type MeshRefinement } from "@peltry/geometry";

/**
 * Whether a cut leaves an arc shorter than `least` between two places where lines meet: between its end and a junction
 * beside it, say. Such an arc would be a seam of its own that no one can sew. Tips of darts are no meeting places.
 *
 * @param own - marks of the cuts that are asked about
 * @param least - mm
 */
export function hasShortArc(refinement: MeshRefinement, own: ReadonlySet<number>, least: number): boolean {
  const seen = new Set<number>();
  for (let h = 0; h < refinement.corners.length; h++) {
    if (!own.has(refinement.mark[h])) continue;
    for (const v of [refinement.corners[h], refinement.corners[nextHalfEdge(h)]]) {
      if (seen.has(v)) continue;
      seen.add(v);
      const ways = alongLines(refinement, v);
      if (ways.length > 2 && ways.some((w) => isShort(refinement, v, w, least))) return true;
    }
  }
  return false;
}

/** Neighbours of a vertex along marked edges and the border. */
function alongLines(refinement: MeshRefinement, v: number): number[] {
  const { corners, mark, twin } = refinement;
  const out: number[] = [];
  for (const h of refinement.star(v)) {
    if (mark[h] !== 0 || twin[h] < 0) out.push(corners[nextHalfEdge(h)]);
    const back = previousHalfEdge(h);
    if (twin[back] < 0) out.push(corners[back]);
  }
  return out;
}

function isShort(refinement: MeshRefinement, from: number, first: number, least: number): boolean {
  let before = from;
  let at = first;
  let length = gap(refinement, from, first);
  while (length < least) {
    const ways = alongLines(refinement, at);
    if (ways.length !== 2) return ways.length > 2;
    const next = ways[0] === before ? ways[1] : ways[0];
    length += gap(refinement, at, next);
    before = at;
    at = next;
  }
  return false;
}

function gap({ positions: p }: MeshRefinement, a: number, b: number): number {
  return Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]);
}

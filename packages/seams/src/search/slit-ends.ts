// A dart in a hollow spreads; where its legs come to lie over each other, no further dart helps: it has to go on to an edge.
import type { CostField } from "@peltry/geometry";
import type { Rim } from "./candidates";
import type { SearchPatch } from "./search-patches";
import type { SearchState } from "./search-state";

/** A place where a slit ends inside a patch. */
export interface SlitEnd {
  /** Vertex of the patch. */
  readonly tip: number;
  /** Length of its legs along the outline, mm. */
  readonly leg: number;
}

/** Ends of the slits of a patch, in the order of its outline. */
export function slitEnds({ refinement }: Pick<SearchState, "refinement">, patch: SearchPatch): SlitEnd[] {
  const { loops, loopHalves, positions: p } = patch;
  const [loop] = loops;
  const [halves] = loopHalves;
  const count = loop.length;
  const out: SlitEnd[] = [];
  for (let i = 0; i < count; i++) {
    let leg = 0;
    // The step that leads to the tip and the one that leads away from it are the two sides of one edge; and so on outwards.
    for (let k = 0; 2 * k + 1 < count; k++) {
      const there = (i - 1 - k + 2 * count) % count;
      const back = (i + k) % count;
      if (refinement.twin[halves[there]] !== halves[back]) break;
      const [v, w] = [loop[back], loop[(back + 1) % count]];
      leg += Math.hypot(p[3 * v] - p[3 * w], p[3 * v + 1] - p[3 * w + 1], p[3 * v + 2] - p[3 * w + 2]);
    }
    if (leg > 0) out.push({ tip: loop[i], leg });
  }
  return out;
}

/** Costs of ways from the end of a slit, without those to its own legs. */
export function beyondLegs(rim: Rim, field: CostField, { tip, leg }: SlitEnd): CostField {
  const at = rim.along[rim.nodes.indexOf(tip)];
  const cost = field.cost.slice();
  rim.nodes.forEach((node, i) => {
    const gap = Math.abs(rim.along[i] - at);
    if (Math.min(gap, rim.total - gap) < leg) cost[node] = Infinity;
  });
  return { ...field, cost };
}

import { polylineLength } from "@peltry/geometry";
import { seamLetter, type Edge, type Panel, type Pattern, type Seam } from "@peltry/pattern";
import type { PatchCutting } from "@peltry/seams";
import type { SurfacePart } from "../project/schema";

/** An edge of a flat panel that is sewn to a stretch of a form's rim. */
export interface RimJoin {
  /** Panel and edge by the names that their maker gave them. */
  readonly panel: string;
  readonly edge: string;
  /** Vertices of the form under the points of that edge, and the first and the last of them. */
  readonly path: readonly number[];
  readonly from: number;
  readonly to: number;
}

/** Sides that differ by less than this share are sewn as they are. */
const SAME = 0.003;

/** Pairs flat panels with the rim that they close; the longer side is eased onto the shorter. */
export function joinRims(
  pattern: Pattern,
  cutting: PatchCutting,
  { part, rimJoins }: { readonly part: SurfacePart; readonly rimJoins?: readonly RimJoin[] },
): Pattern {
  const seams: Seam[] = [...pattern.seams];
  const sewn = new Map<string, string>();
  for (const join of rimJoins ?? []) {
    const rim = findRim(cutting, join);
    const flat = pattern.panels.find((panel) => panel.id === `${part.id}-${join.panel}`);
    const edge = flat?.edges.find((each) => each.id === join.edge);
    if (!rim || !flat || !edge) continue;
    const panel = pattern.panels[rim.patch];
    const other = panel.edges[rim.index];
    const id = `rim-${seams.length + 1}`;
    sewn.set(key(panel, other), id).set(key(flat, edge), id);
    seams.push({
      id,
      letter: seamLetter(seams.length),
      a: { panel: panel.id, edge: other.id },
      b: { panel: flat.id, edge: edge.id },
      reversed: rim.reversed,
      matchPoints: [],
      ...ease(polylineLength(other.points), polylineLength(edge.points)),
    });
  }
  if (sewn.size === 0) return pattern;
  const panels = pattern.panels.map((panel): Panel => ({
    ...panel,
    edges: panel.edges.map((edge): Edge => {
      const seam = sewn.get(key(panel, edge));
      return seam === undefined ? edge : { ...edge, role: "seam", seam };
    }),
  }));
  return { ...pattern, panels, seams };
}

function key(panel: Panel, edge: Edge): string {
  return `${panel.id}/${edge.id}`;
}

/** For each patch the runs of its rim that are sewn to a flat panel, as paths of its own vertices. */
export function joinedRims(
  cutting: PatchCutting,
  rimJoins: readonly RimJoin[] = [],
): ReadonlyMap<number, readonly (readonly number[])[]> {
  const runs = new Map<number, (readonly number[])[]>();
  for (const join of rimJoins) {
    const rim = findRim(cutting, join);
    if (rim)
      runs.set(rim.patch, [
        ...(runs.get(rim.patch) ?? []),
        cutting.patches[rim.patch].loops[0][rim.index].path,
      ]);
  }
  return runs;
}

/** The edge of a patch that runs along the rim between two vertices of the form, in either direction. */
function findRim(
  cutting: PatchCutting,
  { from, to }: RimJoin,
): { patch: number; index: number; reversed: boolean } | undefined {
  for (const [patch, { loops, sourceVertex }] of cutting.patches.entries())
    for (const [index, edge] of loops[0].entries()) {
      if (edge.rim === undefined) continue;
      const [first, last] = [sourceVertex[edge.path[0]], sourceVertex[edge.path[edge.path.length - 1]]];
      if (first === from && last === to) return { patch, index, reversed: false };
      if (first === to && last === from) return { patch, index, reversed: true };
    }
  return undefined;
}

function ease(a: number, b: number): Pick<Seam, "ease"> {
  const [long, short] = [Math.max(a, b), Math.min(a, b)];
  if (long - short < SAME * long) return {};
  return { ease: { side: a > b ? "a" : "b", fraction: 1 - short / long } };
}

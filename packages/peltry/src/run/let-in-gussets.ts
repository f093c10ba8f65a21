import { pathLength, polylineLength, type Point } from "@peltry/geometry";
import { seamLetter, type Edge, type Panel, type Pattern, type Seam } from "@peltry/pattern";
import type { PatchCutting, PatchSeam } from "@peltry/seams";

/** A gusset panel and the line of the form that is its slit. */
export interface GussetSlit {
  readonly gusset: string;
  readonly curve: string;
  /** The line that it is let into: it has to be a seam. */
  readonly along: string;
}

/** The runs of patch borders that are sewn to a gusset, by patch, as paths of its own vertices. */
export function slitRims(
  cutting: PatchCutting,
  slits: readonly GussetSlit[] = [],
): ReadonlyMap<number, readonly (readonly number[])[]> {
  const runs = new Map<number, (readonly number[])[]>();
  const curves = new Set(slits.map(({ curve }) => curve));
  for (const seam of cutting.seams) {
    if (!seam.lines.some((line) => curves.has(line))) continue;
    for (const { patch, path } of [seam.a, seam.b]) {
      const i = cutting.patches.findIndex((each) => each.id === patch);
      runs.set(i, [...(runs.get(i) ?? []), path]);
    }
  }
  return runs;
}

/**
 * Lets gussets into their slits: the seam along a slit gives way to two, one between each bank and the side of the gusset
 * that lies there. Where a slit was crossed by other seams, the sides of the gusset are parted at the crossings.
 *
 * @param pattern - patches in the order of the cutting, gussets behind them
 * @param upward - whether a path of form vertices climbs along the slit
 */
export function letInGussets(
  pattern: Pattern,
  cutting: PatchCutting,
  part: string,
  slits: readonly GussetSlit[] = [],
): Pattern {
  return slits.reduce((whole, slit) => letIn(whole, cutting, `${part}-${slit.gusset}`, slit), pattern);
}

/** A stretch of the slit, its banks told apart. */
interface Stretch {
  readonly seam: PatchSeam;
  /** Lowest height, mm, by which the stretches are put in order. */
  readonly from: number;
  readonly length: number;
  /** The bank on the left as seen from outside with up up: side `a` or `b` of the seam. */
  readonly left: "a" | "b";
}

function letIn(pattern: Pattern, cutting: PatchCutting, id: string, slit: GussetSlit): Pattern {
  const gusset = pattern.panels.find((panel) => panel.id === id);
  const stretches = cutting.seams
    .filter((seam) => seam.lines.includes(slit.curve))
    .map((seam) => measure(seam, cutting))
    .sort((p, q) => p.from - q.from);
  if (!gusset || stretches.length === 0) return pattern;
  const [right, left] = gusset.edges;
  const lengths = stretches.map(({ length }) => length);
  const rights = divide(right, lengths);
  const lefts = divide(left, [...lengths].reverse()).reverse();
  const sewn = new Map<string, string>();
  const given = new Map(pattern.seams.map((seam) => [seam.id, seam]));
  const gone = new Set(stretches.map(({ seam }) => seam.id));
  const seams: Seam[] = pattern.seams.filter((seam) => !gone.has(seam.id));
  stretches.forEach((stretch, k) => {
    const old = given.get(stretch.seam.id)!;
    for (const [bank, edge] of [
      [stretch.left, lefts[k]],
      [stretch.left === "a" ? "b" : "a", rights[k]],
    ] as const) {
      const seam = `${old.id}-${edge.id}`;
      sewn.set(`${old[bank].panel}/${old[bank].edge}`, seam).set(`${id}/${edge.id}`, seam);
      seams.push({
        id: seam,
        letter: "",
        a: old[bank],
        b: { panel: id, edge: edge.id },
        reversed: true,
        matchPoints: [],
        note: "Let the gusset in: sew from point to point, and snip the seam allowance of the panel to its ends.",
      });
    }
  });
  const panels = pattern.panels.map((panel): Panel => ({
    ...panel,
    edges: (panel.id === id ? [...rights, ...[...lefts].reverse()] : panel.edges).map((edge): Edge => {
      const seam = sewn.get(`${panel.id}/${edge.id}`);
      return seam === undefined ? edge : { ...edge, role: "seam", seam };
    }),
  }));
  return { ...pattern, panels, seams: seams.map((seam, i) => ({ ...seam, letter: seamLetter(i) })) };
}

function measure(seam: PatchSeam, cutting: PatchCutting): Stretch {
  const { mesh } = cutting.patches.find((patch) => patch.id === seam.a.patch)!;
  const { path } = seam.a;
  const [first, last] = [path[0], path[path.length - 1]].map((v) => mesh.positions[3 * v + 1]);
  const length = pathLength(mesh.positions, path);
  // A patch lies to the left of its own border: going up it, the patch is the left bank.
  return { seam, from: Math.min(first, last), length, left: last > first ? "a" : "b" };
}

/** An edge parted so that its parts are to each other as the given lengths. */
function divide(edge: Edge, lengths: readonly number[]): Edge[] {
  if (lengths.length === 1) return [edge];
  const whole = polylineLength(edge.points) / lengths.reduce((sum, length) => sum + length, 0);
  const parts: Point[][] = [[edge.points[0]]];
  let [k, left] = [0, lengths[0] * whole];
  for (let i = 1; i < edge.points.length; i++) {
    let p = edge.points[i - 1];
    const q = edge.points[i];
    for (let step = Math.hypot(q[0] - p[0], q[1] - p[1]); k + 1 < lengths.length && step > left;) {
      const t = left / step;
      p = [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
      parts[k].push(p);
      parts.push([p]);
      step -= left;
      k++;
      left = lengths[k] * whole;
    }
    const rest = Math.hypot(q[0] - p[0], q[1] - p[1]);
    left -= rest;
    if (rest > 1e-9) parts[k].push(q);
  }
  return parts.map((points, i) => ({ ...edge, id: `${edge.id}-${i + 1}`, points }));
}

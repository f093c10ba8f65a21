// A cut that is carried over to a finer form may leave the line that it begins on, and meet it again a mm further on, where that
// line bends. The hook would cut a scrap off: the cut begins where it leaves the line for good.
import { surfacePosition, type MeshRefinement } from "@peltry/geometry";
import { distance } from "./lines-in-space";

/** A cut that comes back to another line within this of its end has a hook there, mm: less than an arc may be short. */
const HOOK = 6;

/**
 * Takes the hooks off the ends of cuts.
 *
 * @param cuts - vertices of each on the refined mesh
 * @param others - vertices of the lines and borders that are there anyway
 */
export function withoutHooks(
  refinement: MeshRefinement,
  cuts: readonly (readonly number[])[],
  others: ReadonlySet<number>,
): number[][] {
  const runs = cuts.map((cut) => [...cut]);
  runs.forEach((_, i) => {
    for (const side of ["start", "end"] as const) {
      const path = side === "start" ? runs[i] : runs[i].slice().reverse();
      const rest = runs.filter((_, j) => j !== i);
      // Where another cut ends is no line to begin on.
      const isOn = (v: number): boolean =>
        others.has(v) || rest.some((run) => run.indexOf(v, 1) > 0 && run[run.length - 1] !== v);
      const k = hookLength(refinement, path, isOn);
      const gone = path.slice(1, k);
      // What begins on the hook itself would hang in the open.
      if (k === 0 || rest.some((run) => gone.includes(run[0]) || gone.includes(run[run.length - 1])))
        continue;
      runs[i] = side === "start" ? path.slice(k) : path.slice(k).reverse();
    }
  });
  return runs;
}

/** How many edges at the beginning of a path lead back to where it came from. */
function hookLength(
  { place, base }: MeshRefinement,
  path: readonly number[],
  isOn: (vertex: number) => boolean,
): number {
  if (!isOn(path[0])) return 0;
  let [length, hook] = [0, 0];
  for (let k = 1; k < path.length - 1; k++) {
    length += distance(surfacePosition(base, place[path[k - 1]]), surfacePosition(base, place[path[k]]));
    if (length > HOOK) break;
    if (isOn(path[k])) hook = k;
  }
  return hook;
}

import type { SewabilityRules } from "./types";
import type { CutGroup } from "./search/greedy";
import type { SearchState } from "./search/search-state";
import type { SearchSurface } from "./search/search-surface";
import { pathStations } from "./search/search-surface";

/** Default rules. @remarks judgement; no source */
export const SEWABILITY: SewabilityRules = Object.freeze({
  minDartLength: 20,
  minDartWidth: 6,
  maxDartAngle: 75,
  minPanelArea: 1600,
  minNeck: 40,
  minJunctionAngle: 40,
  minSeamRadius: 15,
});

/** Says whether a group of cuts can be sewn, as it lies in a flat state. */
export function isSewable(
  rules: SewabilityRules,
  surface: SearchSurface,
  state: SearchState,
  group: CutGroup,
): boolean {
  if (group.kind === "dart" || group.kind === "fold") {
    for (const cut of group.cuts) {
      const { length } = pathStations(surface, cut.path);
      const total = length[length.length - 1];
      if (total < rules.minDartLength) return false;
      const mouth = mouthOf(state, cut.mark);
      if (mouth !== undefined && mouth < rules.minDartWidth) return false;
    }
  }
  return state.sheets.every((sheet) => sheet.totalArea >= rules.minPanelArea);
}

/** Flat distance between the two copies of a dart's first vertex; undefined when the cut parts two panels. */
export function mouthOf(state: SearchState, mark: number): number | undefined {
  const { refinement } = state;
  for (let i = 0; i < state.patches.length; i++) {
    const patch = state.patches[i];
    const flat = state.sheets[i].flat;
    const ends = new Map<number, number[]>();
    const degree = new Map<number, number>();
    for (const { a, b, half } of patch.rodEdges) {
      if (refinement.mark[half] !== mark) continue;
      for (const v of [a, b]) {
        const s = patch.sourceVertex[v];
        const list = ends.get(s) ?? [];
        if (!list.includes(v)) list.push(v);
        ends.set(s, list);
        degree.set(v, (degree.get(v) ?? 0) + 1);
      }
    }
    // The tip has one copy that both sides share; the mouth's two copies each end one side.
    let hasTip = false;
    let mouth = -1;
    for (const list of ends.values()) {
      if (list.length === 1 && degree.get(list[0]) === 2) hasTip ||= isTip(patch, list[0], mark, refinement);
      if (list.length === 2 && degree.get(list[0]) === 1 && degree.get(list[1]) === 1) {
        const [u, v] = list;
        mouth = Math.max(mouth, Math.hypot(flat[2 * u] - flat[2 * v], flat[2 * u + 1] - flat[2 * v + 1]));
      }
    }
    if (hasTip && mouth >= 0) return mouth;
  }
  return undefined;
}

/** The vertex where a slit ends: its two border edges are the two sides of one edge. */
function isTip(
  patch: SearchState["patches"][number],
  v: number,
  mark: number,
  refinement: SearchState["refinement"],
): boolean {
  const halves = patch.rodEdges.filter(
    ({ a, b, half }) => (a === v || b === v) && refinement.mark[half] === mark,
  );
  return halves.length === 2 && refinement.twin[halves[0].half] === halves[1].half;
}

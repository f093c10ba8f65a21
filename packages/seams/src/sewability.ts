import { nextHalfEdge } from "@peltry/geometry";
import {
  GIVEN,
  necks,
  RIM,
  sharpCorners,
  tightBends,
  type FlatOutline,
  type OutlineFault,
} from "./flat-outline";
import type { SewabilityRules } from "./types";
import type { CutGroup } from "./search/greedy";
import { isOnPlane } from "./search/mirrored-cuts";
import { hasShortArc } from "./search/short-arcs";
import { FIRST_MARK, pathStations, type SearchSurface } from "./search/search-surface";
import type { SearchState } from "./search/search-state";

/** Default rules. @remarks judgement; no source */
export const SEWABILITY: SewabilityRules = Object.freeze({
  minDartLength: 20,
  minDartWidth: 6,
  maxDartAngle: 75,
  minPanelArea: 1600,
  minNeck: 40,
  minJunctionAngle: 40,
  maxSeamsAtPoint: 3,
  maxSeamsOnPlane: 4,
  minSeamRadius: 15,
  minArcLength: 10,
});

/**
 * Rules that the search falls back on where no plan keeps the limits with {@link SEWABILITY}: harder to sew, and noted.
 * Darts stay as they are: one that is too small cannot be sewn at all.
 *
 * @remarks judgement; no source
 */
export const HARD_TO_SEW: SewabilityRules = Object.freeze({
  ...SEWABILITY,
  minPanelArea: 640,
  minNeck: 26,
  minJunctionAngle: 30,
  minSeamRadius: 10,
  minArcLength: 8,
});

/** What the search asks beyond the rules, so that darts still keep them on the full form. */
const MARGIN = 1.1;

/** Says whether a group of cuts can be sewn, as it lies in a flat state. */
export function isSewable(
  rules: SewabilityRules,
  surface: SearchSurface,
  state: SearchState,
  group: CutGroup,
): boolean {
  return dartsAreWide(rules, surface, state, group) && hasRoom(rules, surface, state, group);
}

/** Whether a group may come to be sewable, however the panels lie: what it meets, and how long it is. */
export function mayBeSewable(
  rules: SewabilityRules,
  surface: SearchSurface,
  state: SearchState,
  group: CutGroup,
): boolean {
  const own = new Set(group.cuts.map((cut) => cut.mark));
  const isDart = group.kind === "dart" || group.kind === "fold";
  return (
    (!isDart || group.length >= MARGIN * rules.minDartLength * group.cuts.length) &&
    fewMeet(rules, surface, state, own) &&
    !hasShortArc(state.refinement, own, rules.minArcLength)
  );
}

/** Whether the darts of a group are long and wide enough to be sewn rather than eased. */
export function dartsAreWide(
  rules: SewabilityRules,
  surface: SearchSurface,
  state: SearchState,
  group: CutGroup,
): boolean {
  if (group.kind !== "dart" && group.kind !== "fold") return true;
  return group.cuts.every((cut) => {
    const { length } = pathStations(surface, cut.path);
    if (length[length.length - 1] < MARGIN * rules.minDartLength) return false;
    const mouth = mouthOf(state, cut.mark);
    return mouth === undefined || mouth >= MARGIN * rules.minDartWidth;
  });
}

/** Whether the panels, corners, necks and meeting points that a group makes are large enough. */
function hasRoom(
  rules: SewabilityRules,
  surface: SearchSurface,
  state: SearchState,
  group: CutGroup,
): boolean {
  const own = new Set(group.cuts.map((cut) => cut.mark));
  if (group.kind !== "width" && !fewMeet(rules, surface, state, own)) return false;
  if (hasShortArc(state.refinement, own, rules.minArcLength)) return false;
  return state.patches.every((_, i) => {
    const outline = outlineOf(state, i);
    if (!outline.cut.some((mark) => own.has(mark))) return true;
    const others = ({ cut, other }: OutlineFault): boolean => !own.has(cut) && !own.has(other);
    return (
      state.sheets[i].totalArea >= rules.minPanelArea &&
      sharpCorners(outline, rules.minJunctionAngle).every(others) &&
      tightBends(outline, rules.minSeamRadius).every(others) &&
      necks(outline, rules.minNeck).every(others)
    );
  });
}

/** The outline of a patch of the search as it lies. */
export function outlineOf(state: SearchState, index: number): FlatOutline {
  const patch = state.patches[index];
  const { flat } = state.sheets[index];
  const { twin, mark } = state.refinement;
  return {
    points: patch.loops[0].map((v) => [flat[2 * v], flat[2 * v + 1]] as const),
    cut: Int32Array.from(patch.loopHalves[0], (h) =>
      twin[h] < 0 ? RIM : mark[h] < FIRST_MARK ? GIVEN : mark[h],
    ),
  };
}

/** No more seams than the rules allow meet where a cut of the group ends. */
function fewMeet(
  rules: SewabilityRules,
  { mesh, mirror }: SearchSurface,
  { refinement }: SearchState,
  own: ReadonlySet<number>,
): boolean {
  const most = (v: number): number =>
    mirror && isOnPlane({ mesh, mirror }, [refinement.place[v]])
      ? rules.maxSeamsOnPlane
      : rules.maxSeamsAtPoint;
  const seen = new Set<number>();
  for (let h = 0; h < refinement.corners.length; h++) {
    if (!own.has(refinement.mark[h])) continue;
    for (const v of [refinement.corners[h], refinement.corners[nextHalfEdge(h)]]) {
      if (seen.has(v)) continue;
      seen.add(v);
      let arms = 0;
      for (const g of refinement.star(v)) if (refinement.mark[g] !== 0 && refinement.twin[g] >= 0) arms++;
      if (arms > most(v)) return false;
    }
  }
  return true;
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

// Makes every piece of a form a disk, which is the least that can be laid flat: cuts between its borders, a slit in a
// closed form, cuts through its handles.
import {
  geodesicPath,
  insertPath,
  SteinerGraph,
  straightenPath,
  surfacePosition,
  type Point3,
  type SurfacePoint,
} from "@peltry/geometry";
import { distance, distanceToLine } from "../lines-in-space";
import { patchSurface } from "./candidates";
import { inPairs, linesOnPlane, mirrorSide, onVertices } from "./mirrored-cuts";
import { closedLevelLine, onBase } from "./pile-lines";
import { worstUse } from "./greedy";
import { isDisk, searchPatches, type SearchPatch } from "./search-patches";
import { evaluate, type SearchCut, type SearchState } from "./search-state";
import { nextMark } from "./greedy";
import { pathStations, type SearchSurface } from "./search-surface";

/** Paths that make every patch a disk. */
export function openSurface(surface: SearchSurface, given: readonly SearchCut[]): SurfacePoint[][] {
  const out: SurfacePoint[][] = [];
  for (let guard = 0; guard < 64; guard++) {
    const refinement = surface.root.copy();
    for (const cut of given) insertPath(refinement, cut.path, { mark: cut.mark, snap: surface.snap });
    for (const path of out) insertPath(refinement, path, { mark: 2, snap: surface.snap });
    const patches = searchPatches(refinement, surface.regionOf);
    const open = patches.findIndex((patch) => !isDisk(patch));
    if (open < 0) return out;
    const state = { refinement, patches } as unknown as SearchState;
    const choices = openings(surface, state, patches[open]);
    if (choices.length === 0) return out;
    out.push(...bestOpening(surface, given, out, choices));
  }
  return out;
}

/** Of several openings the one that leaves least strain, among those not much dearer than the cheapest. */
function bestOpening(
  surface: SearchSurface,
  given: readonly SearchCut[],
  before: readonly SurfacePoint[][],
  choices: readonly SurfacePoint[][],
): SurfacePoint[][] {
  const priced = choices
    .map((path) => {
      const [paths] = inPairs(surface, [[path]]);
      return {
        paths,
        cost: paths.reduce((sum, one) => sum + pathStations(surface, one).cost[one.length - 1], 0),
      };
    })
    .sort((a, b) => a.cost - b.cost);
  const near = priced.filter(({ cost }) => cost <= 1.25 * priced[0].cost + 20);
  if (near.length === 1) return near[0].paths;
  let best = near[0].paths;
  let least = Infinity;
  for (const { paths, cost } of near) {
    const cuts = [
      ...given,
      ...before.map((p) => ({ path: p, mark: nextMark() })),
      ...paths.map((path) => ({ path, mark: nextMark() })),
    ];
    const state = evaluate(surface, cuts, { steps: 60 });
    // Still not a disk: only the price can decide.
    const score = state ? state.violation * 10 * priced[0].cost + cost + worstUse(state) : Infinity;
    if (score < least) {
      least = score;
      best = paths;
    }
  }
  return best;
}

/** Paths that bring a patch nearer to a disk. */
function openings(surface: SearchSurface, state: SearchState, patch: SearchPatch): SurfacePoint[][] {
  const onPlane = surface.mirror ? planeLines(surface, state, patch) : [];
  if (patch.loops.length >= 2) return [...onPlane, ...betweenLoops(surface, state, patch)];
  if (patch.loops.length === 0 && patch.euler === 2)
    return onPlane.length > 0 ? onPlane : [slit(surface, state, patch)];
  return [throughHandle(surface, state, patch)];
}

/** Cheapest ways from an inner border to the outer one, starting from several places. */
function betweenLoops(surface: SearchSurface, state: SearchState, patch: SearchPatch): SurfacePoint[][] {
  const geodesic = patchSurface(surface, state, patch);
  const graph = new SteinerGraph(geodesic, 2);
  const stop = graph.closedNodes();
  const inner = patch.loops[1];
  const outer = new Set(patch.loops.filter((_, i) => i !== 1).flat());
  const starts = [inner, ...quarters(inner)];
  const paths: SurfacePoint[][] = [];
  const seen = new Set<number>();
  for (const start of starts) {
    const field = graph.costsFrom(
      start.map((v): [number, number] => [v, 0]),
      stop,
    );
    let end = -1;
    for (const v of outer) if (field.cost[v] < (end < 0 ? Infinity : field.cost[end])) end = v;
    if (end < 0 || seen.has(end)) continue;
    seen.add(end);
    const nodes = graph.pathTo(field, end).map((n) => graph.point(n));
    paths.push(onBase(state, patch, straightenPath(geodesic, nodes).points));
  }
  return paths;
}

/** Lines in the plane of symmetry that open a patch: from one border to another, or half of the way round a closed form. */
function planeLines(surface: SearchSurface, state: SearchState, patch: SearchPatch): SurfacePoint[][] {
  const at = (path: readonly SurfacePoint[]): Point3[] =>
    path.map((point) => surfacePosition(surface.mesh, point));
  if (patch.loops.length === 0) {
    const twin = patchSurface(surface, state, patch).twin;
    const ring = closedLevelLine(patch.triangles, twin, mirrorSide(surface, state, patch));
    if (!ring) return [];
    const path = onVertices(surface, onBase(state, patch, ring));
    const places = at(path);
    let [from, to, most] = [0, 0, -1];
    places.forEach((p, i) =>
      places.forEach((q, j) => {
        if (i < j && distance(p, q) > most) [from, to, most] = [i, j, distance(p, q)];
      }),
    );
    return [path.slice(from, to + 1), [...path.slice(to), ...path.slice(0, from + 1)]];
  }
  const loops = patch.loops.map((loop) =>
    [...loop, loop[0]].map((v): Point3 => [
      patch.positions[3 * v],
      patch.positions[3 * v + 1],
      patch.positions[3 * v + 2],
    ]),
  );
  const loopAt = (p: Point3): number => {
    const gaps = loops.map((loop) => distanceToLine(p, loop));
    return gaps.indexOf(Math.min(...gaps));
  };
  return linesOnPlane(surface, state, patch).filter((path) => {
    const places = at(path);
    return loopAt(places[0]) !== loopAt(places[places.length - 1]);
  });
}

/** Single start vertices a sixth of the loop apart. */
function quarters(loop: readonly number[]): number[][] {
  return Array.from({ length: 6 }, (_, q) => [loop[Math.floor((q * loop.length) / 6)]]);
}

/** A closed form is opened between two far ends. */
function slit(surface: SearchSurface, state: SearchState, patch: SearchPatch): SurfacePoint[] {
  const geodesic = patchSurface(surface, state, patch);
  const graph = new SteinerGraph(geodesic, 1);
  const farthest = (from: number): number => {
    const field = graph.costsFrom([[from, 0]]);
    let far = from;
    for (let v = 0; v < patch.sourceVertex.length; v++) {
      if (Number.isFinite(field.cost[v]) && field.cost[v] > field.cost[far]) far = v;
    }
    return far;
  };
  const a = farthest(0);
  const b = farthest(a);
  const path = geodesicPath(geodesic, a, [b])!;
  return onBase(state, patch, path.points);
}

/**
 * A cut through a handle: an edge that neither the tree of cheapest ways nor the tree of triangles uses, with the ways
 * from its ends.
 *
 * @source Erickson and Har-Peled, Optimally Cutting a Surface into a Disk, 2004; the tree and cotree of Eppstein 2003
 */
function throughHandle(surface: SearchSurface, state: SearchState, patch: SearchPatch): SurfacePoint[] {
  const { triangles } = patch;
  const geodesic = patchSurface(surface, state, patch);
  const n = patch.sourceVertex.length;
  const roots = patch.loops.length > 0 ? patch.loops.flat() : [0];
  const graph = new SteinerGraph(geodesic, 0);
  const field = graph.costsFrom(roots.map((v): [number, number] => [v, 0]));
  const inTree = new Set<number>();
  const key = (a: number, b: number): number => Math.min(a, b) * n + Math.max(a, b);
  for (let v = 0; v < n; v++) if (field.previous[v] >= 0) inTree.add(key(v, field.previous[v]));
  const count = triangles.length / 3;
  const reached = new Uint8Array(count);
  const dual = new Set<number>();
  const queue = [0];
  reached[0] = 1;
  for (let i = 0; i < queue.length; i++) {
    for (let k = 0; k < 3; k++) {
      const h = 3 * queue[i] + k;
      const e = key(triangles[h], triangles[3 * queue[i] + ((k + 1) % 3)]);
      const g = geodesic.twin[h];
      if (g < 0 || inTree.has(e) || reached[Math.floor(g / 3)]) continue;
      reached[Math.floor(g / 3)] = 1;
      dual.add(e);
      queue.push(Math.floor(g / 3));
    }
  }
  let best: [number, number] | undefined;
  let least = Infinity;
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h];
    const b = triangles[h - (h % 3) + ((h + 1) % 3)];
    if (geodesic.twin[h] < 0 || inTree.has(key(a, b)) || dual.has(key(a, b))) continue;
    const cost = field.cost[a] + field.cost[b];
    if (cost < least) {
      least = cost;
      best = [a, b];
    }
  }
  if (!best) return [state.refinement.place[patch.sourceVertex[0]]];
  const left = graph.pathTo(field, best[0]);
  const right = graph.pathTo(field, best[1]);
  let common = 0;
  while (
    common + 1 < Math.min(left.length, right.length) &&
    left[common + 1] === right[common + 1] &&
    left[common] === right[common]
  )
    common++;
  const ring = [...left.slice(common), ...right.slice(common).reverse()];
  // A ring is cut half round: what is left of it is the next cut, from end to end.
  const run = ring[0] === ring[ring.length - 1] ? ring.slice(0, Math.ceil(ring.length / 2) + 1) : ring;
  return run.map((v) => state.refinement.place[patch.sourceVertex[v]]);
}

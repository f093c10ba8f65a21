import {
  SteinerGraph,
  straightenPath,
  surfacePosition,
  type CostField,
  type GeodesicSurface,
  type GraphPoint,
  type Point3,
  type SurfacePoint,
} from "@peltry/geometry";
import { distance } from "../lines-in-space";
import { averagedUse } from "./averaged-use";
import { scaleField } from "./scale-field";
import type { SearchPatch } from "./search-patches";
import type { SearchState } from "./search-state";
import { halvingLines, onBase, pileLines } from "./pile-lines";
import { inPairs, isOneLine, isOnPlane, linesOnPlane, mirrorSide } from "./mirrored-cuts";
import { beyondLegs, slitEnds } from "./slit-ends";
import { mirrorPath, pathStations, type SearchSurface } from "./search-surface";

/** What a suggestion does. */
export type CutKind = "dart" | "seam" | "fold" | "gusset" | "width" | "opening";

/** A possible cut: one path, or several that only make sense together. */
export interface Candidate {
  readonly kind: CutKind;
  /** Darts run from the border to the tip; seams from border to border. */
  readonly paths: readonly (readonly SurfacePoint[])[];
  readonly cost: number;
  readonly length: number;
  /** Conformal scale at the tip: how much cloth there is too much (positive) or too little. */
  readonly scale: number;
}

/** Shorter cuts than this are noise, mm. */
const LEAST_LENGTH = 15;

/** A vertex no further than this from a place is at it, mm: about an edge of the search's mesh. */
const AT_PLACE = 20;

/** Vertices no further from the plane of symmetry are on it, mm. */
const ON_PLANE = 1e-3;
/** A cut beside the plane of symmetry that is nowhere further from it than this leaves a strip with its image, mm. */
const BESIDE_PLANE = 15;

/** Where a patch asks more than this of its fabric, halving it is worth a try. */
const HALVE_ABOVE = 1.5;

/** Where it asks less than this, what lies over itself is all that is left to mend. */
const NEARLY = 1.3;

/** A patch as a surface for paths. */
export function patchSurface(
  surface: SearchSurface,
  state: Pick<SearchState, "refinement">,
  patch: SearchPatch,
): GeodesicSurface {
  const { refinement } = state;
  const local = new Map<number, number>();
  patch.refinedTriangle.forEach((t, i) => local.set(t, i));
  const twin = new Int32Array(patch.triangles.length).fill(-1);
  for (let i = 0; i < patch.refinedTriangle.length; i++) {
    for (let k = 0; k < 3; k++) {
      const h = 3 * patch.refinedTriangle[i] + k;
      if (refinement.mark[h] !== 0 || refinement.twin[h] < 0) continue;
      const g = refinement.twin[h];
      twin[3 * i + k] = 3 * local.get(Math.floor(g / 3))! + (g % 3);
    }
  }
  const direction = surface.directionWeight;
  return {
    positions: patch.positions,
    corners: patch.triangles,
    twin,
    weight: Float64Array.from(patch.baseTriangle, (t) => surface.weight[t]),
    directionWeight: direction && ((t, x, y, z) => direction(patch.baseTriangle[t], x, y, z)),
  };
}

/**
 * Cuts that might help a patch, cheapest paths only. `wide` looks at more and smaller ones; with `places`, mm, only those
 * through or to the inner vertices there; `onwards` also from the ends of darts whose legs lie over each other.
 */
export function makeCandidates(
  surface: SearchSurface,
  state: SearchState,
  index: number,
  wide = false,
  places?: readonly Point3[],
  onwards = false,
): Candidate[] {
  const patch = state.patches[index];
  const n = patch.sourceVertex.length;
  const border = new Uint8Array(n);
  for (const loop of patch.loops) for (const v of loop) border[v] = 1;
  const { scale } = scaleField(patch, border);
  const geodesic = patchSurface(surface, state, patch);
  const graph = new SteinerGraph(geodesic, 2);
  const stop = graph.closedNodes();
  const rim = rimNodes(graph, patch, geodesic);
  const out: Candidate[] = [];
  const tips = places
    ? verticesAt(patch, border, places)
    : pickTips(state, index, scale, border, surface, wide);
  const across = surface.mirror && waysToPlane(surface, state, patch, geodesic, graph, rim);
  for (const tip of tips) {
    const field = graph.costsFrom([[tip, 0]], stop);
    const ends = pickEnds(rim, field, wide);
    const straight = ends.map((end) => straightenPath(geodesic, nodePath(graph, field, end), true));
    ends.forEach((_, i) => {
      const path = onBase(state, patch, straight[i].points).reverse();
      if (path.length > 1) out.push(measured(surface, "dart", [path], scale[tip]));
    });
    if (across && !across.isTip(tip)) {
      for (const fork of across.forks.filter((v) => !ends.includes(v) && Number.isFinite(field.cost[v]))) {
        const { points } = straightenPath(geodesic, nodePath(graph, field, fork), true);
        if (points.length > 1)
          out.push(measured(surface, "dart", [onBase(state, patch, points).reverse()], scale[tip]));
      }
    }
    let through = 0;
    const pairs: [number, number, number][] = [];
    for (let i = 0; i < ends.length; i++)
      for (let j = i + 1; j < ends.length; j++) pairs.push([i, j, straight[i].cost + straight[j].cost]);
    pairs.sort((a, b) => a[2] - b[2]);
    for (const [i, j] of pairs) {
      if (through >= (wide ? 10 : 5)) break;
      const joined = [...straight[i].points.slice().reverse(), ...straight[j].points.slice(1)];
      const pulled = pullThrough(geodesic, joined);
      if (pulled.length < 3) continue;
      out.push(measured(surface, "seam", [onBase(state, patch, pulled)], scale[tip]));
      through++;
      // A shortest way goes round a pointed tip; only one through its very point lets the cloth lie flat there.
      if (wide && !pulled.some(({ vertex }) => vertex === tip))
        out.push(measured(surface, "seam", [onBase(state, patch, joined)], scale[tip]));
    }
    if (across?.isTip(tip)) {
      for (const [i, end] of ends.entries()) {
        const toTip = onBase(state, patch, straight[i].points).reverse();
        for (const way of [toTip, across.from(end)]) {
          if (way.length < 2 || isOnPlane(surface, way)) continue;
          const path = [...way, ...mirrorPath(surface, way.slice(0, -1)).reverse()];
          out.push(measured(surface, "seam", [path], scale[tip]));
        }
      }
    }
    if (scale[tip] < 0 && straight.length > 0) {
      const wedge = wedgeOf(surface, state, patch, geodesic, graph, field, rim, tip, ends[0], scale[tip]);
      if (wedge) out.push(wedge);
    }
  }
  if (surface.mirror) out.push(...plainFolds(surface, state, patch, tips, scale));
  if (places) return withMirrors(surface, dropDoubles(surface, out));
  const { crossings, smoothPeak } = state.measures[index];
  if (onwards && crossings > 0 && smoothPeak < NEARLY) {
    for (const slit of slitEnds(state, patch)) {
      const field = graph.costsFrom([[slit.tip, 0]], stop);
      for (const end of pickEnds(rim, beyondLegs(rim, field, slit), wide)) {
        // Its end stays: it would slide to the slit's own legs.
        const { points } = straightenPath(geodesic, nodePath(graph, field, end));
        const path = onBase(state, patch, points);
        if (path.length > 1) out.push(measured(surface, "seam", [path], scale[slit.tip]));
      }
    }
  }
  if (wide || state.measures[index].smoothPeak > HALVE_ABOVE)
    for (const path of halvingLines(state, index)) out.push(measured(surface, "seam", [path], 0));
  const { pile95 } = state.measures[index];
  if (pile95 > surface.pileLimitOf(patch)) {
    // Where the pile strays, parts that turn on their own help: cuts that run with it.
    for (const share of [0.25, 0.4, 0.5, 0.6, 0.75]) {
      for (const path of pileLines(state, index, share)) out.push(measured(surface, "seam", [path], 0));
    }
  }
  return withMirrors(surface, dropDoubles(surface, out));
}

export function nodePath(graph: SteinerGraph, field: CostField, node: number): GraphPoint[] {
  return graph.pathTo(field, node).map((k) => graph.point(k));
}

/** Straightens a border-to-border path; its middle may leave the tip that it was made through by a little. */
function pullThrough(geodesic: GeodesicSurface, joined: readonly GraphPoint[]): readonly GraphPoint[] {
  return straightenPath(geodesic, joined).points;
}

function measured(
  surface: SearchSurface,
  kind: CutKind,
  paths: readonly (readonly SurfacePoint[])[],
  scale: number,
): Candidate {
  let cost = 0;
  let length = 0;
  for (const path of paths) {
    const stations = pathStations(surface, path);
    cost += stations.cost[path.length - 1];
    length += stations.length[path.length - 1];
  }
  return { kind, paths, cost, length, scale };
}

/** Inner vertices of a patch at some places, where it reaches there. */
function verticesAt({ positions }: SearchPatch, border: Uint8Array, places: readonly Point3[]): number[] {
  const out = new Set<number>();
  for (const place of places) {
    let best = -1;
    let least = AT_PLACE;
    border.forEach((isBorder, v) => {
      const gap = Math.hypot(...[0, 1, 2].map((k) => positions[3 * v + k] - place[k]));
      if (isBorder || gap >= least) return;
      least = gap;
      best = v;
    });
    if (best >= 0) out.add(best);
  }
  return [...out];
}

/** Extremes of the scale field, and the place where most of the budget is overrun away from the border. */
function pickTips(
  state: SearchState,
  index: number,
  scale: Float64Array,
  border: Uint8Array,
  surface: SearchSurface,
  wide: boolean,
): number[] {
  const patch = state.patches[index];
  const { triangles, positions } = patch;
  const n = scale.length;
  const neighbours: number[][] = Array.from({ length: n }, () => []);
  for (let i = 0; i < triangles.length; i++) {
    neighbours[triangles[i]].push(triangles[i - (i % 3) + ((i + 1) % 3)]);
    neighbours[triangles[i]].push(triangles[i - (i % 3) + ((i + 2) % 3)]);
  }
  const peaks: number[] = [];
  for (let v = 0; v < n; v++) {
    if (border[v]) continue;
    const s = scale[v];
    if (Math.abs(s) < 0.004) continue;
    if (
      neighbours[v].every((w) =>
        s > 0 ? scale[w] < s || (scale[w] === s && w > v) : scale[w] > s || (scale[w] === s && w > v),
      )
    )
      peaks.push(v);
  }
  peaks.sort((a, b) => Math.abs(scale[b]) - Math.abs(scale[a]) || a - b);
  const overrun = overrunPeak(state, index, border);
  const size = Math.sqrt(state.sheets[index].totalArea);
  const apart = (a: number, b: number): number =>
    Math.hypot(
      positions[3 * a] - positions[3 * b],
      positions[3 * a + 1] - positions[3 * b + 1],
      positions[3 * a + 2] - positions[3 * b + 2],
    );
  const tips: number[] = [];
  const side = surface.mirror ? mirrorSide(surface, state, patch) : undefined;
  for (const v of [...peaks.slice(0, wide ? 20 : 8), ...(overrun >= 0 ? [overrun] : [])]) {
    // The other half is spoken for by the images.
    if (side && side(v) < -1e-6 * size) continue;
    if (tips.length >= (wide ? 7 : v === overrun ? 4 : 3)) continue;
    if (tips.every((w) => apart(v, w) > (wide ? 20 : 0.12 * size))) tips.push(v);
  }
  return tips;
}

/** Inner vertex with the largest averaged budget overrun, at least two edges from the border. */
function overrunPeak(state: SearchState, index: number, border: Uint8Array): number {
  const patch = state.patches[index];
  const near = border.slice();
  const { triangles } = patch;
  for (let i = 0; i < triangles.length; i += 3) {
    if (border[triangles[i]] || border[triangles[i + 1]] || border[triangles[i + 2]])
      near[triangles[i]] = near[triangles[i + 1]] = near[triangles[i + 2]] = 1;
  }
  const use = averagedUse(state, index);
  let best = -1;
  use.forEach((u, v) => {
    if (!near[v] && (best < 0 || u > use[best])) best = v;
  });
  return best >= 0 && use[best] > 1.02 ? best : -1;
}

/** Nodes of the outline in order, with their length along it and the sides between corners. */
export interface Rim {
  readonly nodes: Int32Array;
  readonly along: Float64Array;
  readonly side: Int32Array;
  readonly total: number;
}

export function rimNodes(graph: SteinerGraph, patch: SearchPatch, geodesic: GeodesicSurface): Rim {
  const nodes: number[] = [];
  const along: number[] = [];
  const side: number[] = [];
  const loop = patch.loops[0];
  const next = new Map<number, number>();
  for (let h = 0; h < patch.triangles.length; h++) if (geodesic.twin[h] < 0) next.set(patch.triangles[h], h);
  let total = 0;
  let sides = 0;
  const p = patch.positions;
  for (let i = 0; i < loop.length; i++) {
    const v = loop[i];
    const before = loop[(i + loop.length - 1) % loop.length];
    const h = next.get(v)!;
    const w = loop[(i + 1) % loop.length];
    const d = Math.hypot(p[3 * v] - p[3 * w], p[3 * v + 1] - p[3 * w + 1], p[3 * v + 2] - p[3 * w + 2]);
    if (i > 0 && sharpTurn(patch, before, v, w)) sides++;
    nodes.push(v);
    along.push(total);
    side.push(sides);
    const first = graph.firstOnEdge(h);
    for (let k = 0; k < graph.perEdge; k++) {
      const own = graph.edgeHalf[Math.floor((first - graph.vertexCount) / graph.perEdge)];
      nodes.push(first + (own === h ? k : graph.perEdge - 1 - k));
      along.push(total + (d * (k + 1)) / (graph.perEdge + 1));
      side.push(sides);
    }
    total += d;
  }
  return {
    nodes: Int32Array.from(nodes),
    along: Float64Array.from(along),
    side: Int32Array.from(side),
    total,
  };
}

/** Corner of the patch: the outline turns by more than 35° in space. */
function sharpTurn(patch: SearchPatch, a: number, b: number, c: number): boolean {
  const p = patch.positions;
  const u = [0, 1, 2].map((k) => p[3 * b + k] - p[3 * a + k]);
  const v = [0, 1, 2].map((k) => p[3 * c + k] - p[3 * b + k]);
  const dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
  return dot < Math.cos((35 * Math.PI) / 180) * Math.hypot(...u) * Math.hypot(...v);
}

/** Cheapest places of the outline, no two near each other, every side represented. */
function pickEnds(rim: Rim, field: CostField, wide: boolean): number[] {
  const count = rim.nodes.length;
  const cost = Float64Array.from(rim.nodes, (node) => field.cost[node]);
  const cheapest = cost.reduce((least, c) => Math.min(least, c), Infinity);
  // Small features want ends near each other; elsewhere they would only be doubles.
  const reach = wide ? Math.min(rim.total * 0.06, Math.max(20, 0.6 * cheapest)) : rim.total * 0.06;
  const minima: number[] = [];
  for (let i = 0; i < count; i++) {
    if (!Number.isFinite(cost[i])) continue;
    let least = true;
    for (let j = 1; j < count && least; j++) {
      const k = (i + j) % count;
      const d = (rim.along[k] - rim.along[i] + rim.total) % rim.total;
      if (d > reach) break;
      if (cost[k] < cost[i]) least = false;
    }
    for (let j = 1; j < count && least; j++) {
      const k = (i - j + count) % count;
      const d = (rim.along[i] - rim.along[k] + rim.total) % rim.total;
      if (d > reach) break;
      if (cost[k] <= cost[i]) least = false;
    }
    if (least) minima.push(i);
  }
  const bySide = new Map<number, number>();
  for (let i = 0; i < count; i++) {
    const now = bySide.get(rim.side[i]);
    if (Number.isFinite(cost[i]) && (now === undefined || cost[i] < cost[now])) bySide.set(rim.side[i], i);
  }
  // Without clear minima (a round patch with its peak in the middle) take places all round.
  const spread: number[] = [];
  if (minima.length < 4) {
    const best = minima[0] ?? 0;
    for (let q = 0; q < 4; q++) {
      const goal = (rim.along[best] + (q * rim.total) / 4) % rim.total;
      let near = 0;
      for (let i = 1; i < count; i++)
        if (Math.abs(rim.along[i] - goal) < Math.abs(rim.along[near] - goal)) near = i;
      spread.push(near);
    }
  }
  const order = [...minima, ...bySide.values()].sort((a, b) => cost[a] - cost[b] || a - b);
  const ends: number[] = [];
  for (const i of [...order, ...spread]) {
    if (ends.length >= (wide ? 9 : 6)) break;
    if (!Number.isFinite(cost[i])) continue;
    const far = ends.every((j) => {
      const d = Math.abs(rim.along[i] - rim.along[j]);
      return Math.min(d, rim.total - d) > reach;
    });
    if (far) ends.push(i);
  }
  return ends.map((i) => rim.nodes[i]);
}

/** Two seams from a saddle to the outline with a wedge between, whose angle is what the saddle has too much of. */
function wedgeOf(
  surface: SearchSurface,
  state: SearchState,
  patch: SearchPatch,
  geodesic: GeodesicSurface,
  graph: SteinerGraph,
  field: CostField,
  rim: Rim,
  tip: number,
  nearest: number,
  scale: number,
): Candidate | undefined {
  const at = rim.nodes.indexOf(nearest);
  const reach = field.cost[nearest];
  if (at < 0 || !Number.isFinite(reach)) return undefined;
  const excess = Math.min(1.6, Math.max(0.35, -2 * scale));
  const step = Math.max(25, reach * Math.tan(excess / 2));
  const find = (direction: number): number => {
    const count = rim.nodes.length;
    for (let j = 1; j < count / 2; j++) {
      const k = (at + direction * j + count) % count;
      const d = Math.abs(rim.along[k] - rim.along[at]);
      if (Math.min(d, rim.total - d) >= step)
        return Number.isFinite(field.cost[rim.nodes[k]]) ? rim.nodes[k] : -1;
    }
    return -1;
  };
  const left = find(-1);
  const right = find(1);
  if (left < 0 || right < 0) return undefined;
  const legs = [left, right].map((node) => straightenPath(geodesic, nodePath(graph, field, node)));
  if (legs[0].length + legs[1].length > 8 * reach + 200) return undefined;
  return measured(
    surface,
    "gusset",
    legs.map((leg) => onBase(state, patch, leg.points).reverse()),
    scale,
  );
}

/** A way from one leg of a dart round its tip to the other leg is a ring, which parts a scrap. */
function closesOnItself(surface: SearchSurface, { kind, paths }: Candidate): boolean {
  if (kind !== "seam") return false;
  return paths.some((path) => {
    const a = surfacePosition(surface.mesh, path[0]);
    const b = surfacePosition(surface.mesh, path[path.length - 1]);
    const { length } = pathStations(surface, path);
    return distance(a, b) < Math.max(LEAST_LENGTH, 0.15 * length[path.length - 1]);
  });
}

/** Candidates that run nearly the same way are one. */
function dropDoubles(surface: SearchSurface, list: readonly Candidate[]): Candidate[] {
  const out: Candidate[] = [];
  const spots: Point3[][] = [];
  for (const candidate of [...list].sort((a, b) => a.cost - b.cost)) {
    if (closesOnItself(surface, candidate)) continue;
    if (!(candidate.cost < 1e5) || candidate.length < LEAST_LENGTH * candidate.paths.length) continue;
    const own = candidate.paths.flatMap((path) =>
      [0, 0.25, 0.5, 0.75, 1].map((f) =>
        surfacePosition(surface.mesh, path[Math.round(f * (path.length - 1))]),
      ),
    );
    const same = spots.some(
      (other) => other.length === own.length && own.every((p, i) => distance(p, other[i]) < 10),
    );
    if (same) continue;
    spots.push(own);
    out.push(candidate);
  }
  return out;
}

/** What a patch has of the plane of symmetry. */
interface AcrossPlane {
  readonly isTip: (vertex: number) => boolean;
  /** Places of the outline in the plane where a cut and its image may both begin: three seams then meet there at most. */
  readonly forks: readonly number[];
  /** The way of a seam across the plane: from a node to the plane, which a shortest way meets squarely. */
  readonly from: (node: number) => SurfacePoint[];
}

function waysToPlane(
  surface: SearchSurface,
  state: SearchState,
  patch: SearchPatch,
  geodesic: GeodesicSurface,
  graph: SteinerGraph,
  rim: Rim,
): AcrossPlane {
  const side = mirrorSide(surface, state, patch);
  const isTip = (v: number): boolean => Math.abs(side(v)) < ON_PLANE;
  const onPlane = Array.from(patch.sourceVertex.keys()).filter(isTip);
  const field = graph.costsFrom(
    onPlane.map((v): [number, number] => [v, 0]),
    graph.closedNodes(),
  );
  const { refinement } = state;
  const arms = (v: number): number =>
    refinement.star(patch.sourceVertex[v]).filter((h) => refinement.mark[h] !== 0 && refinement.twin[h] >= 0)
      .length;
  return {
    isTip,
    forks: Array.from(rim.nodes).filter((v) => v < graph.vertexCount && isTip(v) && arms(v) < 2),
    from: (node) =>
      Number.isFinite(field.cost[node])
        ? onBase(state, patch, straightenPath(geodesic, nodePath(graph, field, node), true).points).reverse()
        : [],
  };
}

/** Cuts in the plane of symmetry: from outline to outline, and from either end to the tips that lie on it. */
function plainFolds(
  surface: SearchSurface,
  state: SearchState,
  patch: SearchPatch,
  tips: readonly number[],
  scale: Float64Array,
): Candidate[] {
  const side = mirrorSide(surface, state, patch);
  const onPlane = tips.filter((v) => Math.abs(side(v)) < ON_PLANE);
  return linesOnPlane(surface, state, patch).flatMap((line) => {
    const places = line.map((point) => surfacePosition(surface.mesh, point));
    const darts = onPlane.flatMap((tip) => {
      const p = [0, 1, 2].map((k) => patch.positions[3 * tip + k]) as unknown as Point3;
      const i = places.findIndex((q) => distance(p, q) < ON_PLANE);
      return i <= 0 || i >= line.length - 1
        ? []
        : [line.slice(0, i + 1), line.slice(i).reverse()].map((path) =>
            measured(surface, "dart", [path], scale[tip]),
          );
    });
    const through = onPlane.reduce((most, v) => (Math.abs(scale[v]) > Math.abs(most) ? scale[v] : most), 0);
    return [measured(surface, "seam", [line], through), ...darts];
  });
}

/** Under symmetry every cut comes with its image; one on the plane, or across it, may be its own. */
export function withMirrors(surface: SearchSurface, list: readonly Candidate[]): Candidate[] {
  if (!surface.mirror) return [...list];
  const out: Candidate[] = [];
  for (const candidate of list) {
    const [paths] = inPairs(surface, [candidate.paths]);
    if (paths.some((path) => !isOnPlane(surface, path) && isOnPlane(surface, path, 2 * BESIDE_PLANE)))
      continue;
    const isFold = candidate.kind === "seam" && paths.every((path) => isOnPlane(surface, path));
    const next = measured(surface, isFold ? "fold" : candidate.kind, paths, candidate.scale);
    // From a tip on the plane there are two ways, each the other's image.
    const isDouble = out.some(
      ({ kind, paths: other }) =>
        kind === next.kind &&
        other.length === paths.length &&
        paths.every((path) => other.some((one) => isOneLine(surface, one, path))),
    );
    if (!isDouble) out.push(next);
  }
  return out;
}

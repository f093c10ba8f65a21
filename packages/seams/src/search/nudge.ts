// Cuts of a search begin and end where the ways to an extreme of the scale field are cheapest. What the cloth needs may be
// had with less a little to one side: so the ends of each cut, and the middle of a seam, are moved as long as that is
// cheaper.
import {
  insertPath,
  nextHalfEdge,
  SteinerGraph,
  straightenPath,
  surfacePosition,
  type CostField,
  type GeodesicSurface,
  type GraphPoint,
  type Point3,
  type SurfacePoint,
} from "@peltry/geometry";
import { throwIfCancelled } from "@peltry/issues";
import { distance, pointBetween } from "../lines-in-space";
import { nodePath, patchSurface, rimNodes, type Rim } from "./candidates";
import { allCuts, groupCost, makeGroup, priceOf, type CutGroup, type Search } from "./greedy";
import { onBase } from "./pile-lines";
import { tryReplace, type PruneOptions } from "./prune";
import { searchPatches, type SearchPatch } from "./search-patches";
import type { SearchState } from "./search-state";
import { pathStations, subPath, type SearchSurface } from "./search-surface";

/** What ends are moved by, mm. */
const MOVES = [24, 12, 6];
/** How far the middle of a seam moves at most, mm: to vertices next to it. */
const BESIDE = 32;
/** What a dart is made shorter by where its mouth is moved, mm. */
const SHORTER = 4;
/** An end of a cut is no further than this from the outline that it lies on, mm. */
const AT_END = 15;
const PASSES = 3;
/** A plan is better that is cheaper by this, mm. */
const GAIN = 0.5;

export interface NudgeOptions extends PruneOptions {
  /** Stops when so much work has been spent on the surface. */
  readonly until: number;
}

/** Moves the ends of the cuts of a plan that keeps its limits where that is cheaper; under symmetry they stay. */
export function nudge(surface: SearchSurface, start: Search, options: NudgeOptions): Search {
  if (surface.mirror) return start;
  let search = start;
  for (let pass = 0; pass < PASSES; pass++) {
    const before = groupCost(search.groups, options.prices);
    const order = [...search.groups.keys()].sort(
      (a, b) => priceOf(search.groups[b], options.prices) - priceOf(search.groups[a], options.prices),
    );
    for (const at of order) search = nudgeGroup(surface, search, at, options);
    if (groupCost(search.groups, options.prices) > before - 2 * GAIN) break;
  }
  return search;
}

function nudgeGroup(surface: SearchSurface, start: Search, at: number, options: NudgeOptions): Search {
  const { kind, locked, cuts } = start.groups[at];
  if (locked || (kind !== "dart" && kind !== "seam") || cuts.length > 1) return start;
  const mover = new Mover(surface, start, at, options);
  if (kind === "seam") mover.moveSeam();
  else mover.moveDart();
  return mover.search;
}

/** Moves one cut about. */
class Mover {
  private readonly ground: Ground | undefined;
  private readonly path: readonly SurfacePoint[];
  private readonly tried = new Set<string>();

  constructor(
    private readonly surface: SearchSurface,
    public search: Search,
    private readonly at: number,
    private readonly options: NudgeOptions,
  ) {
    const group = search.groups[at];
    this.path = group.cuts[0].path;
    this.ground = groundWithout(surface, search, group, this.middle().triangle);
  }

  /** Moves both ends and the middle of a seam. */
  moveSeam(): void {
    const { ground, path } = this;
    if (!ground) return;
    const vertex = ground.nearest(this.place(this.middle()));
    const ends = [path[0], path[path.length - 1]].map((end) => ground.rimAt(vertex, this.place(end)));
    if (vertex < 0 || ends.some((end) => end < 0)) return;
    let now = { vertex, a: ends[0], b: ends[1] };
    for (const by of MOVES) {
      for (let moved = true; moved;) {
        const [as, bs] = [now.a, now.b].map((end) => [0, by, -by].map((d) => ground.beside(end, d)));
        const ways = [
          ...as.flatMap((a) => bs.map((b) => ({ ...now, a, b }))).slice(1),
          ...ground.around(now.vertex).map((v) => ({ ...now, vertex: v })),
        ];
        const next = ways.find((way) =>
          ground.through(way.vertex, way.a, way.b).some((line) => this.replace(line)),
        );
        moved = next !== undefined;
        now = next ?? now;
      }
    }
  }

  /** Moves the mouth of a dart. */
  moveDart(): void {
    const { ground, path, surface } = this;
    if (!ground) return;
    const tip = ground.nearest(this.place(path[path.length - 1]));
    let mouth = tip < 0 ? -1 : ground.rimAt(tip, this.place(path[0]));
    if (mouth < 0) return;
    for (const by of MOVES) {
      for (let moved = true; moved;) {
        const next = [by, -by]
          .map((d) => ground.beside(mouth, d))
          .find((end) => {
            const line = ground.to(tip, end);
            const length = line && pathStations(surface, line).length[line.length - 1];
            return (
              line !== undefined &&
              this.replace(
                subPath(surface, line, 0, Math.min(length!, this.search.groups[this.at].length - SHORTER)),
              )
            );
          });
        moved = next !== undefined;
        mouth = next ?? mouth;
      }
    }
  }

  /** Takes another way where it is cheaper, new, and keeps the limits. */
  private replace(path: SurfacePoint[]): boolean {
    const { surface, options, tried } = this;
    const old = this.search.groups[this.at];
    const { kind, round, scale, before, after, id } = old;
    const made = makeGroup(surface, kind, [path], { round, scale, before, after, id });
    if (!(priceOf(made, options.prices) < priceOf(old, options.prices) - GAIN)) return false;
    if (made.length < options.minDart || surface.work.spent > options.until) return false;
    const key = [path[0], path[path.length - 1]]
      .flatMap((end) => this.place(end).map((x) => Math.round(x / 2)))
      .concat(Math.round(2 * made.length))
      .join();
    if (tried.has(key)) return false;
    tried.add(key);
    throwIfCancelled(options.signal);
    const next = tryReplace(surface, this.search, this.at, [made], options);
    this.search = next ?? this.search;
    return next !== undefined;
  }

  /** The tip of a dart, or half way along a seam. */
  private middle(): SurfacePoint {
    const { path, surface, search, at } = this;
    if (search.groups[at].kind === "dart") return path[path.length - 1];
    return subPath(surface, path, 0, search.groups[at].length / 2).at(-1)!;
  }

  private place(point: SurfacePoint): Point3 {
    return surfacePosition(this.surface.mesh, point);
  }
}

/** The patch on which a cut may run elsewhere: the surface with all the others. */
class Ground {
  private readonly graph: SteinerGraph;
  private readonly stop: Uint8Array;
  private readonly rim: Rim;
  private readonly rimPlaces: readonly Point3[];
  private readonly border: Uint8Array;
  private readonly fields = new Map<number, CostField>();

  constructor(
    private readonly state: Pick<SearchState, "refinement">,
    private readonly patch: SearchPatch,
    private readonly geodesic: GeodesicSurface,
  ) {
    this.graph = new SteinerGraph(geodesic, 2);
    this.stop = this.graph.closedNodes();
    this.rim = rimNodes(this.graph, patch, geodesic);
    this.rimPlaces = Array.from(this.rim.nodes, (node) => this.placeOf(this.graph.point(node)));
    this.border = new Uint8Array(patch.sourceVertex.length);
    for (const v of patch.loops[0]) this.border[v] = 1;
  }

  /** The inner vertex nearest to a place; -1 where there is none. */
  nearest(place: Point3): number {
    return this.inner().reduce(
      (best, v) =>
        best < 0 || distance(this.vertex(v), place) < distance(this.vertex(best), place) ? v : best,
      -1,
    );
  }

  /** Inner vertices next to one. */
  around(v: number): number[] {
    return this.inner().filter((w) => w !== v && distance(this.vertex(v), this.vertex(w)) < BESIDE);
  }

  /** The place of the outline, as an index, nearest to a place in space on the side of a vertex; -1 where there is none. */
  rimAt(from: number, place: Point3): number {
    if (from < 0) return -1;
    const { cost } = this.fieldOf(from);
    let best = -1;
    let least = Infinity;
    this.rimPlaces.forEach((p, i) => {
      const off = distance(p, place);
      const far = cost[this.rim.nodes[i]] + 2 * off;
      if (off > AT_END || far >= least) return;
      least = far;
      best = i;
    });
    return best;
  }

  /** The place of the outline that lies so far along it, mm. */
  beside(from: number, by: number): number {
    const { along, total } = this.rim;
    const n = along.length;
    for (let k = 0; k < n; k++) {
      const to = (from + Math.sign(by) * k + n) % n;
      const d = Math.abs(along[to] - along[from]);
      if (Math.min(d, total - d) >= Math.abs(by) - 0.5) return to;
    }
    return from;
  }

  /** Ways from one place of the outline over a vertex to another: bent there, and pulled straight. */
  through(v: number, a: number, b: number): SurfacePoint[][] {
    const [first, second] = [this.way(v, a), this.way(v, b)];
    if (!first || !second) return [];
    const bent = [...[...first].reverse(), ...second.slice(1)];
    return [bent, straightenPath(this.geodesic, bent).points]
      .filter(({ length }) => length > 2)
      .map((points) => onBase(this.state, this.patch, points));
  }

  /** The way from a place of the outline to a vertex. */
  to(v: number, from: number): SurfacePoint[] | undefined {
    const way = this.way(v, from);
    return way && way.length > 1 ? onBase(this.state, this.patch, way).reverse() : undefined;
  }

  private way(v: number, i: number): readonly GraphPoint[] | undefined {
    const field = this.fieldOf(v);
    const node = this.rim.nodes[i];
    if (!(field.cost[node] < 1e5)) return undefined;
    return straightenPath(this.geodesic, nodePath(this.graph, field, node)).points;
  }

  private fieldOf(v: number): CostField {
    const known = this.fields.get(v);
    if (known) return known;
    const field = this.graph.costsFrom([[v, 0]], this.stop);
    this.fields.set(v, field);
    return field;
  }

  private inner(): number[] {
    return [...this.border.keys()].filter((v) => this.border[v] === 0);
  }

  private vertex(v: number): Point3 {
    const p = this.patch.positions;
    return [p[3 * v], p[3 * v + 1], p[3 * v + 2]];
  }

  private placeOf({ vertex, half, t }: GraphPoint): Point3 {
    if (half < 0) return this.vertex(vertex);
    const { triangles } = this.patch;
    return pointBetween(this.vertex(triangles[half]), this.vertex(triangles[nextHalfEdge(half)]), t);
  }
}

/** Undefined where other cuts hang on the one left out. */
function groundWithout(
  surface: SearchSurface,
  { groups }: Search,
  group: CutGroup,
  triangle: number,
): Ground | undefined {
  const refinement = surface.root.copy();
  try {
    for (const { path, mark } of allCuts(groups.filter((other) => other !== group)))
      insertPath(refinement, path, { mark, snap: surface.snap });
  } catch {
    return undefined;
  }
  const patches = searchPatches(refinement, surface.regionOf);
  const patch = patches.find(({ baseTriangle }) => baseTriangle.includes(triangle));
  if (!patch || patch.loops.length !== 1) return undefined;
  return new Ground({ refinement }, patch, patchSurface(surface, { refinement }, patch));
}

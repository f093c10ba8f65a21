import type { FormCurve } from "../types";
import { placeVertex } from "./leg-mesh";
import type { LegSurface } from "./leg-surface";

/** Negative inside, zero on the border; shares are 0 inner, ¼ front, ½ outer, ¾ back; heights in mm. */
export type PatchField = (share: number, height: number) => number;

/** A mesh whose vertices know their place on the surface. */
export interface ParameterMesh {
  readonly positions: Float64Array;
  readonly inner: Float64Array;
  readonly triangles: Uint32Array;
  readonly share: Float64Array;
  readonly height: Float64Array;
  readonly curves: readonly FormCurve[];
  /** Region of each triangle. */
  readonly regionOf: Int32Array;
}

/** Crossing edges move an end onto the border where it is this near, as a share of the edge; others are split. */
const SNAP = 0.38;
const ROUNDS = 6;
/** Rings of triangles about the border that are evened out. */
const RINGS = 3;

/**
 * Cuts a region into the mesh: afterwards its border runs along mesh edges, every border vertex on the border curve and
 * every vertex on the surface. Named curves keep their line: their vertices only slide along it.
 */
export function carvePatch(
  mesh: ParameterMesh,
  surface: LegSurface,
  field: PatchField,
  region: number,
): ParameterMesh {
  const share = [...mesh.share];
  const height = [...mesh.height];
  const value = share.map((s, v) => field(s, height[v]));
  const triangles: [number, number, number][] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    triangles.push([mesh.triangles[t], mesh.triangles[t + 1], mesh.triangles[t + 2]]);
  }
  const origin = [...mesh.regionOf];
  const curves = mesh.curves.map((curve) => ({ ...curve, path: [...curve.path] }));
  const held = heldVertices(curves, share.length);
  const work: Work = { share, height, value, triangles, origin, curves, held, field };
  const crossing = crossingEdges(work);
  if (crossing.length > 0) {
    snapEnds(work, crossing);
    splitEdges(work, crossingEdges(work));
  }
  const label = (t: number): number => (insideTriangle(work, t) ? region : origin[t]);
  const labels = triangles.map((_, t) => label(t));
  even(work, labels, surface);
  const count = share.length;
  const positions = new Float64Array(3 * count);
  const inner = new Float64Array(3 * count);
  positions.set(mesh.positions);
  inner.set(mesh.inner);
  for (let v = 0; v < count; v++) {
    const moved = v >= mesh.share.length || share[v] !== mesh.share[v] || height[v] !== mesh.height[v];
    if (moved) placeVertex(surface, v, share[v], height[v], positions, inner);
  }
  return {
    positions,
    inner,
    triangles: packTriangles(triangles),
    share: Float64Array.from(share),
    height: Float64Array.from(height),
    curves,
    regionOf: Int32Array.from(labels),
  };
}

function packTriangles(list: readonly (readonly [number, number, number])[]): Uint32Array {
  const out = new Uint32Array(3 * list.length);
  list.forEach((triangle, t) => out.set(triangle, 3 * t));
  return out;
}

interface Work {
  readonly share: number[];
  readonly height: number[];
  readonly value: number[];
  readonly triangles: [number, number, number][];
  readonly origin: number[];
  readonly curves: (FormCurve & { path: number[] })[];
  /** Per vertex: may it change its share, its height. */
  readonly held: { share: boolean; height: boolean }[];
  readonly field: PatchField;
}

/**
 * Vertices of seams keep their share, those of rims their height, earlier borders both. Girth lines give way: a girth is
 * measured by slicing, and a border that grazes a ring would leave slivers.
 */
function heldVertices(curves: readonly FormCurve[], count: number): { share: boolean; height: boolean }[] {
  const held = Array.from({ length: count }, () => ({ share: false, height: false }));
  for (const curve of curves) {
    if (curve.kind === "level") continue;
    const level = curve.closed || curve.id === "rim-top";
    for (const v of curve.path) {
      if (curve.kind === "border" || level) held[v].height = true;
      if (curve.kind === "border" || !level) held[v].share = true;
    }
  }
  return held;
}

/** The nearer way from one share to another round the limb. */
function turn(from: number, to: number): number {
  const d = to - from;
  return d > 0.5 ? d - 1 : d < -0.5 ? d + 1 : d;
}

interface Crossing {
  readonly a: number;
  readonly b: number;
  /** Where the border crosses, from a to b. */
  readonly t: number;
}

function crossingEdges(work: Work): Crossing[] {
  const { triangles, value } = work;
  const found: Crossing[] = [];
  const seen = new Set<number>();
  for (const triangle of triangles) {
    for (let k = 0; k < 3; k++) {
      const a = Math.min(triangle[k], triangle[(k + 1) % 3]);
      const b = Math.max(triangle[k], triangle[(k + 1) % 3]);
      if (value[a] * value[b] >= 0) continue;
      const key = a * value.length + b;
      if (seen.has(key)) continue;
      seen.add(key);
      found.push({ a, b, t: root(work, a, b) });
    }
  }
  return found;
}

function root(work: Work, a: number, b: number): number {
  let [low, high] = [0, 1];
  const negativeFirst = work.value[a] < 0;
  for (let i = 0; i < 30; i++) {
    const t = (low + high) / 2;
    const [s, h] = along(work, a, b, t);
    if (work.field(s, h) < 0 === negativeFirst) low = t;
    else high = t;
  }
  return (low + high) / 2;
}

function along(work: Work, a: number, b: number, t: number): [number, number] {
  const s = work.share[a] + t * turn(work.share[a], work.share[b]);
  return [s < 0 ? s + 1 : s > 1 ? s - 1 : s, work.height[a] + t * (work.height[b] - work.height[a])];
}

function snapEnds(work: Work, crossing: readonly Crossing[]): void {
  const order = [...crossing].sort(
    (p, q) => Math.min(p.t, 1 - p.t) - Math.min(q.t, 1 - q.t) || p.a - q.a || p.b - q.b,
  );
  for (const { a, b, t } of order) {
    if (work.value[a] * work.value[b] >= 0) continue;
    const v = t < 0.5 ? a : b;
    if (Math.min(t, 1 - t) > SNAP) continue;
    const held = work.held[v];
    const sameShare = Math.abs(turn(work.share[a], work.share[b])) < 1e-12;
    const sameHeight = work.height[a] === work.height[b];
    if ((held.share && !sameShare) || (held.height && !sameHeight)) continue;
    const [s, h] = along(work, a, b, root(work, a, b));
    work.share[v] = s;
    work.height[v] = h;
    work.value[v] = 0;
  }
}

function splitEdges(work: Work, crossing: readonly Crossing[]): void {
  const { triangles, origin, value, share, height, held, curves } = work;
  const middle = new Map<number, number>();
  for (const { a, b, t } of crossing) {
    const [s, h] = along(work, a, b, t);
    const v = share.length;
    share.push(s);
    height.push(h);
    value.push(0);
    held.push({ share: held[a].share && held[b].share, height: held[a].height && held[b].height });
    middle.set(edgeKey(a, b), v);
  }
  const between = (a: number, b: number): number | undefined => middle.get(edgeKey(a, b));
  for (const curve of curves) {
    const path: number[] = [];
    curve.path.forEach((v, i) => {
      path.push(v);
      const next = i + 1 < curve.path.length ? curve.path[i + 1] : curve.closed ? curve.path[0] : undefined;
      const m = next === undefined ? undefined : between(v, next);
      if (m !== undefined) path.push(m);
    });
    curve.path.splice(0, curve.path.length, ...path);
  }
  const count = triangles.length;
  for (let t = 0; t < count; t++) {
    const [a, b, c] = triangles[t];
    const mids = [between(a, b), between(b, c), between(c, a)];
    const cut = mids.filter((m) => m !== undefined).length;
    if (cut === 0) continue;
    if (cut === 1) {
      const k = mids.findIndex((m) => m !== undefined);
      const [p, q, r] = [triangles[t][k], triangles[t][(k + 1) % 3], triangles[t][(k + 2) % 3]];
      triangles[t] = [p, mids[k]!, r];
      triangles.push([mids[k]!, q, r]);
      origin.push(origin[t]);
    } else {
      // Two sides cut: the corner between them comes off, the rest is a four-sided piece.
      const k = mids.findIndex((m, i) => m !== undefined && mids[(i + 2) % 3] !== undefined);
      const [p, q, r] = [triangles[t][k], triangles[t][(k + 1) % 3], triangles[t][(k + 2) % 3]];
      const [m, n] = [mids[k]!, mids[(k + 2) % 3]!];
      triangles[t] = [p, m, n];
      triangles.push([m, q, r], [m, r, n]);
      origin.push(origin[t], origin[t]);
    }
  }
}

function insideTriangle(work: Work, t: number): boolean {
  const corners = work.triangles[t];
  const values = corners.map((v) => work.value[v]);
  if (values.some((x) => x < 0)) return true;
  if (values.some((x) => x > 0)) return false;
  const [a, b, c] = corners;
  const s = work.share[a] + (turn(work.share[a], work.share[b]) + turn(work.share[a], work.share[c])) / 3;
  return work.field(s, (work.height[a] + work.height[b] + work.height[c]) / 3) < 0;
}

/** Evens out the triangles about the border: flips edges, relaxes vertices, slides border vertices along the border. */
function even(work: Work, labels: number[], surface: LegSurface): void {
  const { share, height, value, triangles, held } = work;
  const active = activeTriangles(work);
  if (active.length === 0) return;
  const fixed = new Set<number>();
  const isActive = new Uint8Array(triangles.length);
  for (const t of active) isActive[t] = 1;
  triangles.forEach((triangle, t) => {
    if (!isActive[t]) for (const v of triangle) fixed.add(v);
  });
  const kept = new Set<number>();
  for (const curve of work.curves) {
    curve.path.forEach((v, i) => {
      const next = i + 1 < curve.path.length ? curve.path[i + 1] : curve.closed ? curve.path[0] : undefined;
      if (next !== undefined) kept.add(edgeKey(v, next));
    });
  }
  const place = (v: number): [number, number, number] => {
    const [x, z] = surface.outer(share[v], height[v]);
    return [x, height[v], z];
  };
  const points = new Map<number, [number, number, number]>();
  const refresh = (v: number): void => void points.set(v, place(v));
  for (const t of active) for (const v of triangles[t]) if (!points.has(v)) refresh(v);

  for (let round = 0; round < ROUNDS; round++) {
    flipEdges(triangles, active, labels, kept, (v) => points.get(v)!, 1);
    const ring = neighbours(triangles, active);
    const borders = borderNeighbours(triangles, active, labels);
    const moves: [number, number, number][] = [];
    for (const [v, around] of ring) {
      if (fixed.has(v) || (held[v].share && held[v].height)) continue;
      const onBorder = value[v] === 0;
      const use = onBorder ? (borders.get(v) ?? []) : [...around];
      if (onBorder && use.length !== 2) continue;
      let [ds, dh] = [0, 0];
      for (const w of use) {
        ds += turn(share[v], share[w]) / use.length;
        dh += (height[w] - height[v]) / use.length;
      }
      let [s, h] = [
        held[v].share ? share[v] : share[v] + 0.6 * ds,
        held[v].height ? height[v] : height[v] + 0.6 * dh,
      ];
      if (onBorder) {
        if (held[v].share || held[v].height) continue;
        [s, h] = toBorder(work.field, s, h);
      }
      s = s < 0 ? s + 1 : s > 1 ? s - 1 : s;
      h = Math.min(surface.high, Math.max(surface.low, h));
      // An even-out must not carry a vertex across the border.
      if (!onBorder && work.field(s, h) * value[v] <= 0) continue;
      moves.push([v, s, h]);
    }
    for (const [v, s, h] of moves) {
      share[v] = s;
      height[v] = h;
      if (value[v] !== 0) value[v] = work.field(s, h);
      refresh(v);
    }
  }
  flipEdges(triangles, active, labels, kept, (v) => points.get(v)!, 4);
}

/** More vertices than any form has. */
const MOST = 2 ** 26;

function edgeKey(a: number, b: number): number {
  return a < b ? a * MOST + b : b * MOST + a;
}

/** Newton steps along the gradient, in units that make a share of the limb about as long as a height. */
function toBorder(field: PatchField, share: number, height: number): [number, number] {
  const unit = 600;
  for (let i = 0; i < 6; i++) {
    const f = field(share, height);
    const gs = (field(share + 1e-5, height) - field(share - 1e-5, height)) / (2e-5 * unit);
    const gh = (field(share, height + 1e-3) - field(share, height - 1e-3)) / 2e-3;
    const square = gs * gs + gh * gh;
    if (square < 1e-18) break;
    share -= (f * gs) / (square * unit);
    height -= (f * gh) / square;
  }
  return [share, height];
}

function activeTriangles(work: Work): number[] {
  const near = new Uint8Array(work.value.length);
  work.value.forEach((x, v) => x === 0 && (near[v] = 1));
  let list: number[] = [];
  for (let ring = 0; ring < RINGS; ring++) {
    list = [];
    for (let t = 0; t < work.triangles.length; t++) {
      const [a, b, c] = work.triangles[t];
      if (near[a] || near[b] || near[c]) list.push(t);
    }
    for (const t of list) for (const v of work.triangles[t]) near[v] = 1;
  }
  return list;
}

function neighbours(
  triangles: readonly (readonly number[])[],
  active: readonly number[],
): Map<number, Set<number>> {
  const ring = new Map<number, Set<number>>();
  for (const t of active) {
    for (const v of triangles[t]) {
      const set = ring.get(v) ?? new Set();
      for (const w of triangles[t]) if (w !== v) set.add(w);
      ring.set(v, set);
    }
  }
  return ring;
}

/** For each vertex between two regions, the vertices that the border runs on to. */
function borderNeighbours(
  triangles: readonly (readonly number[])[],
  active: readonly number[],
  labels: readonly number[],
): Map<number, number[]> {
  const side = new Map<number, number>();
  const found = new Map<number, number[]>();
  for (const t of active) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t][k], triangles[t][(k + 1) % 3]];
      const key = edgeKey(a, b);
      const other = side.get(key);
      if (other === undefined) side.set(key, labels[t]);
      else if (other !== labels[t]) {
        found.set(a, [...(found.get(a) ?? []), b]);
        found.set(b, [...(found.get(b) ?? []), a]);
      }
    }
  }
  return found;
}

/** Flips inner edges whose two opposite angles sum to more than a half turn. */
function flipEdges(
  triangles: [number, number, number][],
  active: readonly number[],
  labels: readonly number[],
  kept: ReadonlySet<number>,
  point: (v: number) => readonly [number, number, number],
  passes: number,
): void {
  for (let pass = 0; pass < passes; pass++) {
    const sides = new Map<number, number[]>();
    for (const t of active) {
      for (let k = 0; k < 3; k++) {
        const key = edgeKey(triangles[t][k], triangles[t][(k + 1) % 3]);
        const list = sides.get(key);
        if (list) list.push(t);
        else sides.set(key, [t]);
      }
    }
    const touched = new Set<number>();
    let flips = 0;
    for (const [key, pair] of sides) {
      if (pair.length !== 2 || kept.has(key) || labels[pair[0]] !== labels[pair[1]]) continue;
      if (touched.has(pair[0]) || touched.has(pair[1])) continue;
      const a = Math.floor(key / MOST);
      const b = key % MOST;
      const [t, u] = pair;
      const k = triangles[t].findIndex((v) => v !== a && v !== b);
      const l = triangles[u].findIndex((v) => v !== a && v !== b);
      const [c, d] = [triangles[t][k], triangles[u][l]];
      if (sides.has(edgeKey(c, d))) continue;
      if (angleAt(point(c), point(a), point(b)) + angleAt(point(d), point(a), point(b)) <= Math.PI + 1e-6)
        continue;
      const [p, q] = [triangles[t][(k + 1) % 3], triangles[t][(k + 2) % 3]];
      triangles[t] = [c, p, d];
      triangles[u] = [c, d, q];
      touched.add(t).add(u);
      flips++;
    }
    if (flips === 0) break;
  }
}

function angleAt(p: readonly number[], a: readonly number[], b: readonly number[]): number {
  const u = [a[0] - p[0], a[1] - p[1], a[2] - p[2]];
  const v = [b[0] - p[0], b[1] - p[1], b[2] - p[2]];
  const dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
  return Math.acos(
    Math.min(1, Math.max(-1, dot / (Math.hypot(u[0], u[1], u[2]) * Math.hypot(v[0], v[1], v[2]) || 1))),
  );
}

/** Runs of edges between two regions, closed where they meet themselves. */
export function borderCurves(
  triangles: Uint32Array,
  regionOf: Int32Array,
  region: number,
  id: string,
  name: string,
): FormCurve[] {
  // Half-edges of the region that the region itself does not run back along, so that it lies to their left.
  const own = new Set<number>();
  for (let t = 0; t < regionOf.length; t++) {
    if (regionOf[t] !== region) continue;
    for (let k = 0; k < 3; k++) own.add(triangles[3 * t + k] * MOST + triangles[3 * t + ((k + 1) % 3)]);
  }
  const next = new Map<number, number>();
  for (const key of own) {
    const [a, b] = [Math.floor(key / MOST), key % MOST];
    if (!own.has(b * MOST + a)) next.set(a, b);
  }
  // Those that no other triangle runs back along either are rim, not border.
  const shared = new Set<number>();
  for (let t = 0; t < regionOf.length; t++) {
    if (regionOf[t] === region) continue;
    for (let k = 0; k < 3; k++) {
      const [b, a] = [triangles[3 * t + k], triangles[3 * t + ((k + 1) % 3)]];
      if (next.get(a) === b) shared.add(a);
    }
  }
  for (const a of [...next.keys()]) if (!shared.has(a)) next.delete(a);
  const into = new Set(next.values());
  const curves: FormCurve[] = [];
  const starts = [...[...next.keys()].filter((v) => !into.has(v)), ...next.keys()];
  for (const start of starts) {
    if (!next.has(start)) continue;
    const path = [start];
    for (let v = start; next.has(v);) {
      const w = next.get(v)!;
      next.delete(v);
      v = w;
      path.push(v);
    }
    const closed = path[path.length - 1] === start;
    if (closed) path.pop();
    const number = curves.length === 0 ? "" : `-${curves.length + 1}`;
    curves.push({ id: `border-${id}${number}`, name: `Border of ${name}`, kind: "border", path, closed });
  }
  return curves;
}

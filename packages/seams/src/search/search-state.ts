import {
  insertPath,
  outlineCrossings,
  surfacePathLength,
  type MeshRefinement,
  type Point,
  type SurfacePoint,
} from "@peltry/geometry";
import { flatten } from "@peltry/flatten";
import { withinLimits } from "../panel-use";
import { LightSheet } from "./light-sheet";
import { isDisk, searchPatches, type SearchPatch } from "./search-patches";
import type { SearchSurface } from "./search-surface";

/** A cut as the search moves it about: a path on the base of the search surface. */
export interface SearchCut {
  readonly path: readonly SurfacePoint[];
  /** Number on its edges; unique. */
  readonly mark: number;
}

/** The surface with some cuts, laid flat as well as its fabrics allow. */
export interface SearchState {
  readonly cuts: readonly SearchCut[];
  readonly refinement: MeshRefinement;
  readonly patches: readonly SearchPatch[];
  readonly sheets: readonly LightSheet[];
  /** Share of the budget that each triangle of each patch uses. */
  readonly used: readonly Float64Array[];
  readonly measures: readonly SheetMeasure[];
  /** What is to be brought to zero: over all patches. */
  readonly violation: number;
  readonly accepted: boolean;
}

/** What one flat patch costs the fabric. */
export interface SheetMeasure {
  /** Energy beyond the box per mm² of the form, summed. */
  readonly violation: number;
  /** Share of the area that is more than the slack over the limit. */
  readonly overArea: number;
  /** Largest budget share after averaging round each vertex. */
  readonly smoothPeak: number;
  readonly crossings: number;
  readonly flips: number;
  /** Pile deviation that 95 % of the area stays below, degrees. */
  readonly pile95: number;
  /** Extent across the pile, mm. */
  readonly width: number;
  readonly accepted: boolean;
}

/** Accept rule. */
export const ACCEPT = Object.freeze({
  /** A spot counts as over when it uses more than this share of its budget. */
  slack: 1.05,
  /** This share of a patch may be over. */
  overArea: 0.01,
});

/** Share of what the final rule allows that the search uses up where small spots are eased: the full form is a little worse. */
const EASED_MARGIN = 0.8;

/** Smallest new patch, mm². */
const LEAST_AREA = 400;

/** Whether a path lost much of its length on its way into the mesh, as one does that ends where it began. */
function collapsed(
  surface: SearchSurface,
  refinement: MeshRefinement,
  run: readonly number[],
  path: readonly SurfacePoint[],
): boolean {
  const points = run.map((v) => refinement.place[v]);
  return surfacePathLength(surface.mesh, points) < 0.7 * surfacePathLength(surface.mesh, path);
}

/** How {@link evaluate} goes about it. */
export interface EvaluateOptions {
  /** State whose flat places are the start. */
  readonly from?: SearchState | undefined;
  /** State whose patches, where they are still the same, need no more work. */
  readonly keep?: SearchState | undefined;
  readonly steps: number;
  /** Stop when so many steps bring it hardly nearer to being accepted. */
  readonly patience?: number;
}

/** Cuts the surface and lays it flat; undefined when the cuts leave something that is no disk or end in the open. */
export function evaluate(
  surface: SearchSurface,
  cuts: readonly SearchCut[],
  options: EvaluateOptions,
): SearchState | undefined {
  const { from, keep, steps } = options;
  const refinement = surface.root.copy();
  try {
    for (const cut of cuts) {
      const run = insertPath(refinement, cut.path, { mark: cut.mark, snap: surface.snap });
      if (collapsed(surface, refinement, run, cut.path)) return undefined;
    }
  } catch {
    // A path that runs along or across another in a way that edges cannot follow is no candidate.
    return undefined;
  }
  const patches = searchPatches(refinement, surface.regionOf);
  if (!patches.every(isDisk)) return undefined;
  const old = new Map<string, number>();
  keep?.patches.forEach((patch, i) => old.set(patch.key, i));
  const warm = new Map<string, number>();
  from?.patches.forEach((patch, i) => warm.set(patch.key, i));
  const sheets: LightSheet[] = [];
  const fresh: boolean[] = [];
  for (const patch of patches) {
    const same = old.get(patch.key);
    if (keep && same !== undefined) {
      sheets.push(keep.sheets[same]);
      fresh.push(false);
      continue;
    }
    const again = warm.get(patch.key);
    if (from && again !== undefined) {
      const sheet = from.sheets[again];
      sheets.push(new LightSheet(patch, surface.boxes, sheet.flat.slice(), sheet));
      fresh.push(true);
      continue;
    }
    const start = (from && carryOver(from, refinement, patch)) ?? coldStart(surface, patch);
    if (!start) return undefined;
    const sheet = new LightSheet(patch, surface.boxes, start);
    // A scrap that was not there before is nobody's panel.
    if (from && sheet.totalArea < LEAST_AREA) return undefined;
    sheets.push(sheet);
    fresh.push(true);
  }
  linkRods(refinement, patches, sheets, fresh);
  // Cutting and setting up cost about as much as sixty steps on the whole surface.
  surface.work.spent += 60 * surface.regionOf.length;
  const measures = relax(surface, patches, sheets, fresh, keep, old, steps, options.patience ?? Infinity);
  return finish(cuts, refinement, patches, sheets, measures.used, measures.measures);
}

/** More steps on the same cuts, all patches together. */
export function refineState(surface: SearchSurface, state: SearchState, steps: number): SearchState {
  const sheets = state.patches.map(
    (patch, i) => new LightSheet(patch, surface.boxes, state.sheets[i].flat.slice(), state.sheets[i]),
  );
  const fresh = sheets.map(() => true);
  linkRods(state.refinement, state.patches, sheets, fresh);
  const { used, measures } = relax(
    surface,
    state.patches,
    sheets,
    fresh,
    undefined,
    new Map(),
    steps,
    Infinity,
  );
  return finish(state.cuts, state.refinement, state.patches, sheets, used, measures);
}

function finish(
  cuts: readonly SearchCut[],
  refinement: MeshRefinement,
  patches: readonly SearchPatch[],
  sheets: readonly LightSheet[],
  used: readonly Float64Array[],
  measures: readonly SheetMeasure[],
): SearchState {
  return {
    cuts,
    refinement,
    patches,
    sheets,
    used,
    measures,
    violation: measures.reduce((sum, m) => sum + m.violation, 0),
    accepted: measures.every((m) => m.accepted),
  };
}

/** Projection steps on the new sheets until they are accepted, stop getting better, or the steps run out. */
function relax(
  surface: SearchSurface,
  patches: readonly SearchPatch[],
  sheets: readonly LightSheet[],
  fresh: readonly boolean[],
  from: SearchState | undefined,
  old: Map<string, number>,
  steps: number,
  patience: number,
): { used: Float64Array[]; measures: SheetMeasure[] } {
  const used = sheets.map((sheet, i) => (fresh[i] ? sheet.used() : from!.used[old.get(patches[i].key)!]));
  const measures = sheets.map((sheet, i) =>
    fresh[i] ? measureSheet(surface, sheet, used[i]) : from!.measures[old.get(patches[i].key)!],
  );
  const working = sheets.map((_, i) => fresh[i]);
  const best = sheets.map(() => Infinity);
  const stale = sheets.map(() => 0);
  for (let done = 0; done < steps && working.some(Boolean);) {
    const block = Math.min(done === 0 ? 15 : 10, steps - done);
    for (let k = 0; k < block; k++) {
      sheets.forEach((sheet, i) => working[i] && sheet.gather());
      sheets.forEach((sheet, i) => working[i] && sheet.move());
      if (surface.grain && k === block - 1)
        sheets.forEach((sheet, i) => working[i] && turnToPile(surface, sheet));
    }
    done += block;
    sheets.forEach((sheet, i) => {
      if (!working[i]) return;
      surface.work.spent += block * sheet.area.length;
      if (done >= steps) sheet.settle();
      sheet.used(used[i]);
      measures[i] = measureSheet(surface, sheet, used[i]);
      const gap = distanceToAccept(measures[i]);
      if (gap < (1 - 0.004 * block) * best[i]) {
        best[i] = gap;
        stale[i] = 0;
      } else stale[i] += block;
      if (measures[i].accepted || stale[i] >= patience) {
        sheet.settle();
        sheet.used(used[i]);
        measures[i] = measureSheet(surface, sheet, used[i]);
        working[i] = false;
      }
    });
  }
  return { used, measures };
}

/** Projection on all patches of a surface until nothing is over or it stops getting better; gives the flat places. */
export function relaxFully(
  surface: SearchSurface,
  refinement: MeshRefinement,
  patches: readonly SearchPatch[],
  starts: readonly Float64Array[],
  steps: number,
): Float64Array[] {
  const sheets = patches.map((patch, i) => new LightSheet(patch, surface.boxes, starts[i], undefined, 20));
  linkRods(
    refinement,
    patches,
    sheets,
    sheets.map(() => true),
  );
  let best = Infinity;
  let stale = 0;
  for (let done = 0; done < steps && stale < 60; done += 20) {
    for (let k = 0; k < 20; k++) {
      for (const sheet of sheets) sheet.gather();
      for (const sheet of sheets) sheet.move();
    }
    if (surface.grain) for (const sheet of sheets) turnToPile(surface, sheet);
    let energy = 0;
    for (const sheet of sheets) energy += sheet.energy / surface.totalArea;
    if (energy < 1e-10) break;
    if (energy < 0.95 * best) {
      best = energy;
      stale = 0;
    } else stale += 20;
  }
  for (const sheet of sheets) sheet.settle();
  return sheets.map((sheet) => sheet.flat);
}

/** How far a patch is from being accepted; nothing else about it matters any more. */
function distanceToAccept(m: SheetMeasure): number {
  return (
    Math.max(0, m.smoothPeak - ACCEPT.slack) +
    3 * Math.max(0, m.overArea - ACCEPT.overArea) +
    0.05 * m.crossings +
    0.05 * m.flips
  );
}

/** Ties both sides of each seam together; a side on a sheet that stays is held at its length. */
function linkRods(
  refinement: MeshRefinement,
  patches: readonly SearchPatch[],
  sheets: readonly LightSheet[],
  fresh: readonly boolean[],
): void {
  const place = new Map<number, { sheet: number; rod: number }>();
  patches.forEach((patch, i) =>
    patch.rodEdges.forEach(({ half }, rod) => place.set(half, { sheet: i, rod })),
  );
  patches.forEach((patch, i) => {
    if (!fresh[i]) return;
    patch.rodEdges.forEach(({ half }, rod) => {
      const other = place.get(refinement.twin[half]);
      if (!other) return;
      if (fresh[other.sheet]) sheets[i].rods[rod].partner = { sheet: sheets[other.sheet], rod: other.rod };
      else sheets[i].rods[rod].held = sheets[other.sheet].rodLength(other.rod);
    });
  });
}

/** Flat places of a new patch from those of the state before: each triangle asks the old flat triangle under its middle. */
export function carryOver(
  from: SearchState,
  refinement: MeshRefinement,
  patch: Pick<SearchPatch, "sourceVertex" | "refinedTriangle" | "baseTriangle" | "triangles">,
): Float64Array | undefined {
  const owner = new Map<number, { sheet: number; triangle: number }>();
  from.patches.forEach((p, i) =>
    p.refinedTriangle.forEach((t, k) => owner.set(t, { sheet: i, triangle: k })),
  );
  const n = patch.sourceVertex.length;
  const sum = new Float64Array(2 * n);
  const count = new Float64Array(n);
  for (let t = 0; t < patch.refinedTriangle.length; t++) {
    const base = patch.baseTriangle[t];
    const corners = [0, 1, 2].map((k) =>
      refinement.weightsIn(refinement.corners[3 * patch.refinedTriangle[t] + k], base)!,
    );
    const middle = [0, 1, 2].map((k) => (corners[0][k] + corners[1][k] + corners[2][k]) / 3);
    const old = findPart(from.refinement, base, middle);
    const { sheet, triangle } = owner.get(old)!;
    const flat = from.sheets[sheet].flat;
    const tri = from.patches[sheet].triangles;
    const w = [0, 1, 2].map((k) => from.refinement.weightsIn(from.refinement.corners[3 * old + k], base)!);
    const area = cross(w[0], w[1], w[2]);
    for (let k = 0; k < 3; k++) {
      const q = corners[k];
      const l0 = cross(q, w[1], w[2]) / area;
      const l1 = cross(w[0], q, w[2]) / area;
      const l2 = 1 - l0 - l1;
      const v = patch.triangles[3 * t + k];
      const [a, b, c] = [2 * tri[3 * triangle], 2 * tri[3 * triangle + 1], 2 * tri[3 * triangle + 2]];
      sum[2 * v] += l0 * flat[a] + l1 * flat[b] + l2 * flat[c];
      sum[2 * v + 1] += l0 * flat[a + 1] + l1 * flat[b + 1] + l2 * flat[c + 1];
      count[v]++;
    }
  }
  for (let v = 0; v < n; v++) {
    sum[2 * v] /= count[v];
    sum[2 * v + 1] /= count[v];
  }
  return sum.every(Number.isFinite) ? sum : undefined;
}

/** The part of a base triangle that holds the point with these weights. */
function findPart(refinement: MeshRefinement, base: number, q: readonly number[]): number {
  const parts = refinement.partsOf(base);
  if (parts.length === 1) return parts[0];
  let best = parts[0];
  let most = -Infinity;
  for (const part of parts) {
    const a = refinement.weightsIn(refinement.corners[3 * part], base)!;
    const b = refinement.weightsIn(refinement.corners[3 * part + 1], base)!;
    const c = refinement.weightsIn(refinement.corners[3 * part + 2], base)!;
    const area = cross(a, b, c);
    const inside = Math.min(cross(q, b, c), cross(a, q, c), cross(a, b, q)) / Math.max(area, 1e-300);
    if (inside > most) {
      most = inside;
      best = part;
    }
  }
  return best;
}

function cross(a: readonly number[], b: readonly number[], c: readonly number[]): number {
  return (b[1] - a[1]) * (c[2] - a[2]) - (b[2] - a[2]) * (c[1] - a[1]);
}

function coldStart(surface: SearchSurface, patch: SearchPatch): Float64Array | undefined {
  const mesh = { positions: patch.positions, triangles: patch.triangles };
  const panel = flatten(mesh, {
    mode: "shape-preserving",
    maxIterations: 20,
    pile: pileOf(surface, patch),
  });
  return panel.positions.slice();
}

/** Pile direction of each triangle of a patch, x y z runs. */
export function pileOf(surface: SearchSurface, patch: SearchPatch): Float64Array {
  const out = new Float64Array(3 * patch.baseTriangle.length);
  patch.baseTriangle.forEach((t, i) => {
    for (let k = 0; k < 3; k++) out[3 * i + k] = surface.pile[3 * t + k];
  });
  return out;
}

/** Flat pile direction of each triangle (x, y), area-weighted sum over all, and the deviations from it. */
function flatPile(
  surface: SearchSurface,
  sheet: LightSheet,
): { x: Float64Array; y: Float64Array; sx: number; sy: number } {
  const { patch, flat, area } = sheet;
  const count = patch.baseTriangle.length;
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  let sx = 0;
  let sy = 0;
  const p = patch.positions;
  for (let t = 0; t < count; t++) {
    const [a, b, c] = [patch.triangles[3 * t], patch.triangles[3 * t + 1], patch.triangles[3 * t + 2]];
    const d = surface.pile;
    const o = 3 * patch.baseTriangle[t];
    // Pile = α (b − a) + β (c − a) by least squares in the triangle's plane.
    const ux = p[3 * b] - p[3 * a],
      uy = p[3 * b + 1] - p[3 * a + 1],
      uz = p[3 * b + 2] - p[3 * a + 2];
    const vx = p[3 * c] - p[3 * a],
      vy = p[3 * c + 1] - p[3 * a + 1],
      vz = p[3 * c + 2] - p[3 * a + 2];
    const uu = ux * ux + uy * uy + uz * uz;
    const uv = ux * vx + uy * vy + uz * vz;
    const vv = vx * vx + vy * vy + vz * vz;
    const du = ux * d[o] + uy * d[o + 1] + uz * d[o + 2];
    const dv = vx * d[o] + vy * d[o + 1] + vz * d[o + 2];
    const det = uu * vv - uv * uv || 1e-300;
    const alpha = (du * vv - dv * uv) / det;
    const beta = (dv * uu - du * uv) / det;
    const fx = alpha * (flat[2 * b] - flat[2 * a]) + beta * (flat[2 * c] - flat[2 * a]);
    const fy = alpha * (flat[2 * b + 1] - flat[2 * a + 1]) + beta * (flat[2 * c + 1] - flat[2 * a + 1]);
    const length = Math.hypot(fx, fy);
    if (length < 0.05) continue; // The pile stands nearly off the surface here: no direction.
    x[t] = fx / length;
    y[t] = fy / length;
    sx += area[t] * fx;
    sy += area[t] * fy;
  }
  return { x, y, sx, sy };
}

/** Turns a sheet so that its mean pile lies along −y. */
function turnToPile(surface: SearchSurface, sheet: LightSheet): void {
  const { sx, sy } = flatPile(surface, sheet);
  if (Math.hypot(sx, sy) < 1e-6 * sheet.totalArea) return;
  sheet.turn(-Math.PI / 2 - Math.atan2(sy, sx));
}

/** Measures a flat patch against its fabrics. */
export function measureSheet(surface: SearchSurface, sheet: LightSheet, used: Float64Array): SheetMeasure {
  const { area, patch, flat } = sheet;
  let over = 0;
  let flips = 0;
  let excess = 0;
  for (let t = 0; t < used.length; t++) {
    if (used[t] === Infinity) {
      flips++;
      excess += area[t] * WORST;
      continue;
    }
    if (used[t] > ACCEPT.slack) over += area[t];
    if (used[t] > 1) excess += area[t] * overrun(used[t]);
  }
  const smoothPeak = smoothMaximum(sheet, used, surface.smoothRounds);
  const outline: Point[] = patch.loops[0].map((v): Point => [flat[2 * v], flat[2 * v + 1]]);
  const crossings = flips > used.length / 10 ? 1 : outlineCrossings(outline).length;
  const { pile95, pileExcess } = pileDeviation(surface, sheet);
  let low = Infinity;
  let high = -Infinity;
  for (const [x] of outline) {
    if (x < low) low = x;
    if (x > high) high = x;
  }
  const overArea = over / sheet.totalArea;
  const scale = surface.totalArea;
  return {
    violation: (excess + pileExcess) / scale + 0.002 * Math.min(crossings, 20),
    overArea,
    smoothPeak,
    crossings,
    flips,
    pile95,
    width: high - low,
    accepted:
      flips === 0 &&
      crossings === 0 &&
      (surface.eased
        ? withinLimits({ overArea, peak: smoothPeak }, sheet.totalArea, EASED_MARGIN)
        : overArea <= ACCEPT.overArea && smoothPeak <= ACCEPT.slack) &&
      pile95 <= surface.pileLimitOf(patch),
  };
}

/** Violation of the triangles that lie on some of the surface's own, in the measure of a state's `violation`. */
export function violationIn(surface: SearchSurface, state: SearchState, zone: ReadonlySet<number>): number {
  let sum = 0;
  state.patches.forEach((patch, i) => {
    if (state.measures[i].accepted) return;
    const used = state.used[i];
    patch.baseTriangle.forEach((base, t) => {
      if (used[t] > 1 && zone.has(base)) sum += state.sheets[i].area[t] * overrun(used[t]);
    });
  });
  return sum / surface.totalArea;
}

/** What a turned-over triangle counts, and the most that one far over its limit does: so no few spots rule. */
const WORST = 4;

/** What a budget share above 1 counts. Bounded: a search that sees few spots far over cuts them off one by one. */
export function overrun(used: number): number {
  const e = Math.max(0, used - 1);
  return Math.min(WORST, e * e + 0.2 * e);
}

function smoothMaximum(sheet: LightSheet, used: Float64Array, rounds: number): number {
  const { triangles, sourceVertex } = sheet.patch;
  let values = used;
  const n = sourceVertex.length;
  let peak = 0;
  for (let round = 0; round < rounds; round++) {
    const sum = new Float64Array(n);
    const weight = new Float64Array(n);
    for (let t = 0; t < values.length; t++) {
      const u = Math.min(values[t], 10);
      for (let k = 0; k < 3; k++) {
        sum[triangles[3 * t + k]] += sheet.area[t] * u;
        weight[triangles[3 * t + k]] += sheet.area[t];
      }
    }
    for (let v = 0; v < n; v++) sum[v] /= weight[v] || 1;
    values = new Float64Array(used.length);
    peak = 0;
    for (let t = 0; t < values.length; t++) {
      const mean = (sum[triangles[3 * t]] + sum[triangles[3 * t + 1]] + sum[triangles[3 * t + 2]]) / 3;
      values[t] = mean;
      if (mean > peak) peak = mean;
    }
  }
  return peak;
}

function pileDeviation(surface: SearchSurface, sheet: LightSheet): { pile95: number; pileExcess: number } {
  const limit = surface.pileLimitOf(sheet.patch);
  if (limit >= 180) return { pile95: 0, pileExcess: 0 };
  const { x, y, sx, sy } = flatPile(surface, sheet);
  const length = Math.hypot(sx, sy) || 1;
  const angles: [number, number][] = [];
  let excess = 0;
  let total = 0;
  for (let t = 0; t < x.length; t++) {
    if (x[t] === 0 && y[t] === 0) continue;
    const angle = (Math.acos(Math.max(-1, Math.min(1, (x[t] * sx + y[t] * sy) / length))) * 180) / Math.PI;
    angles.push([angle, sheet.area[t]]);
    total += sheet.area[t];
    if (angle > limit) excess += sheet.area[t] * Math.min(2, ((angle - limit) / Math.max(10, limit)) ** 2);
  }
  angles.sort((a, b) => a[0] - b[0]);
  let seen = 0;
  for (const [angle, a] of angles) {
    seen += a;
    if (seen >= 0.95 * total) return { pile95: angle, pileExcess: angle > limit ? excess : 0 };
  }
  return { pile95: 0, pileExcess: 0 };
}

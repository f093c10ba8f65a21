// A light flattener for the search: projection onto the fabric's box with one factored Laplacian, both sides of a seam
// pulled to one length. Approaches tried: least squares then look (needs 1.4 times the gores); momentum with restart
// on top of plain local/global steps (this one: about a third of the steps).
// The final panels are made and proved by @peltry/flatten, never by this.
import {
  cotangentLaplacian,
  factorCholesky,
  findEntry,
  meshPattern,
  orderByDissection,
  planCholesky,
  solveCholesky,
  type CholeskyFactor,
} from "@peltry/geometry";
import type { SearchPatch } from "./search-patches";
import { usedShare, type FabricBox } from "./fabric-box";

/** Weight of a seam's pull on its edges, against the cloth's. */
const ROD_WEIGHT = 5;

/** Seam edge of a sheet; its other side may lie on another sheet, or be held at a length. */
export interface Rod {
  readonly a: number;
  readonly b: number;
  readonly rest: number;
  partner?: { readonly sheet: LightSheet; readonly rod: number };
  held?: number;
}

/** One patch ready for projection steps. */
export class LightSheet {
  readonly area: Float64Array;
  readonly totalArea: number;
  /** Per triangle: x1, x2, y2 of the corners in its own plane (the first at the origin, the second on the x axis). */
  private readonly rest: Float64Array;
  private readonly cot: Float64Array;
  private readonly factor: CholeskyFactor;
  private readonly right: Float64Array;
  private readonly previous: Float64Array;
  private momentum = 1;
  private lastEnergy = Infinity;
  /** Flat coordinates, x and y of each vertex. */
  flat: Float64Array;
  readonly rods: Rod[];
  energy = Infinity;

  constructor(
    readonly patch: SearchPatch,
    readonly boxes: readonly FabricBox[],
    start: Float64Array,
    like?: LightSheet,
    private readonly rodWeight = ROD_WEIGHT,
  ) {
    const { positions: p, triangles } = patch;
    const count = triangles.length / 3;
    this.flat = start;
    this.previous = start.slice();
    this.right = new Float64Array(start.length);
    if (like) {
      // The same patch again: everything but the flat places is shared.
      this.area = like.area;
      this.rest = like.rest;
      this.cot = like.cot;
      this.totalArea = like.totalArea;
      this.rods = like.rods.map(({ a, b, rest }) => ({ a, b, rest }));
      this.factor = like.factor;
      return;
    }
    this.area = new Float64Array(count);
    this.rest = new Float64Array(3 * count);
    this.cot = new Float64Array(3 * count);
    let total = 0;
    for (let t = 0; t < count; t++) {
      const a = 3 * triangles[3 * t];
      const b = 3 * triangles[3 * t + 1];
      const c = 3 * triangles[3 * t + 2];
      const ux = p[b] - p[a];
      const uy = p[b + 1] - p[a + 1];
      const uz = p[b + 2] - p[a + 2];
      const vx = p[c] - p[a];
      const vy = p[c + 1] - p[a + 1];
      const vz = p[c + 2] - p[a + 2];
      const x1 = Math.sqrt(ux * ux + uy * uy + uz * uz) || 1e-9;
      const x2 = (ux * vx + uy * vy + uz * vz) / x1;
      const y2 = Math.max(1e-6 * x1, Math.sqrt(Math.max(0, vx * vx + vy * vy + vz * vz - x2 * x2)));
      this.rest[3 * t] = x1;
      this.rest[3 * t + 1] = x2;
      this.rest[3 * t + 2] = y2;
      this.area[t] = (x1 * y2) / 2;
      total += this.area[t];
      const twice = x1 * y2;
      // Half cotangents at corners 0, 1, 2.
      this.cot[3 * t] = (0.5 * (x1 * x2)) / twice;
      this.cot[3 * t + 1] = (0.5 * (x1 * (x1 - x2))) / twice;
      this.cot[3 * t + 2] = (0.5 * (x2 * (x2 - x1) + y2 * y2)) / twice;
    }
    this.totalArea = total;
    this.rods = patch.rodEdges.map(({ a, b }) => ({
      a,
      b,
      rest: Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]),
    }));
    this.factor = this.factorise();
  }

  private factorise(): CholeskyFactor {
    const { positions, triangles } = this.patch;
    const mesh = { positions, triangles };
    const links = meshPattern(triangles, positions.length / 3);
    const matrix = cotangentLaplacian(mesh, links);
    for (const { a, b } of this.rods) {
      matrix.diagonal[a] += this.rodWeight;
      matrix.diagonal[b] += this.rodWeight;
      matrix.values[findEntry(links.pattern, a, b)] -= this.rodWeight;
      matrix.values[findEntry(links.pattern, b, a)] -= this.rodWeight;
    }
    // One vertex is held lightly, which takes the free shift away.
    matrix.diagonal[0] += 1e-3;
    return factorCholesky(
      planCholesky(links.pattern, orderByDissection(links.pattern, positions, 3)),
      matrix,
    );
  }

  /** Present flat length of a rod. */
  rodLength(index: number): number {
    const { a, b } = this.rods[index];
    return Math.hypot(this.flat[2 * a] - this.flat[2 * b], this.flat[2 * a + 1] - this.flat[2 * b + 1]);
  }

  /** Sets up the pull of one step: the cloth's own, then the seams'. Gives the energy before the step. */
  gather(): number {
    const { triangles, regionOf } = this.patch;
    const { flat: p, right: r, rest, cot, area } = this;
    r.fill(0);
    let energy = 0;
    for (let t = 0, i = 0; i < triangles.length; t++, i += 3) {
      const a = 2 * triangles[i];
      const b = 2 * triangles[i + 1];
      const c = 2 * triangles[i + 2];
      const x1 = rest[i];
      const x2 = rest[i + 1];
      const y2 = rest[i + 2];
      const ux = p[b] - p[a];
      const uy = p[b + 1] - p[a + 1];
      // J maps the triangle's own plane to the flat.
      const j00 = ux / x1;
      const j10 = uy / x1;
      const j01 = (p[c] - p[a] - j00 * x2) / y2;
      const j11 = (p[c + 1] - p[a + 1] - j10 * x2) / y2;
      project(this.boxes[regionOf[t]], j00, j01, j10, j11);
      const k00 = TARGET[0];
      const k01 = TARGET[1];
      const k10 = TARGET[2];
      const k11 = TARGET[3];
      const d0 = j00 - k00;
      const d1 = j01 - k01;
      const d2 = j10 - k10;
      const d3 = j11 - k11;
      energy += area[t] * (d0 * d0 + d1 * d1 + d2 * d2 + d3 * d3);
      // Edges a→b (opposite c), b→c (opposite a), c→a (opposite b) as the target would have them.
      const abx = k00 * x1;
      const aby = k10 * x1;
      const acx = k00 * x2 + k01 * y2;
      const acy = k10 * x2 + k11 * y2;
      const wc = cot[i + 2];
      const wa = cot[i];
      const wb = cot[i + 1];
      const bcx = acx - abx;
      const bcy = acy - aby;
      r[a] -= wc * abx + wb * acx;
      r[a + 1] -= wc * aby + wb * acy;
      r[b] += wc * abx - wa * bcx;
      r[b + 1] += wc * aby - wa * bcy;
      r[c] += wb * acx + wa * bcx;
      r[c + 1] += wb * acy + wa * bcy;
    }
    for (let i = 0; i < this.rods.length; i++) {
      const rod = this.rods[i];
      const { a, b } = rod;
      const dx = p[2 * b] - p[2 * a];
      const dy = p[2 * b + 1] - p[2 * a + 1];
      const own = Math.hypot(dx, dy) || 1e-9;
      let other = own;
      if (rod.partner) other = rod.partner.sheet.rodLength(rod.partner.rod);
      else if (rod.held !== undefined) other = 2 * rod.held - own;
      const target = Math.max(0.3 * rod.rest, Math.min(3 * rod.rest, (own + other) / 2));
      const fx = (this.rodWeight * dx * target) / own;
      const fy = (this.rodWeight * dy * target) / own;
      r[2 * a] -= fx;
      r[2 * a + 1] -= fy;
      r[2 * b] += fx;
      r[2 * b + 1] += fy;
      energy += this.rodWeight * (own - target) * (own - target);
    }
    r[0] += 1e-3 * p[0];
    r[1] += 1e-3 * p[1];
    this.energy = energy;
    return energy;
  }

  /** Moves to the solution of the gathered pull, and on along the way it was going. */
  move(): void {
    const n = this.flat.length;
    if (this.energy > this.lastEnergy) this.momentum = 1;
    this.lastEnergy = this.energy;
    const next = this.right;
    solveCholesky(this.factor, this.right, 2, next);
    const m = (1 + Math.sqrt(1 + 4 * this.momentum * this.momentum)) / 2;
    const beta = (this.momentum - 1) / m;
    this.momentum = m;
    const { flat, previous } = this;
    for (let i = 0; i < n; i++) {
      const x = next[i];
      flat[i] = x + beta * (x - previous[i]);
      previous[i] = x;
    }
  }

  /** Forgets the way it was going; used before measuring, so that `flat` is a plain solution. */
  settle(): void {
    this.flat.set(this.previous);
    this.momentum = 1;
    this.lastEnergy = Infinity;
  }

  /** Turns the flat about the origin, the way it was going with it. */
  turn(angle: number): void {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    for (const list of [this.flat, this.previous]) {
      for (let i = 0; i < list.length; i += 2) {
        const x = list[i];
        list[i] = c * x - s * list[i + 1];
        list[i + 1] = s * x + c * list[i + 1];
      }
    }
  }

  /** Share of the fabric's budget that each triangle uses; Infinity where it is turned over. */
  used(out: Float64Array = new Float64Array(this.area.length)): Float64Array {
    const { triangles, regionOf } = this.patch;
    const p = this.flat;
    for (let t = 0, i = 0; i < triangles.length; t++, i += 3) {
      const a = 2 * triangles[i];
      const b = 2 * triangles[i + 1];
      const c = 2 * triangles[i + 2];
      const x1 = this.rest[i];
      const x2 = this.rest[i + 1];
      const y2 = this.rest[i + 2];
      const j00 = (p[b] - p[a]) / x1;
      const j10 = (p[b + 1] - p[a + 1]) / x1;
      const j01 = (p[c] - p[a] - j00 * x2) / y2;
      const j11 = (p[c + 1] - p[a + 1] - j10 * x2) / y2;
      const det = j00 * j11 - j01 * j10;
      out[t] =
        det > 1e-12
          ? usedShare(this.boxes[regionOf[t]], j11 / det, -j01 / det, -j10 / det, j00 / det)
          : Infinity;
    }
    return out;
  }
}

/** Result of {@link project}: kept outside so that the inner loop makes no garbage. */
const TARGET = new Float64Array(4);

/** The nearest allowed map to J, written to TARGET. */
function project(box: FabricBox, j00: number, j01: number, j10: number, j11: number): void {
  if (!box.isotropic) {
    projectGrain(box, j00, j01, j10, j11);
    return;
  }
  projectAny(box, j00, j01, j10, j11);
}

/** Clamps both singular values; a turned-over triangle is turned back. */
function projectAny(box: FabricBox, j00: number, j01: number, j10: number, j11: number): void {
  const e = (j00 + j11) / 2;
  const f = (j00 - j11) / 2;
  const g = (j10 + j01) / 2;
  const h = (j10 - j01) / 2;
  const q = Math.sqrt(e * e + h * h);
  const s = Math.sqrt(f * f + g * g);
  const low = 1 / box.anyMax;
  const high = 1 / box.anyMin;
  const s1 = Math.min(high, Math.max(low, q + s));
  const s2 = Math.min(high, Math.max(low, q - s));
  const eq = (s1 + s2) / 2 / (q || 1);
  const sq = s > 1e-14 ? (s1 - s2) / 2 / s : 0;
  const e2 = q > 0 ? e * eq : (s1 + s2) / 2;
  const h2 = q > 0 ? h * eq : 0;
  TARGET[0] = e2 + f * sq;
  TARGET[3] = e2 - f * sq;
  TARGET[1] = g * sq - h2;
  TARGET[2] = g * sq + h2;
}

/** Clamps stretch across, along, and shear of F = J⁻¹, whose columns are the panel's axes laid on the body. */
function projectGrain(box: FabricBox, j00: number, j01: number, j10: number, j11: number): void {
  const det = j00 * j11 - j01 * j10;
  if (det < 0.05) {
    // Turned over or crushed: first back to a turn without strain.
    const e = (j00 + j11) / 2;
    const h = (j10 - j01) / 2;
    const q = Math.hypot(e, h) || 1;
    TARGET[0] = TARGET[3] = e / q || 1;
    TARGET[2] = h / q;
    TARGET[1] = -h / q;
    return;
  }
  const f00 = j11 / det;
  const f01 = -j01 / det;
  const f10 = -j10 / det;
  const f11 = j00 / det;
  const across = Math.sqrt(f00 * f00 + f10 * f10);
  const along = Math.sqrt(f01 * f01 + f11 * f11);
  const a2 = Math.min(box.acrossMax, Math.max(box.acrossMin, across));
  const l2 = Math.min(box.alongMax, Math.max(box.alongMin, along));
  const sine = (f00 * f01 + f10 * f11) / (across * along);
  const shear = Math.asin(Math.max(-1, Math.min(1, sine)));
  const s2 = Math.min(box.shearMax, Math.max(-box.shearMax, shear));
  if (a2 === across && l2 === along && s2 === shear) {
    TARGET[0] = j00;
    TARGET[1] = j01;
    TARGET[2] = j10;
    TARGET[3] = j11;
    return;
  }
  // Half of the change of angle goes to either axis.
  const turnA = Math.atan2(f10, f00) + (shear - s2) * -0.5;
  const turnL = Math.atan2(f11, f01) + (shear - s2) * 0.5;
  const g00 = a2 * Math.cos(turnA);
  const g10 = a2 * Math.sin(turnA);
  const g01 = l2 * Math.cos(turnL);
  const g11 = l2 * Math.sin(turnL);
  const d = g00 * g11 - g01 * g10;
  TARGET[0] = g11 / d;
  TARGET[1] = -g01 / d;
  TARGET[2] = -g10 / d;
  TARGET[3] = g00 / d;
}

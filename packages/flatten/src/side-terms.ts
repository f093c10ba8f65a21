/** A length to keep: edge i–j of the stacked unknowns, in a plane stretched by sx, sy. */
export interface Rod {
  readonly i: number;
  readonly j: number;
  readonly sx: number;
  readonly sy: number;
  readonly length: number;
  readonly weight: number;
  /** To be met exactly in the end, or only pulled. */
  readonly exact: boolean;
  force: number;
}

/** Two edges to be of one length. */
export interface RodPair {
  readonly i: number;
  readonly j: number;
  readonly k: number;
  readonly l: number;
  readonly sx: number;
  readonly sy: number;
  readonly tx: number;
  readonly ty: number;
  readonly weight: number;
  force: number;
}

/** A vertex to be on a line n · p = offset. */
export interface Rail {
  readonly vertex: number;
  nx: number;
  ny: number;
  offset: number;
  readonly weight: number;
  force: number;
}

/** Terms beside the triangles: lengths, equal lengths, lines. */
export interface SideTerms {
  readonly rods: Rod[];
  readonly pairs: RodPair[];
  readonly rails: Rail[];
}

/** Energy of the side terms: force · c + ½ weight · c² for each, c being how far it is off; gradient added. */
export function sideEnergy(terms: SideTerms, x: Float64Array, gradient: Float64Array | null): number {
  let sum = 0;
  for (const rod of terms.rods) {
    const ex = (x[2 * rod.j] - x[2 * rod.i]) * rod.sx;
    const ey = (x[2 * rod.j + 1] - x[2 * rod.i + 1]) * rod.sy;
    const length = Math.sqrt(ex * ex + ey * ey);
    const off = length - rod.length;
    sum += rod.force * off + 0.5 * rod.weight * off * off;
    if (gradient !== null && length > 0)
      pull(gradient, rod.i, rod.j, (rod.force + rod.weight * off) / length, ex * rod.sx, ey * rod.sy);
  }
  for (const pair of terms.pairs) {
    const ex = (x[2 * pair.j] - x[2 * pair.i]) * pair.sx;
    const ey = (x[2 * pair.j + 1] - x[2 * pair.i + 1]) * pair.sy;
    const fx = (x[2 * pair.l] - x[2 * pair.k]) * pair.tx;
    const fy = (x[2 * pair.l + 1] - x[2 * pair.k + 1]) * pair.ty;
    const e = Math.sqrt(ex * ex + ey * ey);
    const f = Math.sqrt(fx * fx + fy * fy);
    const off = e - f;
    sum += pair.force * off + 0.5 * pair.weight * off * off;
    if (gradient === null) continue;
    const force = pair.force + pair.weight * off;
    if (e > 0) pull(gradient, pair.i, pair.j, force / e, ex * pair.sx, ey * pair.sy);
    if (f > 0) pull(gradient, pair.k, pair.l, -force / f, fx * pair.tx, fy * pair.ty);
  }
  for (const rail of terms.rails) {
    const v = 2 * rail.vertex;
    const off = rail.nx * x[v] + rail.ny * x[v + 1] - rail.offset;
    sum += rail.force * off + 0.5 * rail.weight * off * off;
    if (gradient === null) continue;
    const force = rail.force + rail.weight * off;
    gradient[v] += force * rail.nx;
    gradient[v + 1] += force * rail.ny;
  }
  return sum;
}

function pull(gradient: Float64Array, i: number, j: number, k: number, ex: number, ey: number): void {
  gradient[2 * j] += k * ex;
  gradient[2 * j + 1] += k * ey;
  gradient[2 * i] -= k * ex;
  gradient[2 * i + 1] -= k * ey;
}

/**
 * One step of the method of multipliers: every term that is to be exact takes up the force that it lacked.
 *
 * @returns the largest distance that a term was off, mm
 * @source Hestenes, Multiplier and Gradient Methods, 1969
 */
export function updateForces(terms: SideTerms, x: Float64Array): number {
  let worst = 0;
  const take = (term: { force: number; weight: number }, off: number) => {
    term.force += term.weight * off;
    worst = Math.max(worst, Math.abs(off));
  };
  for (const rod of terms.rods) {
    if (!rod.exact) continue;
    const e = Math.hypot(
      (x[2 * rod.j] - x[2 * rod.i]) * rod.sx,
      (x[2 * rod.j + 1] - x[2 * rod.i + 1]) * rod.sy,
    );
    take(rod, e - rod.length);
  }
  for (const pair of terms.pairs) {
    const e = Math.hypot(
      (x[2 * pair.j] - x[2 * pair.i]) * pair.sx,
      (x[2 * pair.j + 1] - x[2 * pair.i + 1]) * pair.sy,
    );
    const f = Math.hypot(
      (x[2 * pair.l] - x[2 * pair.k]) * pair.tx,
      (x[2 * pair.l + 1] - x[2 * pair.k + 1]) * pair.ty,
    );
    take(pair, e - f);
  }
  for (const rail of terms.rails) {
    take(rail, rail.nx * x[2 * rail.vertex] + rail.ny * x[2 * rail.vertex + 1] - rail.offset);
  }
  return worst;
}

/** Weight of terms that end exact, against about 7 for a vertex of the cloth. */
export const EXACT_WEIGHT = 20;

/** Puts every vertex of a rail exactly on it. */
export function snapToRails(terms: SideTerms, x: Float64Array): void {
  for (const { vertex, nx, ny, offset } of terms.rails) {
    const off = nx * x[2 * vertex] + ny * x[2 * vertex + 1] - offset;
    x[2 * vertex] -= off * nx;
    x[2 * vertex + 1] -= off * ny;
  }
}

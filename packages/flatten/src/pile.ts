import type { Point3, TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { weightedQuantile } from "./measure-strain";
import type { PanelGrain } from "./types";

/** Down the body. */
const DOWN: Point3 = [0, -1, 0];

/**
 * Pile direction in each triangle's own frame (corner 1 on +x): two numbers a triangle, length = the part of the given
 * direction that lies in the surface.
 *
 * @throws `flatten/bad-pile`
 */
export function pileInFrames(mesh: TriangleMesh, pile: Point3 | Float64Array | undefined): Float64Array {
  const count = mesh.triangles.length / 3;
  const field = pile ?? DOWN;
  const each = field.length !== 3 || (field instanceof Float64Array && count === 1);
  if (field.length !== 3 && field.length !== 3 * count) {
    fail(
      "flatten/bad-pile",
      `The pile has ${field.length} numbers; expected 3, or 3 for each of ${count} triangles.`,
      {},
      { found: field.length, limit: 3 * count, fix: "Give one direction, or x, y, z for every triangle." },
    );
  }
  const bad = (field as ArrayLike<number> & { findIndex(f: (x: number) => boolean): number }).findIndex(
    (x) => !Number.isFinite(x),
  );
  if (bad >= 0) {
    fail(
      "flatten/bad-pile",
      `Number ${bad} of the pile is ${field[bad]}.`,
      { index: bad },
      { fix: "Use finite numbers." },
    );
  }
  const out = new Float64Array(2 * count);
  const { positions: p, triangles } = mesh;
  for (let t = 0; t < count; t++) {
    const o = each ? 3 * t : 0;
    const size = Math.hypot(field[o], field[o + 1], field[o + 2]);
    if (!(size > 0)) continue;
    const a = 3 * triangles[3 * t];
    const b = 3 * triangles[3 * t + 1];
    const c = 3 * triangles[3 * t + 2];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const vx = p[c] - p[a];
    const vy = p[c + 1] - p[a + 1];
    const vz = p[c + 2] - p[a + 2];
    const length = Math.hypot(ux, uy, uz);
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const twice = Math.hypot(nx, ny, nz);
    if (!(length > 0 && twice > 0)) continue;
    const ex = ux / length;
    const ey = uy / length;
    const ez = uz / length;
    // Second axis: normal × first.
    const fx = (ny * ez - nz * ey) / twice;
    const fy = (nz * ex - nx * ez) / twice;
    const fz = (nx * ey - ny * ex) / twice;
    out[2 * t] = (field[o] * ex + field[o + 1] * ey + field[o + 2] * ez) / size;
    out[2 * t + 1] = (field[o] * fx + field[o + 1] * fy + field[o + 2] * fz) / size;
  }
  return out;
}

/** Calls back with the direction (not normalised) of the pile of each triangle in the flat. */
function eachFlatPile(
  x: Float64Array,
  triangles: Uint32Array,
  frames: Float64Array,
  pile: Float64Array,
  visit: (t: number, dx: number, dy: number) => void,
): void {
  for (let t = 0; t < triangles.length / 3; t++) {
    const v0 = 2 * triangles[3 * t];
    const v1 = 2 * triangles[3 * t + 1];
    const v2 = 2 * triangles[3 * t + 2];
    const along = pile[2 * t] * frames[4 * t] + pile[2 * t + 1] * frames[4 * t + 1];
    const up = pile[2 * t + 1] * frames[4 * t + 2];
    visit(
      t,
      (x[v1] - x[v0]) * along + (x[v2] - x[v0]) * up,
      (x[v1 + 1] - x[v0 + 1]) * along + (x[v2 + 1] - x[v0 + 1]) * up,
    );
  }
}

/** Mean direction of the pile in the flat, radians, weighted by area and by how much of the pile lies in the surface. */
export function meanPileAngle(
  x: Float64Array,
  triangles: Uint32Array,
  frames: Float64Array,
  pile: Float64Array,
): number {
  let sumX = 0;
  let sumY = 0;
  let total = 0;
  eachFlatPile(x, triangles, frames, pile, (t, dx, dy) => {
    const length = Math.sqrt(dx * dx + dy * dy);
    if (!(length > 0)) return;
    const weight = (frames[4 * t + 3] * Math.sqrt(pile[2 * t] ** 2 + pile[2 * t + 1] ** 2)) / length;
    sumX += weight * dx;
    sumY += weight * dy;
    total += frames[4 * t + 3];
  });
  // A pile that points every way alike has no mean; leave the panel as it is.
  return Math.hypot(sumX, sumY) > 1e-9 * total ? Math.atan2(sumY, sumX) : -Math.PI / 2;
}

/**
 * Coefficients of how far the pile leans to +x on the whole, as a linear function of x; no move along which it stays
 * zero turns the pile. Weights as in {@link meanPileAngle}, taken at x.
 */
export function pileLean(
  x: Float64Array,
  triangles: Uint32Array,
  frames: Float64Array,
  pile: Float64Array,
): Float64Array {
  const lean = new Float64Array(x.length);
  eachFlatPile(x, triangles, frames, pile, (t, dx, dy) => {
    const length = Math.sqrt(dx * dx + dy * dy);
    if (!(length > 0)) return;
    const weight = (frames[4 * t + 3] * Math.sqrt(pile[2 * t] ** 2 + pile[2 * t + 1] ** 2)) / length;
    const along = weight * (pile[2 * t] * frames[4 * t] + pile[2 * t + 1] * frames[4 * t + 1]);
    const up = weight * pile[2 * t + 1] * frames[4 * t + 2];
    lean[2 * triangles[3 * t]] -= along + up;
    lean[2 * triangles[3 * t + 1]] += along;
    lean[2 * triangles[3 * t + 2]] += up;
  });
  return lean;
}

/** How far the pile strays from the wanted direction, by area. */
export function pileDeviation(
  x: Float64Array,
  triangles: Uint32Array,
  frames: Float64Array,
  pile: Float64Array,
  angle: number,
): PanelGrain {
  const count = triangles.length / 3;
  const off = new Float64Array(count);
  const weights = new Float64Array(count);
  const c = Math.cos((angle * Math.PI) / 180);
  const s = Math.sin((angle * Math.PI) / 180);
  let max = 0;
  eachFlatPile(x, triangles, frames, pile, (t, dx, dy) => {
    if (dx === 0 && dy === 0) return;
    const inSurface = Math.sqrt(pile[2 * t] ** 2 + pile[2 * t + 1] ** 2);
    off[t] = (Math.abs(Math.atan2(c * dy - s * dx, c * dx + s * dy)) * 180) / Math.PI;
    // Where the pile stands nearly straight off the surface its direction means little.
    weights[t] = frames[4 * t + 3] * inSurface;
    if (inSurface > 0.1 && off[t] > max) max = off[t];
  });
  return { angle, p50: weightedQuantile(off, weights, 0.5), p95: weightedQuantile(off, weights, 0.95), max };
}

/** Turns all positions about the origin, in place. */
export function turnFlat(x: Float64Array, angle: number): void {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  for (let i = 0; i < x.length; i += 2) {
    const a = x[i];
    x[i] = c * a - s * x[i + 1];
    x[i + 1] = s * a + c * x[i + 1];
  }
}

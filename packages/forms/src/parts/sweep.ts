import type { Point3, TriangleMesh } from "@peltry/geometry";

/** A round section carried along a curve: points of its middle, its radii, and a frame that does not twist. */
export interface Sweep {
  readonly middles: readonly Point3[];
  readonly radii: readonly number[];
  /** Unit vectors across the curve at each point; the third is the tangent. */
  readonly sides: readonly { readonly u: Point3; readonly v: Point3; readonly t: Point3 }[];
  /** Length along the middle, mm. */
  readonly length: number;
}

export const add = (a: Point3, b: Point3, by = 1): Point3 => [
  a[0] + by * b[0],
  a[1] + by * b[1],
  a[2] + by * b[2],
];
export const sub = (a: Point3, b: Point3): Point3 => add(a, b, -1);
export const dot = (a: Point3, b: Point3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Point3, b: Point3): Point3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const size = (a: Point3): number => Math.hypot(a[0], a[1], a[2]);
export const unit = (a: Point3): Point3 => add([0, 0, 0], a, 1 / (size(a) || 1));

/**
 * Builds a sweep. The frame is carried by reflection from point to point, so that it turns as little as it can.
 *
 * @param start direction that the first `u` should lie near
 * @source double reflection: Wang, Jüttler, Zheng & Liu 2008, ACM Trans. Graphics 27(1)
 */
export function createSweep(
  middles: readonly Point3[],
  radii: readonly number[],
  start: Point3,
  tangents: readonly Point3[] = tangentsOf(middles),
): Sweep {
  let length = 0;
  for (let i = 1; i < middles.length; i++) length += size(sub(middles[i], middles[i - 1]));
  const t0 = tangents[0];
  let u = sub(start, add([0, 0, 0], t0, dot(start, t0)));
  if (size(u) < 1e-6) u = cross(t0, Math.abs(t0[0]) < 0.9 ? [1, 0, 0] : [0, 0, 1]);
  u = unit(u);
  const sides = [{ u, v: cross(t0, u), t: t0 }];
  for (let i = 1; i < middles.length; i++) {
    const one = sub(middles[i], middles[i - 1]);
    const c1 = dot(one, one) || 1;
    const reflect = (x: Point3): Point3 => add(x, one, (-2 / c1) * dot(one, x));
    const [uL, tL] = [reflect(u), reflect(tangents[i - 1])];
    const two = sub(tangents[i], tL);
    const c2 = dot(two, two);
    u = c2 < 1e-24 ? uL : add(uL, two, (-2 / c2) * dot(two, uL));
    u = unit(sub(u, add([0, 0, 0], tangents[i], dot(u, tangents[i]))));
    sides.push({ u, v: cross(tangents[i], u), t: tangents[i] });
  }
  return { middles, radii, sides, length };
}

function tangentsOf(points: readonly Point3[]): Point3[] {
  const last = points.length - 1;
  return points.map((p, i) =>
    i === 0
      ? unit(sub(points[1], p))
      : i === last
        ? unit(sub(p, points[last - 1]))
        : unit(sub(points[i + 1], points[i - 1])),
  );
}

/** Point of the surface at row `i`, angle `turn` from `u` toward `v`. */
export function sweepPoint(sweep: Sweep, i: number, turn: number): Point3 {
  const { u, v } = sweep.sides[i];
  const r = sweep.radii[i];
  return add(add(sweep.middles[i], u, r * Math.cos(turn)), v, r * Math.sin(turn));
}

/**
 * Mesh of a sweep: rings of `columns`, a single tip vertex, and a single base vertex where asked. Triangles face out.
 * Vertex of row i, column c is i · columns + c; the tip follows the last ring, the base vertex comes last.
 */
export function sweepMesh(sweep: Sweep, columns: number, closeBase: boolean): TriangleMesh {
  const rows = sweep.middles.length;
  const n = rows * columns;
  const positions = new Float64Array(3 * (n + 1 + (closeBase ? 1 : 0)));
  for (let i = 0; i < rows; i++)
    for (let c = 0; c < columns; c++)
      positions.set(sweepPoint(sweep, i, (2 * Math.PI * c) / columns), 3 * (i * columns + c));
  positions.set(add(sweep.middles[rows - 1], sweep.sides[rows - 1].t, sweep.radii[rows - 1]), 3 * n);
  if (closeBase) positions.set(sweep.middles[0], 3 * (n + 1));
  const triangles: number[] = [];
  for (let c = 0; c < columns; c++) {
    const next = (c + 1) % columns;
    for (let i = 0; i + 1 < rows; i++) {
      const [a, b] = [i * columns + c, i * columns + next];
      triangles.push(a, b, b + columns, a, b + columns, a + columns);
    }
    triangles.push((rows - 1) * columns + c, (rows - 1) * columns + next, n);
    if (closeBase) triangles.push(next, c, n + 1);
  }
  return { positions, triangles: Uint32Array.from(triangles) };
}

/** Volume, mm³, and centre of the sections of a sweep, by the trapezoid rule with each centroid moved to the outer side. */
export function sweepSolid(sweep: Sweep): { volume: number; centre: Point3 } {
  let volume = 0;
  let sum: Point3 = [0, 0, 0];
  for (let i = 0; i + 1 < sweep.middles.length; i++) {
    const [r, s] = [sweep.radii[i], sweep.radii[i + 1]];
    const step = size(sub(sweep.middles[i + 1], sweep.middles[i]));
    const part = (Math.PI * step * (r * r + r * s + s * s)) / 3;
    // Curvature vector from the turn of the tangent; centroid of a bent disc is off by a quarter of r² of it.
    const bend = add([0, 0, 0], sub(sweep.sides[i + 1].t, sweep.sides[i].t), 1 / (step || 1));
    const share = (r * r + 2 * r * s + 3 * s * s) / (4 * (r * r + r * s + s * s) || 1);
    const at = add(
      add(sweep.middles[i], sub(sweep.middles[i + 1], sweep.middles[i]), share),
      bend,
      -((r + s) ** 2) / 16,
    );
    sum = add(sum, at, part);
    volume += part;
  }
  return { volume, centre: add([0, 0, 0], sum, 1 / (volume || 1)) };
}

/** Area of the side, mm², first order in bend, and centre of that skin. */
export function sweepSkin(sweep: Sweep): { area: number; centre: Point3 } {
  let area = 0;
  let sum: Point3 = [0, 0, 0];
  for (let i = 0; i + 1 < sweep.middles.length; i++) {
    const [r, s] = [sweep.radii[i], sweep.radii[i + 1]];
    const step = size(sub(sweep.middles[i + 1], sweep.middles[i]));
    const part = Math.PI * (r + s) * Math.hypot(step, r - s);
    const bend = add([0, 0, 0], sub(sweep.sides[i + 1].t, sweep.sides[i].t), 1 / (step || 1));
    const share = (r + 2 * s) / (3 * (r + s) || 1);
    const at = add(
      add(sweep.middles[i], sub(sweep.middles[i + 1], sweep.middles[i]), share),
      bend,
      -((r + s) ** 2) / 8,
    );
    sum = add(sum, at, part);
    area += part;
  }
  return { area, centre: add([0, 0, 0], sum, 1 / (area || 1)) };
}

/** Length and centre of the middle line: where a core wire lies. */
export function sweepCore(sweep: Sweep): Point3 {
  let sum: Point3 = [0, 0, 0];
  for (let i = 0; i + 1 < sweep.middles.length; i++) {
    const step = size(sub(sweep.middles[i + 1], sweep.middles[i]));
    sum = add(sum, add(sweep.middles[i], sweep.middles[i + 1]), step / 2);
  }
  return add([0, 0, 0], sum, 1 / (sweep.length || 1));
}

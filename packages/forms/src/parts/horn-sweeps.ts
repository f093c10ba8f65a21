import type { Point3 } from "@peltry/geometry";
import { partNumber } from "./number";
import { checkShell, type ShellParameters } from "./spiral";
import { add, createSweep, cross, dot, sub, sweepPoint, unit, type Sweep } from "./sweep";

/** A plain bent cone: the shape of a small horn or of a tine. */
export interface BentCone {
  /** Along the middle, mm. */
  readonly length: number;
  readonly baseDiameter: number;
  readonly tipDiameter?: number;
  /** How far it turns from base to tip, degrees; 0 is straight. */
  readonly bendDeg?: number;
}

/** A tine that grows out of a main stem. */
export interface Branch extends BentCone {
  /** Where on the main stem, share of its length from the base. */
  readonly at: number;
  /** Angle off the stem's own direction, degrees, and which way round the stem (0 forward, 90 outward). */
  readonly angleDeg: number;
  readonly aroundDeg?: number;
}

/** Points along a sweep: enough that lengths agree with the closed form to a few parts in a million. */
const ROWS = 240;
const RAD = Math.PI / 180;

/**
 * Main stem as a spiral, stood up: base middle at the origin, growing along +y, curling backward (−z), creeping outward
 * (+x) for a positive translation.
 */
export function spiralSweep(
  shell: ShellParameters,
  baseDiameter: number,
): { sweep: Sweep; tipDistance: number } {
  const { k, turns, T, D } = checkShell(shell);
  const a1 = partNumber(baseDiameter, "baseDiameter", 3, 400) / 2;
  const r1 = (a1 * (1 + D)) / (1 - D);
  const end = 2 * Math.PI * turns;
  const r0 = r1 * Math.exp(-k * end);
  const point = (t: number): Point3 => {
    const r = r0 * Math.exp(k * t);
    return [r * Math.cos(t), r * Math.sin(t), T * (r - r0)];
  };
  const tangent = (t: number): Point3 =>
    unit([-(k * Math.cos(t) - Math.sin(t)), -(k * Math.sin(t) + Math.cos(t)), -T * k]);
  const ts = Array.from({ length: ROWS + 1 }, (_, i) => end * (1 - i / ROWS));
  const [from, up] = [point(end), tangent(end)];
  const inward = unit([-Math.cos(end), -Math.sin(end), 0]);
  const back = unit(sub(inward, add([0, 0, 0], up, dot(inward, up))));
  const out = cross(up, back);
  // The tip leads away from the base along −axis for T > 0; `out` is turned so that this is +x.
  const flip = T !== 0 && out[2] * T > 0 ? -1 : 1;
  const stand = (p: Point3): Point3 => [flip * dot(p, out), dot(p, up), -dot(p, back)];
  const middles = ts.map((t) => stand(sub(point(t), from)));
  const tangents = ts.map((t) => stand(tangent(t)));
  const radii = ts.map((t) => (r0 * Math.exp(k * t) * (1 - D)) / (1 + D));
  return { sweep: createSweep(middles, radii, [0, 0, 1], tangents), tipDistance: r0 };
}

/** A bent cone from a place, along a direction, bending toward `toward`. */
export function coneSweep(
  given: BentCone,
  from: Point3 = [0, 0, 0],
  up: Point3 = [0, 1, 0],
  toward: Point3 = [0, 0, -1],
): Sweep {
  const length = partNumber(given.length, "length", 5, 2000);
  const base = partNumber(given.baseDiameter, "baseDiameter", 2, 400) / 2;
  const tip = partNumber(given.tipDiameter ?? 4, "tipDiameter", 1, 2 * base) / 2;
  const bend = partNumber(given.bendDeg ?? 0, "bendDeg", -540, 540) * RAD;
  const side = unit(sub(toward, add([0, 0, 0], up, dot(toward, up))));
  const at = (t: number): Point3 => {
    const turn = bend * t;
    // sin x / x and (1 − cos x) / x without trouble at 0.
    const [ahead, aside] =
      Math.abs(turn) < 1e-6 ? [1, turn / 2] : [Math.sin(turn) / turn, (1 - Math.cos(turn)) / turn];
    return add(add(from, up, length * t * ahead), side, length * t * aside);
  };
  const ts = Array.from({ length: ROWS + 1 }, (_, i) => i / ROWS);
  const tangents = ts.map((t) => add(add([0, 0, 0], up, Math.cos(bend * t)), side, Math.sin(bend * t)));
  return createSweep(
    ts.map(at),
    ts.map((t) => base + (tip - base) * t),
    [0, 0, 1],
    tangents,
  );
}

/** A tine on a stem: it begins on the stem's middle, so that the joint is whole. */
export function branchSweep(stem: Sweep, branch: Branch): Sweep {
  const at = partNumber(branch.at, "branches.at", 0, 0.98);
  const row = Math.round(at * (stem.middles.length - 1));
  const { u, v, t } = stem.sides[row];
  const around = partNumber(branch.aroundDeg ?? 0, "branches.aroundDeg", -360, 360) * RAD;
  const angle = partNumber(branch.angleDeg, "branches.angleDeg", 0, 150) * RAD;
  const aside = add(add([0, 0, 0], u, Math.cos(around)), v, Math.sin(around));
  const up = unit(add(add([0, 0, 0], t, Math.cos(angle)), aside, Math.sin(angle)));
  return coneSweep(branch, stem.middles[row], up, t);
}

/** Lengthwise lines on a sweep at `count` even angles, first to last row. */
export function sweepLines(sweep: Sweep, count: number): Point3[][] {
  return Array.from({ length: count }, (_, k) =>
    sweep.middles.map((_, i) => sweepPoint(sweep, i, (2 * Math.PI * (k + 0.5)) / count)),
  );
}

/** The sweep mirrored to the other side of the head. */
export function mirrorSweep(sweep: Sweep): Sweep {
  const flip = (p: Point3): Point3 => [-p[0], p[1], p[2]];
  return {
    ...sweep,
    middles: sweep.middles.map(flip),
    sides: sweep.sides.map(({ u, v, t }) => ({ u: flip(u), v: add([0, 0, 0], flip(v), -1), t: flip(t) })),
  };
}

/** The sweep turned by leaning outward (toward +x) and then backward (toward −z), degrees. */
export function leanSweep(sweep: Sweep, outDeg: number, backDeg: number): Sweep {
  const [o, b] = [
    partNumber(outDeg, "lean.outDeg", -120, 120) * RAD,
    partNumber(backDeg, "lean.backDeg", -120, 120) * RAD,
  ];
  const turn = ([x, y, z]: Point3): Point3 => {
    const [x1, y1] = [x * Math.cos(o) + y * Math.sin(o), -x * Math.sin(o) + y * Math.cos(o)];
    return [x1, y1 * Math.cos(b) + z * Math.sin(b), -y1 * Math.sin(b) + z * Math.cos(b)];
  };
  return {
    ...sweep,
    middles: sweep.middles.map(turn),
    sides: sweep.sides.map(({ u, v, t }) => ({ u: turn(u), v: turn(v), t: turn(t) })),
  };
}

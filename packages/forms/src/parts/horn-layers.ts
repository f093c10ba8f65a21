import type { Point, Point3 } from "@peltry/geometry";
import type { Edge, Panel } from "@peltry/pattern";
import { integrate } from "./closed-forms";
import { plainPanel } from "./made-part";
import { size, sub, type Sweep } from "./sweep";
import { sweepLines } from "./horn-sweeps";
import { between, coverSweep, type WornPiece } from "./worn-piece";

/** Every how many rows of a sweep a flat strip has a point. */
const STRIDE = 4;

/** A strip that turns further than this when flat could come round onto itself: it is cut across, degrees. */
const MOST_TURN = 120;

/** One length of a strip of skin. */
export interface SkinStrip {
  readonly panel: Panel;
  readonly worn: WornPiece;
}

/**
 * Skin of a sweep as flat strips between neighbouring lengthwise lines: each keeps the length of both its lines and takes
 * the arc of the section as its width. Where the sweep turns far, every strip is cut across at the same places. Edges
 * `base`, `right`, `tip`, `left`.
 *
 * @returns for each strip its lengths from base to tip, each with the place it takes on the sweep
 * @source unrolling a run of triangles; derived here
 */
export function skinStrips(
  sweep: Sweep,
  count: number,
  given: { readonly prefix: string; readonly name: string; readonly fabric: string },
): SkinStrip[][] {
  const lines = sweepLines(sweep, count);
  const cuts = cutRows(sweep);
  const many = cuts.length - 1;
  return lines.map((line, k) =>
    Array.from({ length: many }, (_, s): SkinStrip => {
      const part = <T>(list: readonly T[]): readonly T[] => list.slice(cuts[s], cuts[s + 1] + 1);
      const { left, right, rows } = unroll(
        part(line),
        part(lines[(k + 1) % count]),
        part(sweep.radii),
        count,
      );
      const last = left.length - 1;
      const edges: Edge[] = [
        { id: "base", role: "hem", points: [left[0], right[0]] },
        { id: "right", role: "raw", points: right },
        { id: "tip", role: "hem", points: [right[last], left[last]] },
        { id: "left", role: "raw", points: [...left].reverse() },
      ];
      const panel = plainPanel({
        id: `${given.prefix}-${k + 1}${many > 1 ? `-${s + 1}` : ""}`,
        name: `${given.name} ${k + 1} of ${count}${many > 1 ? `, length ${s + 1} of ${many}` : ""}`,
        fabric: given.fabric,
        edges,
        pile: 90,
      });
      const angle = (2 * Math.PI) / count;
      const worn = coverSweep(sweep, {
        panel: panel.id,
        rows: rows.map((row) => row + cuts[s]),
        span: [angle * (k + 0.5), angle * (k + 1.5)],
        columns: Math.max(3, Math.ceil(24 / count)),
        flatAt: between(left, right),
      });
      return { panel, worn };
    }),
  );
}

/** Rows at which strips begin and end, so that none turns further than it may. */
function cutRows(sweep: Sweep): number[] {
  const turns = [0];
  for (let i = 1; i < sweep.sides.length; i++)
    turns.push(turns[i - 1] + size(sub(sweep.sides[i].t, sweep.sides[i - 1].t)));
  const whole = turns[turns.length - 1];
  const many = Math.max(1, Math.ceil(whole / ((MOST_TURN * Math.PI) / 180)));
  return Array.from({ length: many + 1 }, (_, s) =>
    s === 0 ? 0 : s === many ? turns.length - 1 : turns.findIndex((turn) => turn >= (whole * s) / many),
  );
}

/** Lays the quads between two lines flat, one after the other, along +y. */
function unroll(
  left: readonly Point3[],
  right: readonly Point3[],
  radii: readonly number[],
  count: number,
): { left: Point[]; right: Point[]; rows: number[] } {
  const rows: number[] = [];
  for (let i = 0; i < left.length; i += STRIDE) rows.push(i);
  if (rows[rows.length - 1] !== left.length - 1) rows.push(left.length - 1);
  const width = (i: number): number => (2 * Math.PI * radii[i]) / count;
  const along = (line: readonly Point3[], from: number, to: number): number => {
    let sum = 0;
    for (let i = from; i < to; i++) sum += size(sub(line[i + 1], line[i]));
    return sum;
  };
  const half = width(0) / 2;
  const flatLeft: Point[] = [[-half, 0]];
  const flatRight: Point[] = [[half, 0]];
  for (let k = 1; k < rows.length; k++) {
    const [i, j] = [rows[k - 1], rows[k]];
    const [a, b] = [flatLeft[k - 1], flatRight[k - 1]];
    const [sideA, sideB] = [along(left, i, j), along(right, i, j)];
    // A quad of given sides leaves one freedom: take the symmetric one, whose middle line bisects its ends.
    let quad = layQuad(a, b, width(j), 0, (sideA + sideB) / 2);
    let turn = 0;
    for (let pass = 0; pass < 6; pass++) {
      turn += (sideA - sideB - quad.difference) / (width(i) + width(j) || 1);
      turn = Math.max(-1.2, Math.min(1.2, turn));
      quad = layQuad(a, b, width(j), turn, (sideA + sideB) / 2);
    }
    flatLeft.push(quad.left);
    flatRight.push(quad.right);
  }
  return { left: flatLeft, right: flatRight, rows };
}

/** The far side of a quad on `a`–`b`, turned to the right by twice `turn`, its sides of a given mean length. */
function layQuad(
  a: Point,
  b: Point,
  far: number,
  turn: number,
  mean: number,
): { left: Point; right: Point; difference: number } {
  const near = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const across: Point = [(b[0] - a[0]) / near, (b[1] - a[1]) / near];
  const turned = (by: number): Point => [
    across[0] * Math.cos(by) + across[1] * Math.sin(by),
    across[1] * Math.cos(by) - across[0] * Math.sin(by),
  ];
  const [middle, end] = [turned(turn), turned(2 * turn)];
  const from: Point = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const at = (side: 1 | -1, rise: number): Point => [
    from[0] - middle[1] * rise + (side * end[0] * far) / 2,
    from[1] + middle[0] * rise + (side * end[1] * far) / 2,
  ];
  const sides = (rise: number): [number, number] => {
    const [l, r] = [at(-1, rise), at(1, rise)];
    return [Math.hypot(l[0] - a[0], l[1] - a[1]), Math.hypot(r[0] - b[0], r[1] - b[1])];
  };
  let [low, high] = [0, 1.5 * mean + 1];
  for (let i = 0; i < 50; i++) {
    const half = (low + high) / 2;
    const [l, r] = sides(half);
    if ((l + r) / 2 < mean) low = half;
    else high = half;
  }
  const [l, r] = sides(high);
  return { left: at(-1, high), right: at(1, high), difference: l - r };
}

/** One layer of foam sheet that builds the bulk: it goes once round what lies under it. */
export interface BulkStrip {
  readonly panel: Panel;
  /** mm³ of foam in it. */
  readonly volume: number;
}

/**
 * Bulk of a sweep from foam sheet wound on the core, layer by layer: at each place the strip is as wide as fills the ring
 * that is still missing, so the volumes add up to the solid less the core.
 *
 * @source ring area over sheet thickness; derived here
 */
export function bulkStrips(sweep: Sweep, core: number, thickness: number, prefix: string): BulkStrip[] {
  const rows = sweep.middles.length;
  const strips: BulkStrip[] = [];
  for (let layer = 0; core + layer * thickness < Math.max(...sweep.radii) && layer < 60; layer++) {
    const inner = core + layer * thickness;
    const width = (i: number): number => {
      const outer = Math.min(sweep.radii[i], inner + thickness);
      return outer > inner ? (Math.PI * (outer * outer - inner * inner)) / thickness : 0;
    };
    const right: Point[] = [];
    let [y, area] = [0, 0];
    for (let i = 0; i < rows; i++) {
      const step = i > 0 ? size(sub(sweep.middles[i], sweep.middles[i - 1])) : 0;
      y += step;
      if (i > 0) area += (step * (width(i) + width(i - 1))) / 2;
      if (i % STRIDE === 0 || i === rows - 1) right.push([width(i) / 2, y]);
    }
    const end = right.findIndex(([x], k) => k > 0 && x < 0.25);
    const used = end < 0 ? right : [...right.slice(0, end), [0.25, right[end][1]] as Point];
    if (used.length < 2 || used[0][0] < 1) break;
    const last = used.length - 1;
    const left = used.map(([x, v]): Point => [-x, v]).reverse();
    const edges: Edge[] = [
      { id: "base", role: "raw", points: [left[last], used[0]] },
      { id: "right", role: "raw", points: used },
      { id: "tip", role: "raw", points: [used[last], left[0]] },
      { id: "left", role: "raw", points: left },
    ];
    strips.push({
      panel: plainPanel({
        id: `${prefix}-${layer + 1}`,
        name: `Bulk, layer ${layer + 1}`,
        fabric: "foam",
        layer: "padding",
        edges,
        notes: [`Foam sheet ${thickness} mm, wound once round the layer below, long side along the core.`],
      }),
      volume: area * thickness,
    });
  }
  return strips;
}

/** Yarn that covers a sweep side by side, mm. @source ∫ √((2 π ρ / d)² + 1) ds; derived here */
export function sweepYarn(sweep: Sweep, diameter: number): number {
  let sum = 0;
  for (let i = 1; i < sweep.middles.length; i++) {
    const [r, s] = [sweep.radii[i - 1], sweep.radii[i]];
    const slant = Math.hypot(size(sub(sweep.middles[i], sweep.middles[i - 1])), r - s);
    sum += integrate((x) => Math.hypot((2 * Math.PI * (r + (s - r) * x)) / diameter, 1) * slant, 0, 1, 1);
  }
  return sum;
}

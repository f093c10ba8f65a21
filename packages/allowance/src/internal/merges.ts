import { distance, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import type { Merge } from "../types";
import { turnAt } from "./corner";
import type { TracedPath } from "./region";

/** An inner corner sharper than this hides sew line deeper than twice the width: a bay, not a corner. */
const DEPTH_RATIO = 2;
const CONVEX_TURN = 0.5;

/**
 * Places where allowances of two stretches of outline run into each other: runs of sew points that the cut line
 * skips. Edges that a flap or a folded dart covers are skipped by design. Ordinary inner corners are skipped runs too; a bay is one that is deep, or that hides corners sticking out.
 */
export function findMerges(
  cut: TracedPath,
  ring: readonly Edge[],
  widths: readonly number[],
  covered: readonly boolean[],
): Merge[] {
  const outline = ring.flatMap((edge) => edge.points.slice(0, -1));
  const owner = ring.flatMap((edge, i) => edge.points.slice(1).map(() => i));
  const n = outline.length;
  const bend = (i: number): number => {
    const [p, q, r] = [outline[(i + n - 1) % n], outline[i], outline[(i + 1) % n]];
    return turnAt([q[0] - p[0], q[1] - p[1]], [r[0] - q[0], r[1] - q[1]]);
  };
  // The two strips of a bay may meet in one point far out: the sew point that it is numbered by is hidden all the same.
  const hidden = ({ sew, position }: Seen): boolean => {
    const far = distance(outline[sew], cut.points[position]);
    const width = Math.max(widths[owner[sew]], widths[owner[(sew + n - 1) % n]]);
    return far > DEPTH_RATIO * width + 0.01 && bend(sew) < 0;
  };
  const seen = inOrder(cut, n, hidden);
  const merges: Merge[] = [];
  seen.forEach((here, k) => {
    const next = seen[(k + 1) % seen.length];
    const skipped = (next.sew - here.sew + n) % n;
    if (skipped < 2) return;
    const from = cut.points[here.position];
    const to = cut.points[(here.position + 1) % cut.points.length];
    const nearby = [from, to, cut.points[(here.position + 2) % cut.points.length]];
    let depth = 0;
    let length = distance(outline[(next.sew + n - 1) % n], outline[next.sew]);
    let convex = 0;
    let width = 0;
    const edges: number[] = [];
    for (let s = 1; s < skipped; s++) {
      const i = (here.sew + s) % n;
      const [p, q] = [outline[(i + n - 1) % n], outline[i]];
      depth = Math.max(depth, Math.min(...nearby.map((place) => distance(q, place))));
      length += distance(p, q);
      convex += Math.max(0, bend(i));
      width = Math.max(width, widths[owner[i]]);
      if (edges[edges.length - 1] !== owner[i]) edges.push(owner[i]);
    }
    if (depth <= DEPTH_RATIO * width + 0.01 && convex <= CONVEX_TURN) return;
    // The run begins on the edge of the last point seen.
    const first = owner[here.sew];
    if (width === 0 || covered[first] || edges.some((i) => covered[i])) return;
    const last = owner[next.sew];
    const names = [...new Set([first, ...edges, last].map((i) => ring[i].id))];
    merges.push({ edges: names, length, depth, point: middle(from, to) });
  });
  return merges;
}

interface Seen {
  /** Index of a sew point. */
  readonly sew: number;
  /** Index in the cut line. */
  readonly position: number;
}

/**
 * The points of the cut line that come in the order of the sew line: the longest such run, starting at the lowest
 * point, which nothing can hide. Where two strips cross each other their ends come in the wrong order.
 */
function inOrder(cut: TracedPath, n: number, hidden: (one: Seen) => boolean): Seen[] {
  const numbered = cut.from
    .map((number, position): Seen => ({ sew: number - 1, position }))
    .filter((one) => one.sew >= 0 && !hidden(one));
  if (numbered.length === 0) return [];
  const lowest = numbered.reduce(
    (best, one, i) => (cut.points[one.position][1] < cut.points[numbered[best].position][1] ? i : best),
    0,
  );
  const turned = [...numbered.slice(lowest), ...numbered.slice(0, lowest)];
  const base = turned[0].sew;
  const value = turned.map((one) => (one.sew - base + n) % n);
  // Longest run that does not fall, by patience sorting.
  const ends: number[] = [];
  const before = new Int32Array(turned.length);
  value.forEach((v, i) => {
    let [low, high] = [0, ends.length];
    while (low < high) {
      const mid = (low + high) >> 1;
      if (value[ends[mid]] <= v) low = mid + 1;
      else high = mid;
    }
    before[i] = low > 0 ? ends[low - 1] : -1;
    ends[low] = i;
  });
  const kept: Seen[] = [];
  for (let i = ends[ends.length - 1]; i >= 0; i = before[i]) kept.push(turned[i]);
  return kept.reverse();
}

function middle(a: Point, b: Point): Point {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

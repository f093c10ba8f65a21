import { distance, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import type { Merge } from "../types";
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
  const seen = cut.from
    .map((number, position) => ({ sew: number - 1, position }))
    .filter((entry) => entry.sew >= 0);
  const merges: Merge[] = [];
  seen.forEach((here, k) => {
    const next = seen[(k + 1) % seen.length];
    const skipped = (next.sew - here.sew + n) % n;
    // Going back means another round's worth: the union turned over on itself, not a hidden run.
    if (skipped < 2 || skipped > n - 2) return;
    const from = cut.points[here.position];
    const to = cut.points[(here.position + 1) % cut.points.length];
    const nearby = [from, to, cut.points[(here.position + 2) % cut.points.length]];
    let depth = 0;
    let length = 0;
    let convex = 0;
    let width = 0;
    const edges: number[] = [];
    for (let s = 1; s < skipped; s++) {
      const i = (here.sew + s) % n;
      const [p, q, r] = [outline[(i + n - 1) % n], outline[i], outline[(i + 1) % n]];
      depth = Math.max(depth, Math.min(...nearby.map((place) => distance(q, place))));
      length += distance(p, q);
      const turn = Math.atan2(
        (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]),
        (q[0] - p[0]) * (r[0] - q[0]) + (q[1] - p[1]) * (r[1] - q[1]),
      );
      convex += Math.max(0, turn);
      width = Math.max(width, widths[owner[i]]);
      if (edges[edges.length - 1] !== owner[i]) edges.push(owner[i]);
    }
    if (depth <= DEPTH_RATIO * width + 0.01 && convex <= CONVEX_TURN) return;
    if (width === 0 || edges.some((i) => covered[i])) return;
    const first = owner[here.sew];
    const last = owner[next.sew];
    const names = [...new Set([first, ...edges, last].map((i) => ring[i].id))];
    merges.push({ edges: names, length, depth, point: middle(from, to) });
  });
  return merges;
}

function middle(a: Point, b: Point): Point {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

import type { Outline, Point } from "@peltry/geometry";

/**
 * Indices of an outline's corners: points where its direction, taken over a stretch to either side, turns by more than an
 * angle, and more than anywhere else nearby. A smooth outline gets two, its lowest and its highest point, so that it has
 * edges to sew.
 *
 * @param reach - stretch to either side, mm; rounding of up to about this radius still counts as a corner
 */
export function cornersOf(outline: Outline, cornerDeg: number, reach: number): number[] {
  const n = outline.length;
  const limit = (cornerDeg * Math.PI) / 180;
  const turn = outline.map((_, i) => turnAt(outline, i, reach));
  const found: number[] = [];
  for (let i = 0; i < n; i++) {
    if (turn[i] < limit) continue;
    if (!rival(outline, turn, i, reach)) found.push(i);
  }
  if (found.length > 0) return found;
  let low = 0;
  let high = 0;
  outline.forEach((p, i) => {
    if (p[1] < outline[low][1]) low = i;
    if (p[1] > outline[high][1]) high = i;
  });
  return low === high ? [low] : [low, high].sort((a, b) => a - b);
}

/** Size of the turn at a point, between the ways to the points `reach` before and after it. */
function turnAt(outline: Outline, i: number, reach: number): number {
  const before = walk(outline, i, -1, reach);
  const after = walk(outline, i, 1, reach);
  const p = outline[i];
  const [ux, uy] = [p[0] - before[0], p[1] - before[1]];
  const [vx, vy] = [after[0] - p[0], after[1] - p[1]];
  return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
}

function walk(outline: Outline, from: number, step: 1 | -1, reach: number): Point {
  const n = outline.length;
  let left = reach;
  let here = outline[from];
  for (let k = 1; k < n; k++) {
    const next = outline[(from + step * k + n * k) % n];
    const d = Math.hypot(next[0] - here[0], next[1] - here[1]);
    if (d >= left)
      return [here[0] + ((next[0] - here[0]) * left) / d, here[1] + ((next[1] - here[1]) * left) / d];
    left -= d;
    here = next;
  }
  return here;
}

/** Whether a point within `reach` turns more (or as much and comes first). */
function rival(outline: Outline, turn: readonly number[], i: number, reach: number): boolean {
  const n = outline.length;
  for (const step of [1, -1] as const) {
    let gone = 0;
    for (let k = 1; k < n; k++) {
      const j = (i + step * k + n * k) % n;
      const before = outline[(j - step + n) % n];
      gone += Math.hypot(outline[j][0] - before[0], outline[j][1] - before[1]);
      if (gone > reach || j === i) break;
      if (turn[j] > turn[i] + 1e-9 || (Math.abs(turn[j] - turn[i]) <= 1e-9 && j < i)) return true;
    }
  }
  return false;
}

import type { Point } from "@peltry/geometry";

/** Corners of the convex hull, counter-clockwise (Andrew 1979, monotone chain). */
export function convexHull(points: readonly Point[]): Point[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  if (sorted.length < 3) return sorted;
  const half = (list: readonly Point[]): Point[] => {
    const chain: Point[] = [];
    for (const p of list) {
      while (chain.length >= 2 && turn(chain[chain.length - 2]!, chain[chain.length - 1]!, p) <= 0)
        chain.pop();
      chain.push(p);
    }
    chain.pop();
    return chain;
  };
  const hull = [...half(sorted), ...half(sorted.reverse())];
  return hull.length > 0 ? hull : sorted.slice(0, 1);
}

/**
 * Degrees by which to turn a hull so that its axis-aligned box is smallest, within −45 to 45. One side of the smallest
 * box lies along a side of the hull (Freeman and Shapira 1975).
 */
export function smallestBoxAngle(hull: readonly Point[]): number {
  let best = 0;
  let bestArea = Infinity;
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!;
    const b = hull[(i + 1) % hull.length]!;
    const side = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
    // Quarter turns have the same box: the smallest turn of the four leaves the panel nearest to how it was drawn.
    const angle = -(side - 90 * Math.round(side / 90));
    const area = boxArea(hull, (angle * Math.PI) / 180);
    if (area < bestArea * (1 - 1e-9)) {
      bestArea = area;
      best = angle;
    }
  }
  return best;
}

function boxArea(points: readonly Point[], radians: number): number {
  const c = Math.cos(radians);
  const s = Math.sin(radians);
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  let maxY = -Infinity;
  for (const [x, y] of points) {
    const u = c * x - s * y;
    const v = s * x + c * y;
    minX = Math.min(minX, u);
    maxX = Math.max(maxX, u);
    minY = Math.min(minY, v);
    maxY = Math.max(maxY, v);
  }
  return (maxX - minX) * (maxY - minY);
}

function turn(a: Point, b: Point, c: Point): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

// Shares nothing with the code that it checks.
import type { Point3 } from "@peltry/geometry";

/** Distance of a point from a line of straight pieces. */
export function distanceTo(line: readonly Point3[], p: Point3): number {
  const away = line.slice(1).map((b, i) => {
    const a = line[i];
    const d = [0, 1, 2].map((k) => b[k] - a[k]);
    const square = d.reduce((sum, x) => sum + x * x, 0) || 1;
    const t = Math.max(0, Math.min(1, d.reduce((sum, x, k) => sum + x * (p[k] - a[k]), 0) / square));
    return Math.hypot(...d.map((x, k) => a[k] + t * x - p[k]));
  });
  return Math.min(...away);
}

import type { Edge, EdgeRole } from "@peltry/pattern";
import { createRandom, type Point } from "@peltry/geometry";

export function edge(
  id: string,
  points: readonly Point[],
  role: EdgeRole = "seam",
  more: Partial<Edge> = {},
): Edge {
  return { id, role, points, ...more };
}

/** One edge a side, named e0, e1 … */
export function polygon(points: readonly Point[], role: EdgeRole = "seam"): Edge[] {
  return points.map((p, i) => edge(`e${i}`, [p, points[(i + 1) % points.length]], role));
}

/** The outline cut into edges of about equal numbers of sides. */
export function inEdges(points: readonly Point[], count: number): Edge[] {
  const closed = [...points, points[0]];
  return Array.from({ length: count }, (_, i) => {
    const [from, to] = [
      Math.floor((i * points.length) / count),
      Math.floor(((i + 1) * points.length) / count),
    ];
    return edge(`e${i}`, closed.slice(from, to + 1));
  });
}

export function circle(radius: number, count: number): Point[] {
  return Array.from({ length: count }, (_, i) => {
    const t = (2 * Math.PI * i) / count;
    return [radius * Math.cos(t), radius * Math.sin(t)];
  });
}

/** A star-shaped outline whose radius jumps about: simple by construction, with bays and spikes. */
export function randomStar(seed: number, count: number, radius = 100): Point[] {
  const random = createRandom(seed);
  return Array.from({ length: count }, (_, i) => {
    const t = (2 * Math.PI * (i + 0.8 * random())) / count;
    const r = radius * (0.15 + 0.85 * random() ** 2);
    return [r * Math.cos(t), r * Math.sin(t)];
  });
}

import type { Point } from "@peltry/geometry";
import type { Edge, EdgeRole } from "@peltry/pattern";

/** Points of an arc from one angle to another, both ends included. Degrees. */
export function arcPoints(
  middle: Point,
  radius: number,
  span: readonly [number, number],
  steps: number,
): Point[] {
  return Array.from({ length: steps + 1 }, (_, k): Point => {
    const angle = ((span[0] + ((span[1] - span[0]) * k) / steps) * Math.PI) / 180;
    return [middle[0] + radius * Math.cos(angle), middle[1] + radius * Math.sin(angle)];
  });
}

/**
 * Edges of a disc cut into n equal arcs whose drawn length is 2 π r to rounding: the polygon goes round a circle a trace
 * larger, so that seams against unrolled arcs agree.
 */
export function discEdges(radius: number, ids: readonly string[], role: EdgeRole = "raw"): Edge[] {
  const steps = Math.ceil(96 / ids.length);
  const sides = steps * ids.length;
  const drawn = (radius * Math.PI) / sides / Math.sin(Math.PI / sides);
  const ring = arcPoints([0, 0], drawn, [-90, 270], sides);
  ring[sides] = ring[0];
  return ids.map((id, k) => ({ id, role, points: ring.slice(k * steps, (k + 1) * steps + 1) }));
}

/** Edges of a rectangle from its lower left corner: bottom, right, top, left. */
export function rectangleEdges(
  width: number,
  height: number,
  roles: readonly [EdgeRole, EdgeRole, EdgeRole, EdgeRole],
  ids: readonly [string, string, string, string] = ["bottom", "right", "top", "left"],
): Edge[] {
  const corners: Point[] = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ];
  return ids.map((id, k) => ({ id, role: roles[k], points: [corners[k], corners[(k + 1) % 4]] }));
}

/** Area that edges enclose, mm². */
export function edgesArea(edges: readonly Edge[]): number {
  let twice = 0;
  for (const edge of edges)
    for (let k = 1; k < edge.points.length; k++) {
      const [p, q] = [edge.points[k - 1], edge.points[k]];
      twice += p[0] * q[1] - q[0] * p[1];
    }
  return twice / 2;
}

import type { Edge, Panel } from "@peltry/pattern";
import type { Point } from "@peltry/geometry";
import * as jsts from "./jsts.js";
import type { PanelAllowance } from "../src/index";

// JSTS (a port of the Java Topology Suite) shares no code with the union underneath.

export interface Ring {
  readonly opaque: unique symbol;
}

/** Why a polygon is not valid by the rules of the OpenGIS simple features, or undefined. */
export function invalidity(
  outline: readonly Point[],
  holes: readonly (readonly Point[])[] = [],
): string | undefined {
  return jsts.invalidity(outline, holes);
}

/** Least distance between two closed lines. */
export function leastDistance(one: readonly Point[], two: readonly Point[]): number {
  return jsts.leastDistance(one, two);
}

/**
 * Sample places of every edge's strip that lie outside the cut cloth: none, unless a treatment ends the strip by
 * design. Places are taken 0.01 mm inside the strip's border.
 *
 * A strip ends where it comes to the sew line again: in a bay narrower than the width, on its far side. What lies
 * behind is the panel, and behind a neck of the panel another edge with a width of its own, which this one does not
 * widen. There the place is taken just before the far side.
 */
export function uncovered(
  panel: Panel | readonly Edge[],
  result: PanelAllowance,
  skip: readonly string[] = [],
): string[] {
  const edges = "edges" in panel ? [...panel.edges, ...(panel.holes ?? []).flat()] : panel;
  const inside = jsts.insideTest(result.cutLine, result.holes);
  const missing: string[] = [];
  for (const edge of edges) {
    const width = result.widths.find((one) => one.edge === edge.id)!.width;
    if (width < 0.02 || skip.includes(edge.id)) continue;
    for (let i = 1; i < edge.points.length; i++) {
      const [a, b] = [edge.points[i - 1], edge.points[i]];
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (length < 0.05) continue;
      const out = [(b[1] - a[1]) / length, -(b[0] - a[0]) / length];
      for (const along of [0.01 / length, 0.5, 1 - 0.01 / length]) {
        for (const away of [0, width / 2, width - 0.01]) {
          const p: Point = [
            a[0] + (b[0] - a[0]) * along + out[0] * away,
            a[1] + (b[1] - a[1]) * along + out[1] * away,
          ];
          if (inside(p)) continue;
          const foot: Point = [a[0] + (b[0] - a[0]) * along, a[1] + (b[1] - a[1]) * along];
          const share = firstMeeting(foot, p, edges);
          if (share < 1 && inside([foot[0] + (p[0] - foot[0]) * share, foot[1] + (p[1] - foot[1]) * share]))
            continue;
          missing.push(`${edge.id}[${i}] ${away} at ${p.map((x) => x.toFixed(3)).join(",")}`);
        }
      }
    }
  }
  return missing;
}

/** How much of the way from a place on the sew line is free of it, as a fraction; the side that it starts on counts not. */
function firstMeeting(from: Point, to: Point, edges: readonly Edge[]): number {
  let first = 1;
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  for (const { points } of edges) {
    for (let i = 1; i < points.length; i++) {
      const [[ax, ay], [bx, by]] = [points[i - 1], points[i]];
      const det = dx * (by - ay) - dy * (bx - ax);
      if (det === 0) continue;
      const along = ((ax - from[0]) * (by - ay) - (ay - from[1]) * (bx - ax)) / det;
      const across = ((ax - from[0]) * dy - (ay - from[1]) * dx) / det;
      if (along > 1e-6 && across >= 0 && across <= 1) first = Math.min(first, along);
    }
  }
  return first;
}

import { assertOptions } from "./check/check-form";
import { direction, type Outline, type Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import type { Edge, EdgeRole } from "./types";

/** How an outline is cut into edges. */
export interface EdgesFromOutlineOptions {
  /** Turn at a point from which on it is a corner, degrees; 30 when left out. */
  readonly cornerDegrees?: number;
  /** Role of every edge; `raw` when left out. */
  readonly role?: EdgeRole;
  /** Ids are this and a number from 1; `edge-` when left out. */
  readonly prefix?: string;
}

/**
 * The edges of a closed outline, cut at its corners. An outline without corners becomes one edge.
 *
 * @param outline - at least three points, counter-clockwise, the first not repeated
 * @throws PeltryError `pattern/no-area` with fewer than three points, `pattern/not-a-number`
 */
export function edgesFromOutline(outline: Outline, options: EdgesFromOutlineOptions = {}): Edge[] {
  assertOptions(options);
  const { cornerDegrees = 30, role = "raw", prefix = "edge-" } = options;
  const n = Array.isArray(outline) ? outline.length : 0;
  if (n < 3)
    fail(
      "pattern/no-area",
      `An outline takes three points, this has ${n}.`,
      {},
      { found: n, limit: 3, fix: "Give its shape." },
    );
  const bad = outline.findIndex((p) => !Array.isArray(p) || !p.every(Number.isFinite));
  if (bad >= 0)
    fail(
      "pattern/not-a-number",
      `Point ${bad} is (${String(outline[bad])}).`,
      { index: bad },
      { fix: "Give finite numbers in mm." },
    );
  const least = (cornerDegrees * Math.PI) / 180;
  const corners = outline.flatMap((_, i) => (Math.abs(turnAt(outline, i)) >= least ? [i] : []));
  if (corners.length === 0) corners.push(0);
  return corners.map((from, k): Edge => {
    const to = corners[(k + 1) % corners.length] + (k + 1 === corners.length ? n : 0);
    const points: Point[] = [];
    for (let i = from; i <= to; i++) points.push(outline[i % n]);
    return { id: `${prefix}${k + 1}`, role, points };
  });
}

/** Turn at a point of a closed outline, radians, positive to the left. */
export function turnAt(outline: Outline, i: number): number {
  const n = outline.length;
  const into = direction(outline[(i + n - 1) % n], outline[i]);
  const out = direction(outline[i], outline[(i + 1) % n]);
  return Math.atan2(into[0] * out[1] - into[1] * out[0], into[0] * out[0] + into[1] * out[1]);
}

import {
  distance,
  distanceToSegment,
  outlineCrossings,
  pointInOutline,
  polylineLength,
  segmentMeeting,
  signedArea,
  type Point,
  type SideCrossing,
} from "@peltry/geometry";
import type { Issue, Place } from "@peltry/issues";
import { edgesOutline } from "../outline";
import type { Edge, Panel } from "../types";
import { CHECK_LIMITS, mm } from "./limits";

const CROSSINGS_TOLD = 5;

/**
 * Faults of one closed run of edges: points that are no numbers, edges of no length, gaps between edges, doubled
 * points, sides that cross, no area. Says nothing about which way round it runs.
 *
 * @param edges - one outline or hole, in order
 * @param panel - id that the issues name
 * @remarks near n log n in the number of points
 */
export function checkOutline(edges: readonly Edge[], panel?: string): Issue[] {
  const at = (edge?: Edge, more: Place = {}): Place => ({
    ...(panel === undefined ? {} : { panel }),
    ...(edge === undefined ? {} : { edge: edge.id }),
    ...more,
  });
  if (edges.length === 0) {
    return [
      error("pattern/no-edges", "The outline has no edges.", at(), { fix: "Give it at least one edge." }),
    ];
  }
  const broken = edges.flatMap((edge) => brokenPoints(edge, at));
  if (broken.length > 0) return broken;
  const faults = [...edges.flatMap((edge) => edgeFaults(edge, at)), ...openCorners(edges, at)];
  if (faults.some((issue) => issue.severity === "error")) return faults;
  return [...faults, ...shapeFaults(edges, at)];
}

/** Faults of a panel's outline and holes, which way round each runs included. */
export function checkPanelOutline(panel: Panel): Issue[] {
  const issues = checkOutline(panel.edges, panel.id);
  const sound = issues.every((issue) => issue.severity !== "error");
  const outline = edgesOutline(panel.edges);
  if (sound && signedArea(outline) < 0) {
    issues.push(
      error(
        "pattern/clockwise",
        "The outline runs clockwise.",
        { panel: panel.id, edge: panel.edges[0].id },
        {
          fix: "Reverse the order of the edges and of the points in each.",
        },
      ),
    );
  }
  const sounds: Point[][] = [];
  for (const hole of panel.holes ?? []) {
    const faults = checkOutline(hole, panel.id);
    issues.push(...faults);
    if (faults.some((issue) => issue.severity === "error")) continue;
    const place = { panel: panel.id, edge: hole[0].id };
    const ring = edgesOutline(hole);
    if (signedArea(ring) > 0) {
      issues.push(
        error("pattern/hole-counter-clockwise", "The hole runs counter-clockwise.", place, {
          fix: "Reverse the order of its edges and of the points in each.",
        }),
      );
    }
    const stray = sound
      ? (ring.find((p) => pointInOutline(p, outline) === "outside") ?? whereCross(outline, ring))
      : undefined;
    if (stray) {
      issues.push(
        error(
          "pattern/hole-outside",
          "The hole reaches outside the panel.",
          { ...place, point: stray },
          {
            fix: "Move the hole inside, or make it part of the outline.",
          },
        ),
      );
    }
    const met = sounds.find(
      (other) => whereCross(other, ring) ?? pointInOutline(ring[0], other) === "inside",
    );
    if (met) {
      issues.push(
        error("pattern/holes-meet", "The hole runs into another hole.", place, {
          fix: "Make the two holes one, or move them apart.",
        }),
      );
    }
    sounds.push(ring);
  }
  return issues;
}

/** Where two closed outlines truly cross: a touch is none. */
function whereCross(one: readonly Point[], two: readonly Point[]): Point | undefined {
  // Both as one round, joined by a line there and back; only crossings of the one with the other count.
  const joined = [...one, one[0], ...two, two[0]];
  const [first, second] = [one.length, one.length + 1 + two.length];
  for (const met of outlineCrossings(joined)) {
    const [i, j] = [Math.min(met.first, met.second), Math.max(met.first, met.second)];
    if (i >= first || j <= first || j >= second) continue;
    const [a, b, c, d] = [joined[i], joined[i + 1], joined[j], joined[j + 1]];
    if (segmentMeeting(a, b, c, d) === "cross") return meetingPoint(a, b, c, d);
  }
  return undefined;
}

type PlaceOf = (edge?: Edge, more?: Place) => Place;

function error(code: string, message: string, at: Place, more: Partial<Issue> = {}): Issue {
  return { code, severity: "error", message, at, ...more };
}

function brokenPoints(edge: Edge, at: PlaceOf): Issue[] {
  if (edge.points.length < 2) {
    return [
      error("pattern/short-edge", `The edge has ${edge.points.length} points; it takes two.`, at(edge), {
        found: edge.points.length,
        limit: 2,
        fix: "Give both of its corners.",
      }),
    ];
  }
  const index = edge.points.findIndex((p) => p.length !== 2 || !isPlace(p[0]) || !isPlace(p[1]));
  if (index < 0) return [];
  return [
    error(
      "pattern/not-a-number",
      `Point ${index} of the edge is (${edge.points[index].join(", ")}), which is no place.`,
      at(edge, { index }),
      { fix: `Give two numbers in mm, ${FAR} at most.` },
    ),
  ];
}

/** A thousand kilometres, mm: numbers far beyond it overflow when they are squared. */
const FAR = 1e9;

function isPlace(coordinate: number): boolean {
  return Math.abs(coordinate) <= FAR;
}

function edgeFaults(edge: Edge, at: PlaceOf): Issue[] {
  const length = polylineLength(edge.points);
  if (length < CHECK_LIMITS.zeroLength) {
    return [
      error("pattern/zero-length-edge", `The edge has no length (${mm(length)}).`, at(edge), {
        found: length,
        limit: CHECK_LIMITS.zeroLength,
        fix: "Leave the edge out, or give it its points.",
      }),
    ];
  }
  const index = edge.points.findIndex(
    (p, i) => i > 0 && p[0] === edge.points[i - 1][0] && p[1] === edge.points[i - 1][1],
  );
  if (index < 0) return [];
  return [
    {
      code: "pattern/doubled-point",
      severity: "warning",
      message: `Point ${index} of the edge repeats the one before it.`,
      at: at(edge, { index, point: edge.points[index] }),
      fix: "Leave one of the two out.",
    },
  ];
}

function openCorners(edges: readonly Edge[], at: PlaceOf): Issue[] {
  const issues: Issue[] = [];
  edges.forEach((edge, i) => {
    const next = edges[(i + 1) % edges.length];
    const end = edge.points[edge.points.length - 1];
    const gap = distance(end, next.points[0]);
    if (gap <= CHECK_LIMITS.join) return;
    issues.push(
      error(
        "pattern/open-outline",
        `The outline is open: edge ${edge.id} ends ${mm(gap)} from where edge ${next.id} begins.`,
        at(edge, { point: end }),
        { found: gap, limit: CHECK_LIMITS.join, fix: "Let each edge begin where the one before it ends." },
      ),
    );
  });
  return issues;
}

function shapeFaults(edges: readonly Edge[], at: PlaceOf): Issue[] {
  const sides = withoutDoubles(edges);
  const outline = sides.map((side) => side.point);
  if (outline.length < 3) {
    return [
      error("pattern/no-area", "The outline has fewer than three corners.", at(edges[0]), {
        fix: "Give its shape.",
      }),
    ];
  }
  const corner = (i: number): Point => outline[i % outline.length];
  const crosses = ({ first, second }: SideCrossing): boolean =>
    segmentMeeting(corner(first), corner(first + 1), corner(second), corner(second + 1)) === "cross";
  // Sides that truly cross come first: only so many are told.
  const met = outlineCrossings(outline);
  const crossings = [...met.filter(crosses), ...met.filter((pair) => !crosses(pair))];
  if (crossings.length > 0) {
    const told = crossings.slice(0, CROSSINGS_TOLD).map(({ first, second }) => {
      const one = sides[first];
      const two = sides[second];
      const a = outline[first];
      const b = outline[(first + 1) % outline.length];
      const c = outline[second];
      const d = outline[(second + 1) % outline.length];
      const cross = segmentMeeting(a, b, c, d) === "cross";
      const where = meetingPoint(a, b, c, d);
      const partner = one.edge === two.edge ? "itself" : `edge ${two.edge.id}`;
      return error(
        cross ? "pattern/crossing-outline" : "pattern/touching-outline",
        `The outline ${cross ? "crosses" : "touches"} ${partner} at (${where.map((x) => Math.round(x * 100) / 100).join(", ")}).`,
        at(one.edge, { index: one.index, point: where }),
        { fix: "Move the points so that the outline goes round without meeting itself." },
      );
    });
    if (crossings.length > told.length) {
      const last = told[told.length - 1];
      const more = crossings.length - told.length;
      told[told.length - 1] = { ...last, message: `${last.message} (and ${more} more)` };
    }
    return told;
  }
  if (signedArea(outline) === 0) {
    return [
      error("pattern/no-area", "The outline encloses nothing.", at(edges[0]), { fix: "Give its shape." }),
    ];
  }
  return [];
}

interface Side {
  readonly edge: Edge;
  /** Index in the edge's points. */
  readonly index: number;
  readonly point: Point;
}

function withoutDoubles(edges: readonly Edge[]): Side[] {
  const sides: Side[] = [];
  for (const edge of edges) {
    for (let index = 0; index + 1 < edge.points.length; index++) {
      const point = edge.points[index];
      if (distance(point, edge.points[index + 1]) > 0) sides.push({ edge, index, point });
    }
  }
  return sides;
}

/** Where two meeting segments meet, to drawing accuracy. */
function meetingPoint(a: Point, b: Point, c: Point, d: Point): Point {
  const rx = b[0] - a[0];
  const ry = b[1] - a[1];
  const sx = d[0] - c[0];
  const sy = d[1] - c[1];
  const cross = rx * sy - ry * sx;
  const t = cross === 0 ? -1 : ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / cross;
  if (t >= 0 && t <= 1) return [a[0] + rx * t, a[1] + ry * t];
  return [a, b].find((p) => distanceToSegment(p, c, d) < CHECK_LIMITS.join) ?? c;
}

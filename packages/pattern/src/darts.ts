import {
  direction,
  distance,
  mix,
  polylineLength,
  slicePolyline,
  stationAt,
  type Point,
} from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { assertPanelForm } from "./check/check-form";
import { findEdge } from "./outline";
import type { Dart, Edge, Panel } from "./types";

/** A dart to be laid in an edge. */
export interface NewDart {
  readonly id: string;
  /** Middle of the mouth, mm along the edge. */
  readonly at: number;
  /** Width of the mouth, mm. */
  readonly intake: number;
  /** Length of each leg, mm. */
  readonly length: number;
  /** Cut out, or left in and folded (when left out). */
  readonly cut?: boolean;
  /** Radius of a rounded end, mm. */
  readonly tipRadius?: number;
}

/** What a dart measures. */
export interface DartShape {
  /** Width of the mouth, mm. */
  readonly intake: number;
  /** Length of each leg, mm, in outline order. */
  readonly legs: readonly [number, number];
  /** Angle at the tip between the two mouth corners, degrees. */
  readonly angle: number;
  /** Unit vector from the tip to the middle of the mouth. */
  readonly axis: Point;
}

/** Step of the polyline round a rounded end, degrees. */
const ARC_STEP = 5;

/**
 * What a dart measures.
 *
 * @throws PeltryError `pattern/dart-leg-missing` when a leg is not there
 */
export function dartShape(panel: Panel, dart: string): DartShape {
  const { into, out } = legsOf(panel, dart);
  const tip = into.points[into.points.length - 1];
  const [one, two] = [into.points[0], out.points[out.points.length - 1]];
  const [a, b] = [direction(tip, one), direction(tip, two)];
  const angle = Math.abs(Math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]));
  return {
    intake: distance(one, two),
    legs: [polylineLength(into.points), polylineLength(out.points)],
    angle: (angle * 180) / Math.PI,
    axis: direction(tip, [(one[0] + two[0]) / 2, (one[1] + two[1]) / 2]),
  };
}

/** How far short of its tip a folded dart is punched, mm. @source common practice, no source */
export const DART_DRILL_MM = 10;

/**
 * Where a folded dart is punched through the cloth: on its middle line, a little short of the tip, so that the hole lies
 * inside the fold once it is sewn. Never nearer to the mouth than to the tip.
 *
 * @param short - mm from the tip
 * @throws PeltryError `pattern/dart-leg-missing` when the dart or a leg is not there, `pattern/bad-dart` when `short` is
 * no length
 */
export function dartDrill(panel: Panel, dart: string, short = DART_DRILL_MM): Point {
  const { into, out, named } = legsOf(panel, dart);
  if (!(short >= 0)) {
    fail(
      "pattern/bad-dart",
      `A dart cannot be punched ${short} mm short of its tip.`,
      { panel: panel.id, edge: named.legs[0] },
      { found: String(short), limit: 0, fix: "Give a length of 0 mm or more." },
    );
  }
  const tip = into.points[into.points.length - 1];
  const middle = mix(into.points[0], out.points[out.points.length - 1], 0.5);
  const depth = distance(tip, middle);
  return depth > 0 ? mix(tip, middle, Math.min(short / depth, 0.5)) : tip;
}

/**
 * The panel with a dart laid in one of its edges, square to the mouth and with equal legs. The edge becomes two, called
 * after it with `-1` and `-2`; the legs are called after the dart with `-in` and `-out`.
 *
 * @throws PeltryError `pattern/dart-in-seam` when the edge is sewn, `pattern/bad-dart` when it does not fit or is none,
 * `pattern/bad-form` when the panel is none
 * @source mouth 2 L sin(α / 2) of a dart of leg L and angle α
 */
export function addDart(panel: Panel, edge: string, dart: NewDart): Panel {
  assertPanelForm(panel);
  const whole = findEdge(panel, edge);
  const at = { panel: panel.id, edge };
  if (typeof dart !== "object" || dart === null || typeof dart.id !== "string") {
    fail("pattern/bad-dart", "This is no dart: it has no id.", at, {
      found: dart === null ? "null" : typeof dart,
      fix: "Give id, at, intake and length.",
    });
  }
  if (!whole)
    fail("pattern/bad-dart", `There is no edge ${edge}.`, at, { fix: "Name an edge of the panel." });
  if (whole.seam !== undefined) {
    fail("pattern/dart-in-seam", `Edge ${edge} is sewn in seam ${whole.seam}; a dart would split it.`, at, {
      fix: "Lay the dart before the seam is declared.",
    });
  }
  const { intake, length } = dart;
  const size = polylineLength(whole.points);
  const [from, to] = [dart.at - intake / 2, dart.at + intake / 2];
  if (!(intake > 0 && length > intake / 2 && from > 0 && to < size)) {
    fail(
      "pattern/bad-dart",
      `A dart of ${intake} mm by ${length} mm at ${dart.at} mm does not fit an edge of ${size.toFixed(1)} mm.`,
      at,
      {
        found: dart.at,
        limit: size,
        fix: "Keep the mouth inside the edge and the legs longer than half of it.",
      },
    );
  }
  const [one, two] = [stationAt(whole.points, from).point, stationAt(whole.points, to).point];
  const mouth = distance(one, two);
  const way = direction(one, two);
  const depth = Math.sqrt(length * length - (mouth * mouth) / 4);
  const tip: Point = [(one[0] + two[0]) / 2 - way[1] * depth, (one[1] + two[1]) / 2 + way[0] * depth];
  const legs = [`${dart.id}-in`, `${dart.id}-out`] as const;
  const notches = whole.notches ?? [];
  const { notches: _, ...plain } = whole;
  const parts: Edge[] = [
    {
      ...plain,
      id: `${edge}-1`,
      points: slicePolyline(whole.points, 0, from),
      ...keep(notches.filter((n) => n.at <= from)),
    },
    { id: legs[0], role: "dart", points: [one, tip] },
    { id: legs[1], role: "dart", points: [tip, two] },
    {
      ...plain,
      id: `${edge}-2`,
      points: slicePolyline(whole.points, to, size),
      ...keep(notches.filter((n) => n.at >= to).map((n) => ({ ...n, at: n.at - to }))),
    },
  ];
  const split = (ring: readonly Edge[]): Edge[] => ring.flatMap((old) => (old === whole ? parts : [old]));
  const laid: Panel = {
    ...panel,
    edges: split(panel.edges),
    ...(panel.holes ? { holes: panel.holes.map(split) } : {}),
    darts: [...panel.darts, { id: dart.id, legs, tip, intake: mouth, length, cut: dart.cut ?? false }],
  };
  return dart.tipRadius ? roundDartTip(laid, dart.id, dart.tipRadius) : laid;
}

/**
 * The panel with both legs of a dart made equal: each mouth corner slides along its own leg to the mean length, and the
 * neighbouring edges follow.
 *
 * @throws PeltryError `pattern/dart-leg-missing`
 */
export function trueDart(panel: Panel, dart: string): Panel {
  const { into, out, named } = legsOf(panel, dart);
  const shape = dartShape(panel, dart);
  const length = (shape.legs[0] + shape.legs[1]) / 2;
  const slide = (mouth: Point, next: Point, by: number): Point => {
    const way = direction(next, mouth);
    return [mouth[0] + way[0] * by, mouth[1] + way[1] * by];
  };
  const last = out.points.length - 1;
  const one = slide(into.points[0], into.points[1], length - shape.legs[0]);
  const two = slide(out.points[last], out.points[last - 1], length - shape.legs[1]);
  const moved = new Map<Point, Point>();
  const same = (p: Point, q: Point): boolean => p[0] === q[0] && p[1] === q[1];
  moved.set(into.points[0], one).set(out.points[last], two);
  const follow = (edge: Edge): Edge => ({
    ...edge,
    points: edge.points.map((p, i) => {
      if (i > 0 && i + 1 < edge.points.length) return p;
      for (const [old, fresh] of moved) if (same(p, old)) return fresh;
      return p;
    }),
  });
  return {
    ...panel,
    edges: panel.edges.map(follow),
    ...(panel.holes ? { holes: panel.holes.map((hole) => hole.map(follow)) } : {}),
    darts: panel.darts.map((old) => (old === named ? { ...old, length, intake: distance(one, two) } : old)),
  };
}

/**
 * The panel with the end of a dart rounded: an arc that touches both legs takes the place of the point, so that the
 * cloth does not pucker there. The tip becomes the lowest point of the arc, where the legs now meet.
 *
 * @param radius - mm
 * @throws PeltryError `pattern/bad-dart` when the arc is too large for the dart, `pattern/dart-leg-missing`
 */
export function roundDartTip(panel: Panel, dart: string, radius: number): Panel {
  const { into, out, named } = legsOf(panel, dart);
  const tip = into.points[into.points.length - 1];
  const { angle, axis } = dartShape(panel, dart);
  const half = (angle * Math.PI) / 360;
  const touch = radius / Math.tan(half);
  const straight = Math.min(distance(tip, into.points[into.points.length - 2]), distance(tip, out.points[1]));
  if (!(radius > 0 && touch < straight)) {
    fail(
      "pattern/bad-dart",
      `A rounded end of ${radius} mm does not fit dart ${dart}.`,
      { panel: panel.id, edge: into.id },
      {
        found: radius,
        limit: straight * Math.tan(half),
        fix: "Take a smaller radius.",
      },
    );
  }
  const centre: Point = [
    tip[0] + (axis[0] * radius) / Math.sin(half),
    tip[1] + (axis[1] * radius) / Math.sin(half),
  ];
  const sweep = Math.PI / 2 - half;
  const count = Math.max(1, Math.ceil((sweep * 180) / Math.PI / ARC_STEP));
  const arc = (side: number): Point[] =>
    Array.from({ length: count }, (_, i): Point => {
      const turn = side * sweep * (1 - i / count);
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      return [
        centre[0] - radius * (axis[0] * c - axis[1] * s),
        centre[1] - radius * (axis[0] * s + axis[1] * c),
      ];
    });
  const low: Point = [centre[0] - axis[0] * radius, centre[1] - axis[1] * radius];
  const mouth = direction(tip, into.points[into.points.length - 2]);
  // The arc beside the leg into the tip lies on that leg's side of the axis.
  const side = axis[0] * mouth[1] - axis[1] * mouth[0] > 0 ? -1 : 1;
  const first = [...into.points.slice(0, -1), ...arc(side), low];
  const second = [low, ...arc(-side).reverse(), ...out.points.slice(1)];
  const replace = (edge: Edge): Edge =>
    edge === into ? { ...edge, points: first } : edge === out ? { ...edge, points: second } : edge;
  return {
    ...panel,
    edges: panel.edges.map(replace),
    ...(panel.holes ? { holes: panel.holes.map((hole) => hole.map(replace)) } : {}),
    darts: panel.darts.map((old) =>
      old === named ? { ...old, tip: low, tipRadius: radius, length: polylineLength(first) } : old,
    ),
  };
}

function keep(notches: Edge["notches"]): Pick<Edge, "notches"> {
  return notches && notches.length > 0 ? { notches } : {};
}

function legsOf(panel: Panel, dart: string): { into: Edge; out: Edge; named: Dart } {
  const named = panel.darts.find((one) => one.id === dart);
  const into = named && findEdge(panel, named.legs[0]);
  const out = named && findEdge(panel, named.legs[1]);
  if (!named || !into || !out) {
    fail(
      "pattern/dart-leg-missing",
      `Dart ${dart} or one of its legs is not there.`,
      { panel: panel.id },
      { fix: "Name a dart of the panel." },
    );
  }
  return { into, out, named };
}

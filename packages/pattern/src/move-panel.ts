import { polylineLength, type Point } from "@peltry/geometry";
import type { Edge, Panel } from "./types";

/** What becomes of a panel's parts under a map of the plane. */
interface PlaneMap {
  readonly point: (p: Point) => Point;
  /** Directions in degrees. */
  readonly angle: (degrees: number) => number;
  /** True when the map turns shapes over. */
  readonly flips: boolean;
}

/** An angle in (−180, 180]. */
export function wrapDegrees(angle: number): number {
  const turned = ((angle % 360) + 360) % 360;
  return turned > 180 ? turned - 360 : turned;
}

/** An edge run the other way; notches keep their places. */
export function reverseEdge(edge: Edge): Edge {
  const length = polylineLength(edge.points);
  return {
    ...edge,
    points: [...edge.points].reverse(),
    ...(edge.notches
      ? { notches: edge.notches.map((notch) => ({ ...notch, at: length - notch.at })).reverse() }
      : {}),
  };
}

function mapPanel(panel: Panel, map: PlaneMap): Panel {
  const mapEdge = (edge: Edge): Edge => {
    const moved = { ...edge, points: edge.points.map(map.point) };
    return map.flips ? reverseEdge(moved) : moved;
  };
  const mapRing = (ring: readonly Edge[]): Edge[] => {
    const moved = ring.map(mapEdge);
    return map.flips ? moved.reverse() : moved;
  };
  const angles = Object.fromEntries(
    (["pile", "stretch", "grain"] as const).flatMap((key) =>
      panel[key] === undefined ? [] : [[key, map.angle(panel[key])]],
    ),
  );
  return {
    ...panel,
    edges: mapRing(panel.edges),
    ...(panel.holes ? { holes: panel.holes.map(mapRing) } : {}),
    darts: panel.darts.map((dart) => ({
      ...dart,
      tip: map.point(dart.tip),
      legs: map.flips ? ([dart.legs[1], dart.legs[0]] as const) : dart.legs,
    })),
    markings: panel.markings.map((marking) => ({
      ...marking,
      points: marking.points.map(map.point),
      ...(marking.pile === undefined ? {} : { pile: map.angle(marking.pile) }),
    })),
    ...angles,
  };
}

/**
 * The panel of the other hand: mirrored left to right about x = 0, outline still counter-clockwise, notches, darts, markings
 * and directions mirrored with it. Ids stay, so that its edges can be found.
 */
export function mirrorPanel(panel: Panel): Panel {
  return mapPanel(panel, {
    point: ([x, y]) => [x === 0 ? 0 : -x, y],
    angle: (degrees) => wrapDegrees(180 - degrees),
    flips: true,
  });
}

/** The panel mirrored about the line through two points. */
export function mirrorPanelAbout(panel: Panel, a: Point, b: Point): Panel {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const way: Point = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const line = (Math.atan2(way[1], way[0]) * 180) / Math.PI;
  return mapPanel(panel, {
    point: (p) => {
      const [x, y] = [p[0] - a[0], p[1] - a[1]];
      const along = x * way[0] + y * way[1];
      return [a[0] + 2 * along * way[0] - x, a[1] + 2 * along * way[1] - y];
    },
    angle: (degrees) => wrapDegrees(2 * line - degrees),
    flips: true,
  });
}

/** The panel turned counter-clockwise about the origin by an angle in degrees, then shifted. */
export function turnPanel(panel: Panel, degrees: number, dx = 0, dy = 0): Panel {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return mapPanel(panel, {
    point: ([x, y]) => [c * x - s * y + dx, s * x + c * y + dy],
    angle: (angle) => wrapDegrees(angle + degrees),
    flips: false,
  });
}

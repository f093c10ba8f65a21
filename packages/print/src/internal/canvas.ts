import { stationAt, type Outline, type Point } from "@peltry/geometry";
import type { Seam } from "@peltry/pattern";
import type { DrawItem, LineStyleName, MeasureText } from "../drawing";
import type { PlacedPiece } from "../place-piece";
import type { PrintLayer } from "../types";
import type { Obstacles } from "./find-room";

/** What the parts of a panel drawing share while it grows. */
export interface Canvas {
  readonly placed: PlacedPiece;
  readonly seams: ReadonlyMap<string, Seam>;
  readonly items: DrawItem[];
  readonly obstacles: Obstacles;
  /** Innermost outline in which texts are set. */
  readonly room: Outline;
  readonly measure: MeasureText;
  readonly edgeLengths: boolean;
  /** Factor on every letter height. */
  readonly textScale: number;
}

/** Adds a path to the drawing. */
export function addPath(
  canvas: Canvas,
  layer: PrintLayer,
  style: LineStyleName,
  points: readonly Point[],
  more: { readonly role: string; readonly closed?: boolean; readonly filled?: boolean },
): void {
  const { closed = false, ...rest } = more;
  canvas.items.push({
    kind: "path",
    layer,
    style,
    points,
    closed,
    panel: canvas.placed.piece.panel.id,
    ...rest,
  });
}

/** Adds a text, middle of its baseline at a point, and keeps later texts away from it. */
export function addText(
  canvas: Canvas,
  text: string,
  at: Point,
  more: {
    readonly role: string;
    readonly size: number;
    readonly angle?: number;
    readonly layer?: PrintLayer;
  },
): void {
  const { role, size, angle = 0, layer = "text" } = more;
  canvas.items.push({
    kind: "text",
    layer,
    text,
    at,
    size,
    angle,
    align: "middle",
    panel: canvas.placed.piece.panel.id,
    role,
  });
}

/** Unit vector to the left of a direction: into a counter-clockwise outline. */
export function inward(tangent: Point): Point {
  return [-tangent[1], tangent[0]];
}

/** The place a length along an edge, moved inward by a distance. */
export function beside(
  points: readonly Point[],
  at: number,
  distance: number,
): { readonly point: Point; readonly tangent: Point } {
  const { point, tangent } = stationAt(points, at);
  const [nx, ny] = inward(tangent);
  return { point: [point[0] + nx * distance, point[1] + ny * distance], tangent };
}

/** Degrees at which a text along a direction stands upright for the reader. */
export function readable(degrees: number): number {
  const turned = ((degrees % 360) + 360) % 360;
  return turned > 90 && turned <= 270 ? turned - 180 : turned > 270 ? turned - 360 : turned;
}

/** A point moved against the up direction of a text that stands at `degrees`. */
export function below([x, y]: Point, degrees: number, distance: number): Point {
  const turn = (degrees * Math.PI) / 180;
  return [x + Math.sin(turn) * distance, y - Math.cos(turn) * distance];
}

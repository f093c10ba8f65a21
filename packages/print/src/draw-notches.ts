import { distanceToSegment, stationAt, type Outline, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import { addPath, inward, type Canvas } from "./internal/canvas";

/** Length of a notch where no cut line says otherwise, mm. Common practice, no source. */
const NOTCH_LENGTH = 5;
/** Half of the room between the two lines of a double notch, mm. */
const DOUBLE_HALF = 2;

/** Notches: from the sew line out to the cut line, or a short way into the panel where there is no cut line. */
export function drawNotches(canvas: Canvas): void {
  const { placed } = canvas;
  if (placed.cut?.notches) {
    for (const { strokes, sew, cut } of placed.cut.notches) {
      for (const stroke of strokes) addPath(canvas, "marks", "notch", stroke, { role: "notch" });
      // The notch is cut at the edge of the cloth; the thin line leads to its place on the seam.
      if (sew && cut) addPath(canvas, "marks", "leader", [cut, sew], { role: "notch-line" });
    }
    return;
  }
  for (const edge of [...placed.edges, ...placed.holes.flat()]) {
    for (const notch of edge.notches ?? []) {
      const shifts = notch.kind === "double" ? [-DOUBLE_HALF, DOUBLE_HALF] : [0];
      for (const shift of shifts) drawNotch(canvas, edge, notch.at + shift);
    }
  }
}

function drawNotch(canvas: Canvas, edge: Edge, at: number): void {
  const { point, tangent } = stationAt(edge.points, at);
  const [nx, ny] = inward(tangent);
  const { cut } = canvas.placed;
  const reach = cut ? -reachOut(point, [-nx, -ny], [cut.cutLine, ...(cut.holes ?? [])]) : NOTCH_LENGTH;
  addPath(canvas, "marks", "notch", [point, [point[0] + nx * reach, point[1] + ny * reach]], {
    role: "notch",
  });
}

/** Distance along a ray to the nearest of the outlines; a short notch when it meets none within 80 mm. */
function reachOut(from: Point, direction: Point, outlines: readonly Outline[]): number {
  let best = 80;
  for (const outline of outlines) {
    for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
      const t = meet(from, direction, outline[j]!, outline[i]!);
      if (t !== undefined && t > 1e-6 && t < best) best = t;
      else if (t === undefined && distanceToSegment(from, outline[j]!, outline[i]!) < 1e-6)
        return NOTCH_LENGTH;
    }
  }
  return best < 80 ? best : NOTCH_LENGTH;
}

function meet([px, py]: Point, [dx, dy]: Point, [ax, ay]: Point, [bx, by]: Point): number | undefined {
  const ex = bx - ax;
  const ey = by - ay;
  const cross = dx * ey - dy * ex;
  if (cross === 0) return undefined;
  const t = ((ax - px) * ey - (ay - py) * ex) / cross;
  const u = ((ax - px) * dy - (ay - py) * dx) / cross;
  return u >= 0 && u <= 1 ? t : undefined;
}

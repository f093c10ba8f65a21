import { distance, stationAt, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import type { AllowanceRules, NotchMark, NotchShape } from "../types";
import { outward } from "./corner";

/** Notch depth unless told otherwise, mm; never past half the allowance. */
const DEPTH = 4;
/** Two marks of a double notch stand this far apart, mm. */
const APART = 6;
/** Under this allowance there is no room to cut a notch: it is drawn as a tick inside. */
const LEAST_WIDTH = 2;

/** Marks for the notches of an edge. */
export function notchMarks(
  edge: Edge,
  width: number,
  lines: readonly (readonly Point[])[],
  rules: AllowanceRules,
): NotchMark[] {
  return (edge.notches ?? []).map((notch) => {
    const { point: sew, tangent } = stationAt(edge.points, notch.at);
    const out = outward(tangent);
    const cut = width > 0 ? onCutLine(sew, out, width, lines) : sew;
    const shape: NotchMark["shape"] = width < LEAST_WIDTH ? "tick" : (rules.notch ?? "slit");
    const depth = shape === "tick" ? DEPTH : Math.min(rules.notchDepth ?? DEPTH, distance(sew, cut) / 2);
    const shifts = notch.kind === "double" ? [-APART / 2, APART / 2] : [0];
    const strokes = shifts.flatMap((shift) => {
      const at: Point = [cut[0] + tangent[0] * shift, cut[1] + tangent[1] * shift];
      return notchStrokes(shape, at, tangent, depth);
    });
    return {
      edge: edge.id,
      at: notch.at,
      kind: notch.kind,
      ...(notch.match === undefined ? {} : { match: notch.match }),
      shape,
      sew,
      cut,
      depth,
      strokes,
    };
  });
}

/** Where the way out of the sew line meets a cut line: at the width, or farther where strips have merged. */
export function onCutLine(
  sew: Point,
  out: Point,
  width: number,
  lines: readonly (readonly Point[])[],
): Point {
  let best = Infinity;
  for (const line of lines) {
    for (let i = 0, j = line.length - 1; i < line.length; j = i++) {
      const [a, b] = [line[j], line[i]];
      const [sx, sy] = [b[0] - a[0], b[1] - a[1]];
      const cross = out[0] * sy - out[1] * sx;
      if (cross === 0) continue;
      const t = ((a[0] - sew[0]) * sy - (a[1] - sew[1]) * sx) / cross;
      const u = ((a[0] - sew[0]) * out[1] - (a[1] - sew[1]) * out[0]) / cross;
      if (u >= -1e-9 && u <= 1 + 1e-9 && t > width - 0.02 && t < best) best = t;
    }
  }
  if (!Number.isFinite(best)) best = width;
  return [sew[0] + out[0] * best, sew[1] + out[1] * best];
}

/**
 * The lines of one notch.
 *
 * @source kinds: ASTM D6673-10, notch layers 4 and 80–83 (V and slit, T, castle, check, U)
 */
export function notchStrokes(
  shape: NotchShape | "tick",
  at: Point,
  tangent: Point,
  depth: number,
): Point[][] {
  const out = outward(tangent);
  const p = (along: number, inward: number): Point => [
    at[0] + tangent[0] * along - out[0] * inward,
    at[1] + tangent[1] * along - out[1] * inward,
  ];
  const half = depth / 2;
  switch (shape) {
    case "v-in":
      return [[p(-half, 0), p(0, depth), p(half, 0)]];
    case "v-out":
      return [[p(-half, 0), p(0, -depth), p(half, 0)]];
    case "t":
      return [
        [p(0, 0), p(0, depth)],
        [p(-half, depth), p(half, depth)],
      ];
    case "castle":
      return [[p(-half, 0), p(-half, depth), p(half, depth), p(half, 0)]];
    case "check":
      return [[p(0, 0), p(0, depth), p(half, 0)]];
    default:
      return [[p(0, 0), p(0, depth)]];
  }
}

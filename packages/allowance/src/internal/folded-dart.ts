import { direction, distance, type Point } from "@peltry/geometry";
import type { Dart, Edge } from "@peltry/pattern";
import type { FoldedDart } from "../types";
import { outward } from "./corner";
import { intersect } from "./region";

/** How far the pieces at a fold overlap the panel so that no slit is left, mm. */
const SEAL = 0.01;

/**
 * The cloth that a folded dart leaves in the panel: the wedge itself, and past the mouth what the cut edge needs so
 * that it lies on the neighbour's cut edge when the dart is folded and pressed.
 *
 * Pressed towards one side, the half of the wedge next to that side lies on it mirrored in the leg; the other half
 * is the mirror image of the first in the middle line of the wedge, as both lie on each other.
 *
 * @param base - panel and allowance with the dart open and its legs bare, counter-clockwise
 * @param past - farthest that cloth can lie past the mouth, mm
 * @source derived here
 */
export function foldedDart(
  dart: Dart,
  legs: readonly [Edge, Edge],
  base: readonly (readonly Point[])[],
  past: number,
  pressed: "before" | "after",
): { pieces: Point[][]; result: FoldedDart } {
  const tip = legs[0].points[legs[0].points.length - 1];
  const mouth: [Point, Point] = [legs[0].points[0], legs[1].points[legs[1].points.length - 1]];
  const reach = Math.max(distance(tip, mouth[0]), distance(tip, mouth[1])) + past;
  const [one, two] = mouth.map((corner) => direction(tip, corner));
  const sum: Point = [one[0] + two[0], one[1] + two[1]];
  const size = Math.hypot(sum[0], sum[1]);
  const middle: Point = size > 0 ? [sum[0] / size, sum[1] / size] : outward(one);
  const leg = pressed === "after" ? two : one;
  // From the leg to the middle, grown by the seal past the middle.
  const side = Math.sign(leg[0] * middle[1] - leg[1] * middle[0]) || 1;
  const across: Point = [-middle[1] * side, middle[0] * side];
  const wedge: Point[] = [
    tip,
    far(tip, leg, reach),
    add(far(tip, middle, reach), across, SEAL),
    add(tip, across, SEAL),
  ];
  // Mirrored in the leg, and moved over it by the seal.
  const inner: Point = [leg[1] * side, -leg[0] * side];
  const onLeg = base.map((path) => path.map((p) => add(mirror(p, tip, leg), inner, SEAL)).reverse());
  const moved = wedge.map((p) => add(p, inner, SEAL));
  const grown = [moved[0], moved[1], wedge[1], wedge[2], wedge[3]];
  // Cloth that reaches into the wedge from elsewhere is no part of the fold.
  const near = intersect(onLeg, [grown]).filter((path) => path.some((p) => distance(p, tip) < 10 * SEAL));
  const opposite = near.map((path) => path.map((p) => mirror(p, tip, middle)).reverse());
  const open = [...legs[0].points, ...legs[1].points.slice(1)].reverse();
  const peak = farthest(near.flat(), tip, middle);
  return {
    pieces: [open, ...near, ...opposite],
    result: { dart: dart.id, pressed, mouth, tip, peak: peak ?? mouth[0] },
  };
}

const add = (p: Point, v: Point, t: number): Point => [p[0] + v[0] * t, p[1] + v[1] * t];
const far = add;

function mirror(p: Point, on: Point, way: Point): Point {
  const [x, y] = [p[0] - on[0], p[1] - on[1]];
  const along = x * way[0] + y * way[1];
  return [on[0] + 2 * along * way[0] - x, on[1] + 2 * along * way[1] - y];
}

/** The farthest point on the ray, to the width of the seal. */
function farthest(points: readonly Point[], from: Point, way: Point): Point | undefined {
  let best: Point | undefined;
  for (const p of points) {
    const off = Math.abs((p[0] - from[0]) * way[1] - (p[1] - from[1]) * way[0]);
    if (off <= 2 * SEAL && (!best || distance(p, from) > distance(best, from))) best = p;
  }
  return best;
}

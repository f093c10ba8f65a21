import { distance, distanceToPolyline, pointInOutline, signedArea, type Point } from "@peltry/geometry";
import { outward } from "./corner";
import { stripPath, stripSide } from "./raw-outline";
import { negativePart, subtract, unite } from "./region";

/** How far flap and panel overlap so that no slit is left between them, mm. */
const SEAL = 0.01;

/** Farthest that the line of a neighbour is run on, over the depth of the flap. */
const FARTHEST = 50;

/** One end of a flap that is folded back. */
export interface TurnedEnd {
  /** Corner of the sew line. */
  readonly corner: Point;
  /** Unit direction of the fold at the corner, along the outline. */
  readonly fold: Point;
  /** The neighbour's cut line, from the corner away. */
  readonly neighbour: readonly Point[];
}

const height = (p: Point, end: TurnedEnd): number =>
  -((p[0] - end.corner[0]) * end.fold[1] - (p[1] - end.corner[1]) * end.fold[0]);

/**
 * The allowance of an edge that is folded back on the panel: at a turned end it is bounded by the mirror image of the
 * neighbour's cut line in the fold, so that it covers the panel edge to edge when folded.
 *
 * @param joins - for an end that is not turned, the closed piece that joins it to its neighbour's strip
 * @returns counter-clockwise outlines
 */
export function turnedFlap(
  points: readonly Point[],
  width: number,
  ends: { readonly first?: TurnedEnd; readonly last?: TurnedEnd },
  joins: readonly (readonly Point[])[],
): Point[][] {
  const pieces: Point[][] = joins.map((piece) => [...piece]);
  const cuts: Point[][] = [];
  const fold: Point[] = [...points];
  for (const [end, isFirst] of [
    [ends.first, true],
    [ends.last, false],
  ] as const) {
    if (!end) continue;
    const { line, deep } = mirroredSide(end, width);
    const out = outward(end.fold);
    const below = (depth: number): Point => [end.corner[0] + out[0] * depth, end.corner[1] + out[1] * depth];
    const round = [end.corner, ...line, below(width)];
    const deepRound = [end.corner, ...line, deep, below(-height(deep, end))];
    pieces.push(isFirst ? round : round.reverse());
    cuts.push(...negativePart(isFirst ? deepRound : deepRound.reverse()));
    if (isFirst) fold.unshift(line[0]);
    else fold.push(line[0]);
  }
  const whole = unite([stripPath(points, width), ...pieces.flatMap((piece) => unite([piece]))]);
  const flap = cuts.length > 0 ? subtract(whole, cuts) : whole;
  // A bulging hem can be cut through twice: what no longer hangs on it goes.
  const hangs = (ring: readonly Point[]): boolean => ring.some((p) => distanceToPolyline(p, points) < SEAL);
  const hanging = piecesOf(flap.map((path) => path.points)).filter((piece) => piece.some(hangs));
  return [...hanging.flat(), sealAlong(fold)];
}

/** Outlines sorted into pieces: each with the holes in it, as a flap all round hangs on by its hole alone. */
function piecesOf(rings: readonly Point[][]): Point[][][] {
  const pieces = rings
    .filter((ring) => signedArea(ring) > 0)
    .sort((a, b) => signedArea(a) - signedArea(b))
    .map((ring) => [ring]);
  for (const hole of rings) {
    if (signedArea(hole) >= 0) continue;
    pieces.find(([ring]) => hole.some((p) => pointInOutline(p, ring) === "inside"))?.push(hole);
  }
  return pieces;
}

/** A thin strip on the panel's side of the fold, slanted at its ends so that it stays behind the cut line. */
function sealAlong(fold: readonly Point[]): Point[] {
  const line = [...fold].reverse();
  const last = line.length - 1;
  const { side } = stripSide(line, SEAL);
  const slant = (cap: Point, from: Point, to: Point): Point => {
    const t = Math.min(0.25, (5 * SEAL) / Math.max(1e-9, distance(from, to)));
    return [cap[0] + (to[0] - from[0]) * t, cap[1] + (to[1] - from[1]) * t];
  };
  side[0] = slant(side[0], line[0], line[1]);
  side[side.length - 1] = slant(side[side.length - 1], line[last], line[last - 1]);
  return [line[0], ...side, line[last], ...line.slice(1, -1).reverse()];
}

/** The neighbour's cut line down to the fold and up to the depth, mirrored in the fold; and a point past its end. */
function mirroredSide(end: TurnedEnd, depth: number): { line: Point[]; deep: Point } {
  const side = upTo(end, depth);
  const mirror = (p: Point): Point => {
    const h = height(p, end);
    const out = outward(end.fold);
    return [p[0] + 2 * h * out[0], p[1] + 2 * h * out[1]];
  };
  const line = side.map(mirror);
  const a = line[line.length - 2];
  const b = line[line.length - 1];
  // Past the depth by as much again, so that a bulging hem is cut through to its edge; but where the line runs nearly
  // along the fold, only so far as the grid of the union still counts.
  const past = depth + 10;
  const more = Math.min(
    past / Math.max(1e-9, height(a, end) - height(b, end)),
    (FARTHEST * past) / Math.max(1e-9, distance(a, b)),
  );
  return { line, deep: [b[0] + (b[0] - a[0]) * more, b[1] + (b[1] - a[1]) * more] };
}

function upTo(end: TurnedEnd, depth: number): Point[] {
  const { neighbour } = end;
  const heights = neighbour.map((p) => height(p, end));
  const at = (i: number, h: number): Point => {
    const t = (h - heights[i]) / (heights[i + 1] - heights[i]);
    const [a, b] = [neighbour[i], neighbour[i + 1]];
    return [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
  };
  const onFold = (p: Point): Point => {
    const h = height(p, end);
    const out = outward(end.fold);
    return [p[0] + h * out[0], p[1] + h * out[1]];
  };
  let first = 0;
  while (first + 1 < neighbour.length && heights[first + 1] <= 0) first++;
  const line: Point[] = [];
  if (first + 1 === neighbour.length) {
    line.push(onFold(neighbour[0]));
  } else if (heights[first] <= 0 || heights[first + 1] > heights[first]) {
    line.push(at(first, 0));
  } else {
    line.push(onFold(neighbour[first]));
  }
  for (let i = first; i < neighbour.length; i++) {
    if (heights[i] <= 0) continue;
    if (heights[i] >= depth) {
      const from = line[line.length - 1];
      const t = (depth - height(from, end)) / (heights[i] - height(from, end));
      line.push([from[0] + (neighbour[i][0] - from[0]) * t, from[1] + (neighbour[i][1] - from[1]) * t]);
      return line;
    }
    if (distance(neighbour[i], line[line.length - 1]) > 0) line.push(neighbour[i]);
  }
  // The neighbour ends before the hem does: straight on, or straight up where it has turned away.
  const tail = line[line.length - 1];
  const before = line[line.length - 2];
  const rise = before ? height(tail, end) - height(before, end) : 0;
  const left = depth - height(tail, end);
  if (before && rise > 0.5 * distance(before, tail)) {
    line.push([
      tail[0] + ((tail[0] - before[0]) * left) / rise,
      tail[1] + ((tail[1] - before[1]) * left) / rise,
    ]);
  } else {
    const out = outward(end.fold);
    line.push([tail[0] - out[0] * left, tail[1] - out[1] * left]);
  }
  return line;
}

/** The cut line of a neighbouring edge as a run that begins at the corner. */
export function neighbourLine(points: readonly Point[], width: number, beginsAtCorner: boolean): Point[] {
  const { side } = stripSide(points, width);
  return beginsAtCorner ? side : side.reverse();
}

import { Clipper64, ClipType, FillRule, type Path64, type Paths64 } from "clipper2-ts";
import { signedArea, type Point } from "@peltry/geometry";

/** Steps of the integer grid to the mm: the cut line is exact to 0.00005 mm, panels up to kilometres stay exact. */
const GRID = 1e4;

/** A closed path with, for each point, the number of the sew point that it belongs to, from 1 (0: none, as at a crossing). */
export interface TracedPath {
  readonly points: Point[];
  readonly from: readonly number[];
}

function toGrid(path: readonly Point[], from?: readonly number[]): Path64 {
  const points = path.map(([x, y], i) => ({
    x: Math.round(x * GRID),
    y: Math.round(y * GRID),
    z: from ? from[i] : 0,
  }));
  return withoutSpikes(points);
}

/** A closed path without stretches that run straight back on themselves: they enclose nothing, and the library can lose its way on level ones. */
function withoutSpikes(path: Path64): Path64 {
  const kept: Path64 = [];
  const turnsBack = (a: Path64[0], b: Path64[0], c: Path64[0]): boolean => {
    const [ux, uy, vx, vy] = [b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y];
    return ux * vy - uy * vx === 0 && ux * vx + uy * vy <= 0;
  };
  for (const p of path) {
    while (kept.length > 1 && turnsBack(kept[kept.length - 2], kept[kept.length - 1], p)) kept.pop();
    const last = kept[kept.length - 1];
    if (!last || last.x !== p.x || last.y !== p.y) kept.push(p);
  }
  while (kept.length > 2 && turnsBack(kept[kept.length - 2], kept[kept.length - 1], kept[0])) kept.pop();
  while (kept.length > 2 && turnsBack(kept[kept.length - 1], kept[0], kept[1])) kept.shift();
  return kept;
}

function fromGrid(paths: Paths64): TracedPath[] {
  return paths
    .filter((path) => path.length > 2)
    .map((path) => ({
      points: path.map((p): Point => [p.x / GRID, p.y / GRID]),
      from: path.map((p) => p.z ?? 0),
    }));
}

function run(type: ClipType, rule: FillRule, subject: Paths64, clip: Paths64): TracedPath[] {
  const clipper = new Clipper64();
  // An empty path inside the list makes the library throw.
  clipper.addSubject(subject.filter((path) => path.length > 2));
  if (clip.length > 0) clipper.addClip(clip.filter((path) => path.length > 2));
  const solution: Paths64 = [];
  clipper.execute(type, rule, solution);
  return fromGrid(solution);
}

/**
 * What is covered at least once by paths whose winding is nowhere negative where it matters: places of negative or no
 * winding are left out. Where two numbered points fall together either number may come out.
 */
export function unite(paths: readonly (readonly Point[] | TracedPath)[]): TracedPath[] {
  const grid = paths.map((path) => ("points" in path ? toGrid(path.points, path.from) : toGrid(path)));
  return run(ClipType.Union, FillRule.Positive, grid, []);
}

/** Places that a path goes round clockwise, as counter-clockwise outlines. */
export function negativePart(path: readonly Point[]): Point[][] {
  return run(ClipType.Union, FillRule.Negative, [toGrid(path)], []).map(({ points }) =>
    signedArea(points) < 0 ? points.reverse() : points,
  );
}

/** One set of outlines without another. */
export function subtract(from: readonly TracedPath[], cut: readonly (readonly Point[])[]): TracedPath[] {
  const subject = from.map((path) => toGrid(path.points, path.from));
  return run(
    ClipType.Difference,
    FillRule.NonZero,
    subject,
    cut.map((path) => toGrid(path)),
  );
}

/** What two sets of outlines share. */
export function intersect(one: readonly (readonly Point[])[], two: readonly (readonly Point[])[]): Point[][] {
  const grid = (paths: readonly (readonly Point[])[]): Paths64 => paths.map((path) => toGrid(path));
  return run(ClipType.Intersection, FillRule.NonZero, grid(one), grid(two)).map(({ points }) => points);
}

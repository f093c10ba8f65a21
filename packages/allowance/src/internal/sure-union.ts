import { boundingBox, distanceToSegment, placePoints, type Point } from "@peltry/geometry";
import { unite, type TracedPath } from "./region";

// The union counts along the y axis, and where level sides nearly meet others (about once in three thousand hard, square
// outlines) it snaps a corner to a neighbouring level and loses cloth, or lets two outlines share a side. So each union
// is looked over, and done again in a turned frame where it fails: turned, the same outlines have no level sides.

/** Degrees by which the frame is turned, in turn. */
const TURNS = [0, 31.7, 68.3, 14.9];
/** How far a corner of what is united may lie outside the union, mm: some steps of the grid. */
const STRAY = 1e-3;

/** The union of {@link unite}, looked over: every corner of the paths lies in it or on its border, and outlines keep apart. */
export function uniteSurely(paths: readonly TracedPath[]): TracedPath[] {
  const corners = paths.flatMap((path) => path.points);
  let first: TracedPath[] | undefined;
  for (const degrees of TURNS) {
    const radians = (degrees * Math.PI) / 180;
    const turn = (by: number, path: TracedPath): TracedPath =>
      by === 0 ? path : { points: placePoints(path.points, by, 0, 0), from: path.from };
    const made = unite(paths.map((path) => turn(radians, path))).map((path) => turn(-radians, path));
    if (keepApart(made) && holdsAll(made, corners)) return made;
    first ??= made;
  }
  // Outlines that truly touch fail in every frame: parting them is left to the caller.
  return first!;
}

/** Whether no corner of one outline is a corner of another. */
function keepApart(paths: readonly TracedPath[]): boolean {
  if (paths.length < 2) return true;
  const seen = new Map<number, TracedPath>();
  return paths.every((path) =>
    path.points.every((p) => {
      const other = seen.get(key(p));
      seen.set(key(p), path);
      return other === undefined || other === path;
    }),
  );
}

/** Whether every point lies in what the paths enclose, or on its border. */
function holdsAll(paths: readonly TracedPath[], points: readonly Point[]): boolean {
  const onBorder = new Set(paths.flatMap((path) => path.points.map(key)));
  const hidden = points.filter((p) => !onBorder.has(key(p)));
  if (hidden.length === 0) return true;
  const sides = sidesByLevel(paths);
  return hidden.every((p) => sides.hold(p));
}

const key = ([x, y]: Point): number => Math.round(x * 1e4) * 1048583 + Math.round(y * 1e4);

/** The sides of closed paths, sorted into level bands so that a point asks those beside it alone. */
function sidesByLevel(paths: readonly TracedPath[]): { hold: (p: Point) => boolean } {
  const { minY } = boundingBox(paths.flatMap((path) => path.points));
  const rises = paths.flatMap(({ points }) =>
    points.map((p, i) => Math.abs(p[1] - points[(i + 1) % points.length][1])),
  );
  // Bands of a mean side's height: a side lies in two or three of them on average, however tall some are.
  const height = Math.max(rises.reduce((sum, rise) => sum + rise, 0) / rises.length, 2 * STRAY);
  const band = (y: number): number => Math.floor((y - minY) / height);
  const bands: [Point, Point][][] = [];
  for (const { points } of paths) {
    points.forEach((b, i) => {
      const a = points[(i + points.length - 1) % points.length];
      const [low, high] = [Math.min(a[1], b[1]) - STRAY, Math.max(a[1], b[1]) + STRAY];
      for (let k = Math.max(0, band(low)); k <= band(high); k++) (bands[k] ??= []).push([a, b]);
    });
  }
  return {
    hold: (p) => {
      const [x, y] = p;
      let inside = false;
      for (const [a, b] of bands[band(y)] ?? []) {
        if (a[1] > y !== b[1] > y && x < a[0] + ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]))
          inside = !inside;
      }
      return inside || (bands[band(y)] ?? []).some(([a, b]) => distanceToSegment(p, a, b) < STRAY);
    },
  };
}

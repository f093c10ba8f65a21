import type { FittedStroke } from "./fit-strokes";
import { PointGrid } from "./point-grid";
import type { SurfaceGraph } from "./surface-graph";
import { runLength, type Vec } from "./vector";

/** Places where the paint changes, along mesh edges. */
export function borderPoints(graph: SurfaceGraph, label: Int32Array): Vec[] {
  const p = graph.mesh.positions;
  const points: Vec[] = [];
  for (let v = 0; v < graph.vertexCount; v++) {
    for (let i = graph.start[v]; i < graph.start[v + 1]; i++) {
      const w = graph.neighbours[i];
      if (w < v || label[w] === label[v]) continue;
      points.push([0, 1, 2].map((k) => (p[3 * v + k] + p[3 * w + k]) / 2) as Vec);
    }
  }
  return points;
}

/** Strokes, and those parts of them that only trace the border between two paints. */
export interface ParttedStrokes {
  readonly strokes: FittedStroke[];
  readonly onBorder: FittedStroke[];
}

/**
 * Parts strokes into lines of their own and stretches that follow a border of paints: a maker who colours a patch often
 * inks its outline, and that is one seam, not two.
 *
 * @param near - distance within which a line counts as being on the border, mm
 * @param least - stretches shorter than this only cross the border, mm
 */
export function partAtBorders(
  strokes: readonly FittedStroke[],
  border: readonly Vec[],
  near: number,
  least: number,
): ParttedStrokes {
  if (border.length === 0) return { strokes: strokes.slice(), onBorder: [] };
  const grid = new PointGrid(border, near);
  const own: FittedStroke[] = [];
  const onBorder: FittedStroke[] = [];
  for (const stroke of strokes) {
    const close = stroke.points.map((p) => grid.nearest(p) >= 0);
    const runs = toRuns(close, stroke.closed);
    // A short stretch takes the kind of what surrounds it.
    for (const run of runs) {
      const points = pick(stroke.points, run);
      if (runLength(points) < least && runs.length > 1)
        for (let i = 0; i < run.count; i++)
          close[(run.from + i) % close.length] = !run.close && runs.length > 2;
    }
    for (const run of toRuns(close, stroke.closed)) {
      const whole = run.count === close.length;
      const points = pick(stroke.points, run);
      const first = run.from === 0 && !stroke.closed;
      const last = run.from + run.count === close.length && !stroke.closed;
      const part: FittedStroke = {
        points,
        closed: stroke.closed && whole,
        joined: [first ? stroke.joined[0] : !whole, last ? stroke.joined[1] : !whole],
      };
      (run.close ? onBorder : own).push(part);
    }
  }
  return { strokes: own, onBorder };
}

interface Run {
  readonly from: number;
  readonly count: number;
  readonly close: boolean;
}

function toRuns(close: readonly boolean[], closed: boolean): Run[] {
  const n = close.length;
  let start = 0;
  if (closed) {
    start = close.findIndex((c, i) => c !== close[(i + n - 1) % n]);
    if (start < 0) return [{ from: 0, count: n, close: close[0] }];
  }
  const runs: Run[] = [];
  for (let i = 0; i < n;) {
    let count = 1;
    while (i + count < n && close[(start + i + count) % n] === close[(start + i) % n]) count++;
    runs.push({ from: (start + i) % n, count, close: close[(start + i) % n] });
    i += count;
  }
  return runs;
}

function pick(points: readonly Vec[], run: Run): Vec[] {
  return Array.from({ length: run.count }, (_, i) => points[(run.from + i) % points.length]);
}

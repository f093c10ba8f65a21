import type { InkMap } from "./find-strokes";
import type { JoinedStroke } from "./join-ends";
import { PointGrid } from "./point-grid";
import type { SurfaceGraph } from "./surface-graph";
import { add, apart, at, resample, sub, unit, type Vec } from "./vector";

/** How far past the line that it meets a stroke's ink is followed, in widths of a line. */
const BEYOND = 4;
/** Area of the round cap that a pen leaves, as a share of the width squared: half a disc, π / 8. */
const CAP = Math.PI / 8;

/**
 * Finds how the drawing itself ended where a stroke was carried on to another line: short of it, in its ink, or past it.
 * Sets `carried` of each stroke, negative where the pen ran on past the other line.
 *
 * @remarks Inked area before and past the other line, over the line's width; inside the other line's ink the end cannot be
 * seen, and counts as on its middle.
 */
export function settleCarried(graph: SurfaceGraph, ink: InkMap, strokes: readonly JoinedStroke[]): void {
  const inked: number[] = [];
  for (let v = 0; v < graph.vertexCount; v++) if (ink.share[v] > 0.05) inked.push(v);
  strokes.forEach((stroke) => {
    if (stroke.closed) return;
    const ends = stroke.joins.map((join, side) => {
      if (join?.to !== "stroke") return undefined;
      const run = side === 0 ? stroke.points.slice().reverse() : stroke.points;
      return carriedAt(graph, ink, inked, run, strokes[join.stroke].points);
    });
    // Ends at borders and rims keep what joining them found.
    if (ends.every((end) => end === undefined)) return;
    stroke.carried = ends.reduce<number>((sum, end, side) => sum + (end ?? stroke.carriedEnds[side]), 0);
  });
}

/** How far the last point of a run lies past the end of its ink, mm; undefined when the run is too short to say. */
function carriedAt(
  graph: SurfaceGraph,
  ink: InkMap,
  inked: readonly number[],
  run: readonly Vec[],
  other: readonly Vec[],
): number | undefined {
  const { width } = ink;
  const step = Math.max(0.5, 0.15 * width);
  const end = run[run.length - 1];
  const reach = 8 * width;
  const back = lastStretch(run, reach);
  if (back.length < 4) return undefined;
  const way = unit(sub(end, back[Math.max(0, back.length - 1 - Math.ceil((3 * width) / step))]));
  const before = resample(back, step, false);
  const samples = [...before];
  for (let k = 1; k * step <= BEYOND * width; k++) samples.push(add(end, way, k * step));
  const last = before.length - 1;
  const amount = inkAlong(graph, ink, inked, samples);
  const mask = 0.5 * width + 0.5 * graph.edge;
  const grid = new PointGrid(other, mask);
  let [enter, leave] = [last, last];
  while (enter > 0 && grid.anyNear(samples[enter])) enter--;
  while (leave < samples.length - 1 && grid.anyNear(samples[leave])) leave++;
  // Full width at the far half of the stretch, where the line runs alone.
  const half = Math.floor(enter / 2);
  if (half * step < width) return undefined;
  const usual = sum(amount, 1, half) / ((half - 1) * step);
  const local = Math.max(0.5 * width, Math.min(1.6 * width, usual));
  // Missing ink further back says nothing about the end.
  let tip = enter;
  while (tip > 0 && amount[tip - 1] < 0.25 * local * step) tip--;
  if ((enter - tip) * step > 0.6 * width) return (last - tip) * step + CAP * local;
  const past = sum(amount, leave, lastInked(amount, leave, local, step)) / local;
  // Hidden in the other line's ink it is as likely short of the middle as past it.
  return past > 0.1 * local ? -Math.max(0, (leave - last) * step + past - CAP * local) : 0;
}

/** Inked area nearest to each sample, within the width of a line. */
function inkAlong(
  graph: SurfaceGraph,
  ink: InkMap,
  inked: readonly number[],
  samples: readonly Vec[],
): Float64Array {
  const grid = new PointGrid(samples, 0.7 * ink.width + 0.7 * graph.edge);
  const amount = new Float64Array(samples.length);
  for (const v of inked) {
    const i = grid.nearest(at(graph.mesh.positions, v));
    // What lies before the first sample or past the last is not of this stretch.
    if (i > 0 && i < samples.length - 1) amount[i] += ink.share[v] * graph.area[v];
  }
  return amount;
}

/** Where ink that carries on from a place stops for more than half a width. */
function lastInked(amount: Float64Array, from: number, width: number, step: number): number {
  const gap = Math.ceil((1.5 * width) / step);
  let last = from;
  for (let i = from; i < amount.length && i - last <= gap; i++) if (amount[i] > 0) last = i;
  return Math.min(amount.length, last + 1);
}

function sum(list: Float64Array, from: number, to: number): number {
  let total = 0;
  for (let i = from; i < to; i++) total += list[i];
  return total;
}

/** The last stretch of a run, at most so long. */
function lastStretch(run: readonly Vec[], length: number): Vec[] {
  let first = run.length - 1;
  for (let gone = 0; first > 0 && gone < length; first--) gone += apart(run[first], run[first - 1]);
  return run.slice(first);
}

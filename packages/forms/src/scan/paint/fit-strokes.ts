// Approaches tried: the thinned vertices alone (zigzags by half an edge, 7 % too long), smoothing them (cuts corners), the
// middle of the ink at each place, evened along the line (this one).
import type { Stroke } from "./line-graph";
import { INK_LEVEL, type InkMap } from "./find-strokes";
import { PointGrid } from "./point-grid";
import type { SurfaceGraph } from "./surface-graph";
import { add, at, cross, dot, resample, runLength, size, smoothRun, sub, unit, type Vec } from "./vector";

/** A stroke on its way to the middle of its ink: evenly spaced points with the surface's normal at each. */
export interface FittedStroke {
  points: Vec[];
  closed: boolean;
  joined: [boolean, boolean];
}

/** Spacing of fitted points, mm. */
export function fitStep(graph: SurfaceGraph): number {
  return Math.max(1.5, 0.5 * graph.edge);
}

/**
 * Moves strokes to the middle of their ink. Every inked vertex pulls the nearest stroke sideways; pulls are evened along
 * the line, so that the line is smooth where vertices are few.
 *
 * @remarks four rounds; each is linear in inked vertices
 */
export function fitStrokes(graph: SurfaceGraph, ink: InkMap, strokes: readonly Stroke[]): FittedStroke[] {
  const step = fitStep(graph);
  const calm = Math.max(5, 0.9 * graph.edge, 0.8 * ink.width);
  let fitted: FittedStroke[] = strokes.map(({ points, closed, joined }) => ({
    points: smoothRun(resample(points, step, closed), closed, step, calm),
    closed,
    joined: [...joined],
  }));
  const vertices: number[] = [];
  for (let v = 0; v < graph.vertexCount; v++) if (ink.share[v] > 0.12) vertices.push(v);
  for (let round = 0; round < 4; round++) {
    fitted = pull(graph, ink, fitted, vertices, step, calm);
    fitted = fitted.map((s) => ({
      ...s,
      points: smoothRun(resample(s.points, step, s.closed), s.closed, step, 0.6 * calm),
    }));
  }
  return fitted;
}

function pull(
  graph: SurfaceGraph,
  ink: InkMap,
  strokes: readonly FittedStroke[],
  vertices: readonly number[],
  step: number,
  calm: number,
): FittedStroke[] {
  const p = graph.mesh.positions;
  const points = strokes.flatMap((s) => s.points);
  const first: number[] = [];
  strokes.reduce((sum, s) => {
    first.push(sum);
    return sum + s.points.length;
  }, 0);
  const reach = 1.1 * ink.width + 0.8 * graph.edge;
  const grid = new PointGrid(points, reach);
  const normals = points.map(() => [0, 0, 0] as Vec);
  const near: { v: number; i: number }[] = [];
  for (const v of vertices) {
    const i = grid.nearest(at(p, v));
    if (i < 0) continue;
    near.push({ v, i });
    for (let k = 0; k < 3; k++) normals[i][k] += graph.normals[3 * v + k];
  }
  const ways = strokes.flatMap((s) => tangents(s.points, s.closed));
  spreadNormals(strokes, first, normals);
  // Sums of weight and weight × sideways offset at each point.
  const weight = new Float64Array(points.length);
  const offset = new Float64Array(points.length);
  for (const { v, i } of near) {
    const side = unit(cross(normals[i], ways[i]));
    const d = sub(at(p, v), points[i]);
    const w = ink.share[v] * graph.area[v];
    weight[i] += w;
    offset[i] += w * dot(d, side);
  }
  return strokes.map((s, j) => {
    const n = s.points.length;
    const half = Math.ceil((2.5 * calm) / step);
    const moved = s.points.map((q, a) => {
      let sum = 0;
      let total = 1e-9;
      for (let k = -half; k <= half; k++) {
        const b = s.closed ? (((a + k) % n) + n) % n : a + k;
        if (b < 0 || b >= n) continue;
        const g = Math.exp(-0.5 * ((k * step) / calm) ** 2);
        sum += g * offset[first[j] + b];
        total += g * weight[first[j] + b];
      }
      const i = first[j] + a;
      const shift = Math.max(-0.6 * reach, Math.min(0.6 * reach, sum / total));
      return add(q, unit(cross(normals[i], ways[i])), shift);
    });
    return { ...s, points: moved };
  });
}

export function tangents(points: readonly Vec[], closed: boolean): Vec[] {
  const n = points.length;
  return points.map((_, i) => {
    const a = closed ? points[(i - 2 + n) % n] : points[Math.max(0, i - 2)];
    const b = closed ? points[(i + 2) % n] : points[Math.min(n - 1, i + 2)];
    return unit(sub(b, a));
  });
}

/** Evens normals along each stroke, so that points without ink have one too. */
function spreadNormals(strokes: readonly FittedStroke[], first: readonly number[], normals: Vec[]): void {
  strokes.forEach((s, j) => {
    const n = s.points.length;
    const own = normals.slice(first[j], first[j] + n);
    for (let i = 0; i < n; i++) {
      const sum: Vec = [0, 0, 0];
      for (let half = 3; half < n + 4 && size(sum) < 0.5; half += 4) {
        for (let k = -half; k <= half; k++) {
          const b = s.closed ? (((i + k) % n) + n) % n : i + k;
          if (b < 0 || b >= n) continue;
          for (let d = 0; d < 3; d++) sum[d] += own[b][d] / (1 + Math.abs(k));
        }
      }
      normals[first[j] + i] = unit(sum);
    }
  });
}

/** Ink further ahead than this belongs to whatever comes after a gap, in widths of a line. */
const TIP_REACH = 3.2;

/**
 * Puts each free end where the pen was set down or lifted: of all lengths of a line with a round end, the one that leaves
 * the least difference (in squares, weighed by area) to the ink found there.
 *
 * @remarks Inked area alone is coarse where a line is hardly wider than an edge: one vertex is half a width of length. Where
 * the bare vertices lie tells as much as where the inked ones do.
 */
export function settleTips(graph: SurfaceGraph, ink: InkMap, strokes: readonly FittedStroke[]): void {
  const p = graph.mesh.positions;
  const all = new PointGrid(p, 4 * ink.width + 2 * graph.edge);
  const owner = strokes.flatMap((s, i) => s.points.map(() => i));
  const others = new PointGrid(
    strokes.flatMap((s) => s.points),
    0.7 * ink.width + 0.3 * graph.edge,
  );
  for (const [own, stroke] of strokes.entries()) {
    if (stroke.closed || runLength(stroke.points) < 4 * ink.width) continue;
    for (const side of [0, 1] as const) {
      if (stroke.joined[side]) continue;
      const run = side === 0 ? stroke.points.slice().reverse() : stroke.points;
      const back = Math.min(run.length - 2, Math.max(2, Math.round((1.5 * ink.width) / fitStep(graph))));
      const pivot = run[run.length - 1 - back];
      const way = unit(sub(pivot, run[Math.max(0, run.length - 1 - 3 * back)]));
      const near: InkBeside[] = [];
      all.near(pivot, (v) => {
        const d = sub(at(p, v), pivot);
        const ahead = dot(d, way);
        if (ahead < 0 || ahead > (TIP_REACH + 0.5) * ink.width + graph.edge) return;
        const aside = size(sub(d, [ahead * way[0], ahead * way[1], ahead * way[2]]));
        if (aside > 0.7 * ink.width + 0.7 * graph.edge) return;
        if (others.nearest(at(p, v), (k) => owner[k] !== own) >= 0) return;
        near.push({ ahead, aside, share: ink.share[v], area: graph.area[v] });
      });
      const length = tipAhead(near, ink.width, 0.6 * graph.edge);
      const trimmed = [...run.slice(0, run.length - back), add(pivot, way, length)];
      stroke.points = side === 0 ? trimmed.reverse() : trimmed;
    }
  }
}

/** A vertex beside the end of a stroke. */
interface InkBeside {
  readonly ahead: number;
  readonly aside: number;
  readonly share: number;
  readonly area: number;
}

/** How far a line with a round end reaches, to fit the ink best. Its edge is a ramp of the given breadth. */
function tipAhead(near: readonly InkBeside[], width: number, ramp: number): number {
  let best = 0;
  let least = Infinity;
  for (let length = 0; length <= TIP_REACH * width; length += 0.02 * width) {
    let cost = 0;
    for (const { ahead, aside, share, area } of near) {
      const off = Math.hypot(Math.max(0, ahead - length), aside);
      const model = Math.max(0, Math.min(1, 0.5 + (width / 2 - off) / ramp));
      cost += area * (share - model) ** 2;
    }
    if (cost < least) [least, best] = [cost, length];
  }
  return best;
}

/** True when a place carries enough ink to be on a line. */
export function isInked(share: number): boolean {
  return share > INK_LEVEL;
}

import type { PaintField } from "./classify-paint";
import { tangents, type FittedStroke } from "./fit-strokes";
import { PointGrid } from "./point-grid";
import type { SurfaceGraph } from "./surface-graph";
import { apart, at, cross, dot, sub, unit, type Vec } from "./vector";

/**
 * Moves the border between two paints onto the line that outlines it: near the line, shares become the signed distance
 * from it, so that the border falls on the line's middle. Shares and labels are changed in place.
 *
 * @param band - how far from the line shares are changed, mm
 */
export function bendToInk(
  graph: SurfaceGraph,
  field: PaintField,
  strokes: readonly FittedStroke[],
  band: number,
): void {
  for (const stroke of strokes) bendTo(graph, field, stroke, band);
}

interface Sided {
  readonly v: number;
  readonly sample: number;
  /** Positive on the left of the stroke. */
  readonly distance: number;
}

function bendTo(graph: SurfaceGraph, field: PaintField, stroke: FittedStroke, band: number): void {
  const { points, closed } = stroke;
  if (points.length < 4) return;
  const ways = tangents(points, closed);
  const beside = sides(graph, points, ways, closed, band);
  const [left, right] = votes(
    field,
    beside,
    points.length,
    closed,
    band / Math.max(1, apart(points[0], points[1])),
  );
  for (const { v, sample, distance } of beside) {
    const [l, r] = [left[sample], right[sample]];
    if (l < 0 || r < 0 || l === r || (field.label[v] !== l && field.label[v] !== r)) continue;
    const share = 0.5 * Math.max(-1, Math.min(1, distance / band));
    for (const other of field.shares) other[v] = 0;
    field.shares[l][v] = 0.5 + share;
    field.shares[r][v] = 0.5 - share;
    field.label[v] = share > 0 || (share === 0 && l < r) ? l : r;
  }
}

/** Vertices near the stroke, each with its nearest sample and signed distance. */
function sides(
  graph: SurfaceGraph,
  points: readonly Vec[],
  ways: readonly Vec[],
  closed: boolean,
  band: number,
): Sided[] {
  const p = graph.mesh.positions;
  const grid = new PointGrid(points, band);
  const out: Sided[] = [];
  const box = bounds(points, band);
  for (let v = 0; v < graph.vertexCount; v++) {
    const q = at(p, v);
    if (
      q[0] < box[0][0] ||
      q[1] < box[0][1] ||
      q[2] < box[0][2] ||
      q[0] > box[1][0] ||
      q[1] > box[1][1] ||
      q[2] > box[1][2]
    )
      continue;
    const sample = grid.nearest(q);
    if (sample < 0) continue;
    const step = sub(q, points[sample]);
    // Past the end of an open stroke there is no side.
    if (!closed && (sample === 0 || sample === points.length - 1)) continue;
    const side = unit(cross(at(graph.normals, v), ways[sample]));
    out.push({ v, sample, distance: dot(step, side) });
  }
  return out;
}

function bounds(points: readonly Vec[], band: number): [Vec, Vec] {
  const low: Vec = [Infinity, Infinity, Infinity];
  const high: Vec = [-Infinity, -Infinity, -Infinity];
  for (const q of points) {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k], q[k] - band);
      high[k] = Math.max(high[k], q[k] + band);
    }
  }
  return [low, high];
}

/** Which paint lies left and right of each sample, by the vertices well to either side along a stretch. */
function votes(
  field: PaintField,
  beside: readonly Sided[],
  count: number,
  closed: boolean,
  reach: number,
): [number[], number[]] {
  const paints = field.shares.length;
  const left = Array.from({ length: count }, () => new Float64Array(paints));
  const right = Array.from({ length: count }, () => new Float64Array(paints));
  for (const { v, sample, distance } of beside)
    (distance > 0 ? left : right)[sample][field.label[v]] += Math.abs(distance);
  const half = Math.ceil(2 * reach);
  const winner = (sums: readonly Float64Array[], i: number): number => {
    const total = new Float64Array(paints);
    for (let k = -half; k <= half; k++) {
      const j = closed ? (((i + k) % count) + count) % count : i + k;
      if (j >= 0 && j < count) for (let c = 0; c < paints; c++) total[c] += sums[j][c];
    }
    let best = -1;
    for (let c = 0; c < paints; c++) if (total[c] > 0 && (best < 0 || total[c] > total[best])) best = c;
    return best;
  };
  return [left.map((_, i) => winner(left, i)), right.map((_, i) => winner(right, i))];
}

import { type TriangleMesh } from "@peltry/geometry";

/** A spot of 10 mm across, mm². */
const SPOT = 25 * Math.PI;
/** A triangle of less than this share of the mean area is a sliver: rounds over its neighbours, slivers too, average over nothing. */
const SLIVER = 0.1;

/**
 * Largest use of a panel's triangles after averaging over about 10 mm: by rounds over neighbouring triangles, for slivers over
 * the spot round them.
 *
 * @param use - share of the limit that each triangle uses; counted up to 10
 * @param area - of each, mm²
 */
export function averagedPeak(mesh: TriangleMesh, use: Float64Array, area: Float64Array): number {
  const count = Math.max(1, use.length);
  const mean = area.reduce((sum, a) => sum + a, 0) / count;
  const edge = Math.sqrt(2.3 * mean);
  const rounds = Math.max(1, Math.min(12, Math.round((5 / Math.max(edge, 0.1)) ** 2)));
  const capped = use.map((u) => Math.min(10, u));
  let values: Float64Array = capped;
  for (let round = 0; round < rounds; round++) values = overNeighbours(mesh, values, area);
  const order = Array.from(values.keys()).sort((a, b) => values[b] - values[a]);
  const spots = spotsOf(mesh, capped, area);
  let peak = 0;
  for (const t of order) {
    if (values[t] <= peak) break;
    peak = Math.max(peak, area[t] < SLIVER * mean ? Math.min(values[t], spots(t)) : values[t]);
  }
  return peak;
}

/** Means over each triangle's neighbours, by area. */
function overNeighbours(
  { positions, triangles }: TriangleMesh,
  values: Float64Array,
  area: Float64Array,
): Float64Array {
  const sum = new Float64Array(positions.length / 3);
  const weight = new Float64Array(positions.length / 3);
  values.forEach((value, t) => {
    for (let k = 0; k < 3; k++) {
      sum[triangles[3 * t + k]] += area[t] * value;
      weight[triangles[3 * t + k]] += area[t];
    }
  });
  const at = (h: number): number => (weight[triangles[h]] > 0 ? sum[triangles[h]] / weight[triangles[h]] : 0);
  return values.map((_, t) => (at(3 * t) + at(3 * t + 1) + at(3 * t + 2)) / 3);
}

/** Makes the mean over a spot round a triangle: its neighbours, the nearest first, until they come to its size. */
function spotsOf(mesh: TriangleMesh, values: Float64Array, area: Float64Array): (triangle: number) => number {
  const { positions, triangles } = mesh;
  let around: number[][] | undefined;
  const middle = (t: number): number[] =>
    [0, 1, 2].map((k) => [0, 1, 2].reduce((sum, c) => sum + positions[3 * triangles[3 * t + c] + k], 0) / 3);
  return (start) => {
    if (!around) {
      around = Array.from({ length: positions.length / 3 }, () => []);
      for (let h = 0; h < triangles.length; h++) around[triangles[h]].push(Math.floor(h / 3));
    }
    const from = middle(start);
    const seen = new Set([start]);
    const next = [{ t: start, away: 0 }];
    let [size, sum] = [0, 0];
    while (next.length > 0 && size < SPOT) {
      const nearest = next.reduce((best, entry, i) => (entry.away < next[best].away ? i : best), 0);
      const [{ t }] = next.splice(nearest, 1);
      // The last one counts as far as the spot reaches.
      const part = Math.min(area[t], SPOT - size);
      size += part;
      sum += part * values[t];
      for (let k = 0; k < 3; k++) {
        for (const u of around[triangles[3 * t + k]]) {
          if (seen.has(u)) continue;
          seen.add(u);
          const at = middle(u);
          next.push({ t: u, away: Math.hypot(...at.map((x, c) => x - from[c])) });
        }
      }
    }
    return size > 0 ? sum / size : 0;
  };
}

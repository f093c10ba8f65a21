import type { GraphPoint, SurfacePoint } from "@peltry/geometry";
import type { SearchPatch } from "./search-patches";
import type { SearchState } from "./search-state";

/** Points of a path over a patch, written on the base. */
export function onBase(
  state: Pick<SearchState, "refinement">,
  patch: SearchPatch,
  points: readonly GraphPoint[],
): SurfacePoint[] {
  const { refinement } = state;
  return points.map((point) =>
    point.half < 0
      ? refinement.place[patch.sourceVertex[point.vertex]]
      : refinement.placeOnEdge(
          3 * patch.refinedTriangle[Math.floor(point.half / 3)] + (point.half % 3),
          point.t,
        ),
  );
}

/** Lines x = c of the flat panel, from outline to outline, written on the base. */
export function linesAt(state: SearchState, index: number, x: number): SurfacePoint[][] {
  const { flat } = state.sheets[index];
  return levelLines(state, state.patches[index], (v) => flat[2 * v] - x);
}

/** Lines through the middle of the flat panel along its long and its short axis: halves of a panel strain a quarter as much. */
export function halvingLines(state: SearchState, index: number): SurfacePoint[][] {
  const { flat, area, patch } = state.sheets[index];
  const middle = [0, 0];
  const spread = [0, 0, 0];
  const corner = (t: number, k: number): number =>
    (flat[2 * patch.triangles[3 * t] + k] +
      flat[2 * patch.triangles[3 * t + 1] + k] +
      flat[2 * patch.triangles[3 * t + 2] + k]) /
    3;
  let total = 0;
  area.forEach((a, t) => {
    middle[0] += a * corner(t, 0);
    middle[1] += a * corner(t, 1);
    total += a;
  });
  const [mx, my] = [middle[0] / total, middle[1] / total];
  area.forEach((a, t) => {
    const [x, y] = [corner(t, 0) - mx, corner(t, 1) - my];
    spread[0] += a * x * x;
    spread[1] += a * x * y;
    spread[2] += a * y * y;
  });
  const long = Math.atan2(2 * spread[1], spread[0] - spread[2]) / 2;
  return [long, long + Math.PI / 2].flatMap((angle) => {
    const [s, c] = [Math.sin(angle), Math.cos(angle)];
    return levelLines(state, patch, (v) => s * (flat[2 * v] - mx) - c * (flat[2 * v + 1] - my));
  });
}

/** Lines from outline to outline where a function of the patch's vertices is nought, written on the base. */
export function levelLines(
  state: Pick<SearchState, "refinement">,
  patch: SearchPatch,
  value: (vertex: number) => number,
): SurfacePoint[][] {
  const twin = localTwins(state, patch);
  const { triangles } = patch;
  // Off every vertex, so that the line crosses edges only.
  const at = (v: number): number => value(v) || 1e-9;
  const crosses = (h: number): boolean => at(triangles[h]) > 0 !== at(next(triangles, h)) > 0;
  const seen = new Set<number>();
  const out: SurfacePoint[][] = [];
  for (let start = 0; start < triangles.length; start++) {
    if (twin[start] >= 0 || !crosses(start) || seen.has(start)) continue;
    const points: GraphPoint[] = [];
    let h = start;
    for (let guard = 0; guard < triangles.length; guard++) {
      seen.add(h);
      const a = at(triangles[h]);
      const b = at(next(triangles, h));
      points.push({ vertex: -1, half: h, t: Math.max(0.001, Math.min(0.999, a / (a - b))) });
      if (guard > 0 && twin[h] < 0) break;
      // Into the triangle behind the edge (the first edge's own triangle), out by its other crossed edge.
      const inside = guard === 0 ? h : twin[h];
      const t = 3 * Math.floor(inside / 3);
      const exit = [t, t + 1, t + 2].find((g) => g !== inside && crosses(g));
      if (exit === undefined) break;
      h = exit;
    }
    if (points.length > 2) out.push(onBase(state, patch, points));
  }
  return out;
}

/**
 * A line round the patch, away from its border, where a function of the vertices is nought; undefined unless there is just one.
 * Not closed by repetition.
 */
export function closedLevelLine(
  triangles: ArrayLike<number>,
  twin: ArrayLike<number>,
  value: (vertex: number) => number,
): GraphPoint[] | undefined {
  const at = (v: number): number => value(v) || 1e-9;
  const crosses = (h: number): boolean => at(triangles[h]) > 0 !== at(next(triangles, h)) > 0;
  const seen = new Set<number>();
  let found: GraphPoint[] | undefined;
  for (let start = 0; start < triangles.length; start++) {
    if (twin[start] < 0 || seen.has(start) || !crosses(start)) continue;
    const points: GraphPoint[] = [];
    let h = start;
    do {
      seen.add(h).add(twin[h]);
      const a = at(triangles[h]);
      const b = at(next(triangles, h));
      points.push({ vertex: -1, half: h, t: Math.max(0.001, Math.min(0.999, a / (a - b))) });
      const inside = twin[h];
      const t = 3 * Math.floor(inside / 3);
      h = [t, t + 1, t + 2].find((g) => g !== inside && crosses(g))!;
    } while (twin[h] >= 0 && h !== start);
    // A line that meets the border is none round the patch.
    if (twin[h] < 0) return undefined;
    if (found) return undefined;
    found = points;
  }
  return found;
}

function next(triangles: ArrayLike<number>, h: number): number {
  return triangles[h % 3 === 2 ? h - 2 : h + 1];
}

function localTwins(state: Pick<SearchState, "refinement">, patch: SearchPatch): Int32Array {
  const { refinement } = state;
  const local = new Map<number, number>();
  patch.refinedTriangle.forEach((t, i) => local.set(t, i));
  return Int32Array.from(patch.triangles, (_, c) => {
    const h = 3 * patch.refinedTriangle[Math.floor(c / 3)] + (c % 3);
    const g = refinement.twin[h];
    return refinement.mark[h] !== 0 || g < 0 ? -1 : 3 * local.get(Math.floor(g / 3))! + (g % 3);
  });
}

/** Lines that run with the pile at a share of the panel's width. */
export function pileLines(state: SearchState, index: number, share: number): SurfacePoint[][] {
  const { flat } = state.sheets[index];
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < flat.length; i += 2) {
    low = Math.min(low, flat[i]);
    high = Math.max(high, flat[i]);
  }
  return linesAt(state, index, low + share * (high - low));
}

import { triangleArea, type TriangleMesh } from "@peltry/geometry";
import { directions, type LimbAxis } from "./sheet-mesh";

/** Rounds of edge-length relaxation; the change per round is under a hundredth of a millimetre by then. */
const ROUNDS = 140;
/** Rounds at the end that only turn back what still folds over. */
const UNFOLD_ROUNDS = 200;

/**
 * A piece of a limb's cover unrolled about the upright axis and relaxed to its edge lengths: x, y a vertex, mm, and the
 * change of edge length that 95 of 100 edges stay under, as a fraction. The wearer's up is +y, and the piece
 * is seen from outside.
 */
export function unrollSheet(mesh: TriangleMesh, axis: LimbAxis): { flat: Float64Array; strain: number } {
  const { positions, triangles } = mesh;
  const count = positions.length / 3;
  const { angle, radius } = directions(positions, axis);
  const unrolled = unrollAngles(triangles, angle);
  const used = new Uint8Array(count);
  for (const v of triangles) used[v] = 1;
  let [middle, total] = [0, 0];
  for (let v = 0; v < count; v++) {
    if (!used[v]) continue;
    middle += unrolled[v];
    total++;
  }
  middle /= total || 1;
  const mean = meanRadius(positions, radius, used);
  const flat = new Float64Array(2 * count);
  for (let v = 0; v < count; v++) {
    // Seen from outside, turning from front to +x runs to the right.
    flat[2 * v] = (unrolled[v] - middle) * mean(positions[3 * v + 1]);
    flat[2 * v + 1] = positions[3 * v + 1];
  }
  return { flat, strain: relax(mesh, flat) };
}

/** Mean distance from the axis by height, so that the start is near true size all the way up. */
function meanRadius(
  positions: Float64Array,
  radius: Float64Array,
  used: Uint8Array,
): (height: number) => number {
  const bands = 24;
  let [low, high] = [Infinity, -Infinity];
  for (let v = 0; v < radius.length; v++) {
    if (!used[v]) continue;
    low = Math.min(low, positions[3 * v + 1]);
    high = Math.max(high, positions[3 * v + 1]);
  }
  const step = (high - low) / bands || 1;
  const sum = new Float64Array(bands + 1);
  const weight = new Float64Array(bands + 1);
  for (let v = 0; v < radius.length; v++) {
    if (!used[v]) continue;
    const s = (positions[3 * v + 1] - low) / step;
    for (let b = 0; b <= bands; b++) {
      const w = Math.max(0, 1 - Math.abs(s - b) / 2);
      sum[b] += w * radius[v];
      weight[b] += w;
    }
  }
  const at = (b: number): number => (weight[b] > 0 ? sum[b] / weight[b] : 50);
  return (height) => {
    const s = Math.min(bands, Math.max(0, (height - low) / step));
    const i = Math.min(bands - 1, Math.floor(s));
    return at(i) + (s - i) * (at(i + 1) - at(i));
  };
}

/** Directions without jumps of a full turn, from vertex to vertex. */
function unrollAngles(triangles: Uint32Array, angle: Float64Array): Float64Array {
  const out = new Float64Array(angle.length).fill(NaN);
  const near: number[][] = Array.from({ length: angle.length }, () => []);
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      near[triangles[t + k]].push(triangles[t + ((k + 1) % 3)]);
      near[triangles[t + ((k + 1) % 3)]].push(triangles[t + k]);
    }
  }
  for (let start = 0; start < angle.length; start++) {
    if (!Number.isNaN(out[start])) continue;
    out[start] = angle[start];
    const queue = [start];
    for (let i = 0; i < queue.length; i++) {
      const v = queue[i];
      for (const w of near[v]) {
        if (!Number.isNaN(out[w])) continue;
        out[w] = out[v] + Math.atan2(Math.sin(angle[w] - angle[v]), Math.cos(angle[w] - angle[v]));
        queue.push(w);
      }
    }
  }
  return out;
}

/**
 * Moves both ends of each edge toward its true length, a half too far, over and over: that settles sooner. What folds over
 * is turned back as it goes, and in the end without regard to lengths.
 */
function relax(mesh: TriangleMesh, flat: Float64Array): number {
  const { positions: p, triangles } = mesh;
  const ends: number[] = [];
  const lengths: number[] = [];
  const seen = new Set<number>();
  const most = p.length;
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const a = Math.min(triangles[t + k], triangles[t + ((k + 1) % 3)]);
      const b = Math.max(triangles[t + k], triangles[t + ((k + 1) % 3)]);
      if (seen.has(a * most + b)) continue;
      seen.add(a * most + b);
      ends.push(a, b);
      lengths.push(Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]));
    }
  }
  const least = leastAreas(mesh);
  for (let round = 0; round < ROUNDS; round++) {
    unfold(triangles, least, flat);
    for (let e = 0; e < lengths.length; e++) {
      const a = 2 * ends[2 * e];
      const b = 2 * ends[2 * e + 1];
      const dx = flat[b] - flat[a];
      const dy = flat[b + 1] - flat[a + 1];
      const length = Math.hypot(dx, dy);
      if (length < 1e-9) continue;
      const push = (0.75 * (length - lengths[e])) / length;
      flat[a] += push * dx;
      flat[a + 1] += push * dy;
      flat[b] -= push * dx;
      flat[b + 1] -= push * dy;
    }
  }
  for (let round = 0; round < UNFOLD_ROUNDS && unfold(triangles, least, flat) > 0; round++);
  const changes: number[] = [];
  for (let e = 0; e < lengths.length; e++) {
    const a = 2 * ends[2 * e];
    const b = 2 * ends[2 * e + 1];
    const length = Math.hypot(flat[a] - flat[b], flat[a + 1] - flat[b + 1]);
    if (lengths[e] > 1) changes.push(Math.abs(length / lengths[e] - 1));
  }
  changes.sort((a, b) => a - b);
  return changes[Math.floor(0.95 * changes.length)] ?? 0;
}

/** A tenth of each triangle's true area, mm²: less than that is on its way to fold over. */
function leastAreas(mesh: TriangleMesh): Float64Array {
  return Float64Array.from({ length: mesh.triangles.length / 3 }, (_, t) => 0.1 * triangleArea(mesh, t));
}

/**
 * Moves the corners of each triangle whose area is under its least along the gradient of that area, just so far.
 *
 * @returns how many there were
 * @source projection of an area constraint: M. Müller et al. 2007, Position based dynamics, J. Vis. Commun. Image R. 18:109
 * (from memory)
 */
function unfold(triangles: Uint32Array, least: Float64Array, flat: Float64Array): number {
  let found = 0;
  for (let t = 0; t < least.length; t++) {
    const [a, b, c] = [2 * triangles[3 * t], 2 * triangles[3 * t + 1], 2 * triangles[3 * t + 2]];
    const [ax, ay, bx, by, cx, cy] = [flat[a], flat[a + 1], flat[b], flat[b + 1], flat[c], flat[c + 1]];
    const missing = least[t] - ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2;
    if (missing <= 0) continue;
    found++;
    const squares =
      (bx - ax) * (bx - ax) +
      (by - ay) * (by - ay) +
      (cx - bx) * (cx - bx) +
      (cy - by) * (cy - by) +
      (ax - cx) * (ax - cx) +
      (ay - cy) * (ay - cy);
    if (squares < 1e-12) continue;
    // The gradient at a corner is half the opposite side, turned to point at the corner.
    const push = (2 * missing) / squares;
    flat[a] += push * (by - cy);
    flat[a + 1] += push * (cx - bx);
    flat[b] += push * (cy - ay);
    flat[b + 1] += push * (ax - cx);
    flat[c] += push * (ay - by);
    flat[c + 1] += push * (bx - ax);
  }
  return found;
}

/**
 * Triangles of a flat piece that lie the other way round than most of its area: there it folds over itself. Slivers, whose
 * sense says nothing, do not count.
 */
export function foldedTriangles(flat: ArrayLike<number>, triangles: ArrayLike<number>): number {
  const areas: number[] = [];
  let total = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [2 * triangles[t], 2 * triangles[t + 1], 2 * triangles[t + 2]];
    const area =
      ((flat[b] - flat[a]) * (flat[c + 1] - flat[a + 1]) -
        (flat[b + 1] - flat[a + 1]) * (flat[c] - flat[a])) /
      2;
    areas.push(area);
    total += area;
  }
  const sense = Math.sign(total);
  return areas.filter((area) => sense * area < -0.5).length;
}

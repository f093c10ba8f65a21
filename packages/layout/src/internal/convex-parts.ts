import type { GridOutline } from "./grid";

/** Convex, counter-clockwise. */
export type ConvexPart = GridOutline;

/**
 * A simple counter-clockwise outline as convex parts made of its own corners only, so that grid coordinates stay
 * exact. Ears are clipped, then neighbours are joined where the joint stays convex.
 *
 * @source ear clipping: Meisters 1975; joining of triangles: Hertel and Mehlhorn 1983 (both from memory)
 */
export function convexParts(outline: GridOutline): ConvexPart[] {
  const corners = straightened(outline);
  const parts = joinConvex(clipEars(outline, corners), outline);
  return parts.map((part) => ({
    xs: Float64Array.from(part, (i) => outline.xs[i]),
    ys: Float64Array.from(part, (i) => outline.ys[i]),
  }));
}

function turn({ xs, ys }: GridOutline, a: number, b: number, c: number): number {
  return (xs[b] - xs[a]) * (ys[c] - ys[a]) - (ys[b] - ys[a]) * (xs[c] - xs[a]);
}

/** Corner indices without those in the middle of a straight side. */
function straightened(outline: GridOutline): number[] {
  const corners = Array.from({ length: outline.xs.length }, (_, i) => i);
  for (let k = 0; k < corners.length && corners.length > 3;) {
    const n = corners.length;
    if (turn(outline, corners[(k + n - 1) % n], corners[k], corners[(k + 1) % n]) === 0) {
      corners.splice(k, 1);
      k = Math.max(0, k - 1);
    } else k++;
  }
  return corners;
}

function clipEars(outline: GridOutline, corners: readonly number[]): number[][] {
  const ring = [...corners];
  const triangles: number[][] = [];
  while (ring.length > 3) {
    const k = bestEar(outline, ring);
    const n = ring.length;
    const ear = [ring[(k + n - 1) % n], ring[k], ring[(k + 1) % n]];
    if (turn(outline, ear[0], ear[1], ear[2]) > 0) triangles.push(ear);
    ring.splice(k, 1);
  }
  if (turn(outline, ring[0], ring[1], ring[2]) > 0) triangles.push(ring);
  return triangles;
}

/** The ear with the widest smallest angle keeps parts fat; with none left (a touching outline) the flattest corner. */
function bestEar(outline: GridOutline, ring: readonly number[]): number {
  const n = ring.length;
  let best = -1;
  let score = -Infinity;
  let fallback = 0;
  let flattest = Infinity;
  for (let k = 0; k < n; k++) {
    const a = ring[(k + n - 1) % n];
    const b = ring[k];
    const c = ring[(k + 1) % n];
    const area = turn(outline, a, b, c);
    if (Math.abs(area) < flattest) {
      flattest = Math.abs(area);
      fallback = k;
    }
    if (area <= 0 || !isEar(outline, ring, a, b, c)) continue;
    const longest = Math.max(side(outline, a, b), side(outline, b, c), side(outline, a, c));
    if (area / longest > score) {
      score = area / longest;
      best = k;
    }
  }
  return best >= 0 ? best : fallback;
}

function side({ xs, ys }: GridOutline, a: number, b: number): number {
  return (xs[a] - xs[b]) ** 2 + (ys[a] - ys[b]) ** 2;
}

function isEar(outline: GridOutline, ring: readonly number[], a: number, b: number, c: number): boolean {
  for (const p of ring) {
    if (p === a || p === b || p === c) continue;
    if (turn(outline, a, b, p) >= 0 && turn(outline, b, c, p) >= 0 && turn(outline, c, a, p) >= 0)
      return false;
  }
  return true;
}

/** Joins parts over shared diagonals, longest first, while the result stays convex. */
function joinConvex(triangles: number[][], outline: GridOutline): number[][] {
  const parts: (number[] | undefined)[] = [...triangles];
  for (let joined = true; joined;) {
    joined = false;
    const owner = new Map<string, number>();
    parts.forEach((part, id) =>
      part?.forEach((a, k) => owner.set(`${a},${part[(k + 1) % part.length]}`, id)),
    );
    const diagonals: { a: number; b: number; length: number }[] = [];
    for (const key of owner.keys()) {
      const [a, b] = key.split(",").map(Number);
      if (a < b && owner.has(`${b},${a}`)) diagonals.push({ a, b, length: side(outline, a, b) });
    }
    diagonals.sort((p, q) => q.length - p.length || p.a - q.a || p.b - q.b);
    const touched = new Set<number>();
    for (const { a, b } of diagonals) {
      const left = owner.get(`${a},${b}`)!;
      const right = owner.get(`${b},${a}`)!;
      if (touched.has(left) || touched.has(right)) continue;
      const merged = joinAt(parts[left]!, parts[right]!, a, b);
      if (!isConvex(outline, merged)) continue;
      parts[left] = merged;
      parts[right] = undefined;
      touched.add(left).add(right);
      joined = true;
    }
  }
  return parts.filter((part): part is number[] => part !== undefined);
}

/** Left holds side a → b, right holds b → a: their ring without that side. */
function joinAt(left: readonly number[], right: readonly number[], a: number, b: number): number[] {
  const l = left.indexOf(b);
  const r = right.indexOf(a);
  const ring: number[] = [];
  for (let k = 0; k < left.length; k++) ring.push(left[(l + k) % left.length]);
  for (let k = 1; k < right.length - 1; k++) ring.push(right[(r + k) % right.length]);
  return ring;
}

function isConvex(outline: GridOutline, ring: readonly number[]): boolean {
  const n = ring.length;
  return ring.every((a, k) => turn(outline, a, ring[(k + 1) % n], ring[(k + 2) % n]) >= 0);
}

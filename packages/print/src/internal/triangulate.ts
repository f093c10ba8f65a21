import type { Outline, Point } from "@peltry/geometry";

/**
 * Triangles that fill an outline less its holes: vertex triples into outline and holes in turn, counter-clockwise.
 * By cutting off ears, holes joined to the outline by a bridge first. For display; about n².
 *
 * @source G. H. Meisters 1975 (ears); D. Eberly, Triangulation by Ear Clipping, 2002, section 3 (holes)
 */
export function triangulate(outline: Outline, holes: readonly Outline[]): number[] {
  const points: Point[] = [...outline, ...holes.flat()];
  let ring = outline.map((_, i) => i);
  if (area(points, ring) < 0) ring.reverse();
  let from = outline.length;
  const rings = holes.map((hole) => {
    const own = hole.map((_, i) => from + i);
    from += hole.length;
    return area(points, own) > 0 ? own.reverse() : own;
  });
  const right = (own: readonly number[]): number => Math.max(...own.map((i) => points[i]![0]));
  for (const own of rings.sort((a, b) => right(b) - right(a))) ring = bridged(points, ring, own);
  return cutEars(points, ring);
}

function cutEars(points: readonly Point[], ring: number[]): number[] {
  const triangles: number[] = [];
  const left = [...ring];
  let i = 0;
  let misses = 0;
  while (left.length > 3) {
    const n = left.length;
    const a = left[(i + n - 1) % n]!;
    const b = left[i % n]!;
    const c = left[(i + 1) % n]!;
    // After a round without an ear the outline crosses itself: the next corner is cut off all the same.
    if (isEar(points, left, a, b, c) || misses > n) {
      if (turn(points[a]!, points[b]!, points[c]!) > 0) triangles.push(a, b, c);
      left.splice(i % n, 1);
      misses = 0;
      i = Math.max(0, (i % n) - 1);
    } else {
      i = (i + 1) % n;
      misses++;
    }
  }
  if (left.length === 3) triangles.push(...left);
  return triangles;
}

function isEar(points: readonly Point[], left: readonly number[], a: number, b: number, c: number): boolean {
  const [pa, pb, pc] = [points[a]!, points[b]!, points[c]!];
  const size = turn(pa, pb, pc);
  if (size <= 0) return size === 0;
  for (const i of left) {
    const p = points[i]!;
    if (same(p, pa) || same(p, pb) || same(p, pc)) continue;
    if (turn(pa, pb, p) >= 0 && turn(pb, pc, p) >= 0 && turn(pc, pa, p) >= 0) return false;
  }
  return true;
}

/** The ring with a hole let in by a bridge from the hole's rightmost point to a corner that sees it. */
function bridged(points: readonly Point[], ring: readonly number[], hole: readonly number[]): number[] {
  const start = hole.reduce((best, _, i) => (points[hole[i]!]![0] > points[hole[best]!]![0] ? i : best), 0);
  const m = points[hole[start]!]!;
  let near = Infinity;
  let at = 0;
  for (let i = 0; i < ring.length; i++) {
    const p = points[ring[i]!]!;
    const q = points[ring[(i + 1) % ring.length]!]!;
    if (p[1] > m[1] === q[1] > m[1]) continue;
    const x = p[0] + ((m[1] - p[1]) * (q[0] - p[0])) / (q[1] - p[1]);
    if (x >= m[0] && x < near) {
      near = x;
      at = p[0] > q[0] ? i : (i + 1) % ring.length;
    }
  }
  at = nearestSeen(points, ring, m, [near, m[1]], at);
  const turned = [...hole.slice(start), ...hole.slice(0, start), hole[start]!];
  return [...ring.slice(0, at + 1), ...turned, ring[at]!, ...ring.slice(at + 1)];
}

/** Corners inside the triangle of hole point, hit and corner hide the corner: the one of least slope is seen. */
function nearestSeen(
  points: readonly Point[],
  ring: readonly number[],
  m: Point,
  hit: Point,
  corner: number,
): number {
  const c = points[ring[corner]!]!;
  const [a, b] = c[1] > m[1] ? [hit, c] : [c, hit];
  let best = corner;
  let slope = Infinity;
  ring.forEach((index, i) => {
    const p = points[index]!;
    if (i === corner || p[0] < m[0] || same(p, m)) return;
    if (turn(m, a, p) < 0 || turn(a, b, p) < 0 || turn(b, m, p) < 0) return;
    const steep = Math.abs(p[1] - m[1]) / Math.max(p[0] - m[0], 1e-12);
    if (steep < slope) {
      slope = steep;
      best = i;
    }
  });
  return best;
}

function area(points: readonly Point[], ring: readonly number[]): number {
  return ring.reduce((sum, index, i) => {
    const p = points[index]!;
    const q = points[ring[(i + 1) % ring.length]!]!;
    return sum + p[0] * q[1] - p[1] * q[0];
  }, 0);
}

function turn(a: Point, b: Point, c: Point): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

function same(a: Point, b: Point): boolean {
  return a[0] === b[0] && a[1] === b[1];
}

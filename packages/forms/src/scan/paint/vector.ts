/** A point or direction in space. */
export type Vec = [number, number, number];

export const sub = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const add = (a: Vec, b: Vec, s = 1): Vec => [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]];
export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const size = (a: Vec): number => Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]);
export const unit = (a: Vec): Vec => {
  const s = size(a) || 1;
  return [a[0] / s, a[1] / s, a[2] / s];
};
export const apart = (a: Vec, b: Vec): number => size(sub(a, b));
export const at = (p: ArrayLike<number>, v: number): Vec => [p[3 * v], p[3 * v + 1], p[3 * v + 2]];

/** Length of a run of points; with the way back when closed. */
export function runLength(points: readonly Vec[], closed = false): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) sum += apart(points[i - 1], points[i]);
  return closed && points.length > 1 ? sum + apart(points[points.length - 1], points[0]) : sum;
}

/** Evenly spaced points along a run, both ends kept; a closed run does not repeat its first point. */
export function resample(points: readonly Vec[], step: number, closed: boolean): Vec[] {
  const run = closed ? [...points, points[0]] : points;
  const total = runLength(run);
  const count = Math.max(closed ? 3 : 1, Math.round(total / step));
  const out: Vec[] = [];
  let i = 1;
  let before = 0;
  for (let k = 0; k < (closed ? count : count + 1); k++) {
    const want = (total * k) / count;
    let piece = apart(run[i - 1], run[i]);
    while (i < run.length - 1 && before + piece < want) {
      before += piece;
      i++;
      piece = apart(run[i - 1], run[i]);
    }
    const t = piece > 0 ? Math.max(0, Math.min(1, (want - before) / piece)) : 0;
    out.push(add(run[i - 1], sub(run[i], run[i - 1]), t));
  }
  return out;
}

/** Smooths a run by a Gaussian of the given reach along it; ends stay, and keep their neighbours near. */
export function smoothRun(points: readonly Vec[], closed: boolean, step: number, reach: number): Vec[] {
  const n = points.length;
  const half = Math.max(1, Math.round((2.5 * reach) / step));
  const weights = Array.from({ length: half + 1 }, (_, k) => Math.exp(-0.5 * ((k * step) / reach) ** 2));
  return points.map((p, i) => {
    const room = closed ? half : Math.min(half, i, n - 1 - i);
    if (room === 0) return p;
    const sum: Vec = [0, 0, 0];
    let total = 0;
    for (let k = -room; k <= room; k++) {
      const q = points[(((i + k) % n) + n) % n];
      const w = weights[Math.abs(k)];
      for (let d = 0; d < 3; d++) sum[d] += w * q[d];
      total += w;
    }
    return [sum[0] / total, sum[1] / total, sum[2] / total];
  });
}

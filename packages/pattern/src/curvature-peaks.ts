import { arcLengths, polylineLength, resamplePolyline, type Polyline } from "@peltry/geometry";

/** How peaks are told from noise. */
export interface CurvaturePeakOptions {
  /** Curvature is averaged over this length, mm; 20 when left out. */
  readonly window?: number;
  /** Gentler curves than this radius have no peak, mm; 150 when left out. */
  readonly radius?: number;
}

/**
 * Places where a line bends most: each is the tightest place of its stretch.
 *
 * @returns mm from the first point, in order
 * @remarks A stretch of even curvature gives its middle, a straight line nothing.
 */
export function curvaturePeaks(line: Polyline, options: CurvaturePeakOptions = {}): number[] {
  const { window = 20, radius = 150 } = options;
  const total = polylineLength(line);
  if (!(total > window)) return [];
  const even = resamplePolyline(line, Math.max(1, Math.min(window / 4, total / 16)));
  const at = arcLengths(even);
  const step = total / (even.length - 1);
  const half = Math.max(1, Math.round(window / 2 / step));
  const turning = even.map((p, i) => {
    if (i === 0 || i + 1 === even.length) return 0;
    const [ax, ay] = [p[0] - even[i - 1][0], p[1] - even[i - 1][1]];
    const [bx, by] = [even[i + 1][0] - p[0], even[i + 1][1] - p[1]];
    return Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  });
  const bend = even.map((_, i) => {
    let sum = 0;
    for (let k = Math.max(0, i - half); k <= Math.min(even.length - 1, i + half); k++) sum += turning[k];
    return sum / ((2 * half + 1) * step);
  });
  const peaks: number[] = [];
  let start = -1;
  for (let i = 0; i <= even.length; i++) {
    const tight =
      i < even.length && Math.abs(bend[i]) > 1 / radius && (start < 0 || bend[i] * bend[start] > 0);
    if (tight && start < 0) start = i;
    if (!tight && start >= 0) {
      peaks.push(at[tightest(bend, start, i - 1)]);
      start = -1;
    }
  }
  return peaks;
}

/** Middle of the places within a tenth of the largest bend. */
function tightest(bend: readonly number[], from: number, to: number): number {
  let most = 0;
  for (let i = from; i <= to; i++) most = Math.max(most, Math.abs(bend[i]));
  let first = -1;
  let last = from;
  for (let i = from; i <= to; i++) {
    if (Math.abs(bend[i]) < 0.9 * most) continue;
    if (first < 0) first = i;
    last = i;
  }
  return Math.round((first + last) / 2);
}

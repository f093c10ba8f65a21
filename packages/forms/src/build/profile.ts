import { fail } from "@peltry/issues";

/** Value at a height, mm in, anything out. Constant outside the knots. */
export type Profile = (height: number) => number;

/**
 * C² curve through knots that never overshoots them: monotone where the knots are.
 *
 * Tried: a natural cubic spline overshoots at the knee; a monotone cubic has a jump of curvature at each knot, which
 * shows as a crease in fur-less cloth. Quintic Hermite pieces take the slopes of the monotone cubic and a common second
 * derivative where that keeps the piece monotone, else none.
 *
 * @param knots height and value, heights rising
 * @throws forms/bad-profile fewer than one knot, heights that do not rise, or numbers that are not finite
 * @source slopes: Fritsch & Butland 1984, SIAM J. Sci. Stat. Comput. 5(2); the rest derived here
 */
export function createProfile(knots: readonly (readonly [number, number])[]): Profile {
  const n = knots.length;
  knots.forEach(([height, value], i) => {
    if (!Number.isFinite(height) || !Number.isFinite(value) || (i > 0 && height <= knots[i - 1][0])) {
      fail(
        "forms/bad-profile",
        `Knot ${i} of a profile is not above the one before it, or not finite.`,
        { index: i },
        {
          found: `${height}, ${value}`,
          fix: "Give finite values at rising heights.",
        },
      );
    }
  });
  if (n === 0) fail("forms/bad-profile", "A profile has no knots.", {}, { fix: "Give one knot or more." });
  if (n === 1) return () => knots[0][1];
  const x = knots.map((knot) => knot[0]);
  const y = knots.map((knot) => knot[1]);
  const slope = monotoneSlopes(x, y);
  const bend = commonBends(x, y, slope);
  settleBends(x, y, slope, bend);
  return (height) => {
    if (height <= x[0]) return y[0];
    if (height >= x[n - 1]) return y[n - 1];
    const i = pieceAt(x, height);
    return quintic(x, y, slope, bend, i, (height - x[i]) / (x[i + 1] - x[i]));
  };
}

function pieceAt(x: readonly number[], at: number): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const half = (low + high) >> 1;
    if (x[half] <= at) low = half;
    else high = half;
  }
  return low;
}

function monotoneSlopes(x: readonly number[], y: readonly number[]): number[] {
  const n = x.length;
  const chord = y.slice(1).map((value, i) => (value - y[i]) / (x[i + 1] - x[i]));
  const slope = new Array<number>(n).fill(0);
  for (let i = 1; i < n - 1; i++) {
    const [a, b] = [chord[i - 1], chord[i]];
    if (a * b <= 0) continue;
    const [h, k] = [x[i] - x[i - 1], x[i + 1] - x[i]];
    const share = (h + 2 * k) / (3 * (h + k));
    slope[i] = (a * b) / (share * b + (1 - share) * a);
    // Twice the flatter chord is what a quintic piece stands without turning back.
    const most = 2 * Math.min(Math.abs(a), Math.abs(b));
    slope[i] = Math.sign(slope[i]) * Math.min(Math.abs(slope[i]), most);
  }
  // Ends level off: rims and peaks are cut square.
  slope[0] = n === 2 ? chord[0] : endSlope(chord[0], slope[1]);
  slope[n - 1] = n === 2 ? chord[0] : endSlope(chord[n - 2], slope[n - 2]);
  return slope;
}

function endSlope(chord: number, inner: number): number {
  const free = 1.5 * chord - 0.5 * inner;
  return free * chord <= 0 ? 0 : free;
}

/** Second derivatives of the monotone cubic on either side, the smaller of both where they agree in sign. */
function commonBends(x: readonly number[], y: readonly number[], slope: readonly number[]): number[] {
  return x.map((_, i) => {
    if (i === 0 || i === x.length - 1) return 0;
    const [h, k] = [x[i] - x[i - 1], x[i + 1] - x[i]];
    const before = (2 * slope[i - 1] + 4 * slope[i]) / h - (6 * (y[i] - y[i - 1])) / (h * h);
    const after = (6 * (y[i + 1] - y[i])) / (k * k) - (4 * slope[i] + 2 * slope[i + 1]) / k;
    if (before * after <= 0) return 0;
    return Math.sign(before) * Math.min(Math.abs(before), Math.abs(after));
  });
}

/** Drops bends at the ends of any piece that would turn back. */
function settleBends(
  x: readonly number[],
  y: readonly number[],
  slope: readonly number[],
  bend: number[],
): void {
  for (let i = 0; i + 1 < x.length; i++) {
    const rise = y[i + 1] - y[i];
    let last = y[i];
    for (let k = 1; k <= 24; k++) {
      const value = quintic(x, y, slope, bend, i, k / 24);
      if ((value - last) * Math.sign(rise) < -1e-9 * Math.abs(rise) && (bend[i] !== 0 || bend[i + 1] !== 0)) {
        bend[i] = bend[i + 1] = 0;
        // The piece before shares the bend that was dropped.
        i = Math.max(-1, i - 2);
        break;
      }
      last = value;
    }
  }
}

function quintic(
  x: readonly number[],
  y: readonly number[],
  slope: readonly number[],
  bend: readonly number[],
  i: number,
  t: number,
): number {
  const h = x[i + 1] - x[i];
  const [a, b, c] = [y[i], slope[i] * h, 0.5 * bend[i] * h * h];
  const r0 = y[i + 1] - a - b - c;
  const r1 = slope[i + 1] * h - b - 2 * c;
  const r2 = bend[i + 1] * h * h - 2 * c;
  const d = 10 * r0 - 4 * r1 + 0.5 * r2;
  const e = -15 * r0 + 7 * r1 - r2;
  const f = 6 * r0 - 3 * r1 + 0.5 * r2;
  return a + t * (b + t * (c + t * (d + t * (e + t * f))));
}

import type { Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";

/**
 * Points along a (rational) B-spline.
 *
 * @param weights - empty for none
 * @throws `forms/bad-dxf` when knots, degree and points do not fit
 * @source de Boor, On calculating with B-splines, 1972
 */
export function splinePoints(
  control: readonly Point[],
  knots: readonly number[],
  weights: readonly number[],
  degree: number,
  tolerance: number,
): Point[] {
  const n = control.length;
  if (
    !Number.isInteger(degree) ||
    degree < 1 ||
    degree > 20 ||
    n <= degree ||
    knots.length !== n + degree + 1 ||
    knots.some((k, i) => i > 0 && k < knots[i - 1])
  ) {
    fail(
      "forms/bad-dxf",
      `A SPLINE has ${n} points, degree ${degree} and ${knots.length} knots, which do not fit.`,
      {},
      {
        found: knots.length,
        limit: n + degree + 1,
        fix: "Turn splines into polylines in the drawing program.",
      },
    );
  }
  const [from, to] = [knots[degree], knots[n]];
  let polygon = 0;
  for (let i = 1; i < n; i++)
    polygon += Math.hypot(control[i][0] - control[i - 1][0], control[i][1] - control[i - 1][1]);
  // Chords of a curve of that length that turns once round at most per control point.
  const steps = Math.max(8, Math.min(20_000, Math.ceil(n * 4 + Math.sqrt((polygon * n) / (8 * tolerance)))));
  return Array.from({ length: steps + 1 }, (_, i) =>
    at(control, knots, weights, degree, from + ((to - from) * i) / steps),
  );
}

function at(
  control: readonly Point[],
  knots: readonly number[],
  weights: readonly number[],
  degree: number,
  t: number,
): Point {
  let span = degree;
  while (span < control.length - 1 && t >= knots[span + 1]) span++;
  const d = Array.from({ length: degree + 1 }, (_, j) => {
    const i = span - degree + j;
    const w = weights[i] ?? 1;
    return [control[i][0] * w, control[i][1] * w, w];
  });
  for (let r = 1; r <= degree; r++) {
    for (let j = degree; j >= r; j--) {
      const i = span - degree + j;
      const width = knots[i + degree - r + 1] - knots[i];
      const a = width > 0 ? (t - knots[i]) / width : 0;
      for (let k = 0; k < 3; k++) d[j][k] = (1 - a) * d[j - 1][k] + a * d[j][k];
    }
  }
  const [x, y, w] = d[degree];
  return [x / w, y / w];
}

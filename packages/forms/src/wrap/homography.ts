import type { Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";

/** A map between planes seen in perspective: nine numbers, row by row. */
export type Homography = readonly number[];

/**
 * The map that takes points of one plane to points of another, by least squares from four pairs or more.
 *
 * @throws `forms/bad-marks` with fewer than four pairs, or with three on one line
 * @source Hartley and Zisserman, Multiple View Geometry in Computer Vision, 2004, 4.1 and 4.4 (direct linear transform, normalised)
 */
export function solveHomography(from: readonly Point[], to: readonly Point[]): Homography {
  if (from.length < 4 || from.length !== to.length) {
    fail(
      "forms/bad-marks",
      `There are ${from.length} marks; four or more are needed.`,
      {},
      { found: from.length, limit: 4, fix: "Pick the four marks." },
    );
  }
  const a = normaliser(from);
  const b = normaliser(to);
  const rows: number[][] = [];
  from.forEach((p, i) => {
    const [x, y] = [(p[0] - a.x) * a.s, (p[1] - a.y) * a.s];
    const [u, v] = [(to[i][0] - b.x) * b.s, (to[i][1] - b.y) * b.s];
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y, u], [0, 0, 0, x, y, 1, -v * x, -v * y, v]);
  });
  const h = [...leastSquares(rows), 1];
  // Back through the normalisations: T_b⁻¹ H T_a.
  const scaled = [
    [h[0] * a.s, h[1] * a.s, h[2] - a.s * (h[0] * a.x + h[1] * a.y)],
    [h[3] * a.s, h[4] * a.s, h[5] - a.s * (h[3] * a.x + h[4] * a.y)],
    [h[6] * a.s, h[7] * a.s, h[8] - a.s * (h[6] * a.x + h[7] * a.y)],
  ];
  const out = [0, 1].flatMap((r) =>
    scaled[r].map((value, k) => value / b.s + (r === 0 ? b.x : b.y) * scaled[2][k]),
  );
  return [...out, ...scaled[2]];
}

/** Where a point goes. */
export function project(h: Homography, p: Point): Point {
  const w = h[6] * p[0] + h[7] * p[1] + h[8];
  return [(h[0] * p[0] + h[1] * p[1] + h[2]) / w, (h[3] * p[0] + h[4] * p[1] + h[5]) / w];
}

function normaliser(points: readonly Point[]): { x: number; y: number; s: number } {
  const x = points.reduce((sum, p) => sum + p[0], 0) / points.length;
  const y = points.reduce((sum, p) => sum + p[1], 0) / points.length;
  const mean = points.reduce((sum, p) => sum + Math.hypot(p[0] - x, p[1] - y), 0) / points.length;
  return { x, y, s: mean > 0 ? Math.SQRT2 / mean : 1 };
}

/** Solves eight unknowns from rows of eight factors and a right side, by the normal equations with pivoting. */
function leastSquares(rows: readonly number[][]): number[] {
  const n = 8;
  const m = Array.from({ length: n }, (_, i) =>
    Array.from({ length: n + 1 }, (_, j) => rows.reduce((sum, row) => sum + row[i] * row[j], 0)),
  );
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(m[r][i]) > Math.abs(m[pivot][i])) pivot = r;
    [m[i], m[pivot]] = [m[pivot], m[i]];
    if (!(Math.abs(m[i][i]) > 1e-9))
      fail(
        "forms/bad-marks",
        "Three of the marks lie on one line, or two in one place.",
        {},
        { fix: "Pick four marks that form a four-sided shape." },
      );
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const f = m[r][i] / m[i][i];
      for (let k = i; k <= n; k++) m[r][k] -= f * m[i][k];
    }
  }
  return m.map((row, i) => row[n] / row[i]);
}

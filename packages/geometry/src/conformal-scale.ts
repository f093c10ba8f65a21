/** Angle sums and the defects that follow: the curvature of a triangle mesh. */
export interface AngleDefects {
  /** Inside: 2π − angle sum. On the border: 0. Radians, one a vertex. */
  readonly inner: Float64Array;
  /** On the border: π − angle sum (how much the border turns). Inside: 0. */
  readonly turning: Float64Array;
}

/**
 * Integrated curvature of each vertex.
 *
 * @param onBorder - non-zero for border vertices
 * @returns inner defects and border turning; their sum is 2π times the Euler number (Gauss and Bonnet)
 * @source Gauss–Bonnet theorem for polyhedral surfaces (Descartes' angle defect)
 */
export function angleDefects(
  mesh: { positions: ArrayLike<number>; triangles: ArrayLike<number> },
  onBorder: ArrayLike<number>,
): AngleDefects {
  const n = mesh.positions.length / 3;
  const sum = new Float64Array(n);
  const used = new Uint8Array(n);
  for (let h = 0; h < mesh.triangles.length; h++) {
    const t = h - (h % 3);
    const a = mesh.triangles[h];
    used[a] = 1;
    sum[a] += cornerAngle(
      mesh.positions,
      a,
      mesh.triangles[t + ((h + 1) % 3)],
      mesh.triangles[t + ((h + 2) % 3)],
    );
  }
  const inner = new Float64Array(n);
  const turning = new Float64Array(n);
  for (let v = 0; v < n; v++) {
    if (!used[v]) continue;
    if (onBorder[v]) turning[v] = Math.PI - sum[v];
    else inner[v] = 2 * Math.PI - sum[v];
  }
  return { inner, turning };
}

/** Angle at a between b and c, radians; 0 for a corner without size. */
export function cornerAngle(p: ArrayLike<number>, a: number, b: number, c: number): number {
  const ux = p[3 * b] - p[3 * a];
  const uy = p[3 * b + 1] - p[3 * a + 1];
  const uz = p[3 * b + 2] - p[3 * a + 2];
  const vx = p[3 * c] - p[3 * a];
  const vy = p[3 * c + 1] - p[3 * a + 1];
  const vz = p[3 * c + 2] - p[3 * a + 2];
  return Math.atan2(
    Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx),
    ux * vx + uy * vy + uz * vz,
  );
}

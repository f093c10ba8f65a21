import {
  angleDefects,
  cotangentLaplacian,
  factorCholesky,
  meshPattern,
  orderByDissection,
  planCholesky,
  solveCholesky,
} from "@peltry/geometry";

/** The conformal scale of a patch and its curvature. */
export interface ScaleField {
  /** u of each vertex: the flat map without angle error and with the outline at true length scales lengths by e^u. */
  readonly scale: Float64Array;
  /** Angle defect of each inner vertex, radians. */
  readonly curvature: Float64Array;
}

/**
 * Solves L u = K with u = 0 on the outline: how far each place is from being reachable without strain.
 * Positive where cloth must be taken away (a dart), negative where some is missing.
 *
 * @source Ben-Chen, Gotsman, Bunin, Conformal Flattening by Curvature Prescription and Metric Scaling, 2008
 */
export function scaleField(
  mesh: { positions: Float64Array; triangles: Uint32Array },
  border: ArrayLike<number>,
): ScaleField {
  const n = mesh.positions.length / 3;
  const { inner } = angleDefects(mesh, border);
  const links = meshPattern(mesh.triangles, n);
  const matrix = cotangentLaplacian(mesh, links);
  const right = new Float64Array(n);
  for (let v = 0; v < n; v++) {
    if (border[v]) matrix.diagonal[v] += 1e7;
    else right[v] = inner[v];
  }
  const factor = factorCholesky(
    planCholesky(links.pattern, orderByDissection(links.pattern, mesh.positions, 3)),
    matrix,
  );
  const scale = new Float64Array(n);
  solveCholesky(factor, right, 1, scale);
  return { scale, curvature: inner };
}

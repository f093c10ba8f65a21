import { angleDefects } from "@peltry/geometry";
import { harmonic } from "./harmonic";
import type { SearchPatch } from "./search-patches";

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
  const { inner } = angleDefects(mesh, border);
  const outline = Array.from(inner.keys()).flatMap((v) => (border[v] ? [[v, 0] as const] : []));
  return { scale: harmonic(mesh, outline, inner), curvature: inner };
}

/** The inner vertex of a patch with most cloth to take away, −1 where there is none; with the scale and the border. */
export function closedEnd(patch: SearchPatch): { end: number; scale: Float64Array; border: Uint8Array } {
  const border = new Uint8Array(patch.sourceVertex.length);
  for (const loop of patch.loops) for (const v of loop) border[v] = 1;
  const { scale } = scaleField(patch, border);
  let end = -1;
  scale.forEach((s, v) => {
    if (!border[v] && s > 0 && (end < 0 || s > scale[end])) end = v;
  });
  return { end, scale, border };
}

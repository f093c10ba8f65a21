import type { TriangleMesh } from "@peltry/geometry";

/** A size taped on the body. */
export interface KnownSize {
  readonly kind: "girth" | "height";
  /** mm by the tape. */
  readonly mm: number;
  /** Height of a girth above the lowest point, mm. */
  readonly atMm?: number;
  /** Height of the whole, mm, by which `atMm` is scaled when the mesh may be in wrong units. */
  readonly ofHeightMm?: number;
}

/** Lowest point and height of a mesh, y up. */
export function boundingSpan(mesh: TriangleMesh): { low: number; height: number } {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 1; i < mesh.positions.length; i += 3) {
    low = Math.min(low, mesh.positions[i]);
    high = Math.max(high, mesh.positions[i]);
  }
  return { low, height: high - low };
}

import type { TriangleMesh } from "@peltry/geometry";
import { flattenPrepared } from "./create-flattener";
import { prepareMesh } from "./prepare-mesh";
import type { FlatPanel, FlattenOptions } from "./types";

/**
 * Lays a surface patch flat as a panel: no triangle turned over, no overlap of the outline, turned to its grain, with the
 * strain that the cloth takes when worn and a certificate.
 *
 * @param mesh - a disk of triangles, mm
 * @param options - fabric limits, pile, mode, constraints; see {@link FlattenOptions}
 * @throws `flatten/not-a-disk`, `flatten/non-manifold`, `flatten/flipped-winding`, `flatten/unused-vertices`,
 * `flatten/empty-mesh`, `flatten/not-finite`, `flatten/bad-indices`, `flatten/repeated-index`,
 * `flatten/bad-fabric-limits`, `flatten/bad-option`, `flatten/bad-pile`, `flatten/bad-constraint`, `work/cancelled`
 * @remarks near n log n. A fabric's limits that cannot be met come back in `issues`, never as an exception.
 * @source Liu, Zhang, Xu, Gotsman and Gortler, A Local/Global Approach to Mesh Parameterization, 2008 (shape);
 * Sawhney and Crane, Boundary First Flattening, 2017 (start); Smith and Schaefer, Bijective Parameterization with Free
 * Boundaries, 2015 (no flips)
 */
export function flatten(mesh: TriangleMesh, options: FlattenOptions = {}): FlatPanel {
  return flattenPrepared(prepareMesh(mesh, options.holes === "keep" ? "keep" : "refuse"), options);
}

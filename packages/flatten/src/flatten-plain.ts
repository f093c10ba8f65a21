import type { TriangleMesh } from "@peltry/geometry";
import { badOption, checkPlainOptions } from "./check-plain-options";
import { validStart } from "./make-valid";
import { plainEnergy } from "./plain-energy";
import { prepareMesh } from "./prepare-mesh";
import type { Rescue } from "./shape-parts";
import { separateOutlines } from "./separate-outlines";
import { partInput, shapePanel } from "./shape-panel";
import type { FlatPanel, PlainOptions } from "./types";

/** Opens a patch that will not lie flat from a convex outline, as a whole: right at any size, quick at small ones. */
const PLAIN_RESCUE: Rescue = { separate: separateOutlines, open: validStart };

/** Options of the whole that would be passed over here: they are refused. */
const MISSING = ["fabric", "anyDirection", "edgeLengthWeight", "constraints", "holes"] as const;

/**
 * Lays a surface patch flat as `flatten` does with no fabric, constraints and holes: the same panel, the same
 * certificate, less to load. What bounds strain, joins panels, keeps holes or opens large hard patches quickly is in the
 * whole package.
 *
 * @param mesh - a disk of triangles, mm
 * @throws `flatten/not-a-disk`, `flatten/non-manifold`, `flatten/flipped-winding`, `flatten/unused-vertices`,
 * `flatten/empty-mesh`, `flatten/not-finite`, `flatten/bad-indices`, `flatten/repeated-index`, `flatten/flat-triangles`,
 * `flatten/bad-option` (also for an option that only the whole package knows), `flatten/bad-pile`, `work/cancelled`
 * @remarks near n log n; patches whose outline would overlap deeply, or that curl up, begin again from a round outline and take
 * many times as long as with `flatten`
 * @source as `flatten`
 */
export function flattenPlain(mesh: TriangleMesh, options: PlainOptions = {}): FlatPanel {
  for (const name of MISSING) {
    const found = (options as Record<string, unknown>)[name];
    if (found !== undefined) badOption(name, typeof found, "left to `flatten` of @peltry/flatten");
  }
  const prepared = prepareMesh(mesh, "refuse");
  checkPlainOptions(options, ["shape-preserving", "flip-free"], prepared.sheet.vertexCount);
  const mode = options.mode ?? "shape-preserving";
  const input = partInput(prepared, options, { mode, energy: plainEnergy(mode) });
  return shapePanel(input, prepared.issues, options, PLAIN_RESCUE, () => undefined);
}

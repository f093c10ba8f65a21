import type { TriangleMesh } from "@peltry/geometry";
import { checkMesh } from "./check-mesh";
import { checkOptions } from "./check-options";
import { chooseMode } from "./choose-mode";
import { constraintTerms } from "./constraints";
import { openStart } from "./open-start";
import { checkArea, prepareMesh, type PreparedMesh } from "./prepare-mesh";
import { separateOutlines } from "./separate-outlines";
import type { Rescue } from "./shape-parts";
import { partInput, shapePanel } from "./shape-panel";
import { moveSheet } from "./sheet";
import { isometricOutlineStart } from "./start-flat";
import { createTies } from "./ties";
import type { FlatPanel, FlattenOptions } from "./types";

/** A mesh made ready, to be flattened several times. */
export interface Flattener {
  /** Flattens with other options; the order and the factor are used again. */
  flatten(options?: FlattenOptions & { readonly moved?: Float64Array }): FlatPanel;
}

/** What opens a hard patch of any size. */
export const RESCUE: Rescue = { separate: separateOutlines, open: openStart };

/**
 * Prepares a mesh for repeated flattening: its topology is checked, its elimination order found and its Laplacian
 * factored once.
 *
 * @param mesh - a disk (with `holes: "keep"` a disk with holes)
 * @returns `flatten(options)`: as {@link flatten}; `moved` gives the vertices other places in space (same triangles), and
 * `from` starts from an earlier result, which makes small changes quick
 * @throws as {@link flatten}
 */
export function createFlattener(mesh: TriangleMesh, options: Pick<FlattenOptions, "holes"> = {}): Flattener {
  const fresh = prepareMesh(mesh, options.holes === "keep" ? "keep" : "refuse");
  let start: Float64Array | undefined;
  const prepared = {
    ...fresh,
    cachedStart: () => (start ??= isometricOutlineStart(fresh.sheet, fresh.laplacian)).slice(),
  };
  return {
    flatten(more = {}) {
      const moved = more.moved;
      if (moved === undefined) return flattenPrepared(prepared, more);
      checkMesh(
        { positions: moved, triangles: mesh.triangles },
        options.holes === "keep" ? "keep" : "refuse",
      );
      const sheet = moveSheet(prepared.sheet, moved);
      checkArea(sheet);
      return flattenPrepared({ ...prepared, sheet, cachedStart: undefined }, more);
    },
  };
}

/** {@link flatten} on a prepared mesh. */
export function flattenPrepared(prepared: PreparedMesh, options: FlattenOptions): FlatPanel {
  checkOptions(options, prepared.sheet.vertexCount);
  const input = partInput(prepared, options, chooseMode(options));
  return shapePanel(input, prepared.issues, options, RESCUE, (x) =>
    createTies(constraintTerms([input], [0], x)),
  );
}

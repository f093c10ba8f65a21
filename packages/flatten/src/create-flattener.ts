import type { CholeskyFactor, SparseSymmetric, TriangleMesh } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { checkMesh } from "./check-mesh";
import { checkOptions } from "./check-options";
import { finishPanel } from "./finish-panel";
import { pileInFrames } from "./pile";
import { shapeValid, startPart, turnsFreely, turnToGrain, unrelax, type PartInput } from "./shape-parts";
import { constraintTerms } from "./constraints";
import { moveSheet, prepareSheet, type Sheet } from "./sheet";
import { isometricOutlineStart } from "./start-flat";
import { plainFactor } from "./system";
import type { FlatPanel, FlattenMode, FlattenOptions } from "./types";

/** A mesh made ready, to be flattened several times. */
export interface Flattener {
  /** Flattens with other options; the order and the factor are used again. */
  flatten(options?: FlattenOptions & { readonly moved?: Float64Array }): FlatPanel;
}

/** Everything about a mesh that does not depend on the options. */
export interface PreparedMesh {
  readonly sheet: Sheet;
  readonly laplacian: SparseSymmetric;
  readonly factor: CholeskyFactor;
  readonly issues: readonly Issue[];
  /** A copy of the first start, kept by a flattener. */
  readonly cachedStart?: (() => Float64Array) | undefined;
}

/** Checks a mesh and prepares it. */
export function prepareMesh(mesh: TriangleMesh, holes: "refuse" | "keep"): PreparedMesh {
  const { loops } = checkMesh(mesh, holes);
  const sheet = prepareSheet(mesh, loops);
  checkArea(sheet);
  return { sheet, ...plainFactor(sheet), issues: scaleIssues(sheet) };
}

/** Few triangles without area are survived and named in the panel's issues; nothing else is no surface. */
function checkArea({ rest, triangleCount }: Sheet): void {
  if (rest.mended.length < triangleCount) return;
  fail(
    "flatten/flat-triangles",
    `None of the ${triangleCount} triangles has an area in space: their corners lie on lines or in one place.`,
    { triangle: 0 },
    {
      found: triangleCount,
      limit: triangleCount - 1,
      fix: "Look at the coordinates: the mesh has been flattened to a line or a point.",
    },
  );
}

function scaleIssues(sheet: Sheet): Issue[] {
  const size = Math.sqrt(sheet.rest.area);
  if (size >= 5 && size <= 20000) return [];
  return [
    {
      code: "flatten/odd-scale",
      severity: "warning",
      message: `The patch is about ${Number(size.toPrecision(3))} mm across: is it really in millimetres?`,
      at: {},
      found: size,
      limit: "5 to 20000 mm",
      fix: "Scale the mesh to millimetres when it is read.",
    },
  ];
}

/** Default mode: by the fabric. */
export function modeOf(options: Pick<FlattenOptions, "mode" | "fabric" | "anyDirection">): FlattenMode {
  if (options.mode !== undefined) return options.mode;
  return options.fabric !== undefined || options.anyDirection !== undefined
    ? "strain-limited"
    : "shape-preserving";
}

/** Prepared mesh and options as the solver takes them. */
export function partInput(prepared: PreparedMesh, options: PartInput["options"] & FlattenOptions): PartInput {
  return {
    sheet: prepared.sheet,
    laplacian: prepared.laplacian,
    factor: prepared.factor,
    cachedStart: prepared.cachedStart,
    pile: pileInFrames(prepared.sheet.mesh, options.pile),
    mode: modeOf(options),
    options,
  };
}

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
  const input = partInput(prepared, options);
  const limited = input.mode === "strain-limited";
  const run = {
    tolerance: options.tolerance ?? (limited ? 3e-4 : 1e-5),
    maxIterations: options.maxIterations ?? (limited ? 400 : 200),
    signal: options.signal,
  };
  options.onProgress?.({ stage: "start", done: 0 });
  const { x, ...shaped } = startPart(input, run);
  if (turnsFreely(input)) turnToGrain(input, x);
  options.onProgress?.({ stage: "shape", done: 0.4 });
  shapeValid([input], [0], x, () => constraintTerms([input], [0], x), [shaped], { ...run, exact: 1e-3 });
  options.onProgress?.({ stage: "certify", done: 0.9 });
  const positions = x.slice();
  unrelax(input, positions);
  const panel = finishPanel(input, x, positions, shaped, [...prepared.issues]);
  options.onProgress?.({ stage: "done", done: 1 });
  return panel;
}

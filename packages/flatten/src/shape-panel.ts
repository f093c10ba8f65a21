import type { Issue } from "@peltry/issues";
import { finishPanel } from "./finish-panel";
import { pileInFrames } from "./pile";
import type { PreparedMesh } from "./prepare-mesh";
import {
  shapeValid,
  startPart,
  turnsFreely,
  turnToGrain,
  unrelax,
  type PartInput,
  type Rescue,
} from "./shape-parts";
import type { Ties } from "./ties";
import type { FlatPanel, FlattenOptions } from "./types";

/** Prepared mesh and options as the solver takes them. */
export function partInput(
  prepared: PreparedMesh,
  options: Pick<FlattenOptions, "pile"> & PartInput["options"],
  { mode, energy }: Pick<PartInput, "mode" | "energy">,
): PartInput {
  const { sheet, laplacian, factor, cachedStart } = prepared;
  const pile = pileInFrames(sheet.mesh, options.pile);
  return { sheet, laplacian, factor, cachedStart, pile, mode, energy, options };
}

/** How far to go: by the options, or as the modes of the parts want it. */
export function runOptions(
  options: Pick<FlattenOptions, "tolerance" | "maxIterations" | "signal">,
  inputs: readonly PartInput[],
) {
  const limited = inputs.some((input) => input.mode === "strain-limited");
  return {
    tolerance: options.tolerance ?? (limited ? 3e-4 : 1e-5),
    maxIterations: options.maxIterations ?? (limited ? 400 : 200),
    signal: options.signal,
  };
}

/** Shapes one panel, measures and certifies it. `makeTies` sees the positions in the solver's plane. */
export function shapePanel(
  input: PartInput,
  issues: readonly Issue[],
  options: Pick<FlattenOptions, "tolerance" | "maxIterations" | "signal" | "onProgress">,
  rescue: Rescue,
  makeTies: (x: Float64Array) => Ties | undefined,
): FlatPanel {
  const run = { ...runOptions(options, [input]), rescue };
  options.onProgress?.({ stage: "start", done: 0 });
  const { x, ...shaped } = startPart(input, run);
  if (turnsFreely(input)) turnToGrain(input, x);
  options.onProgress?.({ stage: "shape", done: 0.4 });
  shapeValid([input], [0], x, () => makeTies(x), [shaped], { ...run, exact: 1e-3 });
  options.onProgress?.({ stage: "certify", done: 0.9 });
  const positions = x.slice();
  unrelax(input, positions);
  const panel = finishPanel(input, x, positions, shaped, [...issues]);
  options.onProgress?.({ stage: "done", done: 1 });
  return panel;
}

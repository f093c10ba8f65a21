import { fail, type Issue } from "@peltry/issues";
import { checkOptions } from "./check-options";
import { constraintTerms } from "./constraints";
import { chooseMode } from "./choose-mode";
import { RESCUE } from "./create-flattener";
import { prepareMesh } from "./prepare-mesh";
import { partInput, runOptions } from "./shape-panel";
import { createTies } from "./ties";
import { finishPanel } from "./finish-panel";
import {
  shapeValid,
  startPart,
  targets,
  turnsFreely,
  turnToGrain,
  unrelax,
  type PartInput,
} from "./shape-parts";
import type { SideTerms } from "./side-terms";
import type { FlatPanels, FlattenPatch, FlattenTogetherOptions, SeamLengths, SeamPair } from "./types";

/**
 * Flattens several patches at once so that both sides of every seam end with one length, edge by edge.
 *
 * @param patches - meshes with their fabric and pile; ids must differ
 * @param seams - vertex paths in correspondence: `a.path[i]` is sewn to `b.path[i]`. A patch may be sewn to itself; a
 * closed path repeats its first vertex at the end.
 * @returns panels in the order of the patches, and the two lengths of every seam
 * @throws as `flatten` with the patch named in `at.panel`; `flatten/bad-seam` for a path that is not along a border
 * @source equal lengths by the method of multipliers: Hestenes, Multiplier and Gradient Methods, 1969
 */
export function flattenTogether(
  patches: readonly FlattenPatch[],
  seams: readonly SeamPair[] = [],
  options: FlattenTogetherOptions = {},
): FlatPanels {
  const prepared = patches.map((patch) =>
    prepareMesh(patch.mesh, patch.holes === "keep" ? "keep" : "refuse"),
  );
  patches.forEach((patch, k) => checkOptions(patch, prepared[k].sheet.vertexCount));
  const inputs = patches.map((patch, k) => partInput(prepared[k], patch, chooseMode(patch)));
  const run = { ...runOptions(options, inputs), rescue: RESCUE };
  const firsts: number[] = [];
  let total = 0;
  for (const input of inputs) {
    firsts.push(total);
    total += input.sheet.vertexCount;
  }
  const x = new Float64Array(2 * total);
  const shaped = inputs.map((input, k) => {
    options.onProgress?.({ stage: `start ${patches[k].id}`, done: (0.4 * k) / inputs.length });
    const { x: own, ...rest } = startPart(input, run);
    if (turnsFreely(input)) turnToGrain(input, own);
    x.set(own, 2 * firsts[k]);
    return rest;
  });
  options.onProgress?.({ stage: "shape", done: 0.4 });
  const tolerance = options.seamTolerance ?? 0.2;
  const makeTies = () => {
    const terms = constraintTerms(inputs, firsts, x);
    addSeams(patches, inputs, seams, firsts, terms, options.seamWeight ?? 10);
    return createTies(terms);
  };
  shapeValid(inputs, firsts, x, makeTies, shaped, { ...run, exact: 0.02 * tolerance });
  options.onProgress?.({ stage: "certify", done: 0.9 });
  const flat = inputs.map((input, k) => {
    const positions = x.slice(2 * firsts[k], 2 * (firsts[k] + input.sheet.vertexCount));
    unrelax(input, positions);
    return positions;
  });
  const index = new Map(patches.map((patch, k) => [patch.id, k]));
  const lengths = seams.map((seam) => seamLengths(seam, flat, index));
  const panels = inputs.map((input, k) => {
    const panel = finishPanel(
      input,
      x.slice(2 * firsts[k], 2 * (firsts[k] + input.sheet.vertexCount)),
      flat[k],
      shaped[k],
      prepared[k].issues.map((issue) => ({ ...issue })),
    );
    const own = seams
      .map((seam, s) =>
        seam.a.patch === patches[k].id || seam.b.patch === patches[k].id ? lengths[s].mismatch : 0,
      )
      .reduce((a, b) => Math.max(a, b), 0);
    return {
      ...panel,
      id: patches[k].id,
      certificate: { ...panel.certificate, seamMismatch: own },
      issues: panel.issues.map((issue) => ({ ...issue, at: { ...issue.at, panel: patches[k].id } })),
    };
  });
  const issues: Issue[] = panels.flatMap((panel) => panel.issues);
  for (const seam of lengths) {
    if (seam.mismatch <= tolerance) continue;
    issues.push({
      code: "flatten/seam-mismatch",
      severity: "warning",
      message: `The sides of seam ${seam.id} differ by ${seam.mismatch.toFixed(2)} mm (${seam.lengthA.toFixed(1)} and ${seam.lengthB.toFixed(1)}).`,
      at: { seam: seam.id },
      found: seam.mismatch,
      limit: tolerance,
      fix: "Ease the longer side in, or move the seam.",
    });
  }
  options.onProgress?.({ stage: "done", done: 1 });
  return { panels, seams: lengths, issues };
}

function addSeams(
  patches: readonly FlattenPatch[],
  inputs: readonly PartInput[],
  seams: readonly SeamPair[],
  firsts: readonly number[],
  terms: SideTerms,
  weight: number,
): void {
  const index = new Map<string, number>();
  patches.forEach((patch, k) => {
    if (index.has(patch.id)) {
      fail(
        "flatten/bad-seam",
        `Two patches have the id ${patch.id}.`,
        { panel: patch.id },
        { fix: "Give every patch its own id." },
      );
    }
    index.set(patch.id, k);
  });
  for (const seam of seams) {
    const [a, b] = [seam.a, seam.b].map((side) => {
      const k = index.get(side.patch);
      if (k === undefined) {
        fail(
          "flatten/bad-seam",
          `Seam ${seam.id} names patch ${side.patch}, which is not there.`,
          { seam: seam.id },
          { found: side.patch, fix: `Use one of: ${[...index.keys()].join(", ")}.` },
        );
      }
      checkPath(inputs[k], side.path, seam.id, side.patch);
      const { along, across } = targets(inputs[k]);
      return { first: firsts[k], path: side.path, sx: 1 / (1 + across), sy: 1 / (1 + along) };
    });
    if (a.path.length !== b.path.length) {
      fail(
        "flatten/bad-seam",
        `The sides of seam ${seam.id} have ${a.path.length} and ${b.path.length} vertices.`,
        { seam: seam.id },
        {
          found: b.path.length,
          limit: a.path.length,
          fix: "Both paths need one vertex for each meeting place.",
        },
      );
    }
    for (let i = 0; i + 1 < a.path.length; i++) {
      const [p, q, r, s] = [a.path[i], a.path[i + 1], b.path[i], b.path[i + 1]];
      if (a.first === b.first && ((p === r && q === s) || (p === s && q === r))) continue;
      terms.pairs.push({
        i: a.first + p,
        j: a.first + q,
        k: b.first + r,
        l: b.first + s,
        sx: a.sx,
        sy: a.sy,
        tx: b.sx,
        ty: b.sy,
        weight,
        force: 0,
      });
    }
  }
}

function checkPath(input: PartInput, path: readonly number[], seam: string, panel: string): void {
  const { starts, columns } = input.sheet.pattern;
  if (path.length < 2) {
    fail(
      "flatten/bad-seam",
      `A side of seam ${seam} has ${path.length} vertices.`,
      { seam, panel },
      { limit: 2, fix: "Give at least two." },
    );
  }
  for (let i = 0; i < path.length; i++) {
    const v = path[i];
    if (!Number.isInteger(v) || v < 0 || v >= input.sheet.vertexCount) {
      fail(
        "flatten/bad-seam",
        `Seam ${seam} names vertex ${v} of patch ${panel}, which is not there.`,
        { seam, panel, index: i },
        { fix: "Use indices of the patch's own mesh." },
      );
    }
    if (i === 0) continue;
    let linked = false;
    for (let k = starts[v]; k < starts[v + 1]; k++) linked ||= columns[k] === path[i - 1];
    if (!linked) {
      fail(
        "flatten/bad-seam",
        `Seam ${seam} goes from vertex ${path[i - 1]} to ${v} of patch ${panel}, but no edge joins them.`,
        { seam, panel, vertex: v, index: i },
        { fix: "Name every vertex along the border in turn." },
      );
    }
  }
}

function seamLengths(
  seam: SeamPair,
  flat: readonly Float64Array[],
  index: ReadonlyMap<string, number>,
): SeamLengths {
  const along = ({ patch, path }: SeamPair["a"]) => {
    const x = flat[index.get(patch)!];
    const lengths = [0];
    for (let i = 1; i < path.length; i++) {
      const [a, b] = [2 * path[i - 1], 2 * path[i]];
      lengths.push(lengths[i - 1] + Math.hypot(x[b] - x[a], x[b + 1] - x[a + 1]));
    }
    return lengths;
  };
  const a = along(seam.a);
  const b = along(seam.b);
  const lengthA = a[a.length - 1];
  const lengthB = b[b.length - 1];
  let worstAlong = 0;
  for (let i = 0; i < a.length; i++) worstAlong = Math.max(worstAlong, Math.abs(a[i] - b[i]));
  return { id: seam.id, lengthA, lengthB, mismatch: Math.abs(lengthA - lengthB), worstAlong };
}

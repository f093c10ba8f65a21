import type { SparseSymmetric } from "@peltry/geometry";
import { throwIfCancelled, type WorkOptions } from "@peltry/issues";
import { checkFlat } from "./check-flat";
import { outlineContact, type ContactBorder } from "./outline-contact";
import { convexOutlineStart } from "./start-flat";
import { factorHeld, sheetLaplacian, type Sheet } from "./sheet";
import { runSystem, type Part, type SystemRun } from "./system";

/** Smallest det J over all triangles. */
export function smallestDeterminant(sheet: Sheet, x: Float64Array): number {
  const { triangles } = sheet;
  const { frames } = sheet.rest;
  let least = Infinity;
  for (let f = 0, i = 0; i < triangles.length; f += 4, i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const cross = (x[v1] - x[v0]) * (x[v2 + 1] - x[v0 + 1]) - (x[v1 + 1] - x[v0 + 1]) * (x[v2] - x[v0]);
    const det = cross * frames[f] * frames[f + 2];
    if (!(det >= least)) least = det;
  }
  return least;
}

function countFlips(sheet: Sheet, x: Float64Array): number {
  const { triangles } = sheet;
  let count = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const cross = (x[v1] - x[v0]) * (x[v2 + 1] - x[v0 + 1]) - (x[v1 + 1] - x[v0 + 1]) * (x[v2] - x[v0]);
    if (!(cross > 0)) count++;
  }
  return count;
}

/** Steps that a hard shape may take: fewer on large meshes, so that time stays bounded. */
export function budget(sheet: Sheet): number {
  return Math.round(Math.min(400, Math.max(60, 4e6 / sheet.triangleCount)));
}

/**
 * Turns back triangles that an unguarded start left turned over, by lowering the regularised symmetric Dirichlet
 * energy with shrinking ε.
 *
 * @returns true when none is left
 */
export function untangle(x: Float64Array, part: Part, options: WorkOptions): boolean {
  const rounds = Math.max(5, Math.min(24, Math.ceil(budget(part.sheet) / 12)));
  let atFirst = 0;
  for (let round = 0; round < rounds; round++) {
    throwIfCancelled(options.signal);
    const least = smallestDeterminant(part.sheet, x);
    if (least > 0) return true;
    const flips = countFlips(part.sheet, x);
    if (round === 0) atFirst = flips;
    // Knots that do not loosen soon belong to the convex start.
    if (round === 4 && flips > 0.5 * atFirst) return false;
    const epsilon = Math.sqrt(1e-6 + 0.04 * least * least);
    runSystem(x, {
      parts: [{ ...part, first: 0, energy: { kind: "untangle", epsilon } }],
      tolerance: 1e-4,
      maxIterations: 20,
      stop: (at) => smallestDeterminant(part.sheet, at) > 0,
      signal: options.signal,
    });
  }
  return smallestDeterminant(part.sheet, x) > 0;
}

/**
 * A start without flips and overlaps for shapes that nothing else can open: convex outline, then symmetric Dirichlet
 * energy with outlines kept apart.
 */
export function validStart(
  sheet: Sheet,
  laplacian: SparseSymmetric,
  part: Part,
  options: WorkOptions & { contact: boolean; maxIterations: number },
): Float64Array {
  let x = convexOutlineStart(sheet, laplacian, "cotangent");
  if (!(smallestDeterminant(sheet, x) > 0)) x = convexOutlineStart(sheet, laplacian, "equal");
  if (!(smallestDeterminant(sheet, x) > 0)) return x;
  const contact = options.contact ? outlineContact([sheetBorder(sheet, 0)]) : undefined;
  lowerDirichlet(x, sheet, part, { ...options, extra: contact?.energy, limitStep: contact?.limitStep });
  return x;
}

/** The border of a sheet for {@link outlineContact}. */
export function sheetBorder(sheet: Sheet, first: number): ContactBorder {
  const p = sheet.mesh.positions;
  return {
    loops: sheet.loops.map((loop) => loop.map((v) => v + first)),
    lengths: sheet.loops.map((loop) =>
      Float64Array.from(loop, (v, i) => {
        const a = 3 * v;
        const b = 3 * loop[(i + 1) % loop.length];
        return Math.hypot(p[a] - p[b], p[a + 1] - p[b + 1], p[a + 2] - p[b + 2]);
      }),
    ),
  };
}

/** True when no triangle is turned over and no outline meets itself. */
export function isValid(sheet: Sheet, x: Float64Array): boolean {
  const check = checkFlat(sheet.mesh, x, sheet.loops);
  return check.flips === 0 && check.overlaps === 0;
}

/**
 * Lowers the symmetric Dirichlet energy from a badly strained start: the curvature of the energy, taken alike in all
 * directions of a triangle, weighs the Laplacian, which is factored afresh every few steps.
 *
 * @source the weights after Rabinovich, Poranne, Panozzo and Sorkine-Hornung, Scalable Locally Injective Mappings, 2017
 */
export function lowerDirichlet(
  x: Float64Array,
  sheet: Sheet,
  part: Part,
  options: WorkOptions & { maxIterations: number } & Pick<SystemRun, "extra" | "limitStep" | "stop">,
): void {
  const weights = new Float64Array(sheet.triangleCount);
  let factor = part.factor;
  let before = Infinity;
  let left = options.maxIterations;
  for (let round = 0; left > 0; round++) {
    curvatureWeights(sheet, x, weights);
    factor = factorHeld(sheet, sheetLaplacian(sheet, weights), null, round === 0 ? undefined : factor);
    const run = runSystem(x, {
      parts: [{ ...part, first: 0, factor, energy: { kind: "dirichlet" } }],
      stiffness: 1,
      tolerance: 1e-4,
      maxIterations: Math.min(left, ROUND),
      extra: options.extra,
      limitStep: options.limitStep,
      stop: options.stop,
      signal: options.signal,
    });
    left -= Math.max(1, run.iterations);
    if (!(run.energy < before * (1 - 2e-3)) || options.stop?.(x)) return;
    before = run.energy;
  }
}

/** Steps between two factorisations. */
const ROUND = 10;

function curvatureWeights(sheet: Sheet, x: Float64Array, weights: Float64Array): void {
  const { triangles } = sheet;
  const { frames } = sheet.rest;
  const weigh = (s: number) => (Math.abs(s - 1) < 1e-3 ? 4 : (s - 1 / (s * s * s)) / (s - 1));
  for (let t = 0, f = 0, i = 0; i < triangles.length; t++, f += 4, i += 3) {
    const v0 = 2 * triangles[i];
    const v1 = 2 * triangles[i + 1];
    const v2 = 2 * triangles[i + 2];
    const a = (x[v1] - x[v0]) * frames[f];
    const c = (x[v1 + 1] - x[v0 + 1]) * frames[f];
    const b = (x[v1] - x[v0]) * frames[f + 1] + (x[v2] - x[v0]) * frames[f + 2];
    const d = (x[v1 + 1] - x[v0 + 1]) * frames[f + 1] + (x[v2 + 1] - x[v0 + 1]) * frames[f + 2];
    const h = Math.sqrt((a + d) ** 2 + (c - b) ** 2);
    const m = Math.sqrt((a - d) ** 2 + (b + c) ** 2);
    const big = 0.5 * (h + m);
    const small = Math.max(1e-30, (a * d - b * c) / Math.max(big, 1e-30));
    weights[t] = Math.max(weigh(big), weigh(small));
  }
}

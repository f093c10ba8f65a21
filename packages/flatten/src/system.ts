import { solveCholesky, type CholeskyFactor, type SparseSymmetric } from "@peltry/geometry";
import type { WorkOptions } from "@peltry/issues";
import { createBlockSystem } from "./block-system";
import type { Energy, Extra } from "./energy";
import { stepBeforeFlip } from "./energy-dirichlet";
import { dot, minimise, type Minimum } from "./minimise";
import { factorHeld, sheetLaplacian, type Sheet } from "./sheet";

/** One patch inside a run over one or several: its unknowns start at vertex `first` of the stacked positions. */
export interface Part {
  readonly sheet: Sheet;
  readonly first: number;
  readonly factor: CholeskyFactor;
  readonly energy: Energy;
  /** Steps keep the product of the positions with this vector. */
  readonly held?: Float64Array | undefined;
}

/** A run of the minimiser over parts and what else acts on them. */
export interface SystemRun extends WorkOptions {
  readonly parts: readonly Part[];
  readonly extras?: readonly (Extra | undefined)[];
  readonly tolerance: number;
  readonly maxIterations: number;
  /** Solve with the energy's own second derivative, factored afresh every so many steps, instead of the Laplacian. */
  readonly newtonEvery?: number | undefined;
  readonly stop?: ((x: Float64Array) => boolean) | undefined;
}

/** Lowers the energy of all parts together, in place. */
export function runSystem(x: Float64Array, run: SystemRun): Minimum {
  const { parts } = run;
  const extras = (run.extras ?? []).filter((extra) => extra !== undefined);
  const slice = (v: Float64Array, part: Part) =>
    v.subarray(2 * part.first, 2 * (part.first + part.sheet.vertexCount));
  const area = parts.reduce((sum, part) => sum + part.sheet.rest.area, 0);
  const holds = parts.map((part) => (part.held === undefined ? undefined : createHold(part.held)));
  const newton =
    run.newtonEvery === undefined ? undefined : createNewton(parts, extras, run.newtonEvery, slice);
  return minimise(x, {
    prepare(x) {
      if (newton?.prepare(x) !== true) return false;
      for (const hold of holds) hold?.renew();
      return true;
    },
    evaluate(at, gradient) {
      gradient?.fill(0);
      let sum = 0;
      for (const part of parts) {
        sum += part.energy.at(part.sheet, slice(at, part), gradient === null ? null : slice(gradient, part));
        if (sum === Infinity) return Infinity;
      }
      for (const extra of extras) sum += extra.energy(at, gradient);
      return sum;
    },
    precondition(gradient, direction) {
      parts.forEach((part, k) => {
        const solve = (b: Float64Array, out: Float64Array) => {
          if (newton !== undefined) return newton.solve(k, b, out);
          solveCholesky(part.factor, b, 2, out);
          const scale = 0.5 / part.energy.stiffness;
          for (let i = 0; i < out.length; i++) out[i] *= scale;
        };
        const out = slice(direction, part);
        solve(slice(gradient, part), out);
        holds[k]?.apply(out, solve);
        for (let i = 0; i < out.length; i++) out[i] = -out[i];
      });
    },
    maxStep(at, direction) {
      let reach = Infinity;
      for (const part of parts) {
        if (!part.energy.guarded) continue;
        reach = Math.min(reach, stepBeforeFlip(part.sheet, slice(at, part), slice(direction, part)));
      }
      for (const extra of extras) reach = Math.min(reach, extra.limitStep?.(at, direction) ?? Infinity);
      return reach;
    },
    tolerance: run.tolerance,
    maxIterations: run.maxIterations,
    floor: extras.some((extra) => extra.signed) ? -Infinity : 1e-20 * area,
    stop: run.stop,
    signal: run.signal,
  });
}

/** The second derivatives of all parts, factored every few steps. */
function createNewton(
  parts: readonly Part[],
  extras: readonly Extra[],
  every: number,
  slice: (v: Float64Array, part: Part) => Float64Array,
) {
  const systems = parts.map((part) => createBlockSystem(part.sheet));
  let age = 0;
  return {
    prepare(x: Float64Array): boolean {
      if (age++ % every !== 0) return false;
      parts.forEach((part, k) => {
        systems[k].clear();
        part.energy.addCurvature(systems[k], part.sheet, slice(x, part));
        for (const extra of extras) extra.addCurvature?.(x, part, systems[k]);
        systems[k].factor();
      });
      return true;
    },
    solve(k: number, b: Float64Array, out: Float64Array): void {
      systems[k].solve(b, out);
    },
  };
}

/** Takes from solutions what would change their product with a vector: the solution of the constrained system. */
function createHold(held: Float64Array) {
  let answer: Float64Array | undefined;
  let share = 0;
  return {
    renew(): void {
      answer = undefined;
    },
    apply(out: Float64Array, solve: (b: Float64Array, out: Float64Array) => void): void {
      if (answer === undefined) {
        answer = new Float64Array(held.length);
        solve(held, answer);
        share = 1 / dot(held, answer);
      }
      const k = share * dot(held, out);
      for (let i = 0; i < out.length; i++) out[i] -= k * answer[i];
    },
  };
}

/** The Laplacian and its plain factor. */
export function plainFactor(sheet: Sheet): { laplacian: SparseSymmetric; factor: CholeskyFactor } {
  const laplacian = sheetLaplacian(sheet);
  return { laplacian, factor: factorHeld(sheet, laplacian, null) };
}

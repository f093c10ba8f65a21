import { solveCholesky, type CholeskyFactor, type SparseSymmetric } from "@peltry/geometry";
import type { WorkOptions } from "@peltry/issues";
import { createBlockSystem, type BlockSystem } from "./block-system";
import { addCurvature } from "./curvature";
import { arapEnergy } from "./energy-arap";
import { dirichletEnergy, regularisedDirichlet, stepBeforeFlip } from "./energy-dirichlet";
import { fabricEnergy } from "./energy-fabric";
import type { FabricLimits } from "./fabric-limits";
import { dot, minimise, type Minimum } from "./minimise";
import { factorHeld, sheetLaplacian, type Sheet } from "./sheet";
import { addSideCurvature } from "./side-curvature";
import { sideEnergy, type SideTerms } from "./side-terms";

/** Which energy a part is shaped by in one run. */
export type PartEnergy =
  | { readonly kind: "arap" | "arap-barrier" | "dirichlet" }
  | { readonly kind: "untangle"; readonly epsilon: number }
  | { readonly kind: "fabric"; readonly limits: FabricLimits };

/** One patch inside a run over one or several: its unknowns start at vertex `first` of the stacked positions. */
export interface Part {
  readonly sheet: Sheet;
  readonly first: number;
  readonly factor: CholeskyFactor;
  energy: PartEnergy;
  /** Steps keep the product of the positions with this vector. */
  readonly held?: Float64Array | undefined;
}

/** A run of the minimiser over parts and side terms. */
export interface SystemRun extends WorkOptions {
  readonly parts: readonly Part[];
  readonly terms?: SideTerms | undefined;
  readonly tolerance: number;
  readonly maxIterations: number;
  /** Curvature of the energy against the factored matrix, when not the one usual for its kind. */
  readonly stiffness?: number | undefined;
  /** Solve with the energy's own second derivative, factored afresh every so many steps, instead of the Laplacian. */
  readonly newtonEvery?: number | undefined;
  /** Second derivative of `extra`, added to the block system of a part. */
  readonly extraCurvature?: ((x: Float64Array, part: Part, system: BlockSystem) => void) | undefined;
  /** Keeps steps short of outline overlap; see outline-contact. */
  readonly limitStep?: ((x: Float64Array, direction: Float64Array) => number) | undefined;
  readonly extra?: ((x: Float64Array, gradient: Float64Array | null) => number) | undefined;
  readonly stop?: ((x: Float64Array) => boolean) | undefined;
  readonly onIteration?: ((iteration: number) => void) | undefined;
}

/** Second derivative of each energy at rest against that of the Laplacian. */
const STIFFNESS = { arap: 1, "arap-barrier": 1, dirichlet: 4, untangle: 4, fabric: 1 } as const;

/** Lowers the energy of all parts together, in place. */
export function runSystem(x: Float64Array, run: SystemRun): Minimum {
  const { parts, terms } = run;
  const slice = (v: Float64Array, part: Part) =>
    v.subarray(2 * part.first, 2 * (part.first + part.sheet.vertexCount));
  const area = parts.reduce((sum, part) => sum + part.sheet.rest.area, 0);
  const bounded = parts.some((part) => part.energy.kind !== "arap" && part.energy.kind !== "untangle");
  const holds = parts.map((part) => (part.held === undefined ? undefined : createHold(part.held)));
  const newton = run.newtonEvery === undefined ? undefined : createNewton(run, slice);
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
        sum += partEnergy(part, slice(at, part), gradient === null ? null : slice(gradient, part));
        if (sum === Infinity) return Infinity;
      }
      if (terms !== undefined) sum += sideEnergy(terms, at, gradient);
      if (run.extra !== undefined) sum += run.extra(at, gradient);
      return sum;
    },
    precondition(gradient, direction) {
      parts.forEach((part, k) => {
        const solve = (b: Float64Array, out: Float64Array) => {
          if (newton !== undefined) return newton.solve(k, b, out);
          solveCholesky(part.factor, b, 2, out);
          const scale = 0.5 / (run.stiffness ?? STIFFNESS[part.energy.kind]);
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
      if (bounded) {
        for (const part of parts) {
          if (part.energy.kind === "arap" || part.energy.kind === "untangle") continue;
          reach = Math.min(reach, stepBeforeFlip(part.sheet, slice(at, part), slice(direction, part)));
        }
      }
      return run.limitStep === undefined ? reach : Math.min(reach, run.limitStep(at, direction));
    },
    tolerance: run.tolerance,
    maxIterations: run.maxIterations,
    floor: terms === undefined ? 1e-20 * area : -Infinity,
    stop: run.stop,
    signal: run.signal,
    onIteration: run.onIteration,
  });
}

/** The second derivatives of all parts, factored every few steps. */
function createNewton(run: SystemRun, slice: (v: Float64Array, part: Part) => Float64Array) {
  const systems = run.parts.map((part) => createBlockSystem(part.sheet));
  let age = 0;
  return {
    prepare(x: Float64Array): boolean {
      if (age++ % run.newtonEvery! !== 0) return false;
      run.parts.forEach((part, k) => {
        systems[k].clear();
        addCurvature(systems[k], part.sheet, slice(x, part), part.energy);
        if (run.terms !== undefined) addSideCurvature(run.terms, x, part, systems[k]);
        run.extraCurvature?.(x, part, systems[k]);
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

/** Energy of one part at its own positions; gradient added. */
export function partEnergy(part: Part, x: Float64Array, gradient: Float64Array | null): number {
  const { sheet, energy } = part;
  switch (energy.kind) {
    case "arap":
      return arapEnergy(sheet, x, gradient, false);
    case "arap-barrier":
      return arapEnergy(sheet, x, gradient, true);
    case "dirichlet":
      return dirichletEnergy(sheet, x, gradient);
    case "untangle":
      return regularisedDirichlet(sheet, x, gradient, energy.epsilon);
    case "fabric":
      return fabricEnergy(sheet, x, gradient, energy.limits);
  }
}

/** Factor of a sheet's Laplacian with the side terms that act on it (first: its first vertex in the stack). */
export function factorWithTerms(
  sheet: Sheet,
  laplacian: SparseSymmetric,
  terms: SideTerms,
  first: number,
): CholeskyFactor {
  const last = first + sheet.vertexCount;
  const values = laplacian.values.slice();
  const diagonal = laplacian.diagonal.slice();
  const { starts, columns } = sheet.pattern;
  const addEdge = (i: number, j: number, weight: number) => {
    if (i < first || i >= last) return;
    const a = i - first;
    const b = j - first;
    for (let k = starts[a]; k < starts[a + 1]; k++) if (columns[k] === b) values[k] -= weight;
    for (let k = starts[b]; k < starts[b + 1]; k++) if (columns[k] === a) values[k] -= weight;
    diagonal[a] += weight;
    diagonal[b] += weight;
  };
  // The solver divides by twice this matrix, so that half of each weight goes in.
  for (const rod of terms.rods) addEdge(rod.i, rod.j, 0.5 * rod.weight);
  for (const pair of terms.pairs) {
    addEdge(pair.i, pair.j, 0.5 * pair.weight);
    addEdge(pair.k, pair.l, 0.5 * pair.weight);
  }
  for (const rail of terms.rails) {
    if (rail.vertex >= first && rail.vertex < last) diagonal[rail.vertex - first] += 0.5 * rail.weight;
  }
  return factorHeld(sheet, { pattern: sheet.pattern, diagonal, values }, null);
}

/** The Laplacian and its plain factor. */
export function plainFactor(sheet: Sheet): { laplacian: SparseSymmetric; factor: CholeskyFactor } {
  const laplacian = sheetLaplacian(sheet);
  return { laplacian, factor: factorHeld(sheet, laplacian, null) };
}

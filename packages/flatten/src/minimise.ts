import { throwIfCancelled, type WorkOptions } from "@peltry/issues";

/** What {@link minimise} needs to know. All vectors have the length of `x`. */
export interface Minimisation {
  /** Energy at x; fills `gradient` when given. Infinity where x is not allowed. */
  evaluate(x: Float64Array, gradient: Float64Array | null): number;
  /** direction = −H⁻¹ gradient, H a fixed positive definite stand-in for the second derivative. */
  precondition(gradient: Float64Array, direction: Float64Array): void;
  /** Called before every step; true when the stand-in was made afresh at x, so that steps kept are forgotten. */
  prepare?(x: Float64Array): boolean;
  /** Largest step along the direction that stays allowed (Infinity without a bound). */
  maxStep?(x: Float64Array, direction: Float64Array): number;
  readonly tolerance: number;
  readonly maxIterations: number;
  /** Energy below this counts as nothing left to gain. */
  readonly floor: number;
  /** Ends the run early. */
  stop?(x: Float64Array, energy: number, iteration: number): boolean;
  readonly signal?: WorkOptions["signal"];
  onIteration?(iteration: number): void;
}

/** How a run of {@link minimise} ended. */
export interface Minimum {
  readonly energy: number;
  readonly iterations: number;
  readonly converged: boolean;
}

/** Pairs of steps kept; more gained nothing on the shapes tried. */
const MEMORY = 6;

/**
 * Lowers an energy from x, in place: limited-memory quasi-Newton steps whose first guess of the curvature is a
 * factored Laplacian. With no memory a step of length one is the local/global step of Liu et al. 2008.
 *
 * @source Nocedal, Updating Quasi-Newton Matrices with Limited Storage, 1980; the Laplacian as the initial guess after
 * Liu, Bouaziz and Kavan, Quasi-Newton Methods for Real-Time Simulation of Hyperelastic Materials, 2017
 */
export function minimise(x: Float64Array, problem: Minimisation): Minimum {
  const n = x.length;
  let gradient = new Float64Array(n);
  let nextGradient = new Float64Array(n);
  const next = new Float64Array(n);
  const direction = new Float64Array(n);
  const work = new Float64Array(n);
  const steps: Float64Array[] = [];
  const changes: Float64Array[] = [];
  const inverses: number[] = [];
  let energy = problem.evaluate(x, gradient);
  let slow = 0;
  for (let iteration = 1; iteration <= problem.maxIterations; iteration++) {
    throwIfCancelled(problem.signal);
    if (energy <= problem.floor) return { energy, iterations: iteration - 1, converged: true };
    if (problem.prepare?.(x)) forget(steps, changes, inverses);
    twoLoop(gradient, steps, changes, inverses, problem, work, direction);
    let slope = dot(gradient, direction);
    if (!(slope < 0)) {
      if (steps.length === 0) return { energy, iterations: iteration - 1, converged: true };
      forget(steps, changes, inverses);
      problem.precondition(gradient, direction);
      slope = dot(gradient, direction);
    }
    const reach = problem.maxStep?.(x, direction) ?? Infinity;
    let length = Math.min(1, 0.9 * reach);
    let found = false;
    let nextEnergy = energy;
    for (let attempt = 0; attempt < 30; attempt++) {
      for (let i = 0; i < n; i++) next[i] = x[i] + length * direction[i];
      nextEnergy = problem.evaluate(next, nextGradient);
      if (nextEnergy <= energy + 1e-4 * length * slope) {
        found = true;
        break;
      }
      const guess = Number.isFinite(nextEnergy)
        ? (-slope * length * length) / (2 * (nextEnergy - energy - slope * length))
        : 0.5 * length;
      length = Math.min(0.5 * length, Math.max(0.1 * length, guess));
    }
    if (!found) {
      if (steps.length === 0) return { energy, iterations: iteration - 1, converged: true };
      forget(steps, changes, inverses);
      continue;
    }
    const step = steps.length < MEMORY ? new Float64Array(n) : steps.shift()!;
    const change = changes.length < MEMORY ? new Float64Array(n) : changes.shift()!;
    if (inverses.length >= MEMORY) inverses.shift();
    let curvature = 0;
    let stepSquare = 0;
    let changeSquare = 0;
    for (let i = 0; i < n; i++) {
      const s = next[i] - x[i];
      const y = nextGradient[i] - gradient[i];
      step[i] = s;
      change[i] = y;
      curvature += s * y;
      stepSquare += s * s;
      changeSquare += y * y;
      x[i] = next[i];
    }
    if (curvature > 1e-12 * Math.sqrt(stepSquare * changeSquare)) {
      steps.push(step);
      changes.push(change);
      inverses.push(1 / curvature);
    }
    const swap = gradient;
    gradient = nextGradient;
    nextGradient = swap;
    const drop = energy - nextEnergy;
    slow = drop < problem.tolerance * Math.abs(nextEnergy) ? slow + 1 : 0;
    energy = nextEnergy;
    problem.onIteration?.(iteration);
    if (slow >= 2 || problem.stop?.(x, energy, iteration))
      return { energy, iterations: iteration, converged: true };
  }
  return { energy, iterations: problem.maxIterations, converged: problem.maxIterations === 0 };
}

function twoLoop(
  gradient: Float64Array,
  steps: Float64Array[],
  changes: Float64Array[],
  inverses: number[],
  problem: Minimisation,
  work: Float64Array,
  direction: Float64Array,
): void {
  const last = steps.length - 1;
  work.set(gradient);
  const shares: number[] = [];
  // Each sweep also takes the inner product that the next one needs.
  let along = last < 0 ? 0 : dot(steps[last], work);
  for (let k = last; k >= 0; k--) {
    const share = (shares[k] = inverses[k] * along);
    along = addAndDot(work, -share, changes[k], steps[Math.max(0, k - 1)]);
  }
  problem.precondition(work, direction);
  along = last < 0 ? 0 : dot(changes[0], direction);
  for (let k = 0; k <= last; k++) {
    // The direction is minus the inverse curvature times the gradient.
    const share = shares[k] + inverses[k] * along;
    along = addAndDot(direction, -share, steps[k], changes[Math.min(last, k + 1)]);
  }
}

/** v += k a, and the inner product of v with b. */
function addAndDot(v: Float64Array, k: number, a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < v.length; i++) {
    const value = v[i] + k * a[i];
    v[i] = value;
    sum += value * b[i];
  }
  return sum;
}

function forget(steps: Float64Array[], changes: Float64Array[], inverses: number[]): void {
  steps.length = 0;
  changes.length = 0;
  inverses.length = 0;
}

/** Inner product. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

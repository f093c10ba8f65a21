import type { CholeskyFactor, SparseSymmetric } from "@peltry/geometry";
import type { WorkOptions } from "@peltry/issues";
import type { Energy } from "./energy";
import { arap, arapBarrier } from "./energy-arap";
import { dirichlet } from "./energy-dirichlet";
import { budget, newtonPace, isValid, sheetBorder, smallestDeterminant, untangle } from "./make-valid";
import { outlineContact, type OutlineContact } from "./outline-contact";
import { meanPileAngle, pileLean, turnFlat } from "./pile";
import { isometricOutlineStart } from "./start-flat";
import { runSystem, type Part } from "./system";
import type { Sheet } from "./sheet";
import type { Ties } from "./ties";
import type { FlatCertificate, FlattenMode, FlattenOptions } from "./types";

/** A patch ready to be shaped. */
export interface PartInput {
  readonly sheet: Sheet;
  readonly laplacian: SparseSymmetric;
  readonly factor: CholeskyFactor;
  /** A copy of the first start, kept by a flattener. */
  readonly cachedStart?: (() => Float64Array) | undefined;
  /** Pile in the triangles' frames. */
  readonly pile: Float64Array;
  readonly mode: FlattenMode;
  /** Energy that it ends with; under limits mixed with a share of the shape-preserving one. */
  energy(pull: number): Energy;
  readonly options: Pick<
    FlattenOptions,
    "fabric" | "anyDirection" | "targetStretch" | "pileAngle" | "edgeLengthWeight" | "constraints" | "from"
  >;
}

/** What opens the patches that come out turned over or overlapping. */
export interface Rescue {
  /** Pushes shallow overlaps apart, in place; true when the panel is valid then. */
  separate(x: Float64Array, part: Part, options: WorkOptions): boolean;
  /** A start without flips and overlaps. */
  open(sheet: Sheet, laplacian: SparseSymmetric, part: Part, options: WorkOptions): Float64Array;
}

/** How the shaping went. */
export interface Shaped {
  iterations: number;
  converged: boolean;
  start: FlatCertificate["start"];
}

/** Share of the shape-preserving energy in the strain-limited one: first calm, then nearly only the limits. */
const PULL = 0.01;
export const LAST_PULL = 5e-4;

/** Makes a start for one part: shape-preserving, without flips, turned to its grain. In the relaxed plane. */
export function startPart(
  input: PartInput,
  options: Omit<ShapeOptions, "exact">,
): { x: Float64Array } & Shaped {
  const { sheet, laplacian, factor } = input;
  const part: Part = { sheet, first: 0, factor, energy: arap };
  let start: FlatCertificate["start"] = input.options.from === undefined ? "isometric-outline" : "given";
  let x =
    input.options.from === undefined
      ? (input.cachedStart?.() ?? isometricOutlineStart(sheet, laplacian))
      : relax(input, input.options.from);
  let { iterations, converged } = runSystem(x, { parts: [part], ...options });
  if (!(smallestDeterminant(sheet, x) > 0)) {
    if (untangle(x, part, options)) {
      const again = runSystem(x, {
        parts: [{ ...part, energy: arapBarrier }],
        ...options,
        newtonEvery: newtonPace(sheet),
        tolerance: Math.max(options.tolerance, 1e-4),
        maxIterations: Math.min(options.maxIterations, 60),
      });
      iterations += again.iterations;
      converged = again.converged;
    } else {
      x = options.rescue.open(sheet, laplacian, part, options);
      start = "convex-outline";
    }
  }
  return { x, iterations, converged, start };
}

/** Flat positions as the solver's own: with the wanted stretch taken out. */
function relax(input: PartInput, from: Float64Array): Float64Array {
  const { along, across } = targets(input);
  const x = from.slice();
  turnFlat(x, -Math.PI / 2 - grainAngle(input));
  for (let v = 0; v < x.length; v += 2) {
    x[v] *= 1 + across;
    x[v + 1] *= 1 + along;
  }
  return x;
}

/** Solver positions as flat ones: grain from −y to its angle, the wanted stretch put in. */
export function unrelax(input: PartInput, x: Float64Array): void {
  const { along, across } = targets(input);
  for (let v = 0; v < x.length; v += 2) {
    x[v] /= 1 + across;
    x[v + 1] /= 1 + along;
  }
  turnFlat(x, grainAngle(input) + Math.PI / 2);
}

export function targets(input: PartInput): { along: number; across: number } {
  return { along: input.options.targetStretch?.along ?? 0, across: input.options.targetStretch?.across ?? 0 };
}

/** Wanted pile direction in the flat, radians. */
export function grainAngle(input: PartInput): number {
  return ((input.options.pileAngle ?? -90) * Math.PI) / 180;
}

/** The turn, radians, that would make a part's pile run to −y on average, in the solver's plane. */
function grainTurn(input: PartInput, x: Float64Array): number {
  const { sheet, pile } = input;
  const turn = -Math.PI / 2 - meanPileAngle(x, sheet.triangles, sheet.rest.frames, pile);
  return Math.atan2(Math.sin(turn), Math.cos(turn));
}

/** Turns a part so that its pile runs to −y on average, in the solver's plane. */
export function turnToGrain(input: PartInput, x: Float64Array): void {
  turnFlat(x, grainTurn(input, x));
}

/** Steps along which this product with the positions stays zero do not turn the pile; see pileLean. */
function grainLean({ sheet, pile }: PartInput, x: Float64Array): Float64Array | undefined {
  const lean = pileLean(x, sheet.triangles, sheet.rest.frames, pile);
  return lean.some((k) => k !== 0) ? lean : undefined;
}

/** Mean pile may end this far from its direction when limits pull it there, radians (two degrees). */
const DRIFT = 0.035;

/** Steps between factorisations under limits, where only the outline's contact changes the matrix. */
const LIMITED_PACE = 8;

/** Options of {@link shapeTogether}. */
export interface ShapeOptions extends WorkOptions {
  readonly rescue: Rescue;
  readonly tolerance: number;
  readonly maxIterations: number;
  /** Side terms are to be met this closely, mm. */
  readonly exact: number;
  readonly contact?: OutlineContact | undefined;
}

/** Shapes all parts under their own energies and what ties them, in place on the stacked positions. */
export function shapeTogether(
  inputs: readonly PartInput[],
  firsts: readonly number[],
  x: Float64Array,
  ties: Ties | undefined,
  options: ShapeOptions,
): { iterations: number; converged: boolean } {
  const slice = (k: number) => x.subarray(2 * firsts[k], 2 * (firsts[k] + inputs[k].sheet.vertexCount));
  const parts = inputs.map((input, k): Part => ({
    sheet: input.sheet,
    first: firsts[k],
    factor: ties?.factor(input.sheet, input.laplacian, firsts[k]) ?? input.factor,
    energy: input.energy(LAST_PULL),
    held: input.mode === "strain-limited" && turnsFreely(input) ? grainLean(input, slice(k)) : undefined,
  }));
  let iterations = 0;
  let converged = true;
  const limited = inputs.some((input) => input.mode === "strain-limited");
  // Pairs tie edges that no entry of the matrix joins: the Laplacian serves them better.
  const newtonEvery =
    options.contact !== undefined && !ties?.paired
      ? Math.max(...inputs.map((input) => (limited ? LIMITED_PACE : newtonPace(input.sheet))))
      : undefined;
  if (limited) {
    const calm = parts.map((part, k) => ({ ...part, energy: inputs[k].energy(PULL) }));
    iterations += runSystem(x, {
      parts: calm,
      extras: [ties, options.contact],
      newtonEvery,
      tolerance: Math.max(options.tolerance, newtonEvery === undefined ? 1e-4 : 1e-2),
      maxIterations: Math.ceil(options.maxIterations / 3),
      signal: options.signal,
    }).iterations;
  }
  for (let round = 0; round < (ties?.exact ? 16 : 3); round++) {
    const run = runSystem(x, {
      parts,
      newtonEvery,
      extras: [ties, options.contact],
      tolerance: options.tolerance,
      maxIterations: round === 0 ? options.maxIterations : Math.max(20, Math.ceil(options.maxIterations / 4)),
      signal: options.signal,
    });
    iterations += run.iterations;
    converged = run.converged;
    const off = ties?.exact ? ties.updateForces(x) : 0;
    let again = off > options.exact;
    for (let k = 0; k < inputs.length; k++) {
      if (!turnsFreely(inputs[k])) continue;
      const axes = inputs[k].mode === "strain-limited" || inputs[k].options.targetStretch !== undefined;
      // Limits hold in the cloth's axes: a panel shaped under them is turned only when it is shaped once more.
      if (!axes) turnToGrain(inputs[k], slice(k));
      else if (round < 2 && Math.abs(grainTurn(inputs[k], slice(k))) > DRIFT) {
        turnToGrain(inputs[k], slice(k));
        again = true;
      }
    }
    if (!again) break;
  }
  const snapped = ties?.snapped(x);
  if (snapped !== undefined) {
    const sound = inputs.every(({ sheet }, k) =>
      isValid(sheet, snapped.subarray(2 * firsts[k], 2 * (firsts[k] + sheet.vertexCount))),
    );
    if (sound) x.set(snapped);
  }
  return { iterations, converged };
}

/** False for a part that is held in place by its constraints. */
export function turnsFreely(input: PartInput): boolean {
  return !(input.options.constraints ?? []).some(
    (c) => c.kind === "fixed" || c.kind === "fold" || c.kind === "straight",
  );
}

/**
 * {@link shapeTogether}, then whatever it takes to be valid: parts whose outline meets itself start again from a convex
 * outline and are shaped with outlines kept apart. Changes `shaped` to tell.
 */
export function shapeValid(
  inputs: readonly PartInput[],
  firsts: readonly number[],
  x: Float64Array,
  makeTies: () => Ties | undefined,
  shaped: Shaped[],
  options: ShapeOptions,
): void {
  const slice = (k: number) => x.subarray(2 * firsts[k], 2 * (firsts[k] + inputs[k].sheet.vertexCount));
  const note = (run: { iterations: number; converged: boolean }) => {
    for (const one of shaped) {
      one.iterations += run.iterations;
      one.converged = run.converged;
    }
  };
  const ties = makeTies();
  if (ties !== undefined || inputs.some((input) => input.mode !== "shape-preserving")) {
    note(shapeTogether(inputs, firsts, x, ties, options));
  }
  const bad = inputs.map((input, k) => k).filter((k) => !isValid(inputs[k].sheet, slice(k)));
  if (bad.length === 0) return;
  const safe = bad.map((k) => {
    const { sheet, laplacian, factor } = inputs[k];
    const part: Part = { sheet, first: 0, factor, energy: dirichlet };
    const near = slice(k).slice();
    if (
      smallestDeterminant(sheet, near) > 0 &&
      options.rescue.separate(near, { ...part, energy: inputs[k].energy(LAST_PULL) }, options)
    ) {
      slice(k).set(near);
      return near;
    }
    const start = options.rescue.open(sheet, laplacian, part, options);
    if (turnsFreely(inputs[k])) turnToGrain(inputs[k], start);
    slice(k).set(start);
    shaped[k].start = "convex-outline";
    return start;
  });
  const contact = outlineContact(bad.map((k) => sheetBorder(inputs[k].sheet, firsts[k])));
  // The start is nearly shaped: what is left to gain is little, and every step looks at all outlines.
  const most = Math.min(...bad.map((k) => Math.ceil(budget(inputs[k].sheet) / 5)));
  note(
    shapeTogether(inputs, firsts, x, makeTies(), {
      ...options,
      tolerance: Math.max(options.tolerance, 1e-4),
      maxIterations: Math.min(options.maxIterations, most),
      contact,
    }),
  );
  bad.forEach((k, i) => {
    if (!isValid(inputs[k].sheet, slice(k)) && isValid(inputs[k].sheet, safe[i])) slice(k).set(safe[i]);
  });
}

import { vertexDistance, type SparseSymmetric } from "@peltry/geometry";
import { throwIfCancelled, type WorkOptions } from "@peltry/issues";
import { checkFlat } from "./check-flat";
import { dirichlet, dirichletEnergy, untangling } from "./energy-dirichlet";
import { outlineContact, type ContactBorder } from "./outline-contact";
import { convexOutlineStart, evenOut } from "./start-flat";
import type { Sheet } from "./sheet";
import { runSystem, type Part } from "./system";

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

/** Turned triangles worth turning back in place, against the root of all: a few knots. */
const MOST_TURNED = 0.3;

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
    // Many, and knots that do not loosen soon, belong to the convex start.
    if (flips > MOST_TURNED * Math.sqrt(part.sheet.triangleCount)) return false;
    if (round === 2 && flips > 0.5 * atFirst) return false;
    const epsilon = Math.sqrt(1e-6 + 0.04 * least * least);
    runSystem(x, {
      parts: [{ ...part, first: 0, energy: untangling(epsilon) }],
      newtonEvery: newtonPace(part.sheet),
      tolerance: 1e-3,
      maxIterations: 8,
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
  options: WorkOptions,
): Float64Array {
  const plain = (["cotangent", "equal"] as const).map((w) => convexOutlineStart(sheet, laplacian, w));
  const starts = [plain[0], plain[1], evenOut(sheet, plain[1])];
  const energies = starts.map((start) => dirichletEnergy(sheet, start, null));
  let best = 0;
  for (let k = 1; k < starts.length; k++) if (energies[k] < energies[best]) best = k;
  const x = starts[best];
  if (energies[best] === Infinity) return x;
  runSystem(x, {
    parts: [{ ...part, first: 0, energy: dirichlet }],
    extras: [outlineContact([sheetBorder(sheet, 0)])],
    newtonEvery: newtonPace(sheet),
    tolerance: 3e-3,
    maxIterations: Math.min(budget(sheet), 100),
    signal: options.signal,
  });
  return x;
}

/** The border of a sheet for {@link outlineContact}. */
export function sheetBorder(sheet: Sheet, first: number): ContactBorder {
  const p = sheet.mesh.positions;
  return {
    loops: sheet.loops.map((loop) => loop.map((v) => v + first)),
    lengths: sheet.loops.map((loop) =>
      Float64Array.from(loop, (v, i) => vertexDistance(p, v, loop[(i + 1) % loop.length])),
    ),
  };
}

/** True when no triangle is turned over and no outline meets itself. */
export function isValid(sheet: Sheet, x: Float64Array): boolean {
  const check = checkFlat(sheet.mesh, x, sheet.loops);
  return check.flips === 0 && check.overlaps === 0;
}

/** Steps between two factorisations of the second derivative: factors of large meshes are dear. */
export function newtonPace(sheet: Sheet): number {
  return sheet.triangleCount > 30000 ? 4 : 1;
}

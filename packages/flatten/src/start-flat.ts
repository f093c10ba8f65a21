import { solveCholesky, vertexDistance, type SparseSymmetric } from "@peltry/geometry";
import { dirichletEnergy } from "./energy-dirichlet";
import { factorHeld, type Sheet } from "./sheet";

/** Marks the vertices of the given loops. */
function markLoops(sheet: Sheet, loops: readonly (readonly number[])[]): Uint8Array {
  const held = new Uint8Array(sheet.vertexCount);
  for (const loop of loops) for (const v of loop) held[v] = 1;
  return held;
}

/** Interior angle of every vertex, summed over its triangles. */
export function angleSums(sheet: Sheet): Float64Array {
  const sums = new Float64Array(sheet.vertexCount);
  const { frames } = sheet.rest;
  for (let t = 0; t < sheet.triangleCount; t++) {
    const x1 = 1 / frames[4 * t];
    const y2 = 1 / frames[4 * t + 2];
    const x2 = -frames[4 * t + 1] * x1 * y2;
    const a = Math.atan2(y2, x2);
    const b = Math.atan2(y2, x1 - x2);
    sums[sheet.triangles[3 * t]] += a;
    sums[sheet.triangles[3 * t + 1]] += b;
    sums[sheet.triangles[3 * t + 2]] += Math.PI - a - b;
  }
  return sums;
}

/**
 * A flat start whose outline has the lengths of the outline in space: the conformal scale u with u = 0 on the outline
 * (L u = K) gives the outline's angles, the outline is closed with the least change of length, and the inside is filled
 * by harmonic coordinates. May flip triangles on shapes with much curvature.
 *
 * @source Sawhney and Crane, Boundary First Flattening, 2017, sections 4 and 5
 */
export function isometricOutlineStart(sheet: Sheet, laplacian: SparseSymmetric): Float64Array {
  const loop = sheet.loops[0];
  const held = markLoops(sheet, [loop]);
  const factor = factorHeld(sheet, laplacian, held);
  const curvature = angleSums(sheet);
  for (let v = 0; v < sheet.vertexCount; v++) curvature[v] = (held[v] ? Math.PI : 2 * Math.PI) - curvature[v];
  const u = new Float64Array(sheet.vertexCount);
  for (let v = 0; v < sheet.vertexCount; v++) u[v] = held[v] ? 0 : curvature[v];
  solveCholesky(factor, u, 1, u);
  const { starts, columns } = sheet.pattern;
  const turning = loop.map((v) => {
    let flux = 0;
    for (let k = starts[v]; k < starts[v + 1]; k++) flux += laplacian.values[k] * u[columns[k]];
    return curvature[v] - flux;
  });
  const x = new Float64Array(2 * sheet.vertexCount);
  closeOutline(sheet, loop, turning, x);
  return fillHarmonic(sheet, laplacian, held, factor, x);
}

/** Lays the outline out by its turning angles and closes it with the least relative change of edge lengths. */
function closeOutline(sheet: Sheet, loop: readonly number[], turning: number[], x: Float64Array): void {
  const n = loop.length;
  const tangents: [number, number, number][] = [];
  let angle = 0;
  let mxx = 0;
  let mxy = 0;
  let myy = 0;
  let gapX = 0;
  let gapY = 0;
  const p = sheet.mesh.positions;
  for (let i = 0; i < n; i++) {
    const length = vertexDistance(p, loop[i], loop[(i + 1) % n]);
    if (i > 0) angle += turning[i];
    const tx = Math.cos(angle);
    const ty = Math.sin(angle);
    tangents.push([tx, ty, length]);
    mxx += length * tx * tx;
    mxy += length * tx * ty;
    myy += length * ty * ty;
    gapX += length * tx;
    gapY += length * ty;
  }
  const det = mxx * myy - mxy * mxy;
  const lx = det > 0 ? (myy * gapX - mxy * gapY) / det : 0;
  const ly = det > 0 ? (mxx * gapY - mxy * gapX) / det : 0;
  let px = 0;
  let py = 0;
  for (let i = 0; i < n; i++) {
    const [tx, ty, length] = tangents[i];
    x[2 * loop[i]] = px;
    x[2 * loop[i] + 1] = py;
    const scaled = length * Math.max(0.05, 1 - tx * lx - ty * ly);
    px += scaled * tx;
    py += scaled * ty;
  }
}

function fillHarmonic(
  sheet: Sheet,
  matrix: SparseSymmetric,
  held: Uint8Array,
  factor: ReturnType<typeof factorHeld>,
  x: Float64Array,
): Float64Array {
  const { starts, columns } = sheet.pattern;
  const b = new Float64Array(2 * sheet.vertexCount);
  for (let v = 0; v < sheet.vertexCount; v++) {
    if (held[v]) {
      b[2 * v] = x[2 * v];
      b[2 * v + 1] = x[2 * v + 1];
      continue;
    }
    for (let k = starts[v]; k < starts[v + 1]; k++) {
      const w = columns[k];
      if (!held[w]) continue;
      b[2 * v] -= matrix.values[k] * x[2 * w];
      b[2 * v + 1] -= matrix.values[k] * x[2 * w + 1];
    }
  }
  solveCholesky(factor, b, 2, x);
  return x;
}

/**
 * A flat start that never flips: the outline on a circle, by length, every inner vertex at a positive mean of its
 * neighbours. Weights are cotangents, raised to a small positive number where they are not; or all equal.
 *
 * @source Tutte, How to Draw a Graph, 1963; Floater, Parametrization and Smooth Approximation of Surface
 * Triangulations, 1997
 */
export function convexOutlineStart(
  sheet: Sheet,
  laplacian: SparseSymmetric,
  weights: "cotangent" | "equal",
): Float64Array {
  const loop = sheet.loops[0];
  const held = markLoops(sheet, [loop]);
  const values = laplacian.values.map((w) => (weights === "equal" ? -1 : -Math.min(20, Math.max(0.05, -w))));
  const diagonal = new Float64Array(sheet.vertexCount);
  const { starts } = sheet.pattern;
  for (let v = 0; v < sheet.vertexCount; v++)
    for (let k = starts[v]; k < starts[v + 1]; k++) diagonal[v] -= values[k];
  const matrix = { pattern: sheet.pattern, values, diagonal };
  const p = sheet.mesh.positions;
  const along = [0];
  for (let i = 0; i < loop.length; i++) {
    along.push(along[i] + vertexDistance(p, loop[i], loop[(i + 1) % loop.length]));
  }
  const total = along[loop.length];
  // A little of equal spacing keeps coincident outline points apart.
  const radius = Math.sqrt(sheet.rest.area / Math.PI);
  const x = new Float64Array(2 * sheet.vertexCount);
  for (let i = 0; i < loop.length; i++) {
    const share = total > 0 ? 0.9 * (along[i] / total) + 0.1 * (i / loop.length) : i / loop.length;
    x[2 * loop[i]] = radius * Math.cos(2 * Math.PI * share);
    x[2 * loop[i] + 1] = radius * Math.sin(2 * Math.PI * share);
  }
  return fillHarmonic(sheet, matrix, held, factorHeld(sheet, matrix, held), x);
}

/** Rounds of {@link evenOut} (once nothing is flipped they go on while they gain much, on large meshes very much), and the least scale of a round against the largest. */
const EVEN_ROUNDS = 60;
const LEAST_SCALE = 1e-7;

/**
 * Evens out the scale of a convex-outline start, whose inside shrinks by e each radius along a horn: springs are made
 * softer where the flat is smaller than the shape, and the net is solved again. Weights stay positive, so that no round
 * can flip. The matrix is scaled to a diagonal of one, which keeps every number in reach however soft the tip becomes.
 *
 * @returns the start of the round with the least symmetric Dirichlet energy
 * @source softening by local stretch: Yoshizawa, Belyaev and Seidel, A Fast and Simple Stretch-Minimizing Mesh
 * Parameterization, 2004
 */
export function evenOut(sheet: Sheet, start: Float64Array): Float64Array {
  const held = markLoops(sheet, [sheet.loops[0]]);
  const { starts, columns } = sheet.pattern;
  const n = sheet.vertexCount;
  // Logarithm of each vertex's softness.
  const soft = new Float64Array(n);
  const row = new Float64Array(n);
  const values = new Float64Array(columns.length);
  const diagonal = new Float64Array(n).fill(1);
  const shift = 3 * Math.sqrt(sheet.rest.area);
  let x = start;
  let best = start;
  let bestEnergy = dirichletEnergy(sheet, start, null);
  let factor: ReturnType<typeof factorHeld> | undefined;
  for (let round = 0; ; round++) {
    const scale = vertexScales(sheet, x);
    const largest = scale.reduce((high, s) => Math.max(high, s), 0);
    if (round > 0) {
      const energy = dirichletEnergy(sheet, x, null);
      const gain = energy < (sheet.triangleCount > 30000 ? 0.3 : 0.8) * bestEnergy;
      if (energy < bestEnergy) {
        best = x;
        bestEnergy = energy;
      }
      if (bestEnergy < Infinity && !gain) return best;
    }
    if (round === EVEN_ROUNDS) return best;
    for (let v = 0; v < n; v++) soft[v] += Math.log(Math.max(LEAST_SCALE, scale[v] / largest));
    for (let v = 0; v < n; v++) {
      row[v] = 0;
      for (let k = starts[v]; k < starts[v + 1]; k++) row[v] += Math.exp(0.5 * (soft[columns[k]] - soft[v]));
    }
    const b = new Float64Array(2 * n);
    for (let v = 0; v < n; v++) {
      for (let k = starts[v]; k < starts[v + 1]; k++) {
        const w = columns[k];
        values[k] = -1 / Math.sqrt(row[v] * row[w]);
        if (held[v] || !held[w]) continue;
        const pull = Math.exp(0.5 * soft[w]) / Math.sqrt(row[v]);
        // All terms positive: nothing cancels, so that small inner places keep their accuracy.
        b[2 * v] += pull * (start[2 * w] + shift);
        b[2 * v + 1] += pull * (start[2 * w + 1] + shift);
      }
    }
    factor = factorHeld(sheet, { pattern: sheet.pattern, values, diagonal }, held, factor);
    solveCholesky(factor, b, 2, b);
    x = start.slice();
    for (let v = 0; v < n; v++) {
      if (held[v]) continue;
      const back = Math.exp(-0.5 * soft[v]) / Math.sqrt(row[v]);
      x[2 * v] = b[2 * v] * back - shift;
      x[2 * v + 1] = b[2 * v + 1] * back - shift;
    }
    for (let i = 0; i < x.length; i++) if (!Number.isFinite(x[i])) return best;
  }
}

/** Flat size over size in space round each vertex. */
function vertexScales(sheet: Sheet, x: Float64Array): Float64Array {
  const flat = new Float64Array(sheet.vertexCount);
  const worn = new Float64Array(sheet.vertexCount);
  const { triangles } = sheet;
  for (let i = 0, f = 3; i < triangles.length; i += 3, f += 4) {
    const [a, b, c] = [2 * triangles[i], 2 * triangles[i + 1], 2 * triangles[i + 2]];
    const twice = (x[b] - x[a]) * (x[c + 1] - x[a + 1]) - (x[b + 1] - x[a + 1]) * (x[c] - x[a]);
    for (let k = 0; k < 3; k++) {
      flat[triangles[i + k]] += 0.5 * Math.max(0, twice);
      worn[triangles[i + k]] += sheet.rest.frames[f];
    }
  }
  return flat.map((area, v) => Math.sqrt(area / worn[v]));
}

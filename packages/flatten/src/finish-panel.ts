import { vertexDistance } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { checkFlat } from "./check-flat";

import { measureStrain, weightedQuantile } from "./measure-strain";
import { pileDeviation } from "./pile";
import { LAST_PULL, type PartInput, type Shaped } from "./shape-parts";
import { angleSums } from "./start-flat";
import type { FlatPanel, FlattenOptions, PanelStrain } from "./types";

/** Measures and certifies a panel. `relaxed` are the solver's positions, `positions` the flat ones. */
export function finishPanel(
  input: PartInput,
  relaxed: Float64Array,
  positions: Float64Array,
  shaped: Shaped,
  issues: Issue[],
): FlatPanel {
  const { sheet } = input;
  const angle = input.options.pileAngle ?? -90;
  const strain = measureStrain(sheet.mesh, positions, angle);
  const check = checkFlat(sheet.mesh, positions, sheet.loops);
  const count = sheet.triangleCount;
  const weights = new Float64Array(count);
  const worst = new Float64Array(count);
  const flatWorst = new Float64Array(count);
  for (let t = 0; t < count; t++) weights[t] = sheet.rest.frames[4 * t + 3];
  for (const t of sheet.rest.mended) weights[t] = 0;
  let maxStrain = 0;
  for (let t = 0; t < count; t++) {
    worst[t] = Math.max(Math.abs(strain.major[t]), Math.abs(strain.minor[t]));
    flatWorst[t] = Math.max(Math.abs(1 / (1 + strain.major[t]) - 1), Math.abs(1 / (1 + strain.minor[t]) - 1));
    if (weights[t] > 0 && worst[t] > maxStrain) maxStrain = worst[t];
  }
  const over = overLimits(strain, weights, input.options);
  const energy = input.energy(LAST_PULL).at(sheet, relaxed, null);
  const grain = pileDeviation(positions, sheet.triangles, sheet.rest.frames, input.pile, angle);
  if (over.area > 0) {
    issues.push({
      code: "flatten/over-fabric-limit",
      severity: "warning",
      message:
        `The cloth would have to strain beyond its limits on ${share(over.area)} of the panel; ` +
        `worst at triangle ${over.triangle}: ${over.what} ${percent(over.value)}, limit ${percent(over.limit)}.`,
      at: { triangle: over.triangle, point: centre(positions, sheet.triangles, over.triangle) },
      found: over.value,
      limit: over.limit,
      fix: `Add a dart or a seam there, or take a cloth that ${over.value > over.limit ? "stretches" : "eases in"} more.`,
    });
  }
  if (check.flips > 0 || check.overlaps > 0) {
    issues.push({
      code: "flatten/not-valid",
      severity: "error",
      message: `The panel has ${check.flips} turned triangles and ${check.overlaps} places where its outline meets itself.`,
      at: { triangle: check.flippedTriangles[0], vertex: check.crossings[0]?.[0] },
      found: check.flips + check.overlaps,
      limit: 0,
      fix: "Cut the patch: it is too deep or too curled to lie flat in one piece.",
    });
  }
  if (!shaped.converged) {
    issues.push({
      code: "flatten/not-converged",
      severity: "note",
      message: `Stopped at the cap of iterations (${shaped.iterations}); the panel is valid but might be a little better.`,
      at: {},
      found: shaped.iterations,
      fix: "Raise `maxIterations` if the last tenths of a percent matter.",
    });
  }
  if (sheet.rest.mended.length > 0) {
    issues.push({
      code: "flatten/flat-triangles",
      severity: sheet.rest.mended.length > 0.01 * count ? "warning" : "note",
      message:
        `${sheet.rest.mended.length} of ${count} triangles have no area in space (the first is ${sheet.rest.mended[0]}); ` +
        "they were given a hair's height and do not count in the strain.",
      at: { triangle: sheet.rest.mended[0] },
      found: sheet.rest.mended.length,
      limit: 0,
      fix: "Repair the mesh: collapse needles and swap the edges of caps.",
    });
  }
  let outline = 0;
  let worn = 0;
  const p = sheet.mesh.positions;
  sheet.loops[0].forEach((a, i, loop) => {
    const b = loop[(i + 1) % loop.length];
    outline += Math.hypot(positions[2 * a] - positions[2 * b], positions[2 * a + 1] - positions[2 * b + 1]);
    worn += vertexDistance(p, a, b);
  });
  return {
    positions,
    strain,
    certificate: {
      flips: check.flips,
      overlaps: check.overlaps,
      maxStrain,
      p95Strain: weightedQuantile(worst, weights, 0.95),
      p50Strain: weightedQuantile(worst, weights, 0.5),
      p95Distortion: weightedQuantile(flatWorst, weights, 0.95),
      areaRatio: flatArea(positions, sheet.triangles) / sheet.rest.area,
      outlineRatio: worn > 0 ? outline / worn : 1,
      seamMismatch: 0,
      energy: energy / sheet.rest.area,
      overLimitArea: over.area,
      overLimit: over.by,
      converged: shaped.converged,
      iterations: shaped.iterations,
      start: shaped.start,
      totalCurvature: insideCurvature(input),
    },
    grain,
    loops: sheet.loops,
    mode: input.mode,
    issues,
  };
}

/** How far a strain may pass its limit before it is worth a word: half a thousandth plus a fiftieth of the limit. */
const slack = (limit: number) => 5e-4 + 0.02 * Math.abs(limit);

function overLimits(
  strain: PanelStrain,
  weights: Float64Array,
  options: Pick<FlattenOptions, "fabric" | "anyDirection">,
): { area: number; by: number; triangle: number; what: string; value: number; limit: number } {
  const worst = { area: 0, by: 0, triangle: -1, what: "", value: 0, limit: 0 };
  const tests: [string, Float64Array, { min: number; max: number }][] = [];
  if (options.fabric !== undefined) {
    tests.push(
      ["strain along", strain.along, options.fabric.along],
      ["strain across", strain.across, options.fabric.across],
      ["shear", strain.shear, options.fabric.shear],
    );
  }
  if (options.anyDirection !== undefined) {
    tests.push(
      ["largest strain", strain.major, options.anyDirection],
      ["smallest strain", strain.minor, options.anyDirection],
    );
  }
  let total = 0;
  for (let t = 0; t < weights.length; t++) {
    total += weights[t];
    let isOver = false;
    for (const [what, values, { min, max }] of tests) {
      const value = values[t];
      const limit = value > max ? max : min;
      const by = value > max ? value - max : min - value;
      if (!(by > 0) || weights[t] === 0) continue;
      if (by > slack(limit)) isOver = true;
      if (by > worst.by) Object.assign(worst, { by, triangle: t, what, value, limit });
    }
    if (isOver) worst.area += weights[t];
  }
  worst.area = total > 0 ? worst.area / total : 0;
  return worst;
}

function flatArea(x: Float64Array, triangles: Uint32Array): number {
  let twice = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [2 * triangles[i], 2 * triangles[i + 1], 2 * triangles[i + 2]];
    twice += (x[b] - x[a]) * (x[c + 1] - x[a + 1]) - (x[b + 1] - x[a + 1]) * (x[c] - x[a]);
  }
  return twice / 2;
}

function insideCurvature(input: PartInput): number {
  const sums = angleSums(input.sheet);
  const border = new Uint8Array(input.sheet.vertexCount);
  for (const loop of input.sheet.loops) for (const v of loop) border[v] = 1;
  let total = 0;
  for (let v = 0; v < sums.length; v++) if (!border[v]) total += 2 * Math.PI - sums[v];
  return total;
}

function centre(x: Float64Array, triangles: Uint32Array, t: number): number[] {
  const [a, b, c] = [2 * triangles[3 * t], 2 * triangles[3 * t + 1], 2 * triangles[3 * t + 2]];
  return [(x[a] + x[b] + x[c]) / 3, (x[a + 1] + x[b + 1] + x[c + 1]) / 3];
}

/** A share that is not zero is not printed as 0. */
const share = (fraction: number) => (fraction < 0.0005 ? "less than 0.1 %" : percent(fraction));
const percent = (fraction: number) => `${Math.round(fraction * 1000) / 10} %`;

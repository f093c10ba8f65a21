import { checkFlat, measureStrain, type FlatPanel, type FlatPanels, type SeamLengths } from "@peltry/flatten";
import { triangleArea, type MeshRefinement, type TriangleMesh } from "@peltry/geometry";
import type { Patch, PatchCutting } from "./cut-into-patches";
import type { PlanInput } from "./plan-input";
import { seamLengths } from "./polish";
import type { SeamFabric } from "./types";

/** The panels with other flat places, measured and checked anew by the flattener's own measuring code. */
export function certifyPanels(
  input: PlanInput,
  refinement: MeshRefinement,
  cutting: PatchCutting,
  shaped: FlatPanels,
  flats: readonly Float64Array[],
): FlatPanels {
  const seams = seamLengths(cutting, flats);
  const panels = cutting.patches.map((patch, i) => {
    const mismatch = worstMismatch(cutting, seams, patch.id);
    const pile = Float64Array.from({ length: 3 * patch.sourceTriangle.length }, (_, k) => {
      const t = refinement.baseTriangle[patch.sourceTriangle[Math.floor(k / 3)]];
      return input.pile[3 * t + (k % 3)];
    });
    return {
      ...certify(patch, shaped.panels[i], flats[i], pile, input.fabrics[patch.region], mismatch),
      id: patch.id,
    };
  });
  return { panels, seams, issues: seamIssues(seams) };
}

/** The most by which the two sides of a seam of one patch differ, mm. */
export function worstMismatch(cutting: PatchCutting, seams: readonly SeamLengths[], patch: string): number {
  return cutting.seams.reduce(
    (worst, { a, b }, s) =>
      a.patch === patch || b.patch === patch ? Math.max(worst, seams[s].mismatch) : worst,
    0,
  );
}

function certify(
  patch: Patch,
  shaped: FlatPanel,
  positions: Float64Array,
  pile: Float64Array,
  fabric: SeamFabric,
  seamMismatch: number,
): FlatPanel {
  const { mesh } = patch;
  const check = checkFlat(mesh, positions, shaped.loops);
  const strain = measureStrain(mesh, positions, -90);
  const count = mesh.triangles.length / 3;
  const area = Float64Array.from({ length: count }, (_, t) => triangleArea(mesh, t));
  const total = area.reduce((sum, a) => sum + a, 0);
  const worst = Float64Array.from(area, (_, t) =>
    Math.max(Math.abs(strain.major[t]), Math.abs(strain.minor[t])),
  );
  const over = Float64Array.from(area, (_, t) => excess(strain, t, fabric));
  const overArea = area.reduce((sum, a, t) => sum + (over[t] > 0 ? a : 0), 0);
  const issues = shaped.issues.filter(({ code }) => !OWN_CODES.includes(code));
  return {
    ...shaped,
    positions,
    strain,
    issues,
    grain: pileSpread(mesh, positions, pile, area, shaped.grain.angle),
    certificate: {
      ...shaped.certificate,
      flips: check.flips,
      overlaps: check.overlaps,
      maxStrain: area.reduce((top, a, t) => (a > 0 ? Math.max(top, worst[t]) : top), 0),
      p95Strain: quantile(worst, area, 0.95),
      p50Strain: quantile(worst, area, 0.5),
      areaRatio: flatArea(mesh, positions) / total,
      outlineRatio: outlineRatio(mesh, positions, shaped.loops),
      seamMismatch,
      energy: area.reduce((sum, a, t) => sum + a * over[t] ** 2, 0) / total,
      overLimitArea: overArea / total,
      overLimit: over.reduce((top, x) => Math.max(top, x), 0),
      converged: true,
      start: "given",
    },
  };
}

/** Issues about the shape that the flattener had before; the plan reports on the final one. */
const OWN_CODES = ["flatten/over-fabric-limit", "flatten/not-valid", "flatten/not-converged"];

/** Largest strain beyond a limit of the fabric. */
function excess(strain: FlatPanel["strain"], t: number, { behaviour, anyDirection }: SeamFabric): number {
  const beyond = (e: number, range: { min: number; max: number } | undefined): number =>
    range ? Math.max(0, e - range.max, range.min - e) : 0;
  return Math.max(
    beyond(strain.major[t], anyDirection),
    beyond(strain.minor[t], anyDirection),
    beyond(strain.along[t], behaviour?.along),
    beyond(strain.across[t], behaviour?.across),
    beyond(strain.shear[t], behaviour?.shear),
  );
}

function quantile(values: Float64Array, weights: Float64Array, share: number): number {
  const order = Array.from(values.keys()).sort((a, b) => values[a] - values[b]);
  const total = weights.reduce((sum, w) => sum + w, 0);
  let seen = 0;
  for (const i of order) {
    seen += weights[i];
    if (seen >= share * total) return values[i];
  }
  return 0;
}

function flatArea({ triangles }: TriangleMesh, p: Float64Array): number {
  let twice = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [2 * triangles[i], 2 * triangles[i + 1], 2 * triangles[i + 2]];
    twice += (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]);
  }
  return twice / 2;
}

function outlineRatio(mesh: TriangleMesh, flat: Float64Array, loops: readonly (readonly number[])[]): number {
  const p = mesh.positions;
  let worn = 0;
  let laid = 0;
  for (const loop of loops) {
    loop.forEach((v, i) => {
      const w = loop[(i + 1) % loop.length];
      worn += Math.hypot(p[3 * v] - p[3 * w], p[3 * v + 1] - p[3 * w + 1], p[3 * v + 2] - p[3 * w + 2]);
      laid += Math.hypot(flat[2 * v] - flat[2 * w], flat[2 * v + 1] - flat[2 * w + 1]);
    });
  }
  return laid / worn;
}

/** Deviation of the pile from its wanted direction in the flat, degrees, by area. */
function pileSpread(
  mesh: TriangleMesh,
  flat: Float64Array,
  pile: Float64Array,
  area: Float64Array,
  angle: number,
): FlatPanel["grain"] {
  const p = mesh.positions;
  const [wx, wy] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
  const off = new Float64Array(area.length);
  const weight = new Float64Array(area.length);
  for (let t = 0; t < area.length; t++) {
    const [a, b, c] = [0, 1, 2].map((k) => mesh.triangles[3 * t + k]);
    const u = [0, 1, 2].map((k) => p[3 * b + k] - p[3 * a + k]);
    const v = [0, 1, 2].map((k) => p[3 * c + k] - p[3 * a + k]);
    const d = [pile[3 * t], pile[3 * t + 1], pile[3 * t + 2]];
    const dot = (x: number[], y: number[]): number => x[0] * y[0] + x[1] * y[1] + x[2] * y[2];
    const [uu, uv, vv] = [dot(u, u), dot(u, v), dot(v, v)];
    const det = uu * vv - uv * uv;
    if (!(det > 0)) continue;
    const alpha = (dot(u, d) * vv - dot(v, d) * uv) / det;
    const beta = (dot(v, d) * uu - dot(u, d) * uv) / det;
    const x = alpha * (flat[2 * b] - flat[2 * a]) + beta * (flat[2 * c] - flat[2 * a]);
    const y = alpha * (flat[2 * b + 1] - flat[2 * a + 1]) + beta * (flat[2 * c + 1] - flat[2 * a + 1]);
    const length = Math.hypot(x, y);
    if (length < 0.05) continue;
    off[t] = (Math.acos(Math.max(-1, Math.min(1, (x * wx + y * wy) / length))) * 180) / Math.PI;
    weight[t] = area[t];
  }
  return {
    angle,
    p50: quantile(off, weight, 0.5),
    p95: quantile(off, weight, 0.95),
    max: off.reduce((top, x) => Math.max(top, x), 0),
  };
}

function seamIssues(seams: readonly SeamLengths[]): FlatPanels["issues"] {
  return seams
    .filter(({ mismatch, lengthA, lengthB }) => mismatch > Math.max(1, 0.005 * Math.max(lengthA, lengthB)))
    .map(({ id, mismatch, lengthA }) => ({
      code: "seams/sides-differ",
      severity: "warning" as const,
      message: `The two sides of seam ${id} differ by ${mismatch.toFixed(1)} mm.`,
      at: { seam: id },
      found: mismatch,
      limit: Math.max(1, 0.005 * lengthA),
      fix: "Ease the longer side onto the shorter.",
    }));
}

import { flattenTogether, type FlatPanels } from "@peltry/flatten";
import {
  meshArea,
  meshTopology,
  pathLength,
  vertexPoint,
  type MeshRefinement,
  type Point3,
  type TriangleMesh,
} from "@peltry/geometry";
import type { Issue, WorkOptions } from "@peltry/issues";
import { cutIntoPatches, type Patch, type PatchCutting } from "./cut-into-patches";
import { certifyPanels } from "./certify-panels";
import { dartFigures } from "./dart-figures";
import { panelUse } from "./panel-use";
import { boxesOf, type PlanInput } from "./plan-input";
import { roomOf } from "./search/fabric-box";
import { suggestedTotals } from "./plan-curve";
import { polishPanels } from "./polish";
import { reasonFor } from "./reasons";
import { refineAlong, type RefinedLines } from "./refined-lines";
import { sewingIssues } from "./sewing-limits";
import { priceOf, type CurvePoint, type CutGroup } from "./search/greedy";
import type { SurfacePoint } from "@peltry/geometry";
import type { PlanPanel, SeamArc, SeamKind, SeamPlan } from "./types";

/** Cuts on the given mesh, with what the search knows about them. */
export interface FoundGroup extends Omit<CutGroup, "cuts"> {
  readonly paths: readonly (readonly SurfacePoint[])[];
  /** Under symmetry: which of the paths is the image of each; −1 for none. */
  readonly images?: readonly number[] | undefined;
  /** How near misses of vertices are treated, see {@link refineAlong}. */
  readonly snap?: number | undefined;
  readonly state?: SeamArc["state"];
}

/** Cuts on the full form, and the panels that they make. */
export interface Proved {
  readonly groups: readonly FoundGroup[];
  readonly done: Verified;
}

/** The panels of some cuts, laid flat and measured. */
export interface Verified {
  readonly lines: RefinedLines;
  readonly mesh: TriangleMesh;
  readonly regions: Int32Array;
  readonly cutting: PatchCutting;
  readonly flat: FlatPanels;
  readonly panels: readonly PlanPanel[];
  readonly valid: boolean;
  readonly within: boolean;
  /** Sharp corners of the mesh were divided. */
  readonly fine: boolean;
}

/**
 * Cuts the full form and proves the result with the flattener's own certificate; undefined where a patch is no disk.
 *
 * @param fine - divide the triangles at corners that are sharp for the cloth
 * @param start - flat places to begin with, taken as they are where the flattener finds no better ones
 */
export function verify(
  input: PlanInput,
  groups: readonly FoundGroup[],
  start: ((refinement: MeshRefinement, patch: Patch) => Float64Array | undefined) | undefined,
  options: WorkOptions,
  fine = false,
): Verified | undefined {
  const lines = refineAlong(
    input.mesh,
    input.fixed,
    input.regions,
    groups.flatMap((group) => group.paths),
    { room: fine ? roomOf(boxesOf(input.fabrics)) : undefined, snap: groups[0]?.snap },
  );
  const { refinement } = lines;
  const mesh = refinement.toMesh();
  const regions = Int32Array.from(refinement.baseTriangle, (t) => input.regions[t]);
  const cutting = cutAlong(input, mesh, regions, lines);
  if (!cutting.patches.every(({ mesh: own, loops }) => loops.length === 1 && meshTopology(own).euler === 1))
    return undefined;
  const starts = cutting.patches.map((patch) => start?.(refinement, patch));
  const shaped = flattenTogether(
    cutting.patches.map((patch, i) => {
      const fabric = input.fabrics[patch.region];
      return {
        id: patch.id,
        mesh: patch.mesh,
        fabric: fabric.behaviour,
        anyDirection: fabric.anyDirection,
        pile: Float64Array.from({ length: 3 * patch.sourceTriangle.length }, (_, k) => {
          const t = refinement.baseTriangle[patch.sourceTriangle[Math.floor(k / 3)]];
          return input.givenPile[3 * t + (k % 3)];
        }),
        from: starts[i],
      };
    }),
    cutting.seams.map(({ id, a, b }) => ({ id, a, b })),
    { maxIterations: refinement.triangleCount > 10000 ? 120 : 300, signal: options.signal },
  );
  const flat = betterOf(
    input,
    cutting,
    shaped,
    [() => polishPanels(input, refinement, cutting, shaped), () => turnedLike(starts, shaped)],
    (flats) => certifyPanels(input, refinement, cutting, shaped, flats),
  );
  const panels = cutting.patches.map((patch, i): PlanPanel => {
    const panel = flat.panels[i];
    const { within: _, eased: __, ...use } = panelUse(patch.mesh, panel, input.fabrics[patch.region]);
    return {
      id: patch.id,
      region: patch.region,
      triangles: patch.sourceTriangle,
      patch,
      flat: panel,
      use,
      ...extent(panel.positions),
    };
  });
  return {
    lines,
    mesh,
    regions,
    cutting,
    flat,
    panels,
    fine,
    valid: flat.panels.every(({ certificate }) => certificate.flips === 0 && certificate.overlaps === 0),
    within: panels.every((panel, i) => {
      const fabric = input.fabrics[panel.region];
      return (
        panelUse(cutting.patches[i].mesh, panel.flat, fabric).within &&
        panel.flat.grain.p95 <= (fabric.maxPileAngle ?? 180) &&
        panel.widthMm <= (fabric.widthMm ?? Infinity)
      );
    }),
  };
}

/** The refined form cut along its given lines and its cuts. */
export function cutAlong(
  input: PlanInput,
  mesh: TriangleMesh,
  regionOf: Int32Array,
  lines: RefinedLines,
): PatchCutting {
  return cutIntoPatches(mesh, {
    regionOf,
    lines: [
      ...input.fixed.map(({ id, closed }, i) => ({ id, path: lines.fixed[i], closed })),
      ...lines.cuts.map((path, i) => ({ id: `#${i}`, path })),
    ],
  });
}

/** More than any panel that keeps the rule is over. */
const BROKEN = 10;

/**
 * The flattener's own panels when they keep the limits, else the first others that do when they are as valid, else the best
 * of all.
 */
function betterOf(
  input: PlanInput,
  cutting: PatchCutting,
  shaped: FlatPanels,
  others: readonly (() => readonly Float64Array[] | undefined)[],
  certify: (flats: readonly Float64Array[]) => FlatPanels,
): FlatPanels {
  const faults = ({ panels }: FlatPanels): number =>
    panels.reduce((sum, { certificate }) => sum + certificate.flips + certificate.overlaps, 0);
  const over = ({ panels }: FlatPanels): number =>
    panels.reduce((worst, panel, i) => {
      const fabric = input.fabrics[cutting.patches[i].region];
      const use = panelUse(cutting.patches[i].mesh, panel, fabric);
      const astray = panel.grain.p95 / (fabric.maxPileAngle ?? 180) - 1;
      // What keeps the rule comes before what is a little less over on the whole.
      const broken = use.within && astray <= 0 ? 0 : BROKEN;
      return Math.max(worst, broken + use.overArea + Math.max(0, use.peak - 1), astray);
    }, 0);
  let best = shaped;
  for (const other of others) {
    if (over(best) <= 0) return best;
    const flats = other();
    if (!flats) continue;
    const next = certify(flats);
    const even = next.seams.every((seam) => seam.worstAlong <= 0.5 + 0.002 * seam.lengthA);
    if (faults(next) <= faults(best) && even && over(next) < over(best)) best = next;
  }
  return best;
}

/** Flat places moved and turned to lie on the flattener's as well as they can; undefined where a patch has none. */
function turnedLike(
  flats: readonly (Float64Array | undefined)[],
  { panels }: FlatPanels,
): Float64Array[] | undefined {
  const out: Float64Array[] = [];
  for (const [i, flat] of flats.entries()) {
    if (!flat) return undefined;
    const like = panels[i].positions;
    const [from, to] = [flat, like].map((p) => {
      const middle = [0, 0];
      p.forEach((x, k) => (middle[k % 2] += (2 * x) / p.length));
      return middle;
    });
    let c = 0;
    let s = 0;
    for (let k = 0; k < flat.length; k += 2) {
      const [x, y] = [flat[k] - from[0], flat[k + 1] - from[1]];
      const [u, v] = [like[k] - to[0], like[k + 1] - to[1]];
      c += x * u + y * v;
      s += x * v - y * u;
    }
    const size = Math.hypot(c, s) || 1;
    [c, s] = [c / size, s / size];
    out.push(
      flat.map((_, k) => {
        const [x, y] = [flat[k - (k % 2)] - from[0], flat[k - (k % 2) + 1] - from[1]];
        return to[k % 2] + (k % 2 === 0 ? c * x - s * y : s * x + c * y);
      }),
    );
  }
  return out;
}

function extent(positions: Float64Array): { widthMm: number; lengthMm: number } {
  const low = [Infinity, Infinity];
  const high = [-Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    low[i % 2] = Math.min(low[i % 2], positions[i]);
    high[i % 2] = Math.max(high[i % 2], positions[i]);
  }
  return { widthMm: high[0] - low[0], lengthMm: high[1] - low[1] };
}

/** What the flattener says of each panel and the plan says by its own rule, which leaves a spot at a tip some room. */
const SAID_BY_THE_PLAN = ["flatten/over-fabric-limit", "flatten/not-converged"];

/** Puts the plan together for the caller. */
export function finishPlan(
  input: PlanInput,
  groups: readonly FoundGroup[],
  done: Verified,
  curve: readonly CurvePoint[],
  complete: boolean,
  extra: readonly Issue[],
): SeamPlan {
  const { lines, mesh } = done;
  const suggestions = cutArcs(input, groups, done);
  const arcs = [...givenArcs(input, done), ...suggestions];
  const suggested = suggestedTotals(groups);
  const withinLimits = done.valid && done.within;
  return {
    mesh,
    sourceTriangle: Uint32Array.from(lines.refinement.baseTriangle),
    sourcePoint: lines.refinement.place,
    regions: done.regions,
    arcs,
    panels: done.panels,
    seams: done.cutting.seams.map((seam, i) => ({ ...seam, lengths: done.flat.seams[i] })),
    totals: {
      ...totalsOf(arcs),
      suggestedLength: suggested.length,
      suggestedCost: suggested.cost,
      suggestedPrice: groups
        .filter(({ kind }) => kind !== "opening")
        .reduce(
          (sum, group) =>
            sum + priceOf({ ...group, cuts: group.paths.map((path) => ({ path, mark: 0 })) }, input.prices),
          0,
        ),
    },
    curve: curve.map(({ accepted, ...point }) => ({ ...point, withinLimits: accepted })),
    noExtraSeamsNeeded: groups.length === 0 && withinLimits,
    withinLimits,
    complete,
    issues: [
      ...extra,
      ...planIssues(input, done),
      ...sewingIssues(
        input.rules,
        suggestions.map(({ id }) => id),
        done,
      ),
      ...done.flat.issues.filter(({ code }) => !SAID_BY_THE_PLAN.includes(code)),
    ],
  };
}

function lineOf(mesh: TriangleMesh, path: readonly number[]): Point3[] {
  return path.map((v) => vertexPoint(mesh, v));
}

function givenArcs(input: PlanInput, { lines, mesh, cutting }: Verified): SeamArc[] {
  const free = { state: "locked", cost: 0, price: 0, strainBefore: 0, strainAfter: 0 } as const;
  const given = input.fixed.map(({ id, closed }, i): SeamArc => {
    const path = lines.fixed[i];
    const run = closed ? [...path, path[0]] : path;
    return {
      id,
      kind: "given",
      origin: "person",
      reason: "Drawn as a seam; it costs nothing here.",
      length: pathLength(mesh.positions, run),
      path,
      closed,
      line: lineOf(mesh, path),
      ...free,
    };
  });
  const borders = cutting.seams
    .filter((seam) => seam.lines.length === 0)
    .map((seam, i): SeamArc => {
      const patch = cutting.patches.find((p) => p.id === seam.a.patch)!;
      const path = seam.a.path.map((v) => patch.sourceVertex[v]);
      return {
        id: `border${i + 1}`,
        kind: "border",
        origin: "form",
        reason: "Two fabrics or colours meet here, so there is a seam anyway.",
        length: pathLength(mesh.positions, path),
        path,
        closed: false,
        line: lineOf(mesh, path),
        ...free,
      };
    });
  return [...given, ...borders];
}

function cutArcs(input: PlanInput, groups: readonly FoundGroup[], done: Verified): SeamArc[] {
  const { lines, mesh } = done;
  const arcs: SeamArc[] = [];
  const count = new Map<SeamKind, number>();
  let at = 0;
  for (const group of groups) {
    const ids = group.paths.map((_, k) => {
      const next = (count.get(group.kind) ?? 0) + 1;
      count.set(group.kind, next);
      return group.id ? (k === 0 ? group.id : `${group.id}m${k > 1 ? k : ""}`) : `${group.kind}${next}`;
    });
    const images = group.images ?? (ids.length === 2 ? [1, 0] : []);
    group.paths.forEach((_, k) => {
      const path = lines.cuts[at];
      const share = 1 / group.paths.length;
      const figures = dartFigures(done, at);
      arcs.push({
        id: ids[k],
        kind: group.kind,
        origin: "suggestion",
        state: group.state ?? "proposed",
        reason: reasonFor(group),
        length: pathLength(mesh.positions, path),
        cost: group.cost * share,
        price: priceOf(
          { kind: group.kind, cost: group.cost * share, cuts: [{ path: [], mark: 0 }] },
          input.prices,
        ),
        strainBefore: group.before,
        strainAfter: group.after,
        path,
        closed: false,
        line: lineOf(mesh, path),
        partner: ids[images[k]],
        dart: figures && {
          mouth: figures.mouth,
          angle: figures.angle,
          legDifference: figures.legDifference,
        },
      });
      at++;
    });
  }
  return arcs;
}

const KINDS: readonly SeamKind[] = ["given", "border", "opening", "seam", "dart", "fold", "gusset", "width"];

function totalsOf(arcs: readonly SeamArc[]): Pick<SeamPlan["totals"], "length" | "count"> {
  const length = Object.fromEntries(KINDS.map((kind) => [kind, 0])) as Record<SeamKind, number>;
  const count = Object.fromEntries(KINDS.map((kind) => [kind, 0])) as Record<SeamKind, number>;
  for (const arc of arcs) {
    length[arc.kind] += arc.length;
    count[arc.kind]++;
  }
  return { length, count };
}

function planIssues(input: PlanInput, done: Verified): Issue[] {
  const out: Issue[] = [];
  done.panels.forEach((panel, i) => {
    const fabric = input.fabrics[panel.region];
    const { certificate, grain } = panel.flat;
    const at = { panel: panel.id };
    if (certificate.flips > 0 || certificate.overlaps > 0) {
      out.push({
        code: "seams/panel-overlaps",
        severity: "error",
        message: `Panel ${panel.id} lies over itself: ${certificate.flips} turned triangles, ${certificate.overlaps} crossings of its outline.`,
        at,
        found: certificate.flips + certificate.overlaps,
        limit: 0,
        fix: "Draw a seam through it, or allow seams where they are forbidden.",
      });
    }
    const { within, eased } = panelUse(done.cutting.patches[i].mesh, panel.flat, fabric);
    if (eased) {
      const size = panel.use.overArea * meshArea(done.cutting.patches[i].mesh);
      out.push({
        code: "seams/eased-spot",
        severity: "note",
        message: `On ${(size / 100).toFixed(1)} cm² of panel ${panel.id} the cloth is worked in by hand: up to ${Math.round(100 * panel.use.peak)} % of what it can give.`,
        at,
        found: panel.use.peak,
        limit: 1.1,
        fix: "Steam it to shape, or ease it along the nearest seam; a dart there would be too small to sew.",
      });
    }
    if (!within) {
      out.push({
        code: "seams/over-limit",
        severity: "warning",
        message: `Panel ${panel.id} asks ${Math.round(100 * panel.use.peak)} % of what its fabric can give.`,
        at,
        found: panel.use.peak,
        limit: 1.05,
        fix: "Take a cloth that gives more, or allow more seams.",
      });
    }
    if (grain.p95 > (fabric.maxPileAngle ?? 180)) {
      out.push({
        code: "seams/pile-astray",
        severity: "warning",
        message: `The pile of panel ${panel.id} strays by up to ${grain.p95.toFixed(0)}° from straight down.`,
        at,
        found: grain.p95,
        limit: fabric.maxPileAngle!,
        fix: "Draw a seam along the pile, or allow more.",
      });
    }
    if (panel.widthMm > (fabric.widthMm ?? Infinity)) {
      out.push({
        code: "seams/wider-than-cloth",
        severity: "warning",
        message: `Panel ${panel.id} is ${panel.widthMm.toFixed(0)} mm across the pile; the cloth is ${fabric.widthMm} mm wide.`,
        at,
        found: panel.widthMm,
        limit: fabric.widthMm!,
        fix: "Draw a seam along the pile, or take wider cloth.",
      });
    }
  });
  return out;
}

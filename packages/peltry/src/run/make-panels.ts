import { flattenTogether } from "@peltry/flatten";
import type { Form, MadeTufts } from "@peltry/forms";
import { meshTopology, slicePolyline, type Point, type Point3 } from "@peltry/geometry";
import { fail, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import type { Marking, Panel, Pattern } from "@peltry/pattern";
import {
  cutIntoPatches,
  patternFromPatches,
  type Patch,
  type PatchCutting,
  type PatchSeam,
  type SeamLine,
} from "@peltry/seams";
import type { SurfacePart } from "../project/schema";
import { takeTriples } from "./carry-form";
import { joinedRims, joinRims, type RimJoin } from "./join-rims";
import { letInGussets, slitRims, type GussetSlit } from "./let-in-gussets";
import type { MadePart, WornPanel } from "./made-part";
import type { Cloth } from "./resolve-cloth";

/** Where the cloth cannot follow the form, more iterations only move the fault about; where it can, fewer are enough. */
const MOST_ITERATIONS = 300;

/** What {@link makePanels} works from. */
export interface PanelInput {
  readonly part: SurfacePart;
  readonly form: Form;
  /** Cloth of each region of the form. */
  readonly clothOf: (region: number) => Cloth;
  /** Lines to cut along, suggested ones included. */
  readonly lines: readonly SeamLine[];
  /** The form cut along those lines, where that was done already. */
  readonly cutting?: PatchCutting;
  /** Panels that are flat from the start, such as a sole: they come behind those of the form. */
  readonly flatPanels?: readonly Panel[];
  /** Where their edges meet the rim of the form. */
  readonly rimJoins?: readonly RimJoin[];
  /** Tufts in the grooves of a paw. */
  readonly tufts?: MadeTufts;
  /** Where gussets go in. */
  readonly slits?: readonly GussetSlit[];
  /** Cloth of such a panel by the name that it goes by. */
  readonly clothNamed?: (name: string) => Cloth;
}

/**
 * Cuts a form into patches, flattens them together and names the panels.
 *
 * @throws `run/not-opened` when a part of the form stays a closed tube or hollow
 */
export function makePanels(
  input: PanelInput,
  work: WorkOptions = {},
): { readonly made: MadePart; readonly cutting: PatchCutting } {
  const { part, form } = input;
  throwIfCancelled(work.signal);
  const corners = input.rimJoins?.map((join) => join.from);
  const cutting =
    input.cutting ??
    cutIntoPatches(form.mesh, {
      regionOf: form.regionOf,
      lines: input.lines,
      ...(corners ? { corners } : {}),
    });
  cutting.patches.forEach((patch) => refuseUnopened(patch, input));
  const cloths = cutting.patches.map((patch) => input.clothOf(patch.region));
  // Soles and gussets are flat already: what meets them keeps the length that it has on the form.
  const kept = [joinedRims(cutting, input.rimJoins), slitRims(cutting, input.slits)];
  const trueLengths = (patch: number) =>
    kept.flatMap((runs) => (runs.get(patch) ?? []).map((path) => ({ kind: "true-length" as const, path })));
  const flat = flattenTogether(
    cutting.patches.map((patch, i) => ({
      id: patch.id,
      mesh: patch.mesh,
      fabric: cloths[i].behaviour,
      holes: "keep" as const,
      constraints: trueLengths(i),
      ...(form.pile ? { pile: takeTriples(form.pile, patch.sourceTriangle) } : {}),
    })),
    cutting.seams.map(({ id, a, b }) => ({ id, a, b })),
    { ...work, maxIterations: MOST_ITERATIONS },
  );
  const names = panelNames(cutting.patches, form);
  const rims = rimNames(form);
  const pattern = patternFromPatches(
    cutting,
    flat.panels.map((panel) => panel.positions),
    {
      name: part.name,
      panel: (_, i) => ({
        id: `${part.id}-${names[i].id}`,
        name: `${part.name}: ${names[i].name}`,
        fabric: cloths[i].id,
        ...(cloths[i].hasPile ? { pile: flat.panels[i].grain.angle } : { grain: flat.panels[i].grain.angle }),
        ...(cloths[i].stretchesAcross ? { stretch: flat.panels[i].grain.angle + 90 } : {}),
        count: 1,
        mirrored: part.pair,
      }),
      rim: (rim) => ({ role: "hem", name: rims[rim] }),
      seamName: (seam) =>
        seam.lines.map((id) => form.curves.find((curve) => curve.id === id)?.name ?? id).join(" and ") ||
        borderName(seam, cutting, form),
    },
  );
  const joined = joinRims(withFlatPanels(pattern, input), cutting, input);
  const whole = drawGrooves(
    letInGussets(joined, cutting, part.id, input.slits),
    cutting,
    flat.panels.map((panel) => panel.positions),
    input,
  );
  const idOf = new Map(cutting.patches.map((patch, i) => [patch.id, pattern.panels[i].id]));
  const issues = flat.issues.map((issue): Issue => {
    const panel = idOf.get(issue.at.panel ?? "");
    return panel === undefined ? issue : { ...issue, at: { ...issue.at, panel } };
  });
  const worn = cutting.patches.map((patch, i): WornPanel => {
    const { positions, strain, certificate, grain } = flat.panels[i];
    return {
      panel: pattern.panels[i].id,
      name: pattern.panels[i].name,
      mesh: patch.mesh,
      flat: positions,
      cloth: cloths[i],
      measured: { strain, certificate, grain },
    };
  });
  const made: MadePart = {
    part,
    pattern: whole,
    worn,
    seamLines: cutting.seams.map((seam) => seamLine(seam, cutting)),
    worstSeamMm: Math.max(0, ...flat.seams.map((seam) => seam.mismatch)),
    flips: flat.panels.reduce((sum, panel) => sum + panel.certificate.flips, 0),
    overlaps: flat.panels.reduce((sum, panel) => sum + panel.certificate.overlaps, 0),
    issues,
  };
  return { made, cutting };
}

/** Toe grooves of a paw as lines on the panels that they run over: the part of each that lies inside. */
function drawGrooves(
  pattern: Pattern,
  { patches }: PatchCutting,
  flats: readonly Float64Array[],
  { form, tufts }: PanelInput,
): Pattern {
  const grooves = form.curves.filter(({ id }) => id.startsWith("groove-"));
  if (grooves.length === 0) return pattern;
  const panels = pattern.panels.map((panel, i): Panel => {
    if (i >= patches.length) return panel;
    const own = new Map(Array.from(patches[i].sourceVertex, (v, k) => [v, k] as const));
    const edge = new Set(patches[i].loops.flat().flatMap(({ path }) => path));
    const markings = grooves.flatMap(({ id, name, path }): Marking[] => {
      const at = (v: number): Point[] => {
        const k = own.get(v);
        return k === undefined ? [] : [[flats[i][2 * k], flats[i][2 * k + 1]]];
      };
      const points = path.filter((v) => !edge.has(own.get(v) ?? -1)).flatMap(at);
      if (points.length < 2) return [];
      const whole = path.flatMap(at);
      const roots = (tufts?.roots ?? []).map(([from, to], k): Marking => ({
        id: `${id}-tuft-${k + 1}`,
        kind: "line",
        points: slicePolyline(whole, Math.max(1, from), to),
        label: "Tuft",
      }));
      return [{ id, kind: "line", points, label: name }, ...roots];
    });
    return markings.length === 0
      ? panel
      : {
          ...panel,
          markings: [...panel.markings, ...markings],
          notes: [
            ...(panel.notes ?? []),
            "Toe grooves: pinch the cloth along each line and catch it down by hand from the inside, before the sole edge is finished.",
          ],
        };
  });
  return { ...pattern, panels };
}

function seamLine(seam: PatchSeam, cutting: PatchCutting): Point3[] {
  const patch = cutting.patches.find((each) => each.id === seam.a.patch)!;
  const p = patch.mesh.positions;
  return seam.a.path.map((v): Point3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]]);
}

function withFlatPanels(pattern: Pattern, { part, flatPanels, clothNamed }: PanelInput): Pattern {
  if (!flatPanels?.length || !clothNamed) return pattern;
  const extra = flatPanels.map((panel): Panel => ({
    ...panel,
    id: `${part.id}-${panel.id}`,
    name: `${part.name}: ${panel.name}`,
    fabric: clothNamed(panel.fabric).id,
    // What finds no partner is sewn to what lies outside this part.
    edges: panel.edges.map((edge) =>
      edge.role === "seam" && edge.seam === undefined ? { ...edge, role: "raw" as const } : edge,
    ),
    mirrored: part.pair,
  }));
  return { ...pattern, panels: [...pattern.panels, ...extra] };
}

/** A loop of rim edges inside a patch means that the patch is still a tube. */
function refuseUnopened(patch: Patch, input: PanelInput): void {
  const rims = patch.loops.filter((loop) => loop.every((edge) => edge.rim !== undefined));
  const region = input.form.regions[patch.region]?.name ?? String(patch.region);
  if (patch.loops.length === 0 || (patch.loops.length > 1 && rims.length > 0)) {
    const what = patch.loops.length === 0 ? "a closed hollow" : `a tube with ${patch.loops.length} open ends`;
    fail(
      "run/not-opened",
      `Part "${input.part.id}": the ${region} surface is ${what} and cannot lie flat.`,
      { path: ["parts", input.part.id, "seams"] },
      {
        found: input.lines.map((line) => line.id).join(", ") || "no lines",
        fix: "Name a line that runs from edge to edge under seams.lines, or set seams.extra: suggest.",
      },
    );
  }
}

/** One name a patch: its region, numbered from the top where a region gives several. */
function panelNames(patches: readonly Patch[], form: Form): { id: string; name: string }[] {
  const middle = (patch: Patch): number => {
    let sum = 0;
    for (let i = 1; i < patch.mesh.positions.length; i += 3) sum += patch.mesh.positions[i];
    return sum / (patch.mesh.positions.length / 3);
  };
  return patches.map((patch) => {
    const region = form.regions[patch.region] ?? {
      id: `region-${patch.region}`,
      name: `Region ${patch.region}`,
    };
    const same = patches
      .filter((other) => other.region === patch.region)
      .sort((a, b) => middle(b) - middle(a));
    const rank = same.indexOf(patch) + 1;
    return same.length === 1
      ? { id: region.id, name: region.name }
      : { id: `${region.id}-${rank}`, name: `${region.name} ${rank}` };
  });
}

/** A border between two cloths is called after the smaller of its two regions. */
function borderName(seam: PatchSeam, cutting: PatchCutting, form: Form): string {
  const sides = [seam.a, seam.b].map(({ patch }) => cutting.patches.find((each) => each.id === patch)!);
  const [smaller] = sides.sort((a, b) => a.sourceTriangle.length - b.sourceTriangle.length);
  return `${form.regions[smaller.region]?.name ?? "Region"} border`;
}

/** Names of the form's border loops, from its rim curves. */
function rimNames(form: Form): string[] {
  const rims = form.curves.filter((curve) => curve.kind === "rim");
  return meshTopology(form.mesh).loops.map((loop) => {
    const members = new Set(loop);
    return (
      rims
        .filter((rim) => rim.path.every((v) => members.has(v)))
        .map((rim) => rim.name)
        .join(" and ") || "Edge"
    );
  });
}

import type { Form, FormCurve } from "@peltry/forms";
import { fail, type Issue, type WorkOptions } from "@peltry/issues";
import { openTubes, planSeams, type PatchCutting, type SeamFabric, type SeamLine } from "@peltry/seams";
import type { ReadProject } from "../project/read-project";
import type { SurfacePart } from "../project/schema";
import { carryForm } from "./carry-form";
import type { GussetSlit } from "./let-in-gussets";
import type { Cloth } from "./resolve-cloth";

/** Where a part is cut. */
export interface PlannedLines {
  /** The form; refined where suggested seams were inserted. */
  readonly form: Form;
  readonly lines: readonly SeamLine[];
  readonly clothOf: (region: number) => Cloth;
  /** Cloth of a flat panel: the part's fabric of that name, else the first. */
  readonly clothNamed: (name: string) => Cloth;
  readonly issues: readonly Issue[];
  /** The form cut along the lines; absent where suggested ones were added. */
  readonly cutting?: PatchCutting;
}

export interface PlanInput {
  readonly read: ReadProject;
  readonly part: SurfacePart;
  readonly index: number;
  readonly form: Form;
  /** Vertices of the form where a rim is to be divided. */
  readonly corners?: readonly number[];
  /** Gussets are let into seams: a line that was none becomes one. */
  readonly slits?: readonly GussetSlit[];
  readonly cloths: ReadonlyMap<string, Cloth>;
  readonly work: WorkOptions;
}

/**
 * The lines of a form that become seams: those the project names, else every drawn one. A tube that none of them opens gets
 * the shortest opening; with `extra: suggest` the fabric adds what it cannot do without.
 *
 * @throws `run/unknown-line`, `run/region-without-fabric`, `run/unknown-fabric`
 */
export function planLines(input: PlanInput): PlannedLines {
  const clothOf = clothByRegion(input);
  const chosen = chooseLines(input);
  input.form.regions.forEach((_, region) => {
    if (input.form.regionOf.includes(region)) clothOf(region);
  });
  const opened = openForm(input, chosen);
  const clothNamed = (name: string): Cloth =>
    input.cloths.get(input.part.fabrics[name] ?? Object.values(input.part.fabrics)[0])!;
  if (input.part.seams?.extra !== "suggest") return { ...opened, clothOf, clothNamed };
  const planned = suggestLines(input, opened, clothOf);
  return { ...planned, clothOf, clothNamed, issues: [...opened.issues, ...planned.issues] };
}

function chooseLines(input: PlanInput): Set<string> {
  const { form, part } = input;
  const wanted = part.seams?.lines;
  const known = form.curves.filter((curve) => curve.kind === "drawn" || curve.kind === "level");
  wanted?.forEach((id, i) => {
    if (known.some((curve) => curve.id === id)) return;
    fail(
      "run/unknown-line",
      `The form has no line "${id}".`,
      input.read.place(["parts", input.index, "seams", "lines", i]),
      {
        found: id,
        limit: known.map((curve) => curve.id).join(", "),
        fix: `Its lines are: ${known.map((curve) => curve.id).join(", ")}.`,
      },
    );
  });
  return new Set([
    ...known
      .filter((curve) => (wanted ? wanted.includes(curve.id) : curve.kind === "drawn"))
      .map((curve) => curve.id),
    ...(input.slits ?? []).flatMap(({ along, curve }) =>
      known.some((each) => each.id === along) ? [along, curve] : [],
    ),
  ]);
}

type Lines = Pick<PlannedLines, "form" | "lines" | "issues" | "cutting">;

function openForm({ form, part, corners }: PlanInput, chosen: ReadonlySet<string>): Lines {
  const opened = openTubes(
    form.mesh,
    form.regionOf,
    form.curves.map((curve) => ({ ...curve, cut: chosen.has(curve.id) })),
    corners,
  );
  const curves = form.curves.map((curve, i): FormCurve => ({ ...curve, path: opened.lines[i] }));
  opened.openings.forEach(({ path }, i) =>
    curves.push({ id: `opening-${i + 1}`, name: `Opening ${i + 1}`, kind: "drawn", path, closed: false }),
  );
  const cut = curves.filter((curve) => chosen.has(curve.id) || curve.id.startsWith("opening-"));
  return {
    form: opened.mesh === form.mesh ? form : carryForm(form, opened, curves),
    lines: cut.map(({ id, path, closed }) => ({ id, path, closed })),
    cutting: opened.cutting,
    issues: opened.openings.map(({ length }, i) => ({
      code: "run/tube-opened",
      severity: "note",
      message: `Part "${part.id}": no line opened one of its tubes, so a seam of ${Math.round(length)} mm was added (opening ${i + 1}).`,
      at: { path: ["parts", part.id, "seams"] },
      fix: "Draw or name a line from edge to edge if you want it elsewhere.",
    })),
  };
}

/** What a plan adds, as lines on its refined form. */
function suggestLines(input: PlanInput, given: Lines, clothOf: (region: number) => Cloth): Lines {
  const { form } = given;
  const fabrics = form.regions.map((_, region): SeamFabric => {
    if (!form.regionOf.includes(region)) return {};
    const cloth = clothOf(region);
    return { name: cloth.name, behaviour: cloth.behaviour };
  });
  const decisions = input.part.seams?.decisions ?? [];
  const plan = planSeams(form.mesh, {
    regions: form.regionOf,
    fabrics,
    fixed: given.lines.map(({ id, path, closed }) => ({ id, path, closed })),
    ...(form.pile ? { pile: form.pile } : {}),
    decisions,
    signal: input.work.signal,
    onProgress: input.work.onProgress,
  });
  const named = plan.arcs.filter((arc) => arc.kind !== "border");
  const suggested = named.filter((arc) => arc.origin === "suggestion");
  const curves = named.map((arc): FormCurve => ({
    id: arc.id,
    name: arcName(arc, form),
    kind: "drawn",
    path: arc.path,
    closed: arc.closed,
  }));
  const rims = form.curves.filter((curve) => curve.kind === "rim");
  return {
    form: carryForm(form, { mesh: plan.mesh, regionOf: plan.regions, sourceTriangle: plan.sourceTriangle }, [
      ...curves,
      ...rims,
    ]),
    lines: curves.map(({ id, path, closed }) => ({ id, path, closed })),
    issues: [
      ...plan.issues,
      ...suggested.map((arc): Issue => ({
        code: "run/seam-suggested",
        severity: "note",
        message: `Part "${input.part.id}": ${arcName(arc, form)} of ${Math.round(arc.length)} mm added. ${arc.reason}`,
        at: { seam: arc.id },
        fix: "Accept, lock or reject it under seams.decisions.",
      })),
      ...(plan.noExtraSeamsNeeded
        ? [
            {
              code: "run/no-extra-seams",
              severity: "note",
              message: `Part "${input.part.id}": planned for ${used(fabrics)}; no seam or dart is needed beyond those drawn.`,
              at: { path: ["parts", input.part.id, "seams"] },
            } as const,
          ]
        : []),
    ],
  };
}

/** Names of the fabrics that a form wears. */
function used(fabrics: readonly SeamFabric[]): string {
  return [...new Set(fabrics.flatMap(({ name }) => name ?? []))].join(" and ");
}

function arcName(arc: { id: string; kind: string }, form: Form): string {
  const curve = form.curves.find((each) => each.id === arc.id);
  return curve?.name ?? `${arc.kind.charAt(0).toUpperCase()}${arc.kind.slice(1)} ${arc.id}`;
}

function clothByRegion({ read, part, index, form, cloths }: PlanInput): (region: number) => Cloth {
  for (const [region, fabric] of Object.entries(part.fabrics)) {
    if (cloths.has(fabric)) continue;
    fail(
      "run/unknown-fabric",
      `The project has no fabric "${fabric}".`,
      read.place(["parts", index, "fabrics", region]),
      {
        found: fabric,
        limit: [...cloths.keys()].join(", ") || "none",
        fix: `Add it under fabrics:, or use one of: ${[...cloths.keys()].join(", ")}.`,
      },
    );
  }
  return (region) => {
    const id = form.regions[region]?.id ?? "";
    const fabric =
      part.fabrics[id] ?? (form.regions.length === 1 ? Object.values(part.fabrics)[0] : undefined);
    const cloth = fabric === undefined ? undefined : cloths.get(fabric);
    if (cloth && !cloth.isCloth) {
      fail(
        "run/not-a-cloth",
        `${cloth.name} (${cloth.entry.id}) is of the family ${cloth.entry.family}, which is not sewn as cloth over a form.`,
        read.place(["parts", index, "fabrics", id]),
        { found: cloth.entry.family, fix: "Choose a fabric; foam belongs under horns, ears and pads." },
      );
    }
    return (
      cloth ??
      fail(
        "run/region-without-fabric",
        `The region "${id}" of the form has no fabric.`,
        read.place(["parts", index, "fabrics"]),
        {
          found: Object.keys(part.fabrics).join(", ") || "none",
          limit: form.regions.map((each) => each.id).join(", "),
          fix: `Add "${id}: <fabric>" here.`,
        },
      )
    );
  };
}

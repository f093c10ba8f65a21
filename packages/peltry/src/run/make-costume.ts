import type { PanelAllowance } from "@peltry/allowance";
import { throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import { TUFT_ROOT, type CorrectionReport } from "@peltry/forms";
import type { Layout } from "@peltry/layout";
import type { CompletedBody } from "@peltry/measure";
import { checkPattern, placeNotches, type Pattern } from "@peltry/pattern";
import type { Finding } from "@peltry/wear";
import { sewingOrder, type SewingPlan } from "@peltry/seams";
import type { ProjectFiles } from "../project/project-files";
import type { ReadProject } from "../project/read-project";
import type { ProjectPart, ReadyPart } from "../project/schema";
import { addClosures } from "./add-closures";
import { addSpots } from "./add-spots";
import { completeWearer } from "./complete-wearer";
import { estimateMaking, type MakingEstimate } from "./estimate-making";
import { checkCostume } from "./wear-case";
import { checkGlues, type CheckedGlue } from "./check-glues";
import { addAllowances } from "./cut-lines";
import { layOutPanels } from "./lay-out-panels";
import { makeForm } from "./make-form";
import type { MadePart } from "./made-part";
import { makePanels } from "./make-panels";
import { makeReady } from "./make-ready";
import { mergePatterns } from "./merge-patterns";
import { planLines } from "./plan-lines";
import { resolveCloths, type Cloth } from "./resolve-cloth";

/** A costume, computed: everything that the writers need. */
export interface MadeCostume {
  readonly read: ReadProject;
  readonly body?: CompletedBody;
  readonly cloths: ReadonlyMap<string, Cloth>;
  /** True where any panel is of a cloth with pile. */
  readonly hasPile: boolean;
  readonly parts: readonly MadePart[];
  /** All parts in one pattern, notched. */
  readonly pattern: Pattern;
  readonly allowances: ReadonlyMap<string, PanelAllowance>;
  readonly layout: Layout;
  readonly sewing: SewingPlan;
  readonly glues: readonly CheckedGlue[];
  /** Can it be worn: stops first, then cautions, then notes. */
  readonly wear: readonly Finding[];
  /** Thread, time, cost and the order of work. */
  readonly making: MakingEstimate;
  /** Try-on corrections as measured on the forms, before and after. */
  readonly corrections: readonly (CorrectionReport & { readonly part: string })[];
  readonly issues: readonly Issue[];
}

/** Stages of the work as a person would name them. */
export type Stage = "measures" | "form" | "seams" | "flatten" | "pattern" | "layout" | "wear" | "print";

/** Options of {@link makeCostume}. */
export interface MakeOptions extends WorkOptions {
  readonly onStage?: ((stage: Stage, what: string) => void) | undefined;
}

/**
 * The main job: from a project to a pattern with cut lines, laid out on the fabric that is there.
 *
 * @throws every typed error of the packages below, with its place in the project file where there is one
 */
export function makeCostume(read: ReadProject, files: ProjectFiles, options: MakeOptions = {}): MadeCostume {
  const { signal, onProgress, onStage } = options;
  const work: WorkOptions = { signal, onProgress };
  const { project } = read;
  onStage?.("measures", "Measures and materials");
  const wearer = completeWearer(read);
  const cloths = resolveCloths(read);
  const corrections: (CorrectionReport & { readonly part: string })[] = [];
  const made = new Map<string, MadePart>();
  const remarks = new Map<string, readonly Issue[]>();
  for (const { part, index } of inOrderOfMaking(project.parts)) {
    throwIfCancelled(signal);
    onStage?.("form", `${part.name}: form`);
    if (isReadyPart(part)) {
      const drawn = makeReady({ read, part, index, cloths, made, ...(wearer ? { body: wearer.body } : {}) });
      const ready = addSpots(addClosures(drawn, { read, index }), { read, index, cloths });
      made.set(part.id, ready);
      remarks.set(part.id, ready.issues);
      continue;
    }
    const shaped = makeForm({
      read,
      files,
      part,
      index,
      cloths,
      made,
      ...(wearer ? { body: wearer.body } : {}),
    });
    onStage?.("seams", `${part.name}: seams`);
    const plan = planLines({
      read,
      part,
      index,
      form: shaped.form,
      ...(shaped.rimJoins ? { corners: shaped.rimJoins.map((join) => join.from) } : {}),
      ...(shaped.slits ? { slits: shaped.slits } : {}),
      cloths,
      work,
    });
    onStage?.("flatten", `${part.name}: flat panels`);
    const flat = makePanels(
      {
        part,
        form: plan.form,
        clothOf: plan.clothOf,
        clothNamed: plan.clothNamed,
        lines: plan.lines,
        ...(plan.cutting ? { cutting: plan.cutting } : {}),
        flatPanels: shaped.flatPanels,
        ...(shaped.rimJoins ? { rimJoins: shaped.rimJoins } : {}),
        ...(shaped.tufts ? { tufts: shaped.tufts } : {}),
        ...(shaped.slits ? { slits: shaped.slits } : {}),
      },
      work,
    );
    const closed = addClosures(flat.made, { read, index, cutting: flat.cutting });
    const panels = addSpots(closed, { read, index, cloths });
    if (shaped.corrections)
      corrections.push(...shaped.corrections.map((report) => ({ part: part.name, ...report })));
    made.set(part.id, panels);
    remarks.set(part.id, [...shaped.issues, ...plan.issues, ...panels.issues]);
  }
  const parts = project.parts.map((part) => made.get(part.id)!);
  // Only cloth that was fitted to a form has to stretch: what is guessed about the rest does not matter.
  const fitted = new Set(parts.flatMap(({ worn }) => worn.flatMap((w) => (w.measured ? [w.cloth?.id] : []))));
  const issues: Issue[] = [
    ...(wearer?.issues ?? []),
    ...[...cloths.values()].flatMap((cloth) => (fitted.has(cloth.id) ? cloth.issues : [])),
    ...parts.flatMap((part) => remarks.get(part.part.id)!),
  ];
  onStage?.("pattern", "Pattern, notches and allowance");
  const merged = mergePatterns(
    project.name,
    parts.map((made) => ({ id: made.part.id, pattern: made.pattern })),
  );
  const fabrics = [...cloths.values()].map((cloth) => ({
    id: cloth.id,
    name: cloth.name,
    pileMm: cloth.pileMm,
  }));
  const pattern: Pattern = placeNotches({ ...merged, fabrics });
  issues.push(...checkPattern(pattern));
  const allowances = addAllowances(pattern, project, cloths, parts);
  for (const allowance of allowances.values()) issues.push(...allowance.issues);
  throwIfCancelled(signal);
  onStage?.("layout", "Layout on the fabric");
  const layout = layOutPanels(read, pattern, allowances, cloths, work);
  const sewing = sewPartByPart(pattern, parts);
  const glues = checkGlues(read);
  onStage?.("wear", "Wear checks and work plan");
  const wear = checkCostume({ read, parts, ...(wearer ? { body: wearer.body } : {}) });
  const making = estimateMaking({ read, pattern, parts, cloths, allowances, sewing, layout });
  issues.push(
    ...layout.issues,
    ...sewing.issues,
    ...glues.flatMap((glue) => glue.issues),
    ...stopIssues(wear),
  );
  return {
    read,
    ...(wearer ? { body: wearer.body } : {}),
    cloths,
    hasPile: pattern.panels.some((panel) => cloths.get(panel.fabric)?.hasPile),
    parts,
    pattern,
    allowances,
    layout,
    sewing,
    glues,
    wear,
    making,
    corrections,
    issues,
  };
}

/** Covers after the legs that their cuffs meet, bands last: they weigh what stands on them. */
function inOrderOfMaking(parts: readonly ProjectPart[]): { part: ProjectPart; index: number }[] {
  const turn = (part: ProjectPart): number =>
    part.kind === "headband" ? 2 : part.kind === "boot-cover" ? 1 : 0;
  return parts
    .map((part, index) => ({ part, index }))
    .sort((a, b) => turn(a.part) - turn(b.part) || a.index - b.index);
}

const SURFACES: ReadonlySet<string> = new Set(["leg", "boot-cover", "scan"]);

function isReadyPart(part: ProjectPart): part is ReadyPart {
  return !SURFACES.has(part.kind);
}

/** One part is sewn after the other, so that the table holds the pieces of one. Foam, board and tufts have no edges to finish. */
function sewPartByPart(pattern: Pattern, parts: readonly MadePart[]): SewingPlan {
  const plans = parts.map(({ pattern: own }) => {
    const ids = new Set(own.panels.map((panel) => panel.id));
    return sewingOrder({
      ...pattern,
      panels: pattern.panels.filter((panel) => ids.has(panel.id)),
      seams: pattern.seams.filter((seam) => ids.has(seam.a.panel)),
    });
  });
  const stiff = new Set(
    pattern.panels
      .filter(({ layer, edges }) => layer === "padding" || layer === "facing" || edges[0]?.id === TUFT_ROOT)
      .map(({ id }) => id),
  );
  return {
    steps: plans.flatMap(({ steps }) =>
      steps.filter((step) => step.kind !== "finish" || !stiff.has(step.panel ?? "")),
    ),
    issues: plans.flatMap(({ issues }) => issues),
  };
}

/** What must not be worn like this belongs among the things to mend. */
function stopIssues(findings: readonly Finding[]): Issue[] {
  return findings
    .filter(({ level }) => level === "stop")
    .map(({ subject, what, figure, limit, source, fix }): Issue => ({
      code: "run/not-to-be-worn-like-this",
      severity: "error",
      message: `Wearing it, ${subject}: ${what}`,
      at: { path: ["wearing"] },
      ...(figure === undefined ? {} : { found: figure }),
      ...(limit === undefined ? {} : { limit }),
      ...(fix === undefined ? {} : { fix }),
      source,
    }));
}

import { polylineLength } from "@peltry/geometry";
import { resolveValue } from "@peltry/materials";
import { findEdge, findPanel, panelEdges, type Panel, type Pattern } from "@peltry/pattern";
import {
  estimateThread,
  estimateWork,
  planEvenings,
  type Evening,
  type SeamRun,
  type Task,
  type WorkEstimate,
} from "@peltry/wear";
import type { PanelAllowance } from "@peltry/allowance";
import type { Layout } from "@peltry/layout";
import type { SewingPlan } from "@peltry/seams";
import type { ReadProject } from "../project/read-project";
import { located } from "./located";
import type { MadePart } from "./made-part";
import type { Cloth } from "./resolve-cloth";

/** What the making takes: thread, hours, money, and an order over evenings. */
export interface MakingEstimate {
  readonly thread: ReturnType<typeof estimateThread>;
  readonly work: WorkEstimate;
  readonly evenings: readonly Evening[];
  readonly eveningHours: number;
}

export interface MakingInput {
  readonly read: ReadProject;
  readonly pattern: Pattern;
  readonly parts: readonly MadePart[];
  readonly cloths: ReadonlyMap<string, Cloth>;
  readonly allowances: ReadonlyMap<string, PanelAllowance>;
  readonly sewing: SewingPlan;
  readonly layout: Layout;
}

/** Stitches taken for the estimate, mm. Judgement; common practice, no source. */
const MACHINE = { stitch: "301", stitchMm: 3 } as const;
const STRETCHY = { stitch: "304", stitchMm: 2.5, widthMm: 3 } as const;
const CLOSING = { stitch: "ladder", stitchMm: 4, gapMm: 1 } as const;
const TURNING_UP = { stitch: "whip", stitchMm: 5, widthMm: 4 } as const;
/** A layer of cloth whose thickness nobody gave, its pile trimmed away, mm; and the most that a seam is pressed to. */
const LAYER_MM = 1.5;
const PRESSED_MM = 4;

/** Hours that no seam accounts for, low to high. From memory, low confidence. */
const EXTRA: Readonly<
  Partial<Record<MadePart["part"]["kind"], readonly [string, readonly [number, number]]>>
> = {
  leg: ["pads cut, shaped and fixed", [2, 6]],
  tail: ["stuffing and closing", [0.5, 1]],
  ears: ["wire bent, turned and shaped", [0.5, 1]],
  horn: ["core, bulk and base", [1.5, 4]],
  "half-mask": ["windows cut and bound, elastic fitted", [0.5, 1.5]],
  headband: ["fixings sewn down", [0.5, 1.5]],
};
const FIRST: Task = { name: "Print, check the scale, join, try in old cloth", hours: [2, 5] };
const LAST: Task = { name: "Try on with a helper, mend, brush out the seams", hours: [1.5, 4] };

/** Thread, time and cost of a costume as ranges, and its work laid out over evenings. */
export function estimateMaking(input: MakingInput): MakingEstimate {
  const given = input.read.project.work ?? {};
  const { eveningHours = 2.5, machineMPerHour, handMPerHour, cuttingMPerHour, minutesAPanel } = given;
  const rates = {
    ...(machineMPerHour ? { machineMPerHour } : {}),
    ...(handMPerHour ? { handMPerHour } : {}),
    ...(cuttingMPerHour ? { cuttingMPerHour } : {}),
    ...(minutesAPanel ? { minutesAPanel } : {}),
  };
  const sums = input.parts.map((part) => partSums(part, input));
  const runs = sums.flatMap((sum) => sum.runs);
  const other = [FIRST, ...sums.flatMap(({ extra }) => (extra ? [extra] : [])), ...(given.other ?? []), LAST];
  return located(input.read, ["work"], () => {
    const whole = sums.reduce(
      (a, b) =>
        ({
          machineMm: a.machineMm + b.machineMm,
          handMm: a.handMm + b.handMm,
          cuttingMm: a.cuttingMm + b.cuttingMm,
          pieces: a.pieces + b.pieces,
        }) as PartSums,
    );
    const work = estimateWork({
      machineMm: whole.machineMm,
      handMm: whole.handMm,
      cuttingMm: whole.cuttingMm,
      panels: whole.pieces,
      other,
      materials: [...(given.prices ?? []), ...bought(input.layout)],
      rates,
      eveningHours,
    });
    const tasks = sums.flatMap((sum): Task[] => {
      const hours = (part: Parameters<typeof estimateWork>[0]) => estimateWork({ ...part, rates }).hours;
      return [
        { name: `${sum.name}: cut and mark`, hours: hours({ cuttingMm: sum.cuttingMm, panels: sum.pieces }) },
        { name: `${sum.name}: sew`, hours: hours({ machineMm: sum.machineMm, handMm: sum.handMm }) },
        ...(sum.extra ? [sum.extra] : []),
      ];
    });
    return {
      thread: estimateThread(runs),
      work,
      evenings: planEvenings([FIRST, ...tasks, ...(given.other ?? []), LAST], eveningHours),
      eveningHours,
    };
  });
}

interface PartSums {
  readonly name: string;
  readonly machineMm: number;
  readonly handMm: number;
  readonly cuttingMm: number;
  readonly pieces: number;
  readonly runs: readonly SeamRun[];
  readonly extra?: Task;
}

function partSums({ part, pattern: own }: MadePart, input: MakingInput): PartSums {
  const panels = own.panels.map((panel) => findPanel(input.pattern, panel.id)!);
  const ids = new Set(panels.map((panel) => panel.id));
  const byHand = new Set(input.sewing.steps.flatMap((step) => (step.hand && step.seam ? [step.seam] : [])));
  const runs: SeamRun[] = [];
  for (const seam of input.pattern.seams) {
    if (!ids.has(seam.a.panel)) continue;
    const [a, b] = [findPanel(input.pattern, seam.a.panel)!, findPanel(input.pattern, seam.b.panel)!];
    const length = polylineLength(findEdge(a, seam.a.edge)!.points) * pieces(a);
    const layers = [a, b].map((panel) => input.cloths.get(panel.fabric)!);
    const thicknessMm = layers.reduce((sum, cloth) => sum + layerMm(cloth), 0);
    const stretchy = layers.every((cloth) => !cloth.hasPile && cloth.behaviour.across.max > 0.1);
    const how = seam.hand || byHand.has(seam.id) ? CLOSING : stretchy ? STRETCHY : MACHINE;
    runs.push({ ...how, lengthMm: length, thicknessMm });
  }
  for (const panel of panels)
    for (const edge of panelEdges(panel)) {
      if (edge.role !== "hem" || !input.cloths.get(panel.fabric)!.isCloth) continue;
      const thicknessMm = 2 * layerMm(input.cloths.get(panel.fabric)!);
      runs.push({ ...TURNING_UP, lengthMm: polylineLength(edge.points) * pieces(panel), thicknessMm });
    }
  const long = (list: readonly SeamRun[]): number => list.reduce((sum, run) => sum + run.lengthMm, 0);
  const isHand = (run: SeamRun): boolean => run.stitch === "ladder" || run.stitch === "whip";
  const extra = EXTRA[part.kind];
  const pair = part.pair ? 2 : 1;
  return {
    name: part.name,
    machineMm: long(runs.filter((run) => !isHand(run))),
    handMm: long(runs.filter(isHand)),
    cuttingMm: panels.reduce((sum, panel) => sum + cutLength(panel, input.allowances) * pieces(panel), 0),
    pieces: panels.reduce((sum, panel) => sum + pieces(panel), 0),
    runs,
    ...(extra
      ? {
          extra: {
            name: `${part.name}: ${extra[0]} (from memory)`,
            hours: [extra[1][0] * pair, extra[1][1] * pair] as const,
          },
        }
      : {}),
  };
}

/** How often a panel is cut, and each of its seams sewn. */
function pieces(panel: Panel): number {
  return panel.count * (panel.mirrored ? 2 : 1);
}

function layerMm(cloth: Cloth): number {
  const found = resolveValue(cloth.entry, "thickness")?.value;
  return Math.min(PRESSED_MM, cloth.hasPile ? LAYER_MM : (found ?? LAYER_MM));
}

function cutLength(panel: Panel, allowances: ReadonlyMap<string, PanelAllowance>): number {
  const { cutLine, holes } = allowances.get(panel.id)!;
  return [cutLine, ...holes].reduce((sum, ring) => sum + polylineLength([...ring, ring[0]]), 0);
}

/** Cloth that the layout says to buy, where its price is known. */
function bought(layout: Layout): { name: string; amount: number; price: readonly [number, number] }[] {
  return layout.toBuy.flatMap((each) =>
    each.cost === undefined
      ? []
      : [{ name: each.fabric ?? "cloth", amount: 1, price: [each.cost, each.cost] as const }],
  );
}

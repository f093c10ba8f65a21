import type { ClothToBuy, LayoutOptions } from "../types";
import { createBudget } from "./budget";
import { GRID } from "./grid";
import { rotationsOf, turnFor, type Job } from "./read-job";
import { createRandom } from "@peltry/geometry";
import { fillBottomLeft } from "./start";
import { State } from "./state";
import { setLength, shortenStrip, usedLength } from "./strip";
import { withRounding, World } from "./world";

/** Positions tried for each estimate. */
const EVALUATIONS = 60_000;

/** How much cloth of which width would take the panels that were left out, fabric by fabric. */
export function clothToBuy(
  job: Job,
  left: readonly number[],
  options: LayoutOptions,
  buyWidth: number,
): ClothToBuy[] {
  const fabrics = [...new Set(left.map((i) => job.parts[i].panel.fabric))];
  return fabrics.map((fabric) => {
    const items = left.filter((i) => job.parts[i].panel.fabric === fabric);
    const roll = job.pieces.find(
      (piece) => piece.roll !== undefined && (fabric === undefined || piece.fabric === fabric),
    )?.roll;
    const width = roll?.width ?? options.buyWidth ?? buyWidth;
    const length = lengthFor(job, items, width, options);
    const long = length === undefined ? undefined : Math.ceil(length / 10) * 10;
    return {
      ...(fabric !== undefined && { fabric }),
      width,
      length: long ?? 0,
      ...(long !== undefined &&
        roll?.costPerMetre !== undefined && { cost: (roll.costPerMetre * long) / 1000 }),
      panels: items.map((i) => job.parts[i].panel.id),
      fits: long !== undefined,
    };
  });
}

/** Length of a roll that takes the items, mm; undefined when it is too narrow for one of them. */
function lengthFor(
  job: Job,
  items: readonly number[],
  width: number,
  options: LayoutOptions,
): number | undefined {
  const long = items.reduce(
    (sum, i) => sum + job.shapes[job.parts[i].shape].diameter + job.gap,
    2 * job.edgeGap,
  );
  const piece = { id: "bought" };
  const bin = {
    minX: 0,
    minY: 0,
    maxX: Math.floor(width * GRID),
    maxY: Math.ceil(long),
    area: width * GRID * long,
  };
  const wanted = items.map((i) => {
    const { panel, shape } = job.parts[i];
    const rotations = rotationsOf(panel, options.rotationStep);
    return {
      shape,
      minQuality: undefined,
      turns: [rotations.map((rotation) => turnFor(panel, piece, rotation))],
    };
  });
  const world = new World(job.shapes, [bin], wanted, withRounding(job, job.shapes, wanted));
  if (world.rooms.some((rooms) => rooms[0].length === 0)) return undefined;
  const state = new State(world);
  const allowance = {
    evaluations: EVALUATIONS,
    seconds: undefined,
    clock: () => 0,
    started: 0,
    signal: options.signal,
  };
  const unlimited = { ...allowance, evaluations: Infinity, signal: undefined };
  const hull = (k: number): number => job.shapes[world.items[k].shape].hullArea;
  const order = items.map((_, k) => k).sort((a, b) => hull(b) - hull(a) || a - b);
  fillBottomLeft(state, {
    bins: [0],
    order,
    columns: 24,
    runs: ["y"],
    budget: createBudget(unlimited, () => world.evaluations),
  });
  const budget = createBudget(allowance, () => world.evaluations);
  const strip = { bin: 0, axis: "y" as const, least: 1 };
  setLength(world, strip, usedLength(state, strip));
  const searcher = { state, random: createRandom(options.seed ?? 1), budget };
  return shortenStrip(searcher, strip, { from: 0, until: 1 }, () => undefined).length / GRID;
}

import type { Issue } from "@peltry/issues";
import { fail } from "@peltry/issues";
import { checkLayout } from "./check-layout";
import { drawLayout } from "./draw-layout";
import { findRest } from "./find-rests";
import { clockOf, type Allowance } from "./internal/budget";
import { clothToBuy } from "./internal/cloth-to-buy";
import { atFineTurns, binsThatFit, explainMisfit, fitsAnywhere, fitsSomeBin } from "./internal/fit";
import { fromGrid, GRID, orientOutline } from "./internal/grid";
import { groupItems } from "./internal/group-items";
import {
  openOnFold,
  readJob,
  rotationFor,
  rotationsOf,
  turnFor,
  type Job,
  type Part,
} from "./internal/read-job";
import { turnGrid } from "./internal/shape";
import type { Spot } from "./internal/solve";
import { solveGroup } from "./internal/stages";
import type { Item, World } from "./internal/world";
import { proposeSplits } from "./propose-splits";
import type {
  FabricPiece,
  Layout,
  LayoutOptions,
  LayoutPanel,
  Placement,
  Rest,
  UnplacedPanel,
} from "./types";

/** Budget when none is given: near a second for a costume. */
export const LAYOUT_DEFAULTS = Object.freeze({
  gap: 0,
  edgeGap: 0,
  objective: "fewest-pieces",
  seed: 1,
  evaluations: 600_000,
  rotationStep: 15,
  splitAllowance: 10,
  buyWidth: 1500,
} as const);

/**
 * Places panels on rolls and odd pieces of cloth, the nap the right way, and says what does not fit and why.
 *
 * @param panels - cut lines with what the cloth allows, mm
 * @param pieces - odd pieces, rectangles and rolls; the nap of each as `napAngle`, up unless given
 * @returns placements checked by {@link checkLayout}, what was left out with reasons, rests, cloth to buy, drawings
 * @throws `layout/bad-outline`, `layout/no-area`, `layout/crossing-outline`, `layout/bad-gap`, `layout/bad-option`,
 * `layout/no-id`, `layout/same-id`, `layout/bad-rotations`, `layout/bad-count`, `layout/bad-fold`, `layout/bad-nap`, `layout/bad-quality`,
 * `layout/two-forms`, `layout/bad-cost`, `layout/unknown-piece` for a broken call. What does not fit never throws.
 * @remarks anytime: bottom-left-fill first, then overlap removal by guided local search until `evaluations` (the
 * reproducible budget) or `seconds` run out. A raised signal ends it with the best so far, `cancelled: true`.
 * @source overlap removal: Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329
 */
export function layOut(
  panels: readonly LayoutPanel[],
  pieces: readonly FabricPiece[],
  options: LayoutOptions = {},
): Layout {
  checkOptions(options);
  const read = readJob(panels, pieces, options);
  const clock = clockOf(options.clock);
  const allowance: Allowance = {
    evaluations:
      options.evaluations ?? (options.seconds === undefined ? LAYOUT_DEFAULTS.evaluations : Infinity),
    seconds: options.seconds,
    clock,
    started: options.seconds === undefined ? 0 : clock(),
    signal: options.signal,
  };
  const issues: Issue[] = napIssues(panels, pieces);
  const { job, fitting } = judgeAlone(read);
  const solved = solveAll(job, fitting, allowance, options);
  const spots = keepChecked(job, panels, solved.spots, options, issues);
  const left = new Set(job.parts.map((_, i) => i));
  for (const spot of spots) left.delete(spot.item);
  // Copies of a panel are judged once.
  const known = new Map<number, Told>();
  const unplaced = [...left].map((i) => describeUnplaced(job, i, fitting.includes(i), options, known));
  for (const entry of unplaced) issues.push(unplacedIssue(entry));
  const placements = spots.map((spot) => toPlacement(job, spot, options));
  const toBuy = clothToBuy(job, [...left], options, LAYOUT_DEFAULTS.buyWidth);
  const summary = summarise(job, placements, pieces, panels);
  options.onProgress?.({ stage: "lay out", done: 1 });
  return {
    placements,
    unplaced,
    ...summary,
    toBuy,
    issues,
    evaluations: solved.evaluations,
    cancelled: options.signal?.aborted === true,
  };
}

function checkOptions(options: LayoutOptions): void {
  const bad = (name: string, found: unknown, fix: string): never =>
    fail(
      "layout/bad-option",
      `${name} is ${String(found)}.`,
      { path: [name] },
      { found: String(found), fix },
    );
  const { evaluations, seconds, seed, rotationStep, objective, splitAllowance, buyWidth } = options;
  if (evaluations !== undefined && !(evaluations >= 1)) bad("evaluations", evaluations, "Give at least 1.");
  if (seconds !== undefined && !(seconds > 0)) bad("seconds", seconds, "Give a time above 0 s.");
  if (seed !== undefined && !Number.isInteger(seed)) bad("seed", seed, "Give an integer.");
  if (rotationStep !== undefined && !(rotationStep >= 1 && rotationStep <= 360)) {
    bad("rotationStep", rotationStep, "Give degrees from 1 to 360.");
  }
  if (splitAllowance !== undefined && !(splitAllowance >= 0))
    bad("splitAllowance", splitAllowance, "Give mm, 0 or more.");
  if (buyWidth !== undefined && !(buyWidth > 0)) bad("buyWidth", buyWidth, "Give mm above 0.");
  const known = ["fewest-pieces", "least-cost", "shortest-roll", "largest-rest"];
  if (objective !== undefined && !known.includes(objective))
    bad("objective", objective, `Use one of: ${known.join(", ")}.`);
}

/** A warning for each odd piece whose nap is not marked although a panel's pile direction counts there. */
function napIssues(panels: readonly LayoutPanel[], pieces: readonly FabricPiece[]): Issue[] {
  return pieces.flatMap((piece) => {
    if (piece.outline === undefined || piece.napAngle !== undefined) return [];
    const bound = panels.filter(
      (panel) =>
        panel.rotations !== "free" &&
        (panel.rotations ?? [0]).length < 3 &&
        (panel.fabric === undefined || piece.fabric === undefined || panel.fabric === piece.fabric),
    );
    if (bound.length === 0) return [];
    return [
      {
        code: "layout/no-nap",
        severity: "warning" as const,
        message: `Piece ${piece.id} has no nap marked, and ${bound.length} panels are bound to the nap; it is taken to run up the piece.`,
        at: { piece: piece.id },
        found: bound.length,
        fix: "Stroke the pile, mark its direction on the piece and give it as napAngle.",
      },
    ];
  });
}

/** The items that fit some piece by themselves; free ones that do so only between the listed turns get turns there. */
function judgeAlone(read: Job): { job: Job; fitting: number[] } {
  const known = new Map<number, Item | undefined>();
  const fitting: number[] = [];
  const items = read.items.map((item, i) => {
    if (!known.has(item.shape)) known.set(item.shape, fitsAnywhere(read, i) ? item : atFineTurns(read, i));
    const fit = known.get(item.shape);
    if (fit !== undefined) fitting.push(i);
    return fit ?? item;
  });
  return { job: { ...read, items }, fitting };
}

function solveAll(
  job: Job,
  fitting: readonly number[],
  allowance: Allowance,
  options: LayoutOptions,
): { spots: Spot[]; evaluations: number } {
  const spots: Spot[] = [];
  const worlds: World[] = [];
  const groups = groupItems(job, fitting);
  const total = groups.reduce((sum, group) => sum + group.length, 0);
  const evaluated = (): number => worlds.reduce((sum, world) => sum + world.evaluations, 0);
  let from = 0;
  let reported = 0;
  for (const group of groups) {
    const until = Math.min(1, from + group.length / total);
    const { spots: found } = solveGroup(group, {
      job,
      objective: options.objective ?? LAYOUT_DEFAULTS.objective,
      seed: (options.seed ?? LAYOUT_DEFAULTS.seed) + 7919 * worlds.length,
      allowance,
      evaluated,
      span: { from, until: group === groups[groups.length - 1] ? 1 : until },
      progress: (share) => {
        reported = Math.max(reported, Math.min(0.99, share));
        options.onProgress?.({ stage: "lay out", done: reported });
      },
      opened: (world) => worlds.push(world),
    });
    spots.push(...found);
    from = until;
  }
  spots.sort((a, b) => a.item - b.item);
  return { spots, evaluations: evaluated() };
}

/**
 * Nothing leaves unchecked: the independent check decides, and what it faults is taken out again, with an issue.
 * The engine and the check agree by construction; this guards against the day when they do not.
 */
function keepChecked(
  job: Job,
  panels: readonly LayoutPanel[],
  spots: readonly Spot[],
  options: LayoutOptions,
  issues: Issue[],
): Spot[] {
  let kept = [...spots];
  while (kept.length > 0) {
    const placements = kept.map((spot) => toPlacement(job, spot, options));
    const there = new Set(kept.map((spot) => spot.item));
    const unplaced = job.parts.flatMap((part, i) =>
      there.has(i) ? [] : [{ panel: part.panel.id, copy: part.copy, mirrored: part.mirrored }],
    );
    const faults = checkLayout(panels, job.pieces, placements, {
      gap: job.gap / GRID,
      edgeGap: job.edgeGap / GRID,
      unplaced,
    });
    if (faults.length === 0) break;
    issues.push({
      ...faults[0],
      severity: "warning",
      message: `Taken out after the check: ${faults[0].message}`,
    });
    const drop = kept.findIndex((spot) => job.parts[spot.item].panel.id === faults[0].at.panel);
    kept = kept.filter((_, i) => i !== Math.max(0, drop));
  }
  return kept;
}

function toPlacement(job: Job, spot: Spot, options: LayoutOptions): Placement {
  const part = job.parts[spot.item];
  const { exact } = job.shapes[part.shape];
  const piece = job.pieces[spot.bin];
  const rotation = rotationsOf(part.panel, options.rotationStep).find(
    (turn) => turnFor(part.panel, piece, turn) === spot.oriented.turn,
  );
  return {
    panel: part.panel.id,
    copy: part.copy,
    piece: piece.id,
    rotation: rotation ?? rotationFor(part.panel, piece, spot.oriented.turn),
    turn: spot.oriented.turn,
    mirrored: part.mirrored,
    x: spot.x / GRID,
    y: spot.y / GRID,
    outline: fromGrid(turnGrid(exact, spot.oriented.turn), spot.x, spot.y),
  };
}

type Told = Pick<UnplacedPanel, "code" | "reason" | "maxScale" | "fitsOffNap" | "splits">;

function describeUnplaced(
  job: Job,
  i: number,
  fits: boolean,
  options: LayoutOptions,
  known: Map<number, Told>,
): UnplacedPanel {
  const part = job.parts[i];
  const { panel, copy, mirrored } = part;
  if (fits) {
    const apart = job.gap > 0 ? ` with ${job.gap / GRID} mm between them` : "";
    const reason = `no room is left beside the other panels${apart}`;
    return {
      panel: panel.id,
      copy,
      mirrored,
      code: "layout/no-room",
      reason,
      maxScale: 1,
      fitsOffNap: [],
      splits: [],
    };
  }
  let told = known.get(part.shape);
  if (told === undefined) known.set(part.shape, (told = explainWithSplits(job, part, options)));
  return { panel: panel.id, copy, mirrored, ...told };
}

function explainWithSplits(job: Job, part: Part, options: LayoutOptions): Told {
  const { panel, mirrored } = part;
  const misfit = explainMisfit(job, part, options);
  const napAngle = panel.napAngle ?? 90;
  const flip = (points: readonly (readonly [number, number])[]) =>
    orientOutline(points, 0, mirrored, napAngle);
  const splits =
    misfit.code === "layout/no-piece"
      ? []
      : proposeSplits({
          outline: mirrored ? flip(openOnFold(panel)) : openOnFold(panel),
          hiddenLines: (panel.hiddenLines ?? []).map((line) => ({
            ...line,
            points: mirrored ? flip(line.points) : line.points,
          })),
          napAngle,
          allowance: options.splitAllowance ?? LAYOUT_DEFAULTS.splitAllowance,
          piecesFor: (outline) => binsThatFit(job, part, outline, options).map((b) => job.pieces[b].id),
          fits: (outline) => fitsSomeBin(job, part, outline, options),
        });
  return { ...misfit, splits };
}

function unplacedIssue(entry: UnplacedPanel): Issue {
  const hand = entry.mirrored ? ", mirrored," : "";
  const split = entry.splits.find((proposal) => proposal.fits);
  return {
    code: entry.code,
    severity: "error",
    message: `Panel ${entry.panel}${hand} is not placed: ${entry.reason}.`,
    at: { panel: entry.panel },
    found: entry.maxScale,
    fix:
      split === undefined
        ? "Add cloth or change the panel."
        : `Split it in ${split.parts.length} along ${split.lines.length} line(s), or add cloth.`,
  };
}

type Summary = Pick<
  Layout,
  | "usedLengths"
  | "usedLength"
  | "usedArea"
  | "panelArea"
  | "density"
  | "piecesTouched"
  | "cost"
  | "rests"
  | "largestRest"
  | "drawings"
>;

function summarise(
  job: Job,
  placements: readonly Placement[],
  pieces: readonly FabricPiece[],
  panels: readonly LayoutPanel[],
): Summary {
  const names = new Map(panels.map((panel) => [panel.id, panel.name ?? panel.id]));
  const usedLengths: Record<string, number> = {};
  const rests: Rest[] = [];
  const drawings: Layout["drawings"] = [];
  let usedArea = 0;
  let cost = 0;
  pieces.forEach((piece, b) => {
    const here = placements.filter((placement) => placement.piece === piece.id);
    const bin = job.bins[b];
    const axis = job.runs[b] === "x" ? 0 : 1;
    let end = axis === 0 ? bin.maxX : bin.maxY;
    if (piece.roll !== undefined) {
      const reach = here.flatMap((placement) => placement.outline.map((p) => p[axis]));
      const used = reach.length === 0 ? 0 : reach.reduce((a, p) => Math.max(a, p), 0) + job.edgeGap / GRID;
      // defineProperty: a piece may be called anything, "__proto__" too.
      Object.defineProperty(usedLengths, piece.id, {
        value: used,
        enumerable: true,
        configurable: true,
        writable: true,
      });
      usedArea += used * piece.roll.width;
      cost += here.length > 0 ? (piece.cost ?? 0) + ((piece.roll.costPerMetre ?? 0) * used) / 1000 : 0;
      if (piece.roll.maxLength === undefined) end = used * GRID;
    } else if (here.length > 0) {
      usedArea += bin.area / GRID ** 2;
      cost += piece.cost ?? 0;
    }
    const [maxX, maxY] = axis === 0 ? [end, bin.maxY] : [bin.maxX, end];
    const box = [
      [bin.minX, bin.minY],
      [maxX, bin.minY],
      [maxX, maxY],
      [bin.minX, maxY],
    ].map(([x, y]) => [x / GRID, y / GRID] as const);
    const outline = piece.outline ?? box;
    if (piece.roll !== undefined && here.length === 0 && piece.roll.maxLength === undefined) return;
    const obstacles = [
      ...(piece.holes ?? []),
      ...(piece.zones ?? []).map((zone) => zone.outline),
      ...here.map((placement) => placement.outline),
    ];
    const rest = findRest({ piece: piece.id, outline, obstacles, napAngle: piece.napAngle ?? 90 });
    if (rest !== undefined) rests.push(rest);
    if (here.length > 0)
      drawings.push({ piece: piece.id, svg: drawLayout({ piece, outline, placements: here, names, rest }) });
  });
  const shapeOf = new Map(
    job.parts.map((part) => [`${part.panel.id}\u0000${part.mirrored}`, job.shapes[part.shape]]),
  );
  const panelArea = placements.reduce(
    (sum, placement) => sum + shapeOf.get(`${placement.panel}\u0000${placement.mirrored}`)!.area / GRID ** 2,
    0,
  );
  const largest = rests.reduce<Rest | undefined>(
    (a, b) => (a === undefined || b.area > a.area ? b : a),
    undefined,
  );
  return {
    usedLengths,
    usedLength: pieces.reduce(
      (sum, piece) => sum + (piece.roll === undefined ? 0 : usedLengths[piece.id]),
      0,
    ),
    usedArea,
    panelArea,
    density: usedArea > 0 ? panelArea / usedArea : 0,
    piecesTouched: pieces
      .map((piece) => piece.id)
      .filter((id) => placements.some((placement) => placement.piece === id)),
    cost,
    rests,
    ...(largest !== undefined && { largestRest: largest }),
    drawings,
  };
}

import { cheaper, offers } from "./offers";
import { GroupSolver, type SolveContext, type Solved, type Spot } from "./solve";
import { withRounding, type Item } from "./world";

/** Turns that an item has at once in the first stage: each pair of turns is a table of its own to build. */
const MANY_TURNS = 8;
/** Turns to each side of where an item lies. */
const NEIGHBOURS = 3;
/** Free cloth: turns to each side of where an item lies, shares of the step between listed turns, round by round. */
const FINER = [
  [1 / 2, 1 / 4, 1 / 8],
  [1 / 12, 1 / 36, 1 / 108],
];
/** Shares of the budget at which the stages end: few turns, listed turns near by, finer, finer still. */
const STAGE_ENDS = [0.45, 0.65, 0.85, 1];

/** Lays one group of items on its bins; when cost counts, on several choices of them, the cheapest kept. */
export function solveGroup(members: readonly number[], context: Omit<SolveContext, "gaps">): Solved {
  const { job, objective, span } = context;
  const gaps = withRounding(
    job,
    job.shapes,
    members.map((i) => job.items[i]),
  );
  const choices = offers(job, members, objective);
  const reach = (k: number): number => span.from + (k / choices.length) * (span.until - span.from);
  return choices
    .map((bins, k) =>
      solveOn(bins, members, { ...context, gaps, span: { from: reach(k), until: reach(k + 1) } }),
    )
    .reduce((best, solved) => cheaper(job, best, solved));
}

/**
 * Lays items on some bins. Items with many turns are laid at a few of them first, then at those about where they lie,
 * free ones at last finer than any list.
 */
function solveOn(bins: readonly number[], members: readonly number[], context: SolveContext): Solved {
  const { job, span } = context;
  const items = members.map((i): Item => {
    const item = job.items[i];
    return { ...item, turns: item.turns.map((turns, b) => (bins.includes(b) ? turns : [])) };
  });
  const whole = items.every((item) => turnCount(item) <= MANY_TURNS && item.freeStep === undefined);
  const until = (stage: number): number => span.from + STAGE_ENDS[stage] * (span.until - span.from);
  const solver = (turned: readonly Item[], from: number, end: number): GroupSolver =>
    new GroupSolver(members, turned, { ...context, span: { from, until: end } });
  const first = solver(items.map(fewTurns), span.from, whole ? span.until : until(0));
  first.run();
  let solved = first.result()!;
  if (whole) return solved;
  let used = first.share();
  const stages = items.some((item) => item.freeStep !== undefined) ? 1 + FINER.length : 1;
  for (let stage = 1; stage <= stages && used < span.until; stage++) {
    const spots = new Map(solved.spots.map((spot) => [spot.item, spot]));
    const turned = items.map((item, k) => turnsNear(item, spots.get(members[k]), FINER[stage - 2]));
    const next = solver(turned, used, stage === stages ? span.until : until(stage));
    next.improve(solved.spots);
    used = next.share();
    solved = next.result() ?? solved;
  }
  return solved;
}

function turnCount(item: Item): number {
  return item.turns.reduce((most, turns) => Math.max(most, turns.length), 0);
}

function withTurns(item: Item, keep: readonly number[]): Item {
  return { ...item, turns: item.turns.map((turns) => (turns.length === 0 ? [] : keep.map((k) => turns[k]))) };
}

/** Evenly chosen: a divisor of their number, in fours where that goes, so that right angles stay. */
function fewTurns(item: Item): Item {
  const count = turnCount(item);
  if (count <= MANY_TURNS) return item;
  const fitting = Array.from({ length: MANY_TURNS }, (_, k) => MANY_TURNS - k).filter((k) => count % k === 0);
  const few = fitting.find((k) => k % 4 === 0) ?? fitting[0];
  const stride = few >= 4 ? count / few : Math.ceil(count / MANY_TURNS);
  return withTurns(
    item,
    Array.from({ length: Math.ceil(count / stride) }, (_, k) => k * stride),
  );
}

/** Turns about where an item lies; all of them for one that lies nowhere. */
function turnsNear(item: Item, spot: Spot | undefined, finer: readonly number[] | undefined): Item {
  const count = turnCount(item);
  if (spot === undefined) return item;
  const here = spot.oriented.turn;
  if (finer !== undefined && item.freeStep !== undefined) {
    const at = item.turns[spot.bin][0];
    const shares = [0, ...finer.flatMap((share) => [share, -share])];
    const deltas = shares.map((share) => Math.round(1000 * share * item.freeStep!) / 1000);
    return {
      ...item,
      turns: item.turns.map((turns) =>
        turns.length === 0 ? [] : deltas.map((delta) => turnBy(here, delta + turns[0] - at)),
      ),
    };
  }
  if (count <= MANY_TURNS) return item;
  const off = (k: number): number => {
    const apart = Math.abs(item.turns[spot.bin][k] - here) % 360;
    return Math.min(apart, 360 - apart);
  };
  const nearest = Array.from({ length: count }, (_, k) => k).sort((a, b) => off(a) - off(b) || a - b);
  return withTurns(item, nearest.slice(0, 2 * NEIGHBOURS + 1));
}

function turnBy(turn: number, delta: number): number {
  const sum = Math.round(1000 * (turn + delta)) / 1000;
  return ((sum % 360) + 360) % 360;
}

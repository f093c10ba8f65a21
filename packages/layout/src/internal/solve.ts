import { createRandom } from "@peltry/geometry";
import type { LayoutObjective } from "../types";
import { createBudget, type Allowance, type Budget } from "./budget";
import { GRID } from "./grid";
import type { Job } from "./read-job";
import { clamp, searchPlace, separate, type Effort, type Searcher } from "./separate";
import { fillBottomLeft } from "./start";
import { State, type Snapshot } from "./state";
import { setLength, shortenStrip, usedLength, type Strip } from "./strip";
import { World, type Bin, type Item } from "./world";

/** Where an item of the job ended. */
export interface Spot {
  readonly item: number;
  readonly bin: number;
  readonly oriented: { readonly shape: number; readonly turn: number };
  readonly x: number;
  readonly y: number;
}

/** What came of one group of items. */
export interface Solved {
  readonly spots: Spot[];
  readonly left: number[];
}

/** What a solve may use and whom it tells. */
export interface SolveContext {
  readonly job: Job;
  readonly objective: LayoutObjective;
  readonly seed: number;
  readonly allowance: Allowance;
  /** Evaluations of earlier groups. */
  readonly done: () => number;
  /** Share of the whole budget that this group starts and ends at. */
  readonly span: { readonly from: number; readonly until: number };
  readonly progress: (share: number) => void;
  /** Called with the world, whose evaluations count. */
  readonly opened: (world: World) => void;
}

/** Columns that the first filling tries across a piece. */
const COLUMNS = 20;
/** @source fill limits at which smaller sets of pieces are tried, common practice of bin reduction, no source */
const FILL_LIMITS = [0.72, 0.78, 0.83, 0.88, 0.93];
/** On odd pieces a fresh exchange of panels helps sooner than patience. */
const SHORT: Effort = { patience: 80, strikes: 1 };
/** Sets of odd pieces are listed in full up to this many pieces. */
const MOST_LISTED = 12;

/** Lays one group of items on its bins. */
export function solveGroup(members: readonly number[], context: SolveContext): Solved {
  const solver = new GroupSolver(members, context);
  solver.run();
  return solver.result();
}

class GroupSolver {
  private readonly job: Job;
  private readonly world: World;
  private readonly state: State;
  private readonly budget: Budget;
  private readonly random: () => number;
  private readonly order: number[];
  private readonly bins: number[];
  private readonly need: number[];
  private best: Snapshot | undefined;
  private bestCost = Infinity;

  constructor(
    private readonly members: readonly number[],
    private readonly context: SolveContext,
  ) {
    const { job } = context;
    this.job = job;
    const bins: Bin[] = job.bins.map((bin) => ({ ...bin }));
    const items: Item[] = members.map((i) => job.items[i]);
    this.world = new World(job.shapes, bins, items, { gap: job.gap, edgeGap: job.edgeGap });
    context.opened(this.world);
    this.state = new State(this.world);
    this.budget = createBudget(context.allowance, this.world, context.done, context.span.until);
    this.random = createRandom(context.seed);
    const hull = (i: number): number => job.shapes[items[i].shape].hullArea;
    this.order = members.map((_, i) => i).sort((a, b) => hull(b) - hull(a) || a - b);
    this.bins = bins.map((_, b) => b).filter((b) => items.some((item) => item.turns[b].length > 0));
    this.need = items.map((item) => {
      const shape = job.shapes[item.shape];
      return shape.area + (job.gap / 2) * 3 * Math.sqrt(shape.area);
    });
  }

  run(): void {
    const rolls = this.bins
      .filter((b) => this.isRoll(b))
      .sort((a, b) => this.priceOf(a) - this.priceOf(b) || a - b);
    const odd = this.bins
      .filter((b) => !this.isRoll(b))
      .sort((a, b) => this.priceOf(a) - this.priceOf(b) || a - b);
    if (odd.length === 0) {
      this.fill(rolls);
    } else {
      // Odd pieces alone are tried first: counting pieces only would eat the roll.
      const left = this.fill(odd);
      const share = rolls.length > 0 ? 0.3 : 0.7;
      if (left.length > 0 && this.fillOf(odd) <= 0.97) this.attempt(odd, left, share);
      if (this.best === undefined && rolls.length > 0) this.fill([...odd, ...rolls]);
      if (this.best !== undefined) this.dropPieces(odd, rolls);
    }
    if (this.best === undefined) this.placeMost([...odd, ...rolls]);
    for (const b of rolls) this.shorten(b, rolls);
  }

  /** Items as they lie in the best layout. */
  result(): Solved {
    const spots: Spot[] = [];
    const left: number[] = [];
    const { best, world } = this;
    this.members.forEach((item, i) => {
      const room = best?.room[i];
      if (best === undefined || room === undefined || best.bin[i] < 0) left.push(item);
      else
        spots.push({
          item,
          bin: best.bin[i],
          oriented: world.oriented[room.oriented],
          x: best.x[i],
          y: best.y[i],
        });
    });
    return { spots, left };
  }

  private get searcher(): Searcher {
    return { state: this.state, random: this.random, budget: this.budget };
  }

  private isRoll(b: number): boolean {
    return this.job.pieces[b].roll !== undefined;
  }

  /** What using a bin counts for, by the objective; rolls always count most. */
  private priceOf(b: number): number {
    const piece = this.job.pieces[b];
    const area = this.world.bins[b].area / GRID ** 2;
    if (piece.roll !== undefined) return 1e12 + (piece.roll.costPerMetre ?? 0) * 1e6 + b;
    if (this.context.objective === "least-cost") return (piece.cost ?? 0) + area * 1e-12;
    if (this.context.objective === "largest-rest") return area ** 1.5;
    return 1 + area * 1e-12;
  }

  private costOf(bins: readonly number[]): number {
    return bins.reduce((sum, b) => sum + this.priceOf(b), 0);
  }

  private fillOf(bins: readonly number[]): number {
    const need = this.need.reduce((sum, area) => sum + area, 0);
    return need / bins.reduce((sum, b) => sum + this.world.bins[b].area, 0);
  }

  private use(bins: readonly number[]): void {
    this.state.usable.fill(0);
    for (const b of bins) this.state.usable[b] = 1;
  }

  /** Fills bins bottom-left, large bins first among equals. Records the layout when everything found a place. */
  private fill(bins: readonly number[]): number[] {
    for (let i = 0; i < this.state.n; i++) this.state.remove(i);
    this.use(bins);
    const sorted = [...bins].sort(
      (a, b) =>
        Number(this.isRoll(a)) - Number(this.isRoll(b)) ||
        this.world.bins[b].area - this.world.bins[a].area ||
        a - b,
    );
    const left = fillBottomLeft(this.state, {
      bins: sorted,
      order: this.order,
      columns: COLUMNS,
      runs: this.job.runs,
      // The first filling is always finished: it is what there is to fall back on.
      budget: this.best === undefined ? { ...this.budget, spent: this.budget.cancelled } : this.budget,
    });
    if (left.length === 0) this.record();
    return left;
  }

  /** Keeps the state as the best when it is valid, whole and cheaper. */
  private record(): void {
    const touched = this.bins.filter((b) => this.state.bin.includes(b));
    const cost = this.costOf(touched);
    if (cost >= this.bestCost && this.best !== undefined) return;
    this.best = this.state.save();
    this.bestCost = cost;
    this.context.progress(this.budget.share());
  }

  /** Throws the items left over in at random and separates; spends at most a share of the group's budget. */
  private attempt(bins: readonly number[], left: readonly number[], share: number): boolean {
    const { from, until } = this.context.span;
    const now = this.budget.share();
    const end = Math.min(until, now + share * (until - from));
    const budget: Budget = {
      ...this.budget,
      spent: () => this.budget.spent() || this.budget.share() >= end,
    };
    const searcher: Searcher = { ...this.searcher, budget };
    this.use(bins);
    for (const i of left) {
      const place = searchPlace(searcher, i);
      if (place === undefined) return false;
      this.state.place(i, place.bin, place.room, place.x, place.y);
    }
    while (!budget.spent()) {
      if (separate(searcher, SHORT) === 0) {
        this.record();
        return true;
      }
      this.shake(searcher);
    }
    return this.state.totalLoss() === 0;
  }

  /** Exchanges an overlapping item and a few others each with one of like size, most often on another piece. */
  private shake({ state, random }: Searcher): void {
    const open = state.overlapping();
    const count = Math.max(2, Math.round(state.n * 0.08));
    for (let k = 0; k < count; k++) {
      const pool = k === 0 && open.length > 0 ? open : this.order;
      const i = pool[Math.floor(random() * pool.length)];
      const at = this.order.indexOf(i) + Math.round((random() - 0.5) * Math.max(6, state.n / 3));
      const j = this.order[Math.max(0, Math.min(state.n - 1, at))];
      if (i !== j && state.bin[i] >= 0 && state.bin[j] >= 0) this.exchange(i, j);
    }
  }

  /** Puts two items each where the middle of the other was. */
  private exchange(i: number, j: number): void {
    const { state, world } = this;
    const target = (item: number, other: number): (() => void) | undefined => {
      const b = state.bin[other];
      const rooms = world.rooms[item][b].filter(
        (room) => !room.odd || world.tableOf(room, b, world.items[item].minQuality) !== null,
      );
      if (rooms.length === 0) return undefined;
      const room = rooms[Math.floor(this.random() * rooms.length)];
      const from = world.oriented[state.room[other]!.oriented];
      const to = world.oriented[room.oriented];
      const x = state.x[other] + (from.minX + from.maxX - to.minX - to.maxX) / 2;
      const y = state.y[other] + (from.minY + from.maxY - to.minY - to.maxY) / 2;
      return () => state.place(item, b, room, clamp(x, room.minX, room.maxX), clamp(y, room.minY, room.maxY));
    };
    const moves = [target(i, j), target(j, i)];
    if (moves.every((move) => move !== undefined)) for (const move of moves) move!();
  }

  /** Tries cheaper sets of odd pieces, the emptier first. */
  private dropPieces(odd: readonly number[], rolls: readonly number[]): void {
    const { from, until } = this.context.span;
    const usesRoll = (): boolean => this.best !== undefined && rolls.some((b) => this.best!.bin.includes(b));
    const end = from + (usesRoll() ? 0.3 : 0.85) * (until - from);
    // Sets that failed are tried again, longer, while there is time.
    for (const share of [0.06, 0.15, 0.4]) {
      if (this.budget.spent() || this.budget.share() >= end) return;
      this.tryCheaperSets(odd, share, end);
    }
  }

  private tryCheaperSets(odd: readonly number[], share: number, end: number): void {
    const tried = new Set<string>();
    for (const limit of FILL_LIMITS) {
      for (let again = true; again;) {
        again = false;
        for (const set of this.cheaperSets(odd, limit)) {
          const key = set.join();
          if (tried.has(key)) continue;
          if (this.budget.share() >= end || this.budget.spent()) return;
          tried.add(key);
          const left = this.fill(set);
          if (left.length === 0 || this.attempt(set, left, share)) {
            again = true;
            break;
          }
        }
      }
    }
  }

  /** Sets of odd pieces that cost less than the best, hold every item singly and are filled no further than a limit. */
  private cheaperSets(odd: readonly number[], limit: number): number[][] {
    const pool = odd.slice(0, MOST_LISTED);
    const sets: { set: number[]; cost: number; fill: number }[] = [];
    for (let mask = 1; mask < 1 << pool.length; mask++) {
      const set = pool.filter((_, k) => (mask >> k) & 1);
      const cost = this.costOf(set);
      const fill = this.fillOf(set);
      if (cost >= this.bestCost * (1 - 1e-9) || fill > limit) continue;
      if (!this.world.rooms.every((rooms) => set.some((b) => rooms[b].length > 0))) continue;
      sets.push({ set, cost, fill });
    }
    sets.sort((p, q) => p.cost - q.cost || p.fill - q.fill || p.set[0] - q.set[0]);
    return sets.slice(0, 60).map(({ set }) => set);
  }

  /** Everything does not fit: places as much as it can. */
  private placeMost(bins: readonly number[]): void {
    const { state, budget } = this;
    const placed = (snapshot: Snapshot): number =>
      this.need.reduce((sum, area, i) => sum + (snapshot.bin[i] >= 0 ? area : 0), 0);
    const left = this.fill(bins);
    let best = state.save();
    this.use(bins);
    for (const i of left) {
      const place = searchPlace(this.searcher, i);
      if (place !== undefined) state.place(i, place.bin, place.room, place.x, place.y);
    }
    while (!budget.spent() && state.totalLoss() > 0) {
      if (separate(this.searcher, { patience: 30, strikes: 1 }) === 0) break;
      let worst = -1;
      for (let i = 0; i < state.n; i++) {
        if (state.itemLoss(i) > 0 && (worst < 0 || state.itemLoss(i) > state.itemLoss(worst))) worst = i;
      }
      if (worst < 0) break;
      state.remove(worst);
    }
    if (state.totalLoss() === 0) {
      for (const i of this.order) {
        if (state.bin[i] >= 0 || budget.spent()) continue;
        const place = searchPlace(this.searcher, i);
        if (place?.value === 0) state.place(i, place.bin, place.room, place.x, place.y);
      }
      const snapshot = state.save();
      if (placed(snapshot) > placed(best)) best = snapshot;
    }
    this.best = best;
  }

  /** Shortens a roll that is in use, in the time that is left. */
  private shorten(b: number, rolls: readonly number[]): void {
    const { best, state, budget } = this;
    if (best === undefined || !best.bin.includes(b) || budget.spent()) return;
    const axis = this.job.runs[b];
    const bin = this.world.bins[b];
    const across = axis === "x" ? bin.maxY - bin.minY : bin.maxX - bin.minX;
    const strip: Strip = { bin: b, axis, least: 1 };
    this.use(this.bins.filter((other) => other === b || best.bin.includes(other) || !rolls.includes(other)));
    state.restore(best);
    if (this.bins.length === 1) {
      const area = this.need.reduce((sum, _, i) => sum + this.job.shapes[this.world.items[i].shape].area, 0);
      Object.assign(strip, { least: area / across });
    }
    setLength(this.world, strip, usedLength(state, strip));
    const later = rolls.slice(rolls.indexOf(b) + 1).filter((other) => best.bin.includes(other)).length;
    const from = budget.share();
    const until = from + (this.context.span.until - from) / (1 + later);
    const { snapshot } = shortenStrip(this.searcher, strip, { from, until }, () =>
      this.context.progress(budget.share()),
    );
    this.best = snapshot;
  }
}

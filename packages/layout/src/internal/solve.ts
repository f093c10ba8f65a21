import { createRandom } from "@peltry/geometry";
import type { LayoutObjective } from "../types";
import { createBudget, type Allowance, type Budget } from "./budget";
import { GRID } from "./grid";
import { listSets, type PieceSet } from "./piece-sets";
import type { Job } from "./read-job";
import type { OrientedShape } from "./shape";
import { clamp, searchPlace, separate, type Effort, type Searcher } from "./separate";
import { fillBottomLeft } from "./start";
import { State, type Snapshot } from "./state";
import { setLength, shortenStrip, usedLength, type Strip } from "./strip";
import { isOpen, World, type Bin, type Gaps, type Item } from "./world";

/** Where an item of the job ended. */
export interface Spot {
  readonly item: number;
  readonly bin: number;
  readonly oriented: OrientedShape;
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
  readonly gaps: Gaps;
  readonly objective: LayoutObjective;
  readonly seed: number;
  readonly allowance: Allowance;
  /** Evaluations of all worlds so far. */
  readonly evaluated: () => number;
  /** Share of the whole budget that this group starts and ends at. */
  readonly span: { readonly from: number; readonly until: number };
  readonly progress: (share: number) => void;
  /** Called with each world, whose evaluations count. */
  readonly opened: (world: World) => void;
}

/** Columns that the first filling tries across a piece. */
const COLUMNS = 20;
/** @source fill limits at which smaller sets of pieces are tried, common practice of bin reduction, no source */
const FILL_LIMITS = [0.72, 0.78, 0.83, 0.88, 0.93];
/** On odd pieces a fresh exchange of panels helps sooner than patience. */
const SHORT: Effort = { patience: 80, strikes: 1 };

/** Sets tried in one round, and of those with a piece less. */
const MOST_TRIED = 60;
const EASIEST = 4;

/** Lays the items of a group, at the turns that they are given, on its bins. */
export class GroupSolver {
  private readonly job: Job;
  private readonly world: World;
  private readonly state: State;
  private readonly budget: Budget;
  private readonly random: () => number;
  private readonly order: number[];
  private readonly bins: number[];
  private readonly need: number[];
  private readonly wanted: number;
  private best: Snapshot | undefined;
  private bestCost = Infinity;

  constructor(
    private readonly members: readonly number[],
    items: readonly Item[],
    private readonly context: SolveContext,
  ) {
    const { job } = context;
    this.job = job;
    const bins: Bin[] = job.bins.map((bin) => ({ ...bin }));
    this.world = new World(job.shapes, bins, items, context.gaps);
    context.opened(this.world);
    this.state = new State(this.world);
    this.budget = createBudget(context.allowance, context.evaluated, context.span.until);
    this.random = createRandom(context.seed);
    const hull = (i: number): number => job.shapes[items[i].shape].hullArea;
    this.order = members.map((_, i) => i).sort((a, b) => hull(b) - hull(a) || a - b);
    this.bins = bins.map((_, b) => b).filter((b) => items.some((item) => item.turns[b].length > 0));
    this.need = items.map((item) => {
      const shape = job.shapes[item.shape];
      return shape.area + (job.gap / 2) * 3 * Math.sqrt(shape.area);
    });
    this.wanted = this.need.reduce((sum, area) => sum + area, 0);
  }

  /** From nothing: fills, makes room for what is left over, drops pieces, shortens rolls. */
  run(): void {
    const { odd, rolls } = this.sides();
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
    this.placeRest([...odd, ...rolls]);
    for (const b of rolls) this.shorten(b, rolls);
  }

  /** From where items lie already: places what was left out, drops pieces, shortens rolls. */
  improve(start: readonly Spot[]): void {
    const { state, world, members } = this;
    const { odd, rolls } = this.sides();
    const all = [...odd, ...rolls];
    this.use(all);
    for (const { item, bin, oriented, x, y } of start) {
      const i = members.indexOf(item);
      const room = world.rooms[i][bin].find((other) => world.oriented[other.oriented].turn === oriented.turn);
      if (room === undefined) continue;
      // Asked of its table: without one the question is a little stricter than it was.
      if (room.odd) world.tableOf(room, bin, world.items[i].minQuality);
      state.place(i, bin, room, x, y);
    }
    if (state.totalLoss() > 0) return;
    const left = this.order.filter((i) => state.bin[i] < 0);
    const before = state.save();
    if (left.length === 0) this.record();
    else if (!this.attempt(all, left, 0.6)) this.placeMost(all, before);
    if (odd.length > 0 && this.best !== undefined && !this.best.bin.includes(-1)) this.dropPieces(odd, rolls);
    for (const b of rolls) this.shorten(b, rolls);
  }

  /** Share of the whole budget that is used. */
  share(): number {
    return this.budget.cancelled() ? 1 : this.budget.share();
  }

  private sides(): { odd: number[]; rolls: number[] } {
    const cheapFirst = [...this.bins].sort((a, b) => this.priceOf(a) - this.priceOf(b) || a - b);
    return {
      odd: cheapFirst.filter((b) => !this.isRoll(b)),
      rolls: cheapFirst.filter((b) => this.isRoll(b)),
    };
  }

  /** Items as they lie in the best layout; undefined when there is none. */
  result(): Solved | undefined {
    const spots: Spot[] = [];
    const left: number[] = [];
    const { best, world } = this;
    if (best === undefined) return undefined;
    this.members.forEach((item, i) => {
      const room = best.room[i];
      if (room === undefined || best.bin[i] < 0) left.push(item);
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
    if (this.context.objective === "largest-rest") return area * Math.sqrt(area);
    return 1 + area * 1e-12;
  }

  private costOf(bins: readonly number[]): number {
    return bins.reduce((sum, b) => sum + this.priceOf(b), 0);
  }

  private fillOf(bins: readonly number[]): number {
    return this.wanted / bins.reduce((sum, b) => sum + this.world.bins[b].area, 0);
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

  /** Bins that the best layout uses. */
  private touched(): number[] {
    return this.bins.filter((b) => this.best!.bin.includes(b));
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
      const place = budget.spent() ? undefined : searchPlace(searcher, i);
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
        (room) =>
          isOpen(room) && (!room.odd || world.tableOf(room, b, world.items[item].minQuality) !== null),
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
      // Where no set of one piece less is solved, none of two less can be: it is a part of one.
      if (this.context.objective === "fewest-pieces" && !usesRoll()) this.dropOne(odd, share, end);
      else this.tryCheaperSets(odd, share, end);
    }
    // As many pieces, but smaller ones.
    if (this.context.objective === "fewest-pieces" && !usesRoll()) {
      this.tryCheaperSets(odd, 0.15, end, this.touched().length);
    }
  }

  /** Does with a piece less, and again: of all sets of that many pieces the emptiest come easiest. */
  private dropOne(odd: readonly number[], share: number, end: number): void {
    for (let again = true; again;) {
      again = false;
      const count = this.touched().length - 1;
      const sets = this.cheaperSets(odd, 1)
        .filter(({ set, fill }) => set.length === count && fill <= FILL_LIMITS[FILL_LIMITS.length - 1])
        .sort((p, q) => p.fill - q.fill || p.set[0] - q.set[0])
        .slice(0, EASIEST);
      for (const { set } of sets) {
        if (this.budget.share() >= end || this.budget.spent()) return;
        const left = this.fill(set);
        again = left.length === 0 || this.attempt(set, left, share);
        if (again) break;
      }
    }
  }

  /** @param least - pieces of a set, at least */
  private tryCheaperSets(odd: readonly number[], share: number, end: number, least = 1): void {
    const tried = new Set<string>();
    for (const limit of FILL_LIMITS) {
      for (let again = true; again;) {
        again = false;
        const sets = this.cheaperSets(odd, limit).filter(({ set }) => set.length >= least);
        for (const { set } of sets.slice(0, MOST_TRIED)) {
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
  private cheaperSets(odd: readonly number[], limit: number): PieceSet[] {
    const touched = odd.filter((b) => this.best!.bin.includes(b));
    const area = (b: number): number => this.world.bins[b].area;
    return listSets(odd, touched, (b) => this.priceOf(b) / area(b))
      .map((set) => ({ set, cost: this.costOf(set), fill: this.fillOf(set) }))
      .filter(
        ({ set, cost, fill }) =>
          cost < this.bestCost * (1 - 1e-9) &&
          fill <= limit &&
          this.world.rooms.every((rooms) => set.some((b) => rooms[b].length > 0)),
      )
      .sort((p, q) => p.cost - q.cost || p.fill - q.fill || p.set[0] - q.set[0]);
  }

  /** Everything does not fit: places as much as it can. */
  private placeMost(bins: readonly number[], start?: Snapshot): void {
    const { state, budget } = this;
    const placed = (snapshot: Snapshot): number =>
      this.need.reduce((sum, area, i) => sum + (snapshot.bin[i] >= 0 ? area : 0), 0);
    this.use(bins);
    let left: readonly number[];
    if (start === undefined) left = this.fill(bins);
    else {
      state.restore(start);
      left = this.order.filter((i) => state.bin[i] < 0);
    }
    let best = state.save();
    for (const i of left) {
      const place = budget.spent() ? undefined : searchPlace(this.searcher, i);
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

  /** Spends what is left of the budget on items still left out, where there is cloth enough for all. */
  private placeRest(bins: readonly number[]): void {
    const { best, state } = this;
    if (best === undefined || !best.bin.includes(-1) || this.fillOf(bins) > 0.97) return;
    state.restore(best);
    this.attempt(
      bins,
      this.order.filter((i) => state.bin[i] < 0),
      1,
    );
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

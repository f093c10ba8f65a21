import { createProbe, narrowProbe, type Probe } from "./probe";
import { Shortlist } from "./shortlist";
import type { Room, World } from "./world";

/** A placement of every item; kept and restored whole. */
export interface Snapshot {
  readonly bin: Int16Array;
  readonly room: readonly (Room | undefined)[];
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly loss: number;
}

/**
 * Where every item lies now, what each pair loses by overlap, and the weights of guided local search.
 * Item i stands in bin[i] (−1: nowhere) at room[i], reference point (x[i], y[i]).
 */
export class State {
  readonly world: World;
  readonly n: number;
  readonly bin: Int16Array;
  readonly room: (Room | undefined)[];
  /** Oriented shape of each item that stands somewhere. */
  private readonly oriented: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Overlap loss of each pair, n × n, both halves filled. */
  readonly loss: Float64Array;
  /** Loss against the piece's borders. */
  readonly roomLoss: Float64Array;
  readonly weight: Float64Array;
  readonly roomWeight: Float64Array;
  /** Bins that may be used now: 1 or 0. */
  readonly usable: Uint8Array;
  /** Items by size: the large most often settle that a place is too bad. */
  private readonly largeFirst: Int32Array;
  /** What the last search found. */
  readonly shortlist = new Shortlist();
  private readonly near: Probe;
  private readonly spares: State[] = [];

  constructor(world: World) {
    this.world = world;
    const n = (this.n = world.items.length);
    this.bin = new Int16Array(n).fill(-1);
    this.room = new Array<Room | undefined>(n).fill(undefined);
    this.oriented = new Int32Array(n);
    this.x = new Float64Array(n);
    this.y = new Float64Array(n);
    this.loss = new Float64Array(n * n);
    this.roomLoss = new Float64Array(n);
    this.weight = new Float64Array(n * n).fill(1);
    this.roomWeight = new Float64Array(n).fill(1);
    this.usable = new Uint8Array(world.bins.length).fill(1);
    const size = (i: number): number => world.shapes[world.items[i].shape].area;
    this.largeFirst = Int32Array.from({ length: n }, (_, i) => i).sort((i, j) => size(j) - size(i) || i - j);
    this.near = createProbe(0, undefined as unknown as Room, n);
  }

  /** Puts an item somewhere and brings its losses up to date. */
  place(i: number, b: number, room: Room, x: number, y: number): void {
    this.put(i, b, room, x, y);
    this.refresh(i);
  }

  /** Takes an item out. */
  remove(i: number): void {
    this.bin[i] = -1;
    this.room[i] = undefined;
    this.refresh(i);
  }

  private put(i: number, b: number, room: Room | undefined, x: number, y: number): void {
    this.bin[i] = b;
    this.room[i] = room;
    this.x[i] = x;
    this.y[i] = y;
    if (room === undefined) return;
    this.oriented[i] = room.oriented;
  }

  private refresh(i: number): void {
    const { n, loss, world } = this;
    const room = this.room[i];
    this.roomLoss[i] = room === undefined ? 0 : world.roomLoss(room, this.x[i], this.y[i]);
    for (let j = 0; j < n; j++) {
      if (j === i) continue;
      const value =
        room === undefined || this.bin[j] !== this.bin[i]
          ? 0
          : world.pairs.measure(room.oriented, this.x[i], this.y[i], this.oriented[j], this.x[j], this.y[j]);
      loss[i * n + j] = value;
      loss[j * n + i] = value;
    }
  }

  /** Tells that item i is about to be tried: what {@link aim} gave before is old. */
  startSearch(): void {
    this.world.searches++;
  }

  /** Item i at a turn in a bin, ready to be tried at many places. Good until the next {@link startSearch}. */
  aim(i: number, b: number, room: Room): Probe {
    const { world, n } = this;
    const probe = (room.probe ??= createProbe(i, room, n));
    if (probe.stamp === world.searches) return probe;
    probe.stamp = world.searches;
    probe.item = i;
    let count = 0;
    for (const j of this.largeFirst) {
      if (this.bin[j] !== b || j === i) continue;
      world.pairs.link(probe, count, this.oriented[j], this.x[j], this.y[j]);
      probe.weights[count] = this.weight[i * n + j];
      count++;
    }
    probe.count = count;
    return probe;
  }

  /** The part of a probe that counts near a position; good until the next call. */
  narrow(probe: Probe, x: number, y: number, reach: number): Probe {
    narrowProbe(probe, this.near, [x, y], reach, this.world.pairs.cells);
    return this.near;
  }

  /** Weighted loss of a probe's item if it lay there; stops counting beyond `bound`. */
  evaluate(probe: Probe, x: number, y: number, bound: number): number {
    const { world } = this;
    world.evaluations++;
    const { room } = probe;
    if (!room.odd) return world.pairs.weigh(probe, x, y, bound);
    if (room.table === undefined) {
      // Without a table the border is the dearer question.
      const sum = world.pairs.weigh(probe, x, y, bound);
      return sum > bound ? sum : sum + world.roomLoss(room, x, y) * this.roomWeight[probe.item];
    }
    const value = world.roomLoss(room, x, y);
    const edge = value > 0 ? value * this.roomWeight[probe.item] : 0;
    return edge > bound ? edge : edge + world.pairs.weigh(probe, x, y, bound - edge);
  }

  /** Weighted loss of item i where it lies. */
  weightedLoss(i: number): number {
    let sum = this.roomLoss[i] * this.roomWeight[i];
    for (let j = 0, k = i * this.n; j < this.n; j++, k++) {
      if (this.loss[k] > 0) sum += this.loss[k] * this.weight[k];
    }
    return sum;
  }

  /** Unweighted loss of item i where it lies. */
  itemLoss(i: number): number {
    let sum = this.roomLoss[i];
    for (let j = 0, k = i * this.n; j < this.n; j++, k++) sum += this.loss[k];
    return sum;
  }

  /** Items that stand somewhere and overlap something. */
  overlapping(): number[] {
    const found: number[] = [];
    for (let i = 0; i < this.n; i++) if (this.bin[i] >= 0 && this.itemLoss(i) > 0) found.push(i);
    return found;
  }

  /** Unweighted loss of all: 0 exactly when every placed item lies where it may. */
  totalLoss(): number {
    let sum = 0;
    for (let i = 0; i < this.n; i++) {
      sum += this.roomLoss[i];
      for (let j = i + 1, k = i * this.n + j; j < this.n; j++, k++) sum += this.loss[k];
    }
    return sum;
  }

  resetWeights(): void {
    this.weight.fill(1);
    this.roomWeight.fill(1);
  }

  /** Overlapping pairs weigh more, the worst most; the others slowly forget. */
  updateWeights(): void {
    const { n, loss, weight } = this;
    let worst = 0;
    for (let k = 0; k < loss.length; k++) if (loss[k] > worst) worst = loss[k];
    for (let i = 0; i < n; i++) if (this.roomLoss[i] > worst) worst = this.roomLoss[i];
    if (worst === 0) return;
    for (let k = 0; k < loss.length; k++) weight[k] = nextWeight(weight[k], loss[k] / worst);
    for (let i = 0; i < n; i++) this.roomWeight[i] = nextWeight(this.roomWeight[i], this.roomLoss[i] / worst);
  }

  /** Weighted loss of all. */
  totalWeightedLoss(): number {
    let sum = 0;
    for (let i = 0; i < this.n; i++) {
      sum += this.roomLoss[i] * this.roomWeight[i];
      for (let j = i + 1, k = i * this.n + j; j < this.n; j++, k++) {
        if (this.loss[k] > 0) sum += this.loss[k] * this.weight[k];
      }
    }
    return sum;
  }

  /** Another state of the same world to copy into, kept for the next time. */
  spare(k: number): State {
    return (this.spares[k] ??= new State(this.world));
  }

  /** Copies positions and losses (not weights) into another state of the same world. */
  copyTo(other: State): void {
    other.bin.set(this.bin);
    for (let i = 0; i < this.n; i++) other.room[i] = this.room[i];
    other.oriented.set(this.oriented);
    other.x.set(this.x);
    other.y.set(this.y);
    other.loss.set(this.loss);
    other.roomLoss.set(this.roomLoss);
  }

  save(): Snapshot {
    return {
      bin: this.bin.slice(),
      room: this.room.slice(),
      x: this.x.slice(),
      y: this.y.slice(),
      loss: this.totalLoss(),
    };
  }

  restore(snapshot: Snapshot): void {
    for (let i = 0; i < this.n; i++) {
      this.put(i, snapshot.bin[i], snapshot.room[i], snapshot.x[i], snapshot.y[i]);
    }
    for (let i = 0; i < this.n; i++) this.refresh(i);
  }
}

/** @source weight multipliers 1.2 to 2.0 and decay 0.95 of Gardeyn et al. 2025, arXiv 2509.13329, Table 1 */
function nextWeight(weight: number, share: number): number {
  if (share > 0) return Math.min(1e12, weight * (1.2 + 0.8 * share));
  return weight > 1 ? Math.max(1, weight * 0.95) : 1;
}

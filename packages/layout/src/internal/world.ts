import { PairStore } from "./pair-store";
import type { Probe } from "./probe";
import { keepsClear } from "./keeps-clear";
import type { GridOutline } from "./grid";
import { createRoomTable, isRoom, type Border, type RoomTable } from "./room-table";
import { orientShape, turnGrid, type OrientedShape, type Shape } from "./shape";
import type { ShiftBox } from "./shift-cells";

/** A piece as the engine sees it. A rectangle keeps panels in by their boxes alone; an odd piece has borders. */
export interface Bin {
  readonly minX: number;
  readonly minY: number;
  /** Falls when a roll is shortened (along x or y as `runs` says). */
  maxX: number;
  maxY: number;
  /** Borders by the quality that a panel asks; undefined for a plain rectangle. */
  readonly borders?: (minQuality: number | undefined) => readonly Border[];
  readonly area: number;
}

/** An item to place: its shape, the quality it asks, and for each bin its allowed turns (none: not there). */
export interface Item {
  readonly shape: number;
  readonly minQuality: number | undefined;
  /** Turns in step from bin to bin: the same rotation against each bin's nap. */
  readonly turns: readonly (readonly number[])[];
  /** Any turn is allowed; those listed are this many degrees apart. */
  readonly freeStep?: number;
}

/** Room to keep, grid steps. */
export interface Gaps {
  readonly gap: number;
  readonly edgeGap: number;
}

/** The gap with room for rounding: skew or simplified outlines have corners moved by under a step. */
export function withRounding(gaps: Gaps, shapes: readonly Shape[], items: readonly Item[]): Gaps {
  const skew = items.some(
    (item) => item.freeStep !== undefined || item.turns.flat().some((turn) => turn % 90 !== 0),
  );
  const simplified = shapes.some((shape) => shape.simplified);
  return { ...gaps, gap: gaps.gap + (skew ? 3 : 0) + (simplified ? 2 : 0) };
}

/** Where an item may have its reference point in a bin at a turn. */
export interface Room {
  readonly oriented: number;
  readonly minX: number;
  readonly minY: number;
  maxX: number;
  maxY: number;
  /** False for a plain rectangle. */
  readonly odd: boolean;
  /** Built on first use; null when it turns out that there is no free position. */
  table: RoomTable | null | undefined;
  /** What must be kept clear of, where `odd`. */
  readonly borders: readonly Border[];
  /** Outline at this turn; made when first asked for. */
  ring: GridOutline | undefined;
  /** The last item that was tried here. */
  probe: Probe | undefined;
}

/**
 * Bins, shapes, and the lazily built tables between them: all that placing works on. Numbers are grid steps.
 * Items that stand in no bin have bin −1.
 */
export class World {
  readonly shapes: readonly Shape[];
  readonly bins: readonly Bin[];
  readonly items: readonly Item[];
  /** Grid steps between panels. */
  readonly gap: number;
  readonly edgeGap: number;
  readonly oriented: OrientedShape[] = [];
  /** Which positions of two oriented shapes collide, and how badly. */
  readonly pairs: PairStore;
  /** Rooms of each item in each bin, one an allowed turn with any room. */
  readonly rooms: Room[][][];
  /** Counts every position tried. */
  evaluations = 0;
  /** Counts searches: what an item was tried against is good for one. */
  searches = 0;

  /** Cells along a side of a room table: fewer when there are many tables to build. */
  private readonly roomCells: number;
  private readonly orientedIds = new Map<string, number>();

  /** @param gaps - as {@link withRounding} gives them */
  constructor(shapes: readonly Shape[], bins: readonly Bin[], items: readonly Item[], gaps: Gaps) {
    this.shapes = shapes;
    this.bins = bins;
    this.items = items;
    this.gap = gaps.gap;
    this.edgeGap = gaps.edgeGap;
    const known = new Map<string, Room[]>();
    this.rooms = items.map((item) =>
      bins.map((bin, b) => {
        const key = `${item.shape}/${b}/${item.minQuality}/${item.turns[b].join()}`;
        let rooms = known.get(key);
        if (rooms === undefined) known.set(key, (rooms = this.findRooms(item, bin, b)));
        return rooms;
      }),
    );
    const oddRooms = [...known.values()].flat().filter((room) => room.odd).length;
    this.roomCells = oddRooms > 100 ? 48 : 96;
    this.pairs = new PairStore(shapes, this.oriented, this.gap);
  }

  private findRooms(item: Item, bin: Bin, b: number): Room[] {
    const rooms: Room[] = [];
    for (const turn of item.turns[b]) {
      const id = this.orientedId(item.shape, turn);
      const room = roomOf(this.oriented[id], bin, item.minQuality, this.edgeGap);
      if (room !== undefined) rooms.push({ oriented: id, ...room });
    }
    return rooms;
  }

  private orientedId(shape: number, turn: number): number {
    const key = `${shape}@${turn}`;
    let id = this.orientedIds.get(key);
    if (id === undefined) {
      id = this.oriented.length;
      this.oriented.push(orientShape(this.shapes, shape, turn));
      this.orientedIds.set(key, id);
    }
    return id;
  }

  /** Table of a room in an odd piece, built on first use; null when no position in it is free. */
  tableOf(room: Room, b: number, minQuality: number | undefined): RoomTable | null {
    if (room.table === undefined) {
      const oriented = this.oriented[room.oriented];
      const borders = this.bins[b].borders!(minQuality);
      const table = createRoomTable(this.shapes[oriented.shape], oriented, borders, room, this.roomCells);
      room.table = table.free.length === 0 ? null : table;
    }
    return room.table;
  }

  /** How far an item at a position is from lying where its bin allows: 0 when it does. */
  roomLoss(room: Room, x: number, y: number): number {
    const t = room.table;
    if (t === null || !room.odd) return 0;
    if (t === undefined) {
      const oriented = this.oriented[room.oriented];
      const shape = this.shapes[oriented.shape];
      room.ring ??= turnGrid(shape.outer, oriented.turn);
      return keepsClear(room.borders, room.ring, x, y) ? 0 : Math.sqrt(shape.hullArea) * shape.diameter;
    }
    if (isRoom(t, x, y)) return 0;
    let u = (x - t.x0) * t.perX;
    let v = (y - t.y0) * t.perY;
    u = u < 0 ? 0 : u > t.nx - 0.001 ? t.nx - 0.001 : u;
    v = v < 0 ? 0 : v > t.ny - 0.001 ? t.ny - 0.001 : v;
    const i = u | 0;
    const j = v | 0;
    const k = j * (t.nx + 1) + i;
    const up = k + t.nx + 1;
    const low = t.away[k] + (u - i) * (t.away[k + 1] - t.away[k]);
    const high = t.away[up] + (u - i) * (t.away[up + 1] - t.away[up]);
    const shape = this.shapes[this.oriented[room.oriented].shape];
    const floor = 0.01 * shape.diameter;
    return 2 * (low + (v - j) * (high - low) + floor) * Math.sqrt(shape.hullArea);
  }
}

/** False when a shortened roll has become too short for an item at this turn. */
export function isOpen(room: Room): boolean {
  return room.minX <= room.maxX && room.minY <= room.maxY;
}

/** Box of the positions of an oriented shape in a bin; undefined when there is none. */
export function roomOf(
  oriented: OrientedShape,
  bin: Bin,
  minQuality: number | undefined,
  edgeGap: number,
): Omit<Room, "oriented"> | undefined {
  const box: ShiftBox = {
    minX: Math.ceil(bin.minX + edgeGap - oriented.minX),
    minY: Math.ceil(bin.minY + edgeGap - oriented.minY),
    maxX: Math.floor(bin.maxX - edgeGap - oriented.maxX),
    maxY: Math.floor(bin.maxY - edgeGap - oriented.maxY),
  };
  if (box.minX > box.maxX || box.minY > box.maxY) return undefined;
  const borders = bin.borders?.(minQuality) ?? [];
  return { ...box, odd: borders.length > 0, borders, ring: undefined, table: undefined, probe: undefined };
}

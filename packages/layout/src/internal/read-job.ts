import { fail } from "@peltry/issues";
import { outlineCrossings, type Outline, type Point } from "@peltry/geometry";
import type { FabricPiece, LayoutOptions, LayoutPanel } from "../types";
import { fromGrid, gridArea, GRID, orientOutline, toGrid, type GridOutline } from "./grid";
import type { Border } from "./room-table";
import { createShape, type Shape } from "./shape";
import type { Bin, Item } from "./world";

/** One panel to place, of one hand. */
export interface Part {
  readonly panel: LayoutPanel;
  readonly copy: number;
  readonly mirrored: boolean;
  readonly shape: number;
}

/** A job checked and turned into what the engine works on. */
export interface Job {
  readonly shapes: Shape[];
  readonly parts: Part[];
  readonly items: Item[];
  readonly pieces: readonly FabricPiece[];
  readonly bins: Bin[];
  /** Axis along which each bin's nap runs. */
  readonly runs: ("x" | "y")[];
  readonly gap: number;
  readonly edgeGap: number;
}

/** Longest side or coordinate that the grid keeps exact, mm. */
const REACH = 100_000;

/** @throws every `layout/…` code of a broken call; see the README's table */
export function readJob(
  panels: readonly LayoutPanel[],
  pieces: readonly FabricPiece[],
  options: LayoutOptions,
): Job {
  const gap = length(options.gap ?? 0, "gap");
  const edgeGap = length(options.edgeGap ?? 0, "edgeGap");
  checkIds(panels, "panel");
  checkIds(pieces, "piece");
  const shapes: Shape[] = [];
  const parts: Part[] = [];
  for (const panel of panels) parts.push(...readPanel(panel, pieces, shapes));
  const bins = pieces.map((piece) => readPiece(piece, edgeGap, shapes, parts));
  const items = parts.map((part) => ({
    shape: part.shape,
    minQuality: part.panel.minQuality,
    turns: pieces.map((piece) =>
      mayLieOn(part.panel, piece) ? turnsOn(part.panel, piece, options.rotationStep) : [],
    ),
    ...(part.panel.rotations === "free" && { freeStep: stepOf(options.rotationStep) }),
  }));
  return {
    shapes,
    parts,
    items,
    pieces,
    bins,
    runs: pieces.map(runOf),
    gap: gap * GRID,
    edgeGap: edgeGap * GRID,
  };
}

function length(value: number, name: string): number {
  if (!Number.isFinite(value) || value < 0) {
    fail(
      "layout/bad-gap",
      `${name} is ${value}; it must be a length of 0 mm or more.`,
      { path: [name] },
      {
        found: String(value),
        limit: 0,
        fix: "Give a length in mm.",
      },
    );
  }
  return Math.round(value * GRID) / GRID;
}

function checkIds(list: readonly { readonly id: string }[], kind: "panel" | "piece"): void {
  if (!Array.isArray(list)) {
    fail(
      "layout/no-list",
      `The ${kind}s are not a list.`,
      { path: [`${kind}s`] },
      { found: list === null ? "null" : typeof list, fix: `Pass an array of ${kind}s.` },
    );
  }
  const seen = new Set<string>();
  list.forEach((entry, i) => {
    if (typeof entry?.id !== "string" || entry.id === "") {
      fail(
        "layout/no-id",
        `The ${kind} at index ${i} has no id.`,
        { path: [`${kind}s`, i] },
        { fix: "Give every panel and piece an id." },
      );
    }
    if (seen.has(entry.id)) {
      fail(
        "layout/same-id",
        `Two ${kind}s are called "${entry.id}".`,
        { [kind]: entry.id },
        { fix: "Make the ids differ." },
      );
    }
    seen.add(entry.id);
  });
}

/** True when fabric and binding allow a panel on a piece. */
export function mayLieOn(panel: LayoutPanel, piece: FabricPiece): boolean {
  if (panel.piece !== undefined) return panel.piece === piece.id;
  return panel.fabric === undefined || piece.fabric === undefined || panel.fabric === piece.fabric;
}

/** Angles of the drawn outline on a piece: allowed rotations plus the difference of the naps. */
export function turnsOn(panel: LayoutPanel, piece: FabricPiece, step = 15): number[] {
  return rotationsOf(panel, step).map((rotation) => turnFor(panel, piece, rotation));
}

export function turnFor(panel: LayoutPanel, piece: FabricPiece, rotation: number): number {
  const turn = (rotation + (piece.napAngle ?? 90) - (panel.napAngle ?? 90)) % 360;
  return turn < 0 ? turn + 360 : turn;
}

/** The rotation that gives a turn. */
export function rotationFor(panel: LayoutPanel, piece: FabricPiece, turn: number): number {
  const rotation = (turn - (piece.napAngle ?? 90) + (panel.napAngle ?? 90)) % 360;
  return Math.round(1e10 * (rotation < 0 ? rotation + 360 : rotation)) / 1e10;
}

export function rotationsOf(panel: LayoutPanel, step = 15): readonly number[] {
  const rotations = panel.rotations ?? [0];
  if (rotations !== "free") return rotations;
  const count = Math.round(360 / stepOf(step));
  return Array.from({ length: count }, (_, k) => (360 * k) / count);
}

/** The step of free turns that goes round evenly, degrees. */
function stepOf(step = 15): number {
  return 360 / Math.max(1, Math.min(360, Math.round(360 / step)));
}

/** Which way a rectangle or roll runs: along its nap. */
export function runOf(piece: FabricPiece): "x" | "y" {
  return Math.abs(Math.sin(((piece.napAngle ?? 90) * Math.PI) / 180)) < 0.5 ? "x" : "y";
}

type At = { readonly panel?: string; readonly piece?: string };

function readOutline(outline: Outline, what: string, at: At): GridOutline {
  if (!Array.isArray(outline) || outline.length < 3) {
    fail("layout/bad-outline", `${what} has ${outline?.length ?? "no"} points.`, at, {
      limit: 3,
      fix: "Give at least three points.",
    });
  }
  outline.forEach((p: Point, index) => {
    if (
      !Number.isFinite(p?.[0]) ||
      !Number.isFinite(p?.[1]) ||
      Math.abs(p[0]) > REACH ||
      Math.abs(p[1]) > REACH
    ) {
      fail(
        "layout/bad-outline",
        `Point ${index} of ${what} is (${p?.[0]}, ${p?.[1]}).`,
        { ...at, index },
        {
          limit: REACH,
          fix: "Give finite coordinates in mm, within 100 m.",
        },
      );
    }
  });
  const grid = toGrid(outline);
  if (grid.xs.length >= 3) checkCrossings(grid, what, at);
  if (grid.xs.length < 3 || Math.abs(gridArea(grid)) < 1) {
    fail("layout/no-area", `${what} has no area.`, at, {
      found: 0,
      fix: "Check the outline: it encloses nothing.",
    });
  }
  return grid;
}

function checkCrossings(grid: GridOutline, what: string, at: At): void {
  const crossing = outlineCrossings(fromGrid(grid))[0];
  if (crossing !== undefined) {
    fail(
      "layout/crossing-outline",
      `${what} crosses or touches itself: sides ${crossing.first} and ${crossing.second}.`,
      {
        ...at,
        index: crossing.first,
        point: [grid.xs[crossing.first] / GRID, grid.ys[crossing.first] / GRID],
      },
      {
        fix: "Draw the outline so that it meets itself nowhere.",
      },
    );
  }
}

function readPanel(panel: LayoutPanel, pieces: readonly FabricPiece[], shapes: Shape[]): Part[] {
  const at = { panel: panel.id };
  readOutline(panel.outline, `The outline of panel ${panel.id}`, at);
  const rotations = panel.rotations ?? [0];
  if (
    rotations !== "free" &&
    (!Array.isArray(rotations) || rotations.length === 0 || !rotations.every(Number.isFinite))
  ) {
    fail("layout/bad-rotations", `Panel ${panel.id} has no usable rotations.`, at, {
      found: String(rotations),
      fix: 'Give angles in degrees, such as [0], or "free".',
    });
  }
  if (panel.napAngle !== undefined && !Number.isFinite(panel.napAngle)) badNap(at, panel.napAngle);
  const count = panel.count ?? 1;
  if (!Number.isInteger(count) || count < 1 || count > 1000) {
    fail("layout/bad-count", `Panel ${panel.id} is wanted ${count} times.`, at, {
      found: String(count),
      limit: 1000,
      fix: "Give a whole number from 1 to 1000.",
    });
  }
  if (panel.piece !== undefined && !pieces.some((piece) => piece.id === panel.piece)) {
    fail(
      "layout/unknown-piece",
      `Panel ${panel.id} is bound to piece "${panel.piece}", which is not listed.`,
      at,
      { found: panel.piece, fix: "List the piece or drop the binding." },
    );
  }
  if (panel.minQuality !== undefined) quality(panel.minQuality, `Panel ${panel.id}`, at);
  const whole = openOnFold(panel);
  const parts: Part[] = [];
  for (const mirrored of panel.mirrored ? [false, true] : [false]) {
    const shape = shapes.length;
    shapes.push(createShape(orientOutline(fromGrid(toGrid(whole)), 0, mirrored, panel.napAngle ?? 90)));
    for (let copy = 1; copy <= count; copy++) parts.push({ panel, copy, mirrored, shape });
  }
  return parts;
}

function quality(value: number, what: string, at: At): number {
  if (Number.isFinite(value)) return value;
  return fail("layout/bad-quality", `${what} has the quality ${value}.`, at, {
    found: String(value),
    fix: "Give a number; more is better.",
  });
}

function badNap(at: At, found: number): never {
  return fail("layout/bad-nap", `The nap angle is ${found}.`, at, {
    found: String(found),
    fix: "Give degrees from +x, counter-clockwise.",
  });
}

/** The whole outline of a panel on the fold; the outline itself otherwise. */
export function openOnFold(panel: LayoutPanel): Outline {
  if (panel.onFold === undefined || panel.onFold === false) return panel.outline;
  const outline = gridArea(toGrid(panel.outline)) >= 0 ? panel.outline : [...panel.outline].reverse();
  const n = outline.length;
  const near = (p: Point): number => {
    const distances = outline.map((q) => Math.hypot(q[0] - p[0], q[1] - p[1]));
    return distances.indexOf(Math.min(...distances));
  };
  let first: number;
  let last: number;
  if (panel.onFold === true) {
    const sides = outline.map((p, i) =>
      Math.hypot(outline[(i + 1) % n][0] - p[0], outline[(i + 1) % n][1] - p[1]),
    );
    first = sides.indexOf(Math.max(...sides));
    last = (first + 1) % n;
  } else {
    [first, last] = panel.onFold.map(near);
    if (!runsAlongFold(outline, first, last)) [first, last] = [last, first];
    if (first === last || !runsAlongFold(outline, first, last)) {
      fail(
        "layout/bad-fold",
        `The fold line of panel ${panel.id} is not a straight run of its outline.`,
        { panel: panel.id },
        {
          fix: "Give the two corners between which the outline runs straight along the fold.",
        },
      );
    }
  }
  const a = outline[first];
  const b = outline[last];
  const square = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2;
  const half: Point[] = [];
  for (let k = last; k !== first; k = (k + 1) % n) half.push(outline[k]);
  half.push(a);
  const back = half
    .slice(1, -1)
    .reverse()
    .map(([x, y]): Point => {
      const t = ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / square;
      return [2 * (a[0] + t * (b[0] - a[0])) - x, 2 * (a[1] + t * (b[1] - a[1])) - y];
    });
  const whole = [...half, ...back];
  readOutline(whole, `Panel ${panel.id}, opened about its fold,`, { panel: panel.id });
  return whole;
}

/** Every corner from first to last lies on their line, to 0.01 mm. */
function runsAlongFold(outline: Outline, first: number, last: number): boolean {
  const a = outline[first];
  const b = outline[last];
  const size = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (size === 0) return false;
  for (let k = first; k !== last; k = (k + 1) % outline.length) {
    const p = outline[k];
    if (Math.abs((p[0] - a[0]) * (b[1] - a[1]) - (p[1] - a[1]) * (b[0] - a[0])) / size > 0.01) return false;
  }
  return true;
}

function readPiece(
  piece: FabricPiece,
  edgeGap: number,
  shapes: readonly Shape[],
  parts: readonly Part[],
): Bin {
  const at = { piece: piece.id };
  const napAngle = piece.napAngle ?? 90;
  if (!Number.isFinite(napAngle)) badNap(at, napAngle);
  checkForm(piece);
  checkPrice(piece.cost, "cost", piece);
  checkPrice(piece.roll?.costPerMetre, "costPerMetre", piece);
  const outline = piece.outline ?? rectangleOf(piece, shapes, parts);
  const border = readOutline(outline, `The outline of piece ${piece.id}`, at);
  const rectangle = piece.outline === undefined || isRectangle(border);
  const holes = (piece.holes ?? []).map((hole, h) =>
    readOutline(hole, `Hole ${h + 1} of piece ${piece.id}`, at),
  );
  const zones = (piece.zones ?? []).map((zone, z) => ({
    quality: quality(zone.quality, `Zone ${z + 1} of piece ${piece.id}`, at),
    outline: readOutline(zone.outline, `Zone ${z + 1} of piece ${piece.id}`, at),
  }));
  const gap = edgeGap * GRID;
  const borders = (minQuality: number | undefined): Border[] => {
    const poor = zones.filter((zone) => minQuality === undefined || zone.quality < minQuality);
    if (rectangle && holes.length === 0 && poor.length === 0) return [];
    return [
      ...(rectangle ? [] : [{ outline: border, keep: "inside", gap } as const]),
      ...holes.map((hole) => ({ outline: hole, keep: "outside", gap }) as const),
      ...poor.map((zone) => ({ outline: zone.outline, keep: "outside", gap: 0 }) as const),
    ];
  };
  const xs = [...border.xs];
  const ys = [...border.ys];
  return {
    minX: Math.min(...xs),
    minY: Math.min(...ys),
    maxX: Math.max(...xs),
    maxY: Math.max(...ys),
    borders,
    area: Math.max(
      1,
      Math.abs(gridArea(border)) - holes.reduce((sum, hole) => sum + Math.abs(gridArea(hole)), 0),
    ),
  };
}

/** An outline, a rectangle and a roll exclude each other: which of two was meant cannot be told. */
function checkForm(piece: FabricPiece): void {
  const at = { piece: piece.id };
  for (const name of ["holes", "zones"] as const) {
    if (piece[name] === undefined || Array.isArray(piece[name])) continue;
    fail("layout/bad-outline", `The ${name} of piece ${piece.id} are no list.`, at, {
      found: String(piece[name]),
      fix: `Give an array of ${name}, or none.`,
    });
  }
  if (piece.roll === null) {
    fail("layout/no-area", `The roll of piece ${piece.id} is null.`, at, {
      fix: "Give a roll with its width.",
    });
  }
  const forms = [
    ...(piece.outline === undefined ? [] : ["an outline"]),
    ...(piece.width === undefined && piece.length === undefined ? [] : ["a width or length"]),
    ...(piece.roll === undefined ? [] : ["a roll"]),
  ];
  if (forms.length < 2) return;
  fail("layout/two-forms", `Piece ${piece.id} has ${forms.join(" and ")}.`, at, {
    found: forms.length,
    limit: 1,
    fix: "Give either an outline, or width and length, or a roll (its length as maxLength).",
  });
}

function checkPrice(price: number | undefined, name: string, piece: FabricPiece): void {
  if (price === undefined || (Number.isFinite(price) && price >= 0)) return;
  fail(
    "layout/bad-cost",
    `The ${name} of piece ${piece.id} is ${price}.`,
    { piece: piece.id },
    { found: String(price), limit: 0, fix: "Give 0 or more, in one currency throughout." },
  );
}

function isRectangle({ xs, ys }: GridOutline): boolean {
  const lowX = Math.min(...xs);
  const highX = Math.max(...xs);
  const lowY = Math.min(...ys);
  const highY = Math.max(...ys);
  return Math.abs(gridArea({ xs, ys })) === (highX - lowX) * (highY - lowY);
}

/** Outline of a rectangle or roll, its first corner at the origin, running along its nap. */
function rectangleOf(piece: FabricPiece, shapes: readonly Shape[], parts: readonly Part[]): Outline {
  const at = { piece: piece.id };
  const width = piece.roll?.width ?? piece.width;
  let long = piece.roll === undefined ? piece.length : piece.roll.maxLength;
  if (piece.roll !== undefined && long === undefined && width !== undefined) {
    long = parts.reduce((sum, part) => sum + shapes[part.shape].diameter, 2 * width * GRID) / GRID;
  }
  if (
    !(width !== undefined && width > 0 && width <= REACH) ||
    !(long !== undefined && long > 0 && long < Infinity)
  ) {
    fail("layout/no-area", `Piece ${piece.id} is ${width ?? "?"} × ${long ?? "?"} mm.`, at, {
      fix: "Give an outline, a width and a length above 0, or a roll with a width above 0.",
    });
  }
  if (piece.roll !== undefined || piece.napAngle !== undefined) {
    const slant = Math.abs(Math.sin(((piece.napAngle ?? 90) * Math.PI) / 90));
    if (slant > 1e-9) {
      fail(
        "layout/bad-nap",
        `The nap of ${piece.id} lies at ${piece.napAngle}°; a roll or rectangle runs along its nap.`,
        at,
        {
          found: piece.napAngle ?? 90,
          fix: "Use 0, 90, 180 or 270, or give the piece as an outline.",
        },
      );
    }
  }
  const [w, h] = runOf(piece) === "x" ? [long, width] : [width, long];
  return [
    [0, 0],
    [w, 0],
    [w, h],
    [0, h],
  ];
}

import type { Point } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { apply, arcPoints, compose, IDENTITY, type Affine, type Run } from "./curve-runs";
import { latin } from "../scan/text-scanner";
import { sourceText } from "./read-source";
import { splinePoints } from "./spline";
import { MOST_POINTS, toDrawing, type DrawingOptions, type WrapDrawing } from "./wrap-drawing";

/** A group code and its value. */
interface Pair {
  readonly code: number;
  readonly value: string;
  readonly line: number;
}

interface Entity {
  readonly type: string;
  readonly pairs: readonly Pair[];
  /** Vertices of an old-style polyline. */
  readonly vertices: readonly Entity[];
}

/** @source Autodesk, DXF Reference, HEADER section, $INSUNITS */
const INSUNITS: Readonly<Record<number, number>> = {
  1: 25.4,
  2: 304.8,
  4: 1,
  5: 10,
  6: 1000,
  8: 25.4e-6,
  9: 0.0254,
  10: 914.4,
  13: 1e-3,
  14: 100,
};

/**
 * Reads the outlines of wrap pieces from a text DXF: LINE, LWPOLYLINE and POLYLINE with bulges, ARC, CIRCLE, ELLIPSE,
 * SPLINE, blocks through INSERT. Layers become names. Everything is taken into the drawing plane.
 *
 * @throws `forms/bad-call` for another source or option; `forms/bad-dxf` with the line; `forms/not-supported` for binary DXF; `forms/drawing-too-large`
 * @source Autodesk, DXF Reference (group codes, ENTITIES, BLOCKS, arbitrary axis); bulge = tan(angle / 4)
 */
export function readWrapDxf(source: Uint8Array | string, options: DrawingOptions = {}): WrapDrawing {
  const text = sourceText(source, options);
  if (typeof source !== "string" && latin(source, 0, 22).startsWith("AutoCAD Binary DXF")) {
    fail(
      "forms/not-supported",
      "Binary DXF files are not supported.",
      { byte: 0 },
      { fix: "Save as text (ASCII) DXF." },
    );
  }
  const pairs = readPairs(text);
  const issues: Issue[] = [];
  const blocks = new Map<string, Entity[]>();
  const drawn: Entity[] = [];
  let insunits: number | undefined;
  for (const section of sections(pairs)) {
    if (section.name === "HEADER") insunits = headerUnit(section.pairs);
    else if (section.name === "ENTITIES") drawn.push(...entities(section.pairs));
    else if (section.name === "BLOCKS") readBlocks(entities(section.pairs), blocks);
  }
  const { mm, word } = unitOf(insunits, options, issues);
  const state = { points: 0, inserts: 0, skipped: new Map<string, number>() };
  const runs = drawn.flatMap((entity) => entityRuns(entity, [mm, 0, 0, mm, 0, 0], blocks, state, 0, ""));
  for (const [type, n] of state.skipped)
    issues.push({
      code: "forms/entities-left-out",
      severity: "note",
      message: `${n} ${type} entities were left out.`,
      at: {},
      found: n,
    });
  return toDrawing(runs, options, mm, word, issues);
}

function unitOf(
  insunits: number | undefined,
  options: DrawingOptions,
  issues: Issue[],
): { mm: number; word: string } {
  if (options.mmPerUnit !== undefined)
    return { mm: options.mmPerUnit, word: `1 unit is ${options.mmPerUnit} mm, as given` };
  const mm = insunits === undefined ? undefined : INSUNITS[insunits];
  if (mm !== undefined) return { mm, word: `1 unit is ${mm} mm by $INSUNITS ${insunits}` };
  issues.push({
    code: "forms/unit-guessed",
    severity: "warning",
    message: "The DXF states no unit; mm were taken.",
    at: {},
    fix: "Pass mmPerUnit, 25.4 for a drawing in inches.",
  });
  return { mm: 1, word: "no unit stated: taken as mm" };
}

function readPairs(text: string): Pair[] {
  const lines = text.split(/\r\n|\n|\r/);
  while (lines.length > 0 && lines[lines.length - 1].trim() === "") lines.pop();
  const pairs: Pair[] = [];
  for (let i = 0; i + 1 < lines.length + (lines.length % 2); i += 2) {
    const code = Number(lines[i]?.trim());
    if (!Number.isInteger(code) || lines[i].trim() === "" || lines[i + 1] === undefined) {
      fail(
        "forms/bad-dxf",
        `Line ${i + 1} of the DXF should be a group code and is “${(lines[i] ?? "").trim().slice(0, 30)}”.`,
        { line: i + 1 },
        { fix: "The file is cut short or no DXF: save it again." },
      );
    }
    pairs.push({ code, value: lines[i + 1].trim(), line: i + 2 });
  }
  if (!pairs.some(({ code, value }) => code === 0 && value === "SECTION"))
    fail(
      "forms/bad-dxf",
      "The file has no DXF section.",
      { line: 1 },
      { fix: "Save the drawing as text DXF." },
    );
  if (!pairs.some(({ code, value }) => code === 0 && value === "EOF"))
    fail(
      "forms/truncated",
      "The DXF ends without EOF.",
      { line: lines.length },
      { fix: "The file is cut short: copy or save it again." },
    );
  return pairs;
}

function sections(pairs: readonly Pair[]): { name: string; pairs: Pair[] }[] {
  const out: { name: string; pairs: Pair[] }[] = [];
  let now: { name: string; pairs: Pair[] } | undefined;
  pairs.forEach((pair, i) => {
    if (pair.code === 0 && pair.value === "SECTION") {
      now = { name: pairs[i + 1]?.code === 2 ? pairs[i + 1].value : "", pairs: [] };
      out.push(now);
    } else if (pair.code === 0 && pair.value === "ENDSEC") now = undefined;
    else now?.pairs.push(pair);
  });
  return out;
}

function headerUnit(pairs: readonly Pair[]): number | undefined {
  const at = pairs.findIndex(({ code, value }) => code === 9 && value === "$INSUNITS");
  return at >= 0 && pairs[at + 1]?.code === 70 ? Number(pairs[at + 1].value) : undefined;
}

function entities(pairs: readonly Pair[]): Entity[] {
  const out: { type: string; pairs: Pair[]; vertices: Entity[] }[] = [];
  let polyline: { vertices: Entity[] } | undefined;
  let now: { type: string; pairs: Pair[]; vertices: Entity[] } | undefined;
  for (const pair of pairs) {
    if (pair.code !== 0) {
      now?.pairs.push(pair);
      continue;
    }
    now = { type: pair.value, pairs: [], vertices: [] };
    if (pair.value === "VERTEX" && polyline) polyline.vertices.push(now);
    else if (pair.value === "SEQEND") polyline = undefined;
    else {
      polyline = pair.value === "POLYLINE" ? now : undefined;
      out.push(now);
    }
  }
  return out;
}

function readBlocks(list: readonly Entity[], blocks: Map<string, Entity[]>): void {
  let now: Entity[] | undefined;
  for (const entity of list) {
    if (entity.type === "BLOCK") {
      now = [entity];
      blocks.set(text(entity, 2), now);
    } else if (entity.type === "ENDBLK") now = undefined;
    else now?.push(entity);
  }
}

function text(entity: Entity, code: number): string {
  return entity.pairs.find((pair) => pair.code === code)?.value ?? "";
}

function number(entity: Entity, code: number, otherwise: number): number {
  const pair = entity.pairs.find((p) => p.code === code);
  return pair ? toNumber(pair) : otherwise;
}

function toNumber(pair: Pair): number {
  const x = Number(pair.value);
  if (!Number.isFinite(x) || pair.value === "")
    fail(
      "forms/bad-dxf",
      `Line ${pair.line} of the DXF should be a number and is “${pair.value.slice(0, 30)}”.`,
      { line: pair.line },
      { found: pair.value.slice(0, 30), fix: "Save the drawing again." },
    );
  return x;
}

type State = { points: number; inserts: number; skipped: Map<string, number> };

function entityRuns(
  entity: Entity,
  m: Affine,
  blocks: ReadonlyMap<string, Entity[]>,
  state: State,
  depth: number,
  layer: string,
): Run[] {
  const own = text(entity, 8);
  const name = own === "" || own === "0" ? layer || own || "0" : own;
  if (entity.type === "INSERT") return insertRuns(entity, m, blocks, state, depth, name);
  // Entities drawn on a plane that faces away are mirrored: with normal (0, 0, −1) the x axis turns round.
  const facing =
    number(entity, 230, 1) < 0 &&
    entity.type !== "LINE" &&
    entity.type !== "SPLINE" &&
    entity.type !== "ELLIPSE"
      ? compose(m, [-1, 0, 0, 1, 0, 0])
      : m;
  const shape = shapeOf(entity);
  if (!shape) {
    if (!QUIET.has(entity.type)) state.skipped.set(entity.type, (state.skipped.get(entity.type) ?? 0) + 1);
    return [];
  }
  const scale = Math.max(Math.hypot(m[0], m[1]), Math.hypot(m[2], m[3]));
  const points = shape.points(0.02 / (scale || 1)).map((p) => apply(facing, p[0], p[1]));
  state.points += points.length;
  if (state.points > MOST_POINTS)
    fail(
      "forms/drawing-too-large",
      `The drawing has more than ${MOST_POINTS} points.`,
      {},
      { limit: MOST_POINTS, fix: "Keep only the outlines." },
    );
  return [{ points, closed: shape.closed, name }];
}

const QUIET = new Set([
  "BLOCK",
  "ENDBLK",
  "POINT",
  "TEXT",
  "MTEXT",
  "ATTRIB",
  "ATTDEF",
  "DIMENSION",
  "VIEWPORT",
  "SEQEND",
]);

interface Shape {
  readonly closed: boolean;
  readonly points: (tolerance: number) => Point[];
}

function shapeOf(entity: Entity): Shape | undefined {
  const n = (code: number, otherwise = 0): number => number(entity, code, otherwise);
  switch (entity.type) {
    case "LINE":
      return {
        closed: false,
        points: () => [
          [n(10), n(20)],
          [n(11), n(21)],
        ],
      };
    case "CIRCLE":
      return {
        closed: true,
        points: (tolerance) =>
          arcPoints(0, 2 * Math.PI, (c, s) => [n(10) + n(40) * c, n(20) + n(40) * s], n(40), tolerance),
      };
    case "ARC": {
      const from = (n(50) * Math.PI) / 180;
      const sweep = positive((n(51) * Math.PI) / 180 - from);
      const place = (c: number, s: number): Point => [n(10) + n(40) * c, n(20) + n(40) * s];
      return {
        closed: false,
        points: (tolerance) => [
          place(Math.cos(from), Math.sin(from)),
          ...arcPoints(from, sweep, place, n(40), tolerance),
        ],
      };
    }
    case "ELLIPSE": {
      const [ax, ay, ratio, from] = [n(11), n(21), n(40, 1), n(41)];
      const sweep = positive(n(42, 2 * Math.PI) - from);
      const flip = n(230, 1) < 0 ? -1 : 1;
      const place = (c: number, s: number): Point => [
        n(10) + ax * c - flip * ay * ratio * s,
        n(20) + ay * c + flip * ax * ratio * s,
      ];
      const closed = Math.abs(sweep - 2 * Math.PI) < 1e-6;
      return {
        closed,
        points: (tolerance) => [
          ...(closed ? [] : [place(Math.cos(from), Math.sin(from))]),
          ...arcPoints(from, sweep, place, Math.hypot(ax, ay), tolerance),
        ],
      };
    }
    case "LWPOLYLINE":
      return bulged(lightVertices(entity), (n(70) & 1) === 1);
    case "POLYLINE": {
      // Meshes and their faces are no outlines.
      if ((n(70) & 80) !== 0) return undefined;
      const vertices = entity.vertices
        .filter((v) => (number(v, 70, 0) & 16) === 0)
        .map((v): [number, number, number] => [number(v, 10, 0), number(v, 20, 0), number(v, 42, 0)]);
      return bulged(vertices, (n(70) & 1) === 1);
    }
    case "SPLINE": {
      const all = (code: number): number[] => entity.pairs.filter((p) => p.code === code).map(toNumber);
      const [x, y] = [all(10), all(20)];
      const control = x.map((value, i): Point => [value, y[i] ?? 0]);
      const [fx, fy] = [all(11), all(21)];
      const fit = fx.map((value, i): Point => [value, fy[i] ?? 0]);
      return {
        closed: (n(70) & 1) === 1,
        points: (tolerance) =>
          control.length > 0 ? splinePoints(control, all(40), all(41), n(71, 3), tolerance) : fit,
      };
    }
    default:
      return undefined;
  }
}

function positive(angle: number): number {
  const turn = angle % (2 * Math.PI);
  return turn <= 1e-12 ? turn + 2 * Math.PI : turn;
}

function lightVertices(entity: Entity): [number, number, number][] {
  const out: [number, number, number][] = [];
  for (const pair of entity.pairs) {
    if (pair.code === 10) out.push([toNumber(pair), 0, 0]);
    else if (pair.code === 20 && out.length > 0) out[out.length - 1][1] = toNumber(pair);
    else if (pair.code === 42 && out.length > 0) out[out.length - 1][2] = toNumber(pair);
  }
  return out;
}

/** Straight and round stretches: a bulge is the tangent of a quarter of the arc's angle, positive to the left. */
function bulged(vertices: readonly [number, number, number][], closed: boolean): Shape {
  return {
    closed,
    points: (tolerance) => {
      const out: Point[] = [];
      vertices.forEach(([x, y, bulge], i) => {
        out.push([x, y]);
        const last = i === vertices.length - 1;
        if (bulge === 0 || (last && !closed)) return;
        const [u, v] = vertices[(i + 1) % vertices.length];
        const chord = Math.hypot(u - x, v - y);
        if (chord === 0) return;
        const angle = 4 * Math.atan(bulge);
        const offset = (1 - bulge * bulge) / (4 * bulge);
        const [cx, cy] = [(x + u) / 2 - offset * (v - y), (y + v) / 2 + offset * (u - x)];
        const radius = Math.hypot(x - cx, y - cy);
        const arc = arcPoints(
          Math.atan2(y - cy, x - cx),
          angle,
          (c, s) => [cx + radius * c, cy + radius * s],
          radius,
          tolerance,
        );
        out.push(...arc.slice(0, -1));
      });
      return out;
    },
  };
}

function insertRuns(
  entity: Entity,
  m: Affine,
  blocks: ReadonlyMap<string, Entity[]>,
  state: State,
  depth: number,
  layer: string,
): Run[] {
  const name = text(entity, 2);
  const block = blocks.get(name);
  if (!block) return [];
  const n = (code: number, otherwise = 0): number => number(entity, code, otherwise);
  const columns = Math.max(1, n(70, 1));
  const rows = Math.max(1, n(71, 1));
  if (depth > 16 || (state.inserts += columns * rows) > 20_000) {
    fail(
      "forms/bad-dxf",
      `Block “${name.slice(0, 40)}” holds itself or is put in too often.`,
      { line: entity.pairs[0]?.line ?? 1 },
      { limit: 16, fix: "Explode the blocks in the drawing program." },
    );
  }
  const turn = (n(50) * Math.PI) / 180;
  const rotation: Affine = [Math.cos(turn), Math.sin(turn), -Math.sin(turn), Math.cos(turn), 0, 0];
  const base: Affine = [1, 0, 0, 1, -number(block[0], 10, 0), -number(block[0], 20, 0)];
  const out: Run[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const grid: Affine = [1, 0, 0, 1, column * n(44), row * n(45)];
      const place = compose(
        compose([1, 0, 0, 1, n(10), n(20)], rotation),
        compose(grid, compose([n(41, 1), 0, 0, n(42, 1), 0, 0], base)),
      );
      const facing: Affine = n(230, 1) < 0 ? [-1, 0, 0, 1, 0, 0] : IDENTITY;
      for (const inner of block.slice(1))
        out.push(...entityRuns(inner, compose(m, compose(facing, place)), blocks, state, depth + 1, layer));
    }
  }
  return out;
}

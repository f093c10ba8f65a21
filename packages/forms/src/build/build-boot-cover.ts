import { fail, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import { pathLength, type Point } from "@peltry/geometry";
import { checkOpening, type OpeningCheck } from "@peltry/measure";
import { mirrorPanel, type Edge, type Panel } from "@peltry/pattern";
import type { Form, FormCurve } from "../types";
import { borderCurves } from "./carve-patch";
import { needMeasure, type MeasureValues } from "./levels";
import { isRight, mirrorForm, type Side } from "./mirror-form";
import { runLength, sectionPoints, tapeLength } from "./section";
import { makeTufts, type MadeTufts, type TuftOptions } from "../parts/make-tufts";
import { partNumber, shown } from "../parts/number";
import { plainSole, soleRun } from "./sole-outline";
import { createTable, fillRow, hermite, lookUp, type SectionTable } from "./surface";
import { meshTube, tubeCurves, type TubePoint } from "./tube-mesh";

/** A seam line of a boot cover, by name. */
export type BootLine = "inner-seam" | "front-line" | "outer-seam" | "back-line";

/** What a boot cover is built from: the traced sole, heel height, ankle, paw or hoof. */
export interface BuildBootCoverOptions extends WorkOptions {
  readonly name?: string | undefined;
  /** Foot of the wearer; the left one by default. */
  readonly side?: Side | undefined;
  /** footLength, footBreadth, ankleNarrow, heelAnkle and ballGirth; of the bare foot. */
  readonly measures: MeasureValues;
  /** Traced outline of the shoe's sole, x outward, z toward the toe, mm; from foot length and breadth where left out. */
  readonly outline?: readonly Point[] | undefined;
  /** How much the shoe adds, mm: to length, to breadth, and to each girth. 24, 12 and 40 by default: judgements. */
  readonly shoe?:
    { readonly length?: number; readonly breadth?: number; readonly girth?: number } | undefined;
  /** Height of the heel over the ball of the shoe, mm. */
  readonly heelHeight?: number | undefined;
  /** Upper rim: height above the floor and girth, mm. 150 with the heel on top, and the ankle over shoe and trouser. */
  readonly top?: { readonly height?: number; readonly girth?: number } | undefined;
  /** `plain`, a `paw` with toes, or a `hoof` with a hard wall. */
  readonly style?: "plain" | "paw" | "hoof" | undefined;
  /** Height of the paw or hoof wall, mm; 55 by default. */
  readonly wallHeight?: number | undefined;
  /** Toes of a paw, 2 to 6, and how far they stand out, mm. 4 and 12 by default. */
  readonly toes?: { readonly count?: number; readonly depth?: number } | undefined;
  /** Tufts of fur between the toes of a paw; none where left out. */
  readonly tufts?: TuftOptions | undefined;
  /** Cleft in the front of a hoof, mm; 0 by default. */
  readonly cleft?: number | undefined;
  /** Clearance of the lower rim above the floor, mm, so that it is not trodden on; 4 by default. */
  readonly clearance?: number | undefined;
  /** How it is got into: usable stretch of the rim, and length of a zip or vent, mm. */
  readonly entry?: { readonly stretch?: number; readonly vent?: number } | undefined;
  readonly triangles?: number | undefined;
  /** Lines that are to be seams; `back-line` by default. */
  readonly seams?: readonly BootLine[] | undefined;
}

/** A boot cover with the figures of its sole and walls. */
export interface BuiltBootCover extends Form {
  /** Flat outline of the sole edge, for a sole piece or a template: seen from below, as the finished sole is. */
  readonly sole: Panel;
  /** Vertices of the sole rim under the points of each edge of the sole, in its order. */
  readonly soleRims: readonly { readonly edge: string; readonly path: readonly number[] }[];
  /** Girth round the ball of the foot, upper and sole together, mm, and what the shod foot needs. */
  readonly ball: { readonly girth: number; readonly needed: number };
  readonly entry: OpeningCheck;
  /** Tufts for the grooves, flat, where they were asked for. */
  readonly tufts?: MadeTufts;
  readonly issues: readonly Issue[];
}

/** Share of the foot length from heel to the middle of the ankle, and to the ball: 0.740 is the mean of the 2012 survey. */
const ANKLE_AT = 0.25;
const BALL_AT = 0.74;

/**
 * A cover over a shoe: from an ankle rim down over heel, sides and instep to the edge of the sole, with a paw or hoof
 * wall of its own cloth. Toe +z, floor y = 0, outer side +x on the left foot and −x on the right one. It ends above the
 * outsole, never under it.
 *
 * Curves: `rim-ankle`, `rim-sole`, `inner-seam`, `front-line`, `outer-seam`, `back-line`, and `border-wall` between
 * `coat` and `wall`, and on a paw `groove-1` and on between the toes.
 *
 * @throws forms/missing-measure, forms/bad-measure, forms/bad-outline, forms/bad-boot, forms/bad-size, forms/bad-part
 * @remarks Each share of the way round is one smooth curve from ankle ring to sole edge; how full the instep is, is found
 * from the girth round the ball. Footing comes first: see the footing checks before walking in covers.
 */
export function buildBootCover(options: BuildBootCoverOptions): BuiltBootCover {
  throwIfCancelled(options.signal);
  const settled = settle(options);
  const table = createTable(2);
  fillRow(table, 0, ankleRun(settled), 0);
  fillRow(table, 1, settled.sole, 0);
  const fullness = findFullness(table, settled);
  const point = bootPoint(table, settled, fullness);
  const { columns, alongs, wallRow } = layRows(point, settled, options.triangles ?? 8000);
  const tube = meshTube(point, columns, alongs);
  const mesh = { positions: tube.positions, triangles: tube.triangles };
  const regionOf = new Int32Array(tube.triangles.length / 3);
  const hasWall = settled.style !== "plain";
  if (hasWall) regionOf.fill(1, 2 * columns * wallRow);
  const seams = options.seams ?? ["back-line"];
  if (!Array.isArray(seams))
    fail("forms/bad-boot", "seams is no list.", { path: ["seams"] }, { fix: "Pass the ids of lines." });
  const quarter = columns / 4;
  const lines = (["inner-seam", "front-line", "outer-seam", "back-line"] as const).map((id, i) => ({
    id,
    name: {
      "inner-seam": "Inner seam",
      "front-line": "Front line",
      "outer-seam": "Outer seam",
      "back-line": "Back line",
    }[id],
    column: i * quarter,
    seam: seams.includes(id),
  }));
  const curves = tubeCurves(tube, lines, [
    { id: "rim-ankle", name: "Ankle rim" },
    { id: "rim-sole", name: "Sole edge" },
  ]);
  const grooves = toeGrooves(settled, columns, tube.rows, wallRow);
  curves.push(...grooves);
  const tufts = options.tufts && tuftsOf(options.tufts, grooves, mesh, settled);
  if (hasWall)
    curves.push(
      ...borderCurves(tube.triangles, regionOf, 1, "wall", settled.style === "hoof" ? "the hoof" : "the paw"),
    );
  const girth = ballGirth(point, settled);
  const entry = checkOpening({
    name: "The ankle rim",
    girth: settled.topGirth,
    stretch: options.entry?.stretch ?? 0,
    vent: 2 * partNumber(options.entry?.vent ?? 0, "entry.vent", 0, 1000),
    passes: [{ name: "the shod heel", girth: settled.heelGirth }],
  });
  const right = isRight(options.side);
  const sole = solePanel(tube.positions, columns, tube.rows);
  const cover: Form = {
    name: options.name ?? "boot cover",
    mesh,
    regions: hasWall
      ? [
          { id: "coat", name: "coat" },
          { id: "wall", name: settled.style === "hoof" ? "hoof wall" : "paw" },
        ]
      : [{ id: "coat", name: "coat" }],
    regionOf,
    curves,
    landmarks: [
      { id: "toe", vertex: (tube.rows - 1) * columns + quarter },
      { id: "heel", vertex: (tube.rows - 1) * columns + 3 * quarter },
      { id: "ankle-front", vertex: quarter },
    ],
  };
  return {
    ...(right ? mirrorForm(cover) : cover),
    sole: right ? mirrorPanel(sole.panel) : sole.panel,
    soleRims: right
      ? sole.rims.map(({ edge, path }) => ({ edge, path: [...path].reverse() })).reverse()
      : sole.rims,
    ball: { girth, needed: settled.ballNeeded },
    entry,
    ...(tufts ? { tufts } : {}),
    issues: [...entry.issues, ...bootIssues(settled, girth), ...(tufts?.issues ?? [])],
  };
}

interface Settled {
  readonly length: number;
  readonly sole: Float64Array;
  readonly topHeight: number;
  readonly topGirth: number;
  readonly heelGirth: number;
  readonly ballNeeded: number;
  readonly style: "plain" | "paw" | "hoof";
  readonly wall: number;
  readonly toes: number;
  readonly toeDepth: number;
  readonly cleft: number;
  readonly clearance: number;
  readonly heelHeight: number;
}

function settle(options: BuildBootCoverOptions): Settled {
  const range = (value: number, low: number, high: number, what: string): number => {
    if (typeof value === "number" && value >= low && value <= high) return value;
    fail(
      "forms/bad-boot",
      `${what} of the boot cover is ${shown(value)}.`,
      { path: [what] },
      {
        found: shown(value),
        limit: `${low} to ${high}`,
        fix: "Choose a value in that range.",
      },
    );
  };
  const heelHeight = range(options.heelHeight ?? 0, 0, 150, "heelHeight");
  const foot = needMeasure(options.measures, "footLength");
  // A raised heel shortens the foot on the floor: the part behind the ball stands on a slope.
  const behind = BALL_AT * foot;
  const onFloor =
    foot - behind + Math.sqrt(Math.max(0.25 * behind * behind, behind * behind - heelHeight * heelHeight));
  const girthMore = range(options.shoe?.girth ?? 40, 0, 200, "shoe.girth");
  const outline =
    options.outline ??
    plainSole(
      onFloor + range(options.shoe?.length ?? 24, 0, 150, "shoe.length"),
      needMeasure(options.measures, "footBreadth") +
        range(options.shoe?.breadth ?? 12, 0, 100, "shoe.breadth"),
    );
  const sole = soleRun(outline);
  const zs = outline.map((each) => each[1]);
  const style = options.style ?? "paw";
  if (style !== "plain" && style !== "paw" && style !== "hoof") range(NaN, 0, 0, "style");
  const wall = range(options.wallHeight ?? 55, 15, 120, "wallHeight");
  const topHeight = range(options.top?.height ?? 150 + heelHeight, wall + 30, 450, "top.height");
  return {
    length: Math.max(...zs) - Math.min(...zs),
    sole,
    topHeight,
    topGirth: range(
      options.top?.girth ?? needMeasure(options.measures, "ankleNarrow") + girthMore + 30,
      120,
      900,
      "top.girth",
    ),
    heelGirth: needMeasure(options.measures, "heelAnkle") + girthMore,
    ballNeeded: needMeasure(options.measures, "ballGirth") + girthMore,
    style,
    wall,
    toes: Math.round(range(options.toes?.count ?? 4, 2, 6, "toes.count")),
    toeDepth: style === "paw" ? range(options.toes?.depth ?? 12, 0, 40, "toes.depth") : 0,
    cleft: style === "hoof" ? range(options.cleft ?? 0, 0, 60, "cleft") : 0,
    clearance: range(options.clearance ?? 4, 0, 30, "clearance"),
    heelHeight,
  };
}

/** Ring of the upper rim over the ankle, a little deeper than broad. */
function ankleRun(boot: Settled): Float64Array {
  let [inner, outer, heel] = [Infinity, -Infinity, Infinity];
  for (let k = 0; k < boot.sole.length; k += 2) {
    inner = Math.min(inner, boot.sole[k]);
    outer = Math.max(outer, boot.sole[k]);
    heel = Math.min(heel, boot.sole[k + 1]);
  }
  const middle = (inner + outer) / 2;
  const build = (half: number): Float64Array => {
    const z = heel + ANKLE_AT * boot.length;
    return sectionPoints({
      inner: middle - half,
      centre: middle,
      outer: middle + half,
      middle: z,
      front: z + 1.15 * half,
      back: z - 1.15 * half,
      innerPower: 2.1,
      outerPower: 2.1,
    });
  };
  return build((100 * boot.topGirth) / runLength(build(100)));
}

function bootPoint(table: SectionTable, boot: Settled, fullness: number): TubePoint {
  const a: [number, number] = [0, 0];
  const b: [number, number] = [0, 0];
  const drop = boot.topHeight - boot.clearance;
  return (share, along) => {
    lookUp(table, share, 0, a);
    lookUp(table, share, 1, b);
    const [outX, outZ] = outward(table, share);
    const edge = toeRelief(boot, share);
    // Toes and cleft belong to the wall: they are gone well before the ankle.
    const relief = edge * rampUp((along - 0.4) / 0.6);
    // A hoof flares toward the floor, a paw stands upright.
    const flare = boot.style === "hoof" ? 0.5 * boot.wall : 0;
    return [
      hermite(a[0], 0, b[0], flare * outX, along) + relief * outX,
      hermite(boot.topHeight, -1.3 * drop, boot.clearance, -fullness * drop, along),
      hermite(a[1], 0, b[1], flare * outZ, along) + relief * outZ,
    ];
  };
}

function rampUp(t: number): number {
  const u = Math.min(1, Math.max(0, t));
  return u * u * u * (10 - u * (15 - 6 * u));
}

/** How far the sole edge stands out at a share: toes of a paw, or in at the cleft of a hoof. Smooth, zero behind. */
function toeRelief(boot: Settled, share: number): number {
  const u = (share - 0.25) / 0.19 + 0.5;
  if (u <= 0 || u >= 1) return 0;
  const rise = 4 * u * (1 - u);
  const window = rise * Math.sqrt(rise);
  if (boot.toeDepth > 0) return boot.toeDepth * window * 0.5 * (1 - Math.cos(2 * Math.PI * boot.toes * u));
  if (boot.cleft > 0) return -boot.cleft * Math.exp(-(((share - 0.25) / 0.016) ** 2));
  return 0;
}

/** The valleys between the toes, from the top of the paw to the sole edge: lines to stitch or glue down. */
function toeGrooves(boot: Settled, columns: number, rows: number, wallRow: number): FormCurve[] {
  if (boot.toeDepth === 0) return [];
  return Array.from({ length: boot.toes - 1 }, (_, k): FormCurve => {
    const share = 0.25 + 0.19 * ((k + 1) / boot.toes - 0.5);
    const column = Math.round(share * columns) % columns;
    return {
      id: `groove-${k + 1}`,
      name: `Toe groove ${k + 1}`,
      kind: "level",
      path: Array.from({ length: rows - wallRow }, (_, r) => (wallRow + r) * columns + column),
      closed: false,
    };
  });
}

/** @throws forms/bad-boot for a foot without grooves */
function tuftsOf(
  options: TuftOptions,
  grooves: readonly FormCurve[],
  mesh: Form["mesh"],
  boot: Settled,
): MadeTufts {
  if (grooves.length === 0)
    fail(
      "forms/bad-boot",
      "Tufts stand in the grooves between toes, and this foot has none.",
      { path: ["tufts"] },
      {
        found: `style ${boot.style}`,
        fix: 'Choose style "paw" with toes that stand out, or leave the tufts away.',
      },
    );
  const lengths = grooves.map(({ path }) => pathLength(mesh.positions, path));
  return makeTufts({ lengths, top: boot.wall }, options);
}

/** Outward direction of the sole edge at a share. */
function outward(table: SectionTable, share: number): [number, number] {
  const before: [number, number] = [0, 0];
  const after: [number, number] = [0, 0];
  lookUp(table, share < 0.005 ? share + 0.995 : share - 0.005, 1, before);
  lookUp(table, share > 0.995 ? share - 0.995 : share + 0.005, 1, after);
  const [dx, dz] = [after[0] - before[0], after[1] - before[1]];
  const length = Math.hypot(dx, dz) || 1;
  return [-dz / length, dx / length];
}

/** Upper and sole round the ball of the foot: a tape round the upright cut at the ball. */
function ballGirth(point: TubePoint, boot: Settled): number {
  let heel = Infinity;
  for (let k = 1; k < boot.sole.length; k += 2) heel = Math.min(heel, boot.sole[k]);
  const level = heel + BALL_AT * boot.length;
  const cut: number[] = [];
  const columns = 64;
  const rows = 32;
  for (let c = 0; c < columns; c++) {
    let last = point(c / columns, 0);
    for (let r = 1; r <= rows; r++) {
      const next = point(c / columns, r / rows);
      if (last[2] < level !== next[2] < level) {
        const t = (level - last[2]) / (next[2] - last[2]);
        cut.push(last[0] + t * (next[0] - last[0]), last[1] + t * (next[1] - last[1]));
      }
      last = next;
    }
  }
  // The sole edge itself where it passes the ball, on both sides.
  for (let c = 0; c < 4 * columns; c++) {
    const [p, q] = [point(c / (4 * columns), 1), point(((c + 1) % (4 * columns)) / (4 * columns), 1)];
    if (p[2] < level !== q[2] < level) cut.push(p[0], p[1]);
  }
  return tapeLength(cut);
}

/** How full the instep has to be for the shod ball to fit, between a flat and a rounded one. */
function findFullness(table: SectionTable, boot: Settled): number {
  let [low, high] = [0.9, 2.6];
  const at = (fullness: number): number => ballGirth(bootPoint(table, boot, fullness), boot);
  if (at(low) >= boot.ballNeeded) return low;
  for (let i = 0; i < 18; i++) {
    const half = (low + high) / 2;
    if (at(half) < boot.ballNeeded) low = half;
    else high = half;
  }
  return high;
}

/** Rows spaced so that cells are about square, one of them at the top of the wall. */
function layRows(
  point: TubePoint,
  boot: Settled,
  triangles: number,
): { columns: number; alongs: number[]; wallRow: number } {
  if (typeof triangles !== "number" || !(triangles >= 500 && triangles <= 400_000)) {
    fail(
      "forms/bad-size",
      `A form of ${shown(triangles)} triangles is not built.`,
      { path: ["triangles"] },
      { found: shown(triangles), limit: "500 to 400000", fix: "Ask for 2,000 to 200,000 triangles." },
    );
  }
  const steps = 80;
  const around = 48;
  const cells = [0];
  let last = Array.from({ length: around }, (_, c) => point(c / around, 0));
  for (let r = 1; r <= steps; r++) {
    const ring = Array.from({ length: around }, (_, c) => point(c / around, r / steps));
    let [girth, meridian] = [0, 0];
    ring.forEach((p, c) => {
      const q = ring[(c + 1) % around];
      girth += Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
      meridian += Math.hypot(p[0] - last[c][0], p[1] - last[c][1], p[2] - last[c][2]) / around;
    });
    cells.push(cells[r - 1] + meridian / girth);
    last = ring;
  }
  const columns = Math.max(24, 4 * Math.round(Math.sqrt(triangles / (2 * cells[steps])) / 4));
  const alongAt = (value: number): number => {
    let i = 1;
    while (i < steps && cells[i] < value) i++;
    return (i - 1 + (value - cells[i - 1]) / (cells[i] - cells[i - 1])) / steps;
  };
  let wallAt = steps;
  while (wallAt > 1 && point(0.25, wallAt / steps)[1] < boot.wall) wallAt--;
  const part = (from: number, to: number): number[] => {
    const count = Math.max(2, Math.round((to - from) * columns));
    return Array.from({ length: count }, (_, k) => alongAt(from + ((to - from) * k) / count));
  };
  const upper = part(0, cells[wallAt]);
  return { columns, alongs: [...upper, ...part(cells[wallAt], cells[steps]), 1], wallRow: upper.length };
}

function solePanel(
  positions: Float64Array,
  columns: number,
  rows: number,
): { panel: Panel; rims: BuiltBootCover["soleRims"] } {
  const vertex = (c: number): number => (rows - 1) * columns + (c % columns);
  const quarter = columns / 4;
  const names = ["inner front", "outer front", "outer back", "inner back"];
  // The ring runs inner, toe, outer, heel: clockwise seen with x to the right and the toe up. Edges go the other way.
  const rims = [3, 2, 1, 0].map((q) => ({
    edge: `sole-${names[q].replace(" ", "-")}`,
    path: Array.from({ length: quarter + 1 }, (_, k) => vertex((q + 1) * quarter - k)),
  }));
  const edges = rims.map(({ edge, path }): Edge => ({
    id: edge,
    role: "seam",
    name: edge.replace("sole-", "sole edge, ").replace("-", " "),
    points: path.map((v): Point => [positions[3 * v], positions[3 * v + 2]]),
  }));
  const panel: Panel = {
    id: "sole",
    name: "Sole",
    fabric: "sole",
    edges,
    darts: [],
    markings: [],
    count: 1,
    mirrored: true,
    layer: "sole",
    notes: [
      "Toe up, right side of the cloth toward you: the foot seen from below. The cover must not reach under the outsole.",
    ],
  };
  return { panel, rims };
}

function bootIssues(boot: Settled, girth: number): Issue[] {
  const issues: Issue[] = [];
  if (girth < boot.ballNeeded - 1) {
    issues.push({
      code: "forms/boot-too-flat",
      severity: "warning",
      message: `The cover is ${Math.round(girth)} mm round the ball; the shod foot needs ${Math.round(boot.ballNeeded)} mm.`,
      at: {},
      found: Math.round(girth),
      limit: Math.round(boot.ballNeeded),
      fix: "Give a wider sole outline or a higher upper rim.",
    });
  }
  if (boot.heelHeight > 60) {
    issues.push({
      code: "forms/high-heel",
      severity: "warning",
      message: `The heel stands ${Math.round(boot.heelHeight)} mm over the ball.`,
      at: {},
      found: Math.round(boot.heelHeight),
      limit: 60,
      fix: "Try it on a flat floor with a rail at hand; a lower or broader heel is steadier.",
      source:
        "heel height and foothold: Blanchette et al. 2011; Menant et al. 2008; the limit is a judgement",
    });
  }
  return issues;
}
